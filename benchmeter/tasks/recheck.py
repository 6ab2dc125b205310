"""Decode and judge a stored session again from its raw record, and say what differs.

Facts are compared: values, verdicts, reasons, limits, times. Sentences are not.
"""

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from enum import StrEnum

from benchmeter.errors import Message, StoreDamaged, StoreNewer
from benchmeter.readings.reading import Reading
from benchmeter.record.records import SessionSummary, StoredVerdict
from benchmeter.record.store import Store
from benchmeter.record.structs.facts import Fact, facts_of, untold
from benchmeter.record.structs.stored_events import StoredEvent
from benchmeter.session.engine import MeasuringChain

__all__ = ["Difference", "Place", "Recheck", "recheck", "recheck_all"]

# A fit ends where its steps are small, which another processor finds a part in 1e9 beside; what a
# meter showed is a decimal, and exact.
_COMPUTED_ALIKE = 1e-7

_Facts = Mapping[str, Fact]


class Place(StrEnum):
    """What part of a session differs."""

    RAW_RECORD = "raw record"
    READINGS = "readings"
    EVENT = "event"
    VERDICT = "verdict"


@dataclass(frozen=True, slots=True)
class Difference:
    """A fact that is not as it should be.

    Attributes:
        subject: the channel of a reading; kind and subject of an event or a verdict; else "".
        time_ns: of the reading, event or verdict; None: of all of them.
        fact: which one: "value", "count", "verdict.sections[0].reason"; of the raw record the
            code of the message. "" where all of it is there on one side only.
        stored, again: the two sides; None: nothing.
        message: of the raw record: what is wrong with it; else None.
    """

    place: Place
    subject: str
    time_ns: int | None
    fact: str
    stored: Fact
    again: Fact
    message: Message | None = None


@dataclass(frozen=True, slots=True)
class Recheck:
    """What a recheck found. `differences` empty: every fact agrees."""

    session_id: str
    readings: int
    verdicts: int
    differences: tuple[Difference, ...]


def recheck(store: Store, session_id: str) -> Recheck:
    """Send the raw record of a session through the chain again and compare with what is stored.

    Raises:
        StoreDamaged: it is damaged beyond being found.
        NoSuchRecord: no such session.
    """
    lies = store.as_it_lies()
    return _recheck(lies, lies.session(session_id))


def recheck_all(store: Store) -> tuple[Recheck, ...]:
    """Recheck every session, newest first; last come those that are damaged beyond being read."""
    lies = store.as_it_lies()
    listed = lies.listed()
    lost = Message("record.session_lost")
    return (
        *(_recheck(lies, session) for session in listed.sessions if not session.removed),
        *(Recheck(number, 0, 0, (_of_raw_record(lost),)) for number in listed.damaged),
    )


def _recheck(lies: Store, session: SessionSummary) -> Recheck:
    found: list[Difference] = []
    try:
        found += map(_of_raw_record, lies.check(session.id))
        again = _again(lies, session.id)
        found += _differences(lies, session, again)
    except (StoreDamaged, StoreNewer) as error:
        return Recheck(session.id, 0, 0, (*found, _of_raw_record(error.message)))
    count = sum(len(r) for r in again.readings.values())
    return Recheck(session.id, count, len(again.verdicts), tuple(found))


def _of_raw_record(message: Message) -> Difference:
    return Difference(Place.RAW_RECORD, "", None, message.code, None, None, message)


@dataclass(frozen=True, slots=True)
class _Again:
    """What the raw record led to."""

    readings: dict[str, list[Reading]]
    events: list[StoredEvent]
    verdicts: list[StoredVerdict]


def _again(lies: Store, session_id: str) -> _Again:
    chain = MeasuringChain(lies.setup(session_id))
    again = _Again(defaultdict(list), [], [])
    for item in lies.inputs(session_id):
        outcome = chain.feed(item)
        for reading in outcome.readings:
            again.readings[reading.channel].append(reading)
        again.events.extend(map(StoredEvent.of, outcome.events))
        again.verdicts.extend(StoredVerdict.of(outcome.time_ns, v) for v in outcome.verdicts)
    return again


def _differences(lies: Store, session: SessionSummary, again: _Again) -> Iterator[Difference]:
    for channel in sorted({*again.readings, *lies.channels(session.id)}):
        yield from _other_samples(lies, session.id, channel, again.readings[channel])
    form = session.form
    stored = [StoredEvent.of(event) for event in lies.events(session.id)]
    yield from _others(
        Place.EVENT,
        [_of_event(e, form) for e in stored],
        [_of_event(e, form) for e in again.events],
    )
    given = lies.verdicts(session.id)
    yield from _others(
        Place.VERDICT,
        [_of_verdict(v, form) for v in given],
        [_of_verdict(v, form) for v in again.verdicts],
    )


def _other_samples(
    store: Store, session_id: str, channel: str, again: list[Reading]
) -> Iterator[Difference]:
    """Where one side has more, only the first place where they part is told."""
    stored = store.samples(session_id, channel)
    short = len(stored) != len(again)
    if short:
        yield Difference(Place.READINGS, channel, None, "count", len(stored), len(again))
    rows = zip(
        stored.time_ns.tolist(),
        stored.value.tolist(),
        stored.statuses(),
        stored.resolution.tolist(),
        again,
        strict=False,
    )
    for time_ns, value, status, resolution, reading in rows:
        facts = (
            ("time_ns", time_ns, reading.time_ns),
            ("value", _known(value), reading.value),
            ("status", status.value, reading.status.value),
            ("resolution", _known(resolution), reading.resolution),
        )
        others = [
            Difference(Place.READINGS, channel, time_ns, fact, old, new)
            for fact, old, new in facts
            if old != new
        ]
        yield from others
        if others and short:
            return


def _known(number: float) -> float | None:
    return None if math.isnan(number) else number


@dataclass(frozen=True, slots=True)
class _Told:
    """An event or a verdict. `key`: what finds it again on the other side."""

    key: tuple[str, int]
    facts: _Facts
    untold: frozenset[str] = frozenset()


def _of_event(event: StoredEvent, form: int | None) -> _Told:
    key = (f"{event.kind} {event.subject}".strip(), event.time_ns)
    return _Told(key, facts_of(event), untold(event, form))


def _of_verdict(verdict: StoredVerdict, form: int | None) -> _Told:
    facts = {
        "kind": verdict.kind.value,
        "time_ns": verdict.time_ns,
        "subject": verdict.subject,
        "word": verdict.word,
        **facts_of(verdict.stored),
    }
    key = (f"{verdict.kind.value} {verdict.subject}".strip(), verdict.time_ns)
    return _Told(key, facts, untold(verdict.stored, form))


def _others(place: Place, stored: Sequence[_Told], again: Sequence[_Told]) -> Iterator[Difference]:
    matcher = SequenceMatcher(None, [t.key for t in stored], [t.key for t in again], False)
    for step, old_from, old_to, new_from, new_to in matcher.get_opcodes():
        old, new = stored[old_from:old_to], again[new_from:new_to]
        paired = len(old) if step == "equal" else min(len(old), len(new))
        for one, other in zip(old, new, strict=False):
            yield from _other_facts(place, one, other)
        for one in old[paired:]:
            yield Difference(place, *one.key, "", "there", None)
        for one in new[paired:]:
            yield Difference(place, *one.key, "", None, "there")


def _other_facts(place: Place, stored: _Told, again: _Told) -> Iterator[Difference]:
    for fact in dict.fromkeys((*stored.facts, *again.facts)):
        if fact.partition(".")[0] in stored.untold:
            continue
        old, new = stored.facts.get(fact), again.facts.get(fact)
        if not _same(old, new):
            yield Difference(place, *stored.key, fact, old, new)


def _same(old: Fact, new: Fact) -> bool:
    if isinstance(old, float) and isinstance(new, float):
        return math.isclose(old, new, rel_tol=_COMPUTED_ALIKE)
    return old == new
