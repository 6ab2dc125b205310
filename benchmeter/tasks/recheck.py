"""Decode and judge a stored session again from its raw record, and say what differs."""

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from benchmeter.checking.check import PartCheck
from benchmeter.cooling.recovery import Recovery
from benchmeter.readings.events import Event
from benchmeter.readings.reading import Reading
from benchmeter.record.store import Store
from benchmeter.session.engine import MeasuringChain

__all__ = ["Difference", "Recheck", "recheck"]


@dataclass(frozen=True, slots=True)
class Difference:
    """Something that is not as it should be. `what`: where; `stored`, `again`: the two sides."""

    what: str
    stored: str
    again: str


@dataclass(frozen=True, slots=True)
class Recheck:
    """What a recheck found. `differences` empty: everything agrees, bit for bit."""

    session_id: str
    readings: int
    verdicts: int
    differences: tuple[Difference, ...]


def recheck(store: Store, session_id: str) -> Recheck:
    """Send the raw record of a session through the chain again and compare with what is stored.

    Raises:
        StoreDamaged: the raw record cannot be read at all.
        NoSuchRecord: no such session.
    """
    summary = store.session(session_id)
    chain = MeasuringChain(store.setup(summary.id))
    readings: dict[str, list[Reading]] = defaultdict(list)
    events: list[Event] = []
    verdicts: list[PartCheck | Recovery] = []
    for item in store.inputs(summary.id):
        outcome = chain.feed(item)
        for reading in outcome.readings:
            readings[reading.channel].append(reading)
        events.extend(outcome.events)
        verdicts.extend(outcome.verdicts)
    found = [Difference("raw record", finding, "") for finding in store.check(summary.id)]
    for channel in sorted(set(readings) | set(store.channels(summary.id))):
        found += _compare_samples(store, summary.id, channel, readings[channel])
    found += _compare("event", list(store.events(summary.id)), events)
    found += _compare("verdict", [v.finding for v in store.verdicts(summary.id)], verdicts)
    count = sum(len(r) for r in readings.values())
    return Recheck(summary.id, count, len(verdicts), tuple(found))


def _compare_samples(
    store: Store, session_id: str, channel: str, again: list[Reading]
) -> list[Difference]:
    stored = store.samples(session_id, channel)
    found = []
    if len(stored) != len(again):
        found.append(
            Difference(f"{channel}: number of readings", str(len(stored)), str(len(again)))
        )
    rows = zip(
        stored.time_ns.tolist(),
        stored.value.tolist(),
        stored.statuses(),
        stored.resolution.tolist(),
        again,
        strict=False,
    )
    for time_ns, value, status, resolution, reading in rows:
        old = (time_ns, _known(value), status, _known(resolution))
        new = (reading.time_ns, reading.value, reading.status, reading.resolution)
        if old != new:
            found.append(Difference(f"{channel} at {time_ns / 1e9:.3f} s", _row(old), _row(new)))
    return found


def _known(number: float) -> float | None:
    return None if math.isnan(number) else number


def _row(row: tuple[object, ...]) -> str:
    return ", ".join(str(part) for part in row[1:])


def _compare(what: str, stored: Sequence[object], again: Sequence[object]) -> list[Difference]:
    found = []
    if len(stored) != len(again):
        found.append(Difference(f"number of {what}s", str(len(stored)), str(len(again))))
    for number, (old, new) in enumerate(zip(stored, again, strict=False), 1):
        if old != new:
            found.append(Difference(f"{what} {number}", _brief(old), _brief(new)))
    return found


def _brief(value: object) -> str:
    if isinstance(value, PartCheck):
        verdict = value.verdict.verdict.value if value.verdict else "none"
        return f"{value.part}: {verdict}"
    return str(value)
