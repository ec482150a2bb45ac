"""The operations of the trade: what each is called, needs and measures."""

from dataclasses import dataclass
from enum import StrEnum

from speccomp.quantities import Kind


class Need(StrEnum):
    """What a step can have beside limits by name; equipment is called as its type in the plant."""

    LOOK_FOR = "look_for"
    PROFILE = "profile"
    SCALE = "scale"
    MIXER = "mixer"
    TOOL = "tool"
    MOULD = "mould"
    SPRAYER = "sprayer"
    VACUUM_CHAMBER = "vacuum-chamber"
    RECORD = "record"
    ANY_LIMIT = "any limit"


@dataclass(frozen=True, slots=True)
class Operation:
    """
    One operation.

    `verb` opens the default heading of a step. Every group in `needs` must be met by one of its
    members: names of limits, or a Need. `product` tells that its limits are on the product.
    """

    name: str
    title: str
    verb: str
    needs: tuple[tuple[str, ...], ...] = ()
    product: bool = False


# Names of limits with their kinds; a limit of another name says by its unit what it is.
LIMIT_KINDS: dict[str, Kind] = {
    "mass": Kind.MASS,
    "amount": Kind.MASS,
    "batch mass": Kind.MASS,
    "shot mass": Kind.MASS,
    "coating mass": Kind.MASS,
    "volume": Kind.VOLUME,
    "shot volume": Kind.VOLUME,
    "time": Kind.TIME,
    "mixing time": Kind.TIME,
    "rolling time": Kind.TIME,
    "rest time": Kind.TIME,
    "vacuum time": Kind.TIME,
    "immersion time": Kind.TIME,
    "drying time": Kind.TIME,
    "cooling time": Kind.TIME,
    "application time": Kind.TIME,
    "time since mixing": Kind.TIME,
    "conditioning time": Kind.TIME,
    "working time": Kind.TIME,
    "demoulding time": Kind.TIME,
    "temperature": Kind.TEMPERATURE,
    "material temperature": Kind.TEMPERATURE,
    "part temperature": Kind.TEMPERATURE,
    "room temperature": Kind.TEMPERATURE,
    "storage temperature": Kind.TEMPERATURE,
    "humidity": Kind.HUMIDITY,
    "storage humidity": Kind.HUMIDITY,
    "speed": Kind.ROTATION_SPEED,
    "travel speed": Kind.SPEED,
    "withdrawal speed": Kind.SPEED,
    "absolute pressure": Kind.PRESSURE,
    "vacuum": Kind.PRESSURE,
    "air pressure": Kind.PRESSURE,
    "pot pressure": Kind.PRESSURE,
    "atomising pressure": Kind.PRESSURE,
    "nozzle distance": Kind.LENGTH,
    "layer thickness": Kind.LENGTH,
    "bond gap": Kind.LENGTH,
    "fill level": Kind.LENGTH,
    "immersion depth": Kind.LENGTH,
    "edge gap": Kind.LENGTH,
    "warp": Kind.LENGTH,
    "disc diameter": Kind.LENGTH,
    "disc thickness": Kind.LENGTH,
    "surface roughness": Kind.LENGTH,
    "shrinkage": Kind.FRACTION,
    "mass loss": Kind.FRACTION,
    "coats": Kind.COUNT,
    "discs": Kind.COUNT,
    "strokes": Kind.COUNT,
    "jolts": Kind.COUNT,
    "pieces per pack": Kind.COUNT,
    "compressive strength": Kind.STRESS,
    "flexural strength": Kind.STRESS,
    "tensile strength": Kind.STRESS,
    "bond strength": Kind.STRESS,
    "rate of stress": Kind.LOADING_RATE,
    "rate of force": Kind.FORCE_RATE,
    "pull-out force": Kind.FORCE,
    "torque": Kind.TORQUE,
    "test voltage": Kind.VOLTAGE,
    "leakage current": Kind.CURRENT,
    "insulation resistance": Kind.RESISTANCE,
    "viscosity": Kind.VISCOSITY,
    "flow rate": Kind.FLOW_RATE,
    "density": Kind.DENSITY,
}

_TIME_OR_LOOK = ("time", Need.LOOK_FOR)
_JUDGED = (Need.ANY_LIMIT, Need.LOOK_FOR)

OPERATIONS: dict[str, Operation] = {
    operation.name: operation
    for operation in (
        Operation("receive", "Receive", "Receive", (_JUDGED, (Need.RECORD,))),
        Operation("store", "Store", "Store", (("storage temperature", "temperature"),)),
        Operation(
            "condition",
            "Condition",
            "Condition",
            (("material temperature", "temperature"), ("conditioning time", *_TIME_OR_LOOK)),
        ),
        Operation("reblend", "Reblend", "Reblend", (("rolling time", *_TIME_OR_LOOK),)),
        Operation("weigh", "Weigh", "Weigh", ((Need.SCALE,), ("mass", "amount"))),
        Operation("add", "Add", "Add", (("mixing time", *_TIME_OR_LOOK),)),
        Operation(
            "mix",
            "Mix",
            "Mix",
            ((Need.MIXER, Need.TOOL), ("mixing time", *_TIME_OR_LOOK)),
        ),
        Operation(
            "de-air",
            "De-air",
            "De-air",
            (
                (Need.VACUUM_CHAMBER, Need.MIXER),
                ("absolute pressure", "vacuum"),
                ("vacuum time", *_TIME_OR_LOOK),
            ),
        ),
        Operation("prepare-surface", "Prepare the surface", "Prepare", (_JUDGED,)),
        Operation("apply", "Apply", "Apply", (_JUDGED,)),
        Operation("dispense", "Dispense", "Dispense", (_JUDGED,)),
        Operation("dip", "Dip", "Dip", (("immersion time", "withdrawal speed"),)),
        Operation(
            "spray",
            "Spray",
            "Spray",
            (
                (Need.SPRAYER,),
                ("pot pressure", "atomising pressure", "air pressure"),
                ("layer thickness", "coats"),
            ),
        ),
        Operation("compact", "Compact", "Compact", (("strokes", "jolts", *_TIME_OR_LOOK),)),
        Operation("assemble", "Assemble", "Assemble", (_JUDGED,)),
        Operation("rest", "Rest", "Let rest", (("rest time", "time"),)),
        Operation("cure", "Cure", "Cure", ((Need.PROFILE,),)),
        Operation(
            "cool",
            "Cool",
            "Cool",
            (("part temperature", "temperature", "cooling time", Need.PROFILE),),
        ),
        Operation("demould", "Demould", "Demould", (("demoulding time", *_TIME_OR_LOOK),)),
        Operation("inspect", "Inspect", "Inspect", (_JUDGED,), product=True),
        Operation("test", "Test", "Test", (_JUDGED,), product=True),
        Operation(
            "cast-discs",
            "Cast discs",
            "Cast discs from",
            ((Need.MOULD,), ("discs",), ("disc diameter",), ("disc thickness",)),
        ),
        Operation("check-discs", "Check discs", "Check the discs", (_JUDGED,), product=True),
        Operation("retain-sample", "Retain a sample", "Retain", (("amount", "mass", "volume"),)),
        Operation("clean", "Clean", "Clean", (_JUDGED,)),
        Operation("pack", "Pack", "Pack", (_JUDGED,)),
        Operation("dispose", "Dispose", "Dispose of"),
        Operation("record", "Record", "Complete the records", ((Need.RECORD,),)),
    )
}
