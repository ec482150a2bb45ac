"""What has to be pasted where, so that a caution that is missing, late or too weak stands right."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from speccomp.cautions.coverage import Duplicate, Row, Verdict
from speccomp.cautions.paste import entry_to_paste, keys_to_paste
from speccomp.model.packs import texts_of
from speccomp.model.process import Process
from speccomp.model.shared import Caution, Signal


@dataclass(frozen=True, slots=True)
class Cure:
    """
    One edit and the rows that it settles.

    `into` is the entry of `cautions` that gets the keys of `paste`; without it they are entries of
    their own. `paste` is empty where a key has only to be deleted.
    """

    rows: tuple[Row, ...]
    into: Caution | None
    paste: str


@dataclass(frozen=True, slots=True)
class Doubled:
    """
    Two entries of one topic that meet at `places`, none for up front.

    `drop` is the one that can go there, `keep` the other one, which has the stronger word. `paste`
    are the steps that are left for `drop`; it is empty where it has to be deleted.
    """

    drop: Caution
    keep: Caution
    places: tuple[str, ...]
    paste: str


def cures_of_duplicates(duplicates: Iterable[Duplicate]) -> Iterator[Doubled]:
    """Yield an edit for each pair of entries that stand at the same places."""
    pairs: dict[tuple[int, int], list[Duplicate]] = {}
    for found in duplicates:
        pairs.setdefault((id(found.caution), id(found.other)), []).append(found)
    for pair in pairs.values():
        later, first = pair[0].caution, pair[0].other
        drop, keep = (first, later) if later.signal.rank < first.signal.rank else (later, first)
        places = tuple(found.place for found in pair if found.place)
        # A block stands where its first step does.
        rest = [b for b in drop.before if not any(p == b or p.startswith(f"{b}.") for p in places)]
        yield Doubled(drop, keep, places, keys_to_paste(drop, before=rest) if rest else "")


def cures_of_missing(process: Process, rows: Iterable[Row]) -> Iterator[Cure]:
    """
    Yield an edit for each topic that is missing, and for each entry that lacks steps.

    A topic that is there with the word asked for gets the steps added to the entry it has; only
    what no entry can say becomes an entry of its own.
    """
    for lacking in _by_topic(rows, Verdict.MISSING):
        cited = [c for c in process.cautions if c.topic == lacking[0].topic.id]
        if not cited:
            yield Cure(tuple(lacking), None, _entries(process, lacking))
            continue
        for signal, mine in _by_signal(lacking).items():
            into = _fitting(process, cited, signal)
            paste = _entries(process, mine) if into is None else _more_steps(process, into, mine)
            yield Cure(tuple(mine), into, paste)


def cures_of_late(process: Process, rows: Sequence[Row]) -> Iterator[Cure]:
    """
    Yield an edit for each entry that stands behind what it protects.

    It moves: it keeps those of its steps that something calls for.
    """
    for late in _by_caution(rows, Verdict.LATE):
        into = late[0].caution
        if late[0].scene is None:
            yield Cure(tuple(late), into, "")
        elif into is not None:
            called = {row.place for row in rows if row.topic is late[0].topic}
            kept = tuple(ident for ident in into.before if ident in called)
            moved = replace(into, before=kept)
            yield Cure(tuple(late), into, _more_steps(process, moved, late))


def cures_of_too_weak(rows: Iterable[Row]) -> Iterator[Cure]:
    """Yield an edit for each entry whose word is too weak somewhere."""
    for weak in _by_caution(rows, Verdict.TOO_WEAK):
        into = weak[0].caution
        if into is not None:
            yield Cure(tuple(weak), into, keys_to_paste(into, signal=_strongest(weak)))


def _by_topic(rows: Iterable[Row], verdict: Verdict) -> Iterable[list[Row]]:
    found: dict[str, list[Row]] = {}
    for row in rows:
        if row.verdict is verdict:
            found.setdefault(row.topic.id, []).append(row)
    return found.values()


def _by_caution(rows: Iterable[Row], verdict: Verdict) -> Iterable[list[Row]]:
    found: dict[int, list[Row]] = {}
    for row in rows:
        if row.verdict is verdict and row.topic.required and row.caution is not None:
            found.setdefault(id(row.caution), []).append(row)
    return found.values()


def _by_signal(rows: Iterable[Row]) -> dict[Signal, list[Row]]:
    found: dict[Signal, list[Row]] = {}
    for row in sorted(rows, key=lambda row: row.signal.rank):
        found.setdefault(row.signal, []).append(row)
    return found


def _strongest(rows: Iterable[Row]) -> Signal:
    return min((row.signal for row in rows), key=lambda signal: signal.rank)


def _fitting(process: Process, cited: Sequence[Caution], signal: Signal) -> Caution | None:
    """Return the entry with the word asked for and the text that a new entry would have."""
    topic = cited[0].topic
    plant = process.plant
    said = plant.cautions.get(topic) or texts_of(plant.topics, plant.local_codes)[topic]
    for caution in cited:
        own = (caution.hazard, caution.consequence, caution.avoid, caution.gear)
        if caution.signal is signal and own == (
            said.hazard,
            said.consequence,
            said.avoid,
            said.gear,
        ):
            return caution
    return None


def _entries(process: Process, rows: Sequence[Row]) -> str:
    """Return entries of their own, one for each word that is asked for."""
    topic = rows[0].topic
    own = process.plant.cautions.get(topic.id)
    said = own.signal if own is not None else topic.signal
    return entry_to_paste(
        process,
        topic.id,
        [
            (_places(mine), None if signal is said else signal)
            for signal, mine in _by_signal(rows).items()
        ],
    )


def _more_steps(process: Process, into: Caution, rows: Sequence[Row]) -> str:
    """Return the keys of an entry with the steps of the rows added, in the order of the work."""
    numbers: dict[str, int] = {}
    for number, step in enumerate(process.steps):
        numbers.setdefault(step.id, number)
        numbers.setdefault(step.use, number)
    steps = dict.fromkeys((*into.before, *_places(rows)))
    before = sorted(steps, key=lambda ident: numbers.get(ident, len(numbers)))
    wanted = _strongest(rows)
    return keys_to_paste(into, wanted if wanted.rank < into.signal.rank else None, before)


def _places(rows: Iterable[Row]) -> list[str]:
    return [row.place for row in rows if row.place]
