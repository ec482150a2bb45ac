"""The one table of kinds of change: what each is called, and what it is seen from the other end."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ChangeKind:
    """
    A kind of change.

    `words` are printed; `mirror` is the name of the kind that the same change has when the two
    revisions are exchanged.
    """

    name: str
    words: str
    mirror: str


_SAME = (
    # Limits and values.
    ("restated", "restated: the same in another unit or notation"),
    ("digits-changed", "the same limit with other digits"),
    ("limit-shifted", "limits shifted"),
    ("target-moved", "target moved between the same limits"),
    ("value-changed", "value changed"),
    ("limit-reversed", "an upper limit made a lower one, or the reverse"),
    ("limit-replaced", "replaced by another kind of requirement"),
    # Texts.
    ("wording", "wording only"),
    ("meaning", "text that says something else"),
    ("rewritten", "text rewritten"),
    ("actions-reordered", "the same actions in another order"),
    # Steps.
    ("step-moved", "step moved"),
    ("step-renamed", "step called otherwise"),
    ("step-setting", "step set otherwise"),
    ("step-material", "another material in the step"),
    ("operation-replaced", "another operation"),
    ("method-replaced", "another method"),
    ("block-replaced", "steps from another block"),
    ("block-text", "block described otherwise"),
    # Control.
    ("limit-renamed", "limit called otherwise"),
    ("limit-moved", "limit moved to another step"),
    ("product-or-process", "counted as product instead of process, or the reverse"),
    ("special-replaced", "another class of special characteristic"),
    ("gauge-replaced", "another gauge"),
    ("technique-replaced", "another way to judge"),
    ("frequency-changed", "another frequency"),
    ("sampling-plan", "another sampling plan or claim"),
    ("reaction-replaced", "another reaction plan"),
    ("reaction-content", "reaction plan says something else"),
    ("responsible-replaced", "another role responsible"),
    ("record-replaced", "another record"),
    ("record-content", "record described otherwise"),
    ("validated-range", "another validated range"),
    # Materials, equipment, plant.
    ("material-replaced", "material replaced"),
    ("material-data", "material card says something else"),
    ("hazard-data", "hazard data changed"),
    ("ratio-basis", "ratio by weight instead of volume, or the reverse"),
    ("part-data", "part described otherwise"),
    ("equipment-replaced", "equipment replaced"),
    ("equipment-data", "equipment described otherwise"),
    ("plant-replaced", "another plant"),
    ("plant-data", "plant file says something else"),
    ("plant-default", "another control default of the plant"),
    ("caution-library", "caution text offered by plant or packs changed"),
    # Cautions and waivers.
    ("caution-reworded", "caution reworded"),
    ("waiver-reworded", "waiver worded or signed otherwise"),
    # Document.
    ("document-data", "document data"),
    ("change-note", "change note"),
    ("history", "revision history"),
    ("reference-edition", "another edition of a reference"),
    ("picture-replaced", "picture replaced"),
    ("other-file", "read from another file"),
    ("listed-otherwise", "listed in another order"),
    ("raw", "difference of the data that no rule knows"),
)
_OPPOSITES = (
    (("limit-wider", "limits wider"), ("limit-narrower", "limits narrower")),
    (
        ("limit-side-added", "one-sided made two-sided"),
        ("limit-side-removed", "two-sided made one-sided"),
    ),
    (("limit-added", "limit added"), ("limit-removed", "limit removed")),
    (("value-added", "value added"), ("value-removed", "value removed")),
    (("text-added", "text added"), ("text-removed", "text removed")),
    (("step-added", "step added"), ("step-removed", "step removed")),
    (("step-split", "step split"), ("steps-merged", "steps merged")),
    (("segment-added", "hold or ramp added"), ("segment-removed", "hold or ramp removed")),
    (
        ("special-added", "made a special characteristic"),
        ("special-removed", "no longer a special characteristic"),
    ),
    (("gauge-added", "gauge added"), ("gauge-removed", "gauge removed")),
    (("sample-larger", "sample larger"), ("sample-smaller", "sample smaller")),
    (("more-often", "checked more often"), ("less-often", "checked less often")),
    (
        ("setting-added", "detail of the control added"),
        ("setting-removed", "detail of the control removed"),
    ),
    (
        ("stated-here", "stated here instead of left to the plant’s default"),
        ("left-to-plant", "left to the plant’s default instead of stated here"),
    ),
    (("reaction-added", "reaction plan added"), ("reaction-removed", "reaction plan removed")),
    (("record-added", "record added"), ("record-removed", "record removed")),
    (("kept-longer", "kept for longer"), ("kept-shorter", "kept for a shorter time")),
    (("material-added", "material added"), ("material-removed", "material removed")),
    (("ratio-added", "ratio added"), ("ratio-removed", "ratio removed")),
    (("part-added", "part added"), ("part-removed", "part removed")),
    (("equipment-added", "equipment added"), ("equipment-removed", "equipment removed")),
    (("caution-added", "caution added"), ("caution-removed", "caution removed")),
    (
        ("caution-strengthened", "caution made stronger"),
        ("caution-weakened", "caution made weaker"),
    ),
    (
        ("caution-later", "caution moved after the step it stood before"),
        ("caution-earlier", "caution moved before an earlier step"),
    ),
    (
        ("caution-before-step", "caution now stands before the step"),
        ("caution-off-step", "caution no longer stands before the step"),
    ),
    (("gear-added", "protective gear added"), ("gear-removed", "protective gear removed")),
    (("waiver-added", "waiver added"), ("waiver-removed", "waiver removed")),
    (("waiver-extended", "waiver extended"), ("waiver-shortened", "waiver shortened")),
    (("reference-added", "reference added"), ("reference-removed", "reference removed")),
    (("picture-added", "picture added"), ("picture-removed", "picture removed")),
)


def _kinds() -> Iterable[ChangeKind]:
    for name, words in _SAME:
        yield ChangeKind(name, words, name)
    for (name, words), (other, other_words) in _OPPOSITES:
        yield ChangeKind(name, words, other)
        yield ChangeKind(other, other_words, name)


KINDS: Mapping[str, ChangeKind] = {kind.name: kind for kind in _kinds()}
"""All kinds of change by name."""
