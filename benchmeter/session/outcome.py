"""What one input of a session's stream led to."""

from dataclasses import dataclass
from enum import StrEnum
from typing import TypeVar

from benchmeter.checking.check import PartCheck
from benchmeter.cooling.recovery import Recovery
from benchmeter.errors import Message
from benchmeter.readings.events import Event
from benchmeter.readings.reading import Reading
from benchmeter.session.acquisition.channel_state import ChannelState

__all__ = ["Finding", "Notice", "Outcome", "Severity"]


class Severity(StrEnum):
    """How much a notice matters."""

    INFO = "info"
    WARNING = "warning"  # the record has a flaw, measuring goes on
    ERROR = "error"  # something does not work until the user acts


@dataclass(frozen=True, slots=True)
class Notice:
    """What the user should know: a fact; `words.notice_words` tells it."""

    severity: Severity
    fact: Message | Event


@dataclass(frozen=True, slots=True)
class Finding:
    """What one analysis knows by now. Each analysis has a subclass of its own."""

    @property
    def stored(self) -> tuple[PartCheck | Recovery, ...]:
        """What of it the record keeps as verdicts, each once."""
        return ()


F = TypeVar("F", bound=Finding)


@dataclass(frozen=True, slots=True)
class Outcome:
    """What one input of the stream led to; crosses threads, immutable.

    Attributes:
        readings: new ones.
        states: of the channels that this input touched.
        events: new ones.
        findings: of the analyses that know something new, at most one of each.
        notices: for the bar.
    """

    time_ns: int
    readings: tuple[Reading, ...] = ()
    states: tuple[ChannelState, ...] = ()
    events: tuple[Event, ...] = ()
    findings: tuple[Finding, ...] = ()
    notices: tuple[Notice, ...] = ()

    def of(self, kind: type[F]) -> F | None:
        """The finding of that kind; None: that analysis knows nothing new."""
        return next((f for f in self.findings if isinstance(f, kind)), None)

    @property
    def verdicts(self) -> tuple[PartCheck | Recovery, ...]:
        """What the record keeps as verdicts."""
        return tuple(kept for finding in self.findings for kept in finding.stored)
