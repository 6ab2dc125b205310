"""One stored session as people look at it: the model of page, table and JSON."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from benchmeter.checking.check import PartCheck
from benchmeter.cooling.recovery import Recovery
from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, Role
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.events import Event, EventKind
from benchmeter.record.blocks import Samples
from benchmeter.record.records import SessionSummary, StoredVerdict
from benchmeter.record.store import Store
from benchmeter.session.visit import Visit

__all__ = ["ChannelRecord", "FunctionStretch", "Record", "local_start", "read_record"]

_EARLIEST_NS, _LATEST_NS = -(2**63), 2**63 - 1


@dataclass(frozen=True, slots=True)
class FunctionStretch:
    """The readings of a multimeter between two turns of its knob.

    `quantity`: what it was set to; None before it has told.
    """

    quantity: Quantity | None
    samples: Samples


@dataclass(frozen=True, slots=True)
class ChannelRecord:
    """A channel with its samples.

    Attributes:
        quantity: of all its samples; None where neither setup nor meter told, or where there are
            several.
        stretches: of the bench's multimeter, in order, none without readings: samples of two are
            never joined. Empty for all other channels.
    """

    name: str
    setup: ChannelSetup | None
    quantity: Quantity | None
    samples: Samples
    stretches: tuple[FunctionStretch, ...] = ()

    @property
    def role(self) -> Role:
        """What it is for; a channel that was typed in has the role of its name."""
        if self.setup is not None:
            return self.setup.role
        return Role(self.name) if self.name in tuple(Role) else Role.OTHER

    @property
    def quantities(self) -> tuple[Quantity, ...]:
        """What it measured, in the order in which it came up."""
        told = [s.quantity for s in self.stretches] or [self.quantity]
        return tuple(dict.fromkeys(q for q in told if q is not None))


@dataclass(frozen=True, slots=True)
class Record:
    """A session with all that is kept of it.

    `recomputed`: its recovery was computed anew from the readings; see `recovery_again`.
    """

    summary: SessionSummary
    setup: BenchSetup
    channels: tuple[ChannelRecord, ...]
    events: tuple[Event, ...]
    verdicts: tuple[StoredVerdict, ...]
    visit: Visit = field(default_factory=Visit)
    recomputed: bool = False

    def part_checks(self) -> tuple[PartCheck, ...]:
        """The last verdict of each check of a part, in the order of the checks."""
        return tuple(c for c in self._checks() if c.reference is None)

    def reference_checks(self) -> tuple[PartCheck, ...]:
        """The last reading of each check of a reference part, in the order of the checks."""
        return tuple(c for c in self._checks() if c.reference is not None)

    def _checks(self) -> tuple[PartCheck, ...]:
        last = {
            v.finding.number: v.finding for v in self.verdicts if isinstance(v.finding, PartCheck)
        }
        return tuple(last[number] for number in sorted(last))

    def recovery(self) -> Recovery | None:
        """The last recovery that was kept."""
        found = [v.finding for v in self.verdicts if isinstance(v.finding, Recovery)]
        return found[-1] if found else None

    def clock(self, time_ns: int) -> datetime:
        """Wall clock at the place of recording."""
        return local_start(self.summary) + timedelta(microseconds=time_ns / 1000)


def local_start(summary: SessionSummary) -> datetime:
    """When a session started, by the clock on the wall where it was recorded."""
    return summary.started.astimezone(ZoneInfo(summary.zone))


def read_record(store: Store, session_id: str) -> Record:
    """Read a whole session.

    Raises:
        NoSuchRecord: none of that id.
        StoreDamaged: it cannot be read.
    """
    summary = store.session(session_id)
    setup = store.setup(summary.id)
    events = store.events(summary.id)
    named = {c.name: c for c in setup.channels}
    samples = store.all_samples(summary.id)
    channels = tuple(
        _channel(name, named.get(name), events, samples.get(name, Samples.room_for(0)))
        for name in dict.fromkeys((*named, *samples))
    )
    return Record(
        summary, setup, channels, events, store.verdicts(summary.id), store.visit(summary.id)
    )


def _channel(
    name: str, setup: ChannelSetup | None, events: Sequence[Event], samples: Samples
) -> ChannelRecord:
    told = [
        (e.time_ns, e.quantity)
        for e in events
        if e.kind is EventKind.FUNCTION and e.subject == name and e.quantity is not None
    ]
    fixed = setup.quantity if setup is not None else None
    role = setup.role if setup else Role(name) if name in tuple(Role) else Role.OTHER
    if role is Role.METER and fixed is None:
        stretches = tuple(_stretches(told, samples))
        one = {s.quantity for s in stretches}
        return ChannelRecord(name, setup, one.pop() if len(one) == 1 else None, samples, stretches)
    quantity = fixed or role.quantity or (told[-1][1] if told else None)
    return ChannelRecord(name, setup, quantity, samples)


def _stretches(told: Sequence[tuple[int, Quantity]], samples: Samples) -> Iterator[FunctionStretch]:
    """Samples by the function that held; one at the very time of a change belongs to the new."""
    starts: list[tuple[int, Quantity | None]] = [(_EARLIEST_NS, None), *told]
    ends = [time_ns - 1 for time_ns, _ in starts[1:]] + [_LATEST_NS]
    for (start_ns, quantity), last_ns in zip(starts, ends, strict=True):
        part = samples.between(start_ns, last_ns)
        if len(part):
            yield FunctionStretch(quantity, part)
