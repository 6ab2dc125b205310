"""What happened in a session besides readings: gaps, links lost and found, markers."""

from dataclasses import dataclass
from enum import StrEnum

from benchmeter.errors import Message
from benchmeter.quantities.quantity import Quantity

__all__ = ["Event", "EventKind", "reported"]


class EventKind(StrEnum):
    """The kinds of events; `words.event_words` tells them."""

    LINK_UP = "link up"
    LINK_LOST = "link lost"
    GAP = "gap"  # no readings on a channel from `time_ns` to `until_ns`
    CLOCK_STEP = "clock step"  # the wall clock and the monotonic clock have parted
    GARBLED = "garbled"  # bytes dropped; counted
    DECODER_FAULT = "decoder fault"  # it begins anew
    DECODER_GIVEN_UP = "decoder given up"  # bytes are recorded, and nothing is read from them
    FUNCTION = "function"  # the meter has told what it measures: `quantity`
    RESOLUTION_LEARNED = "resolution learned"  # worth of a count: `number`
    TYPED = "typed"  # a value was typed in, not measured
    POWER_RESTORED = "power restored"
    METER_PROVED = "meter proved"  # the voltmeter read a live source: `number`, `quantity`
    START_DETECTED = "start detected"
    SETTLED = "settled"
    UNSETTLED = "unsettled"  # what had settled moves again
    STOPPED = "stopped"  # what ran has stopped
    MARK = "mark"
    REMARK = "remark"
    LEADS_NULLED = "leads nulled"
    BIAS_ACCEPTED = "bias accepted"  # taken off from now on; `number` in SI


@dataclass(frozen=True, slots=True)
class Event:
    """Something that happened.

    Attributes:
        kind: see EventKind.
        time_ns: when, since the session's start.
        subject: name of the link or channel, or "".
        text: the technician's words, what is plugged in, or what the meter showed.
        until_ns: end of a span (gap), else None.
        number: a figure that belongs to it (seconds stepped, frames dropped, SI), else None.
        reason: why a link was lost, frames were dropped or a decoder failed; what is taken off
            from now on.
        quantity: that the meter measures now, or of which the leads were nulled.
        resolution: of `number`, where the leads were nulled; None if unknown.
    """

    kind: EventKind
    time_ns: int
    subject: str = ""
    text: str = ""
    until_ns: int | None = None
    number: float | None = None
    reason: Message | None = None
    quantity: Quantity | None = None
    resolution: float | None = None


def reported(reason: str, advice: str = "") -> Message:
    """A reason in the words of an older record."""
    return Message("events.reported", {"reason": reason, "advice": advice})
