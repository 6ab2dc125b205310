"""What happened in a session besides readings: gaps, links lost and found, markers."""

from dataclasses import dataclass
from enum import StrEnum

__all__ = ["Event", "EventKind"]


class EventKind(StrEnum):
    """The kinds of events; the words for people are made in `reporting`."""

    LINK_UP = "link up"
    LINK_LOST = "link lost"
    GAP = "gap"  # no readings on a channel from `time_ns` to `until_ns`
    CLOCK_STEP = "clock step"  # the wall clock and the monotonic clock have parted
    GARBLED = "garbled"  # bytes dropped; counted
    FUNCTION = "function"  # the meter has told what it measures; `text` is the Quantity
    TYPED = "typed"  # a value was typed in, not measured
    POWER_RESTORED = "power restored"
    START_DETECTED = "start detected"
    SETTLED = "settled"
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
        text: the technician's words, or a reason for people.
        until_ns: end of a span (gap), else None.
        number: a figure that belongs to it (seconds stepped, frames dropped), else None.
    """

    kind: EventKind
    time_ns: int
    subject: str = ""
    text: str = ""
    until_ns: int | None = None
    number: float | None = None
