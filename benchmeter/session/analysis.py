"""What an analysis of a session is, and what it sees at each moment."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Protocol, TypeVar

from benchmeter.readings.events import Event
from benchmeter.readings.inputs import Input
from benchmeter.readings.reading import Reading
from benchmeter.session.acquisition.channel_state import ChannelState
from benchmeter.session.outcome import Finding

__all__ = ["Analyzer", "Moment"]

F = TypeVar("F", bound=Finding)


@dataclass(frozen=True, slots=True)
class Moment:
    """One input, what was read from it, and what is known so far.

    Attributes:
        readings: new ones, those that were typed in among them.
        events: of the links and channels.
        touched: the channels that this input touched, changed or not.
        states: of every channel, by name.
        findings: the last one of each analysis.
    """

    item: Input
    readings: tuple[Reading, ...]
    events: tuple[Event, ...]
    touched: tuple[ChannelState, ...]
    states: Mapping[str, ChannelState]
    findings: Mapping[type[Finding], Finding]

    @property
    def time_ns(self) -> int:
        return self.item.time_ns

    def last(self, kind: type[F]) -> F | None:
        """The last finding of that kind; None: nothing is known yet."""
        found = self.findings.get(kind)
        return found if isinstance(found, kind) else None


class Analyzer(Protocol):
    """One analysis, as a fold over a session's moments. Deterministic; knows no clock."""

    def take(self, moment: Moment) -> Iterable[Event]:
        """Take in what was read and what the technician did; what happened by it.

        Raises:
            InputError: what the technician did cannot be done; nothing has changed by it.
        """
        ...

    def finding(self) -> Finding | None:
        """What is known by now, where the last moment has changed it. Asked once a moment."""
        ...
