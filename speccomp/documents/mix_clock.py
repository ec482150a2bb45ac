"""The pot-life clock: when each mix starts, must be used up, and is discarded."""

from collections.abc import Iterator, Sequence

from speccomp.calc.potlife import ConstraintName
from speccomp.derive import Making
from speccomp.derive.formulas import POT_LIFE_ARRHENIUS
from speccomp.derive.mix_clock import MixClockRow
from speccomp.derive.mix_sizes import PARTS_PER_MIX
from speccomp.derive.mixes import ORDER, PartPlan
from speccomp.derive.pot_life import LifeAt, PotLife
from speccomp.documents.figure_views import FigureView
from speccomp.documents.mix_count import made_in_mixes
from speccomp.documents.number_print import Printer, print_clock, print_plain, span
from speccomp.documents.views import Table
from speccomp.documents.words import listed, sentence_case
from speccomp.model.process import Process
from speccomp.quantities import Kind, Quantity, quantity

MOST_ROWS = 12
"""A longer clock shows its first mixes and its last one."""

_COLUMNS = (
    "Mix",
    "Parts",
    "Start",
    "Mixing ends",
    "First part",
    "Last part",
    "Use by",
    "Discard at",
)
_BINDING = {
    PARTS_PER_MIX: "the limit on parts per mix",
    ORDER: "the order",
    ConstraintName.POT_LIFE: "the pot life",
    ConstraintName.MIXER_MOST: "the mixer",
}


def build_mix_clock(process: Process, making: Making) -> tuple[FigureView, ...]:
    """Return the clocks of a definition whose mix has a pot life; equal ones once."""
    life = making.pot_life
    if life is None:
        return ()
    groups: dict[tuple[tuple[str, ...], ...], list[PartPlan]] = {}
    for plan in making.plans:
        if plan.clock:
            groups.setdefault(tuple(map(clock_texts, plan.clock)), []).append(plan)
    figures = [_clock(process, plans) for plans in groups.values()]
    uses = [_times_of_use(process, making, life.worst)] if made_in_mixes(making) else []
    return (*uses, *figures, _lives(process, making, life))


def clock_texts(row: MixClockRow) -> tuple[str, ...]:
    """
    Return the times of one mix as printed: start, mixing ends, first, last part, use by, discard.

    The limits are rounded down and the start up, so that what is left between them is never more
    than it was. The last part is not shown after the end of the time that it keeps.
    """
    filled, use_by = print_clock(row.filled.value, "up"), print_clock(row.use_by.value, "down")
    if row.filled.value <= row.use_by.value < _time(filled):
        filled = use_by
    return (
        print_clock(row.start.value, "up"),
        print_clock(row.mix_end.value, "up"),
        print_clock(row.ready.value, "up"),
        filled,
        use_by,
        print_clock(row.discard_at.value, "down"),
    )


def _time(clock: str) -> Quantity:
    hours, minutes = clock.split(":")
    return quantity(60 * int(hours) + int(minutes), "min")


def _clock(process: Process, plans: Sequence[PartPlan]) -> FigureView:
    printer = Printer(process.plant.units)
    count = len(plans[0].clock)
    chosen = range(count) if count <= MOST_ROWS else (*range(MOST_ROWS - 1), count - 1)
    rows = []
    for index in chosen:
        for plan in plans:
            _note(printer, plan.clock[index])
        row = plans[0].clock[index]
        rows.append((str(index + 1), printer.value(row.parts), *clock_texts(row)))
    parts = listed([plan.needs.part.number for plan in plans], "or")
    table = Table(
        _COLUMNS,
        tuple(rows),
        tuple(range(len(_COLUMNS))),
        f"Pot-life clock for an order of {plans[0].ordered} × {parts}, hours:minutes after the "
        "start of the job",
    )
    return printer.figure("clock", table, _rhythm(count), (), (6,))


def _note(printer: Printer, row: MixClockRow) -> None:
    numbers = (row.start, row.mix_end, row.ready, row.filled, row.use_by, row.discard_at)
    for number, text in zip(numbers, clock_texts(row), strict=True):
        printer.note(number, text)


def _rhythm(count: int) -> Iterator[str]:
    if count > 1:
        yield "Start a mix when the one before it is used up."
    yield "At the longest times of every step and the hottest shop; a mix may be earlier."
    if count > MOST_ROWS:
        yield f"Mixes {MOST_ROWS} to {count - 1} follow in the same rhythm."


def _times_of_use(process: Process, making: Making, at: LifeAt) -> FigureView:
    """Return when a mix is used up and when it is thrown away, to be read before it is made."""
    printer = Printer(process.plant.units)
    stated = (use.age for use in making.work.last_uses if not use.limit.condition)
    last = min((at.usable, *stated), key=lambda age: age.value.m_as("s"))
    use, discard = printer.duration(last, "down"), printer.duration(at.life, "down")
    lead = (
        f"Use a mix within {use} of {_contact(making)}. Discard what is left at {discard}.",
        "Write both times on the label of the mix.",
    )
    return printer.figure("use", None, (), lead)


def _contact(making: Making) -> str:
    """Name the moment from which the pot life counts."""
    reference, *others = (component.key for component in making.mixture.components)
    return f"the moment {listed(others)} and {reference} meet" if others else "the start of mixing"


def _lives(process: Process, making: Making, life: PotLife) -> FigureView:
    printer = Printer(process.plant.units)
    return printer.figure("life", None, _life_sentences(printer, making, life))


def _life_sentences(printer: Printer, making: Making, life: PotLife) -> Iterator[str]:
    at = [life.on_card, *(known for known in (life.low, life.middle, life.high) if known)]
    texts = [_life(printer, one) for one in at]
    form = "Arrhenius" if life.on_card.life.formula is POT_LIFE_ARRHENIUS else "Q10"
    in_shop = f"; in the shop {listed(texts[1:])}" if texts[1:] else ""
    margin = print_plain(quantity(life.margin, ""), Kind.FRACTION, printer.units)
    yield (
        f"Pot life by the {form} form: {texts[0]} on the card of {life.card.name}{in_shop}. Of it, "
        f"{margin} are kept back."
    )
    yield from _bindings(printer, making)


def _life(printer: Printer, at: LifeAt) -> str:
    temperature = print_plain(at.temperature, Kind.TEMPERATURE, printer.units)
    return f"{printer.duration(at.life, 'down')} at {temperature}"


def _bindings(printer: Printer, making: Making) -> Iterator[str]:
    """Say what sets the size of the mixes, and what the other limits allow."""
    sentences: dict[str, list[str]] = {}
    for plan in making.plans:
        if not plan.clock:
            continue
        allowed = ""
        if plan.in_time_when_hot is not None:
            hot = printer.value(plan.in_time_when_hot)
            allowed = f" On the hottest day the pot life allows {hot} parts."
        text = f"{sentence_case(_BINDING[plan.binding])} sets the size of a mix.{allowed}"
        sentences.setdefault(text, []).append(plan.needs.part.number)
    for text, parts in sentences.items():
        yield f"{listed(parts)}: {text}" if len(sentences) > 1 else text
    for mixer in making.mixers if sentences else ():
        if mixer.least is not None and mixer.most is not None:
            least, most = printer.value(mixer.least, 3, "up"), printer.value(mixer.most, 3, "down")
            yield f"{mixer.mixer.name}: {span(least, most)} of mix."
