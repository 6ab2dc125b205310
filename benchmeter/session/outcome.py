"""What one input of a session's stream led to."""

from dataclasses import dataclass
from enum import StrEnum

from benchmeter.checking.check import PartCheck
from benchmeter.checking.safety import PartSafety
from benchmeter.conformity.instrument_bias import MeterBias
from benchmeter.cooling.recovery import Recovery
from benchmeter.readings.events import Event
from benchmeter.readings.reading import Reading
from benchmeter.session.acquisition.channel_state import ChannelState

__all__ = ["Notice", "Outcome", "Severity"]


class Severity(StrEnum):
    """How much a notice matters."""

    INFO = "info"
    WARNING = "warning"  # the record has a flaw, measuring goes on
    ERROR = "error"  # something does not work until the user acts


@dataclass(frozen=True, slots=True)
class Notice:
    """What the user should know; the same notice again is counted, not stacked.

    Attributes:
        text: what happened and what it means for the record.
        advice: what to do.
    """

    severity: Severity
    text: str
    advice: str = ""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What one input of the stream led to; crosses threads, immutable.

    Attributes:
        readings: new ones.
        pulses: channels touched by this input.
        events: new ones.
        check: the part check, when it has changed.
        judged: a check that has just reached a verdict (or a new one).
        recovery: when it was renewed: once a second of session time.
        recovered: a recovery that belongs into the record: settled, or at the end.
        safety: what is known of the charge on the part in hand, when it has changed.
        biases: of the meters, all that hold for checks from now on; None: as before.
        notices: for the bar.
    """

    time_ns: int
    readings: tuple[Reading, ...] = ()
    pulses: tuple[ChannelState, ...] = ()
    events: tuple[Event, ...] = ()
    check: PartCheck | None = None
    judged: PartCheck | None = None
    recovery: Recovery | None = None
    recovered: Recovery | None = None
    safety: PartSafety | None = None
    biases: tuple[MeterBias, ...] | None = None
    notices: tuple[Notice, ...] = ()

    @property
    def verdicts(self) -> tuple[PartCheck | Recovery, ...]:
        """What the record keeps as verdicts."""
        return tuple(v for v in (self.judged, self.recovered) if v is not None)
