"""One stored session as people look at it: the model of page, table and JSON."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from benchmeter.conformity.check import PartCheck
from benchmeter.cooling.recovery import Recovery
from benchmeter.instruments.setup import BenchSetup, ChannelSetup, Role
from benchmeter.readings.events import Event, EventKind
from benchmeter.readings.quantities import Quantity
from benchmeter.storage.blocks import Samples
from benchmeter.storage.records import SessionSummary, StoredVerdict
from benchmeter.storage.store import Store

__all__ = ["ChannelRecord", "Record", "local_start", "read_record"]


@dataclass(frozen=True, slots=True)
class ChannelRecord:
    """A channel with its samples. `quantity`: None where neither setup nor meter told."""

    name: str
    setup: ChannelSetup | None
    quantity: Quantity | None
    samples: Samples


@dataclass(frozen=True, slots=True)
class Record:
    """A session with all that is kept of it."""

    summary: SessionSummary
    setup: BenchSetup
    channels: tuple[ChannelRecord, ...]
    events: tuple[Event, ...]
    verdicts: tuple[StoredVerdict, ...]

    def part_checks(self) -> tuple[PartCheck, ...]:
        """The last verdict of each check, in the order of the checks."""
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
    told = {e.subject: Quantity(e.text) for e in events if e.kind is EventKind.FUNCTION}
    named = {c.name: c for c in setup.channels}
    typed = (name for name in store.channels(summary.id) if name not in named)
    channels = tuple(
        ChannelRecord(
            name, named.get(name), _quantity(name, named, told), store.samples(summary.id, name)
        )
        for name in (*named, *typed)
    )
    return Record(summary, setup, channels, events, store.verdicts(summary.id))


def _quantity(
    name: str, named: dict[str, ChannelSetup], told: dict[str, Quantity]
) -> Quantity | None:
    channel = named.get(name)
    if channel is not None and channel.quantity is not None:
        return channel.quantity
    role = channel.role if channel else Role(name) if name in tuple(Role) else Role.OTHER
    return role.quantity or told.get(name)
