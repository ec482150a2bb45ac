"""What to write instead, where the schema alone says too little: operations and what is done."""

from collections.abc import Mapping

# Words of the shop for work that the file format names otherwise, or that it divides.
_OPERATIONS: Mapping[str, str] = {
    **dict.fromkeys(("coat", "coating", "paint", "glaze", "seal"), "apply dip spray"),
    **dict.fromkeys(("brush", "spread", "trowel", "spatula", "butter", "smear"), "apply"),
    **dict.fromkeys(("fill", "pot", "potting", "pour", "inject", "cast", "syringe"), "dispense"),
    **dict.fromkeys(("bond", "glue", "join", "attach", "cement", "fix"), "apply assemble"),
    **dict.fromkeys(("place", "insert", "mount", "fit", "clamp"), "assemble"),
    **dict.fromkeys(("bake", "heat", "fire", "dry", "harden", "set", "oven"), "cure"),
    **dict.fromkeys(("stir", "blend", "knead", "whisk", "mixing"), "mix"),
    **dict.fromkeys(("roll", "shake", "tumble", "turn"), "reblend"),
    **dict.fromkeys(("degas", "evacuate", "deaerate", "de-gas"), "de-air"),
    **dict.fromkeys(("vibrate", "tamp", "tap"), "compact"),
    **dict.fromkeys(("wait", "stand", "slake", "hold"), "rest"),
    **dict.fromkeys(("measure", "check", "look", "verify", "gauge"), "inspect test"),
    **dict.fromkeys(("degrease", "roughen", "blast", "sand", "etch"), "prepare-surface"),
    **dict.fromkeys(("wipe", "wash", "rinse"), "clean"),
    **dict.fromkeys(("weighing", "dose", "meter", "measure-out"), "weigh"),
    **dict.fromkeys(("precondition", "warm", "thaw", "acclimatise"), "condition"),
    **dict.fromkeys(("unmould", "demold", "strip", "release"), "demould"),
    **dict.fromkeys(("sample", "retain"), "retain-sample"),
    **dict.fromkeys(("note", "write", "sign", "document"), "record"),
    **dict.fromkeys(("scrap", "discard", "waste"), "dispose"),
    **dict.fromkeys(("label", "ship", "wrap"), "pack"),
    **dict.fromkeys(("unload", "accept", "incoming"), "receive"),
}

_DONE: Mapping[str, str] = {
    "receive": "Compare the label of each container with the order.",
    "store": "Put the containers on the shelf.",
    "condition": "Leave the closed containers in the shop overnight.",
    "reblend": "Roll the closed container on the floor.",
    "weigh": "Weigh the powder into the clean, dry mixing bowl.",
    "add": "Pour the liquid over the powder.",
    "mix": "Mix the paste at slow speed.",
    "de-air": "Draw the vacuum over the bowl.",
    "prepare-surface": "Wipe the surface with a clean cloth.",
    "apply": "Press the paste into the gap with the spatula.",
    "dispense": "Fill the sheath up to the rim.",
    "dip": "Lower the part into the bath.",
    "spray": "Spray one coat from the left to the right.",
    "compact": "Tap the mould on the bench.",
    "assemble": "Press the part into the wet paste.",
    "rest": "Leave the mix to stand.",
    "cure": "Put the parts into the oven.",
    "cool": "Leave the parts in the closed oven.",
    "demould": "Push the disc out of the mould.",
    "inspect": "Look at the seal of each part.",
    "test": "Measure the resistance of each part.",
    "cast-discs": "Fill the disc mould level with its rim.",
    "check-discs": "Measure the disc across two diameters.",
    "retain-sample": "Fill a labelled jar from the mix.",
    "clean": "Wipe the tools before the paste sets.",
    "pack": "Put the parts into the tray.",
    "dispose": "Put the rest of the mix into the waste drum.",
    "record": "Write the lot numbers into the batch record.",
}


def operations_meant_by(word: str) -> tuple[str, ...]:
    """Return the operations that a word of the shop may mean, most likely first."""
    return tuple(_OPERATIONS.get(word.casefold().replace(" ", "-").replace("_", "-"), "").split())


def example_of_do(operation: str) -> str:
    """Return a sentence such as a step of the operation may hold; an empty text for no such one."""
    return _DONE.get(operation, "")
