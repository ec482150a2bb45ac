"""Why something is not approved, released, withdrawn or reviewed."""


class Refused(Exception):  # noqa: N818  # named for what it says
    """A request that the rules of document control do not allow; `reasons` says why, each alone."""

    def __init__(self, *reasons: str) -> None:
        self.reasons = reasons
        super().__init__("; ".join(reasons))
