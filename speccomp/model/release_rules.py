"""How a plant approves and releases its documents."""

from dataclasses import dataclass
from datetime import date

from speccomp.findings import Span
from speccomp.model.shared import span_field


@dataclass(frozen=True, slots=True)
class Approver:
    """
    A person who may approve in a role, between two days.

    `key` is the public key as OpenSSH writes it, empty where the plant does without signatures.
    """

    name: str
    role: str
    key: str
    valid_from: date | None
    valid_to: date | None
    span: Span = span_field()

    def may_approve_on(self, day: date) -> bool:
        """Tell whether an approval on a day counts."""
        return (self.valid_from is None or self.valid_from <= day) and (
            self.valid_to is None or day <= self.valid_to
        )


@dataclass(frozen=True, slots=True)
class ReleaseRules:
    """
    What an approval and a release need.

    `signatures` is `required` or `unsigned`. `review_every` is a period such as `24 months`;
    `time_zone` the one in which a day begins, by its name in the IANA database; `register` the
    address at which the register can be looked up. Empty where the plant file does not say.
    """

    signatures: str = "unsigned"
    approvers: tuple[Approver, ...] = ()
    author_may_approve: bool = False
    review_every: str = ""
    time_zone: str = ""
    register: str = ""
