"""Everything that can enter the measuring chain, in the one order in which it was taken in.

A session is this stream: live, simulated and replayed sessions differ in who makes it, and
everything that is shown, judged and stored follows from it alone.
"""

from decimal import Decimal

import msgspec

from benchmeter.errors import Message

__all__ = [
    "AcceptBias",
    "Annotate",
    "BeginCheck",
    "Chunk",
    "ClockAnchor",
    "Command",
    "Ended",
    "Input",
    "LinkChange",
    "Mark",
    "NullLeads",
    "PowerRestored",
    "RepeatSection",
    "SelectSection",
    "TakeReading",
    "TakeVolts",
    "TypeReading",
]


class _Input(msgspec.Struct, frozen=True, tag=True, kw_only=True):
    time_ns: int  # monotonic, since the session's start


class Chunk(_Input, frozen=True, tag=True):
    """What arrived on a link, or was sent on it, stamped once.

    An empty received chunk is silence: nothing has come for a quarter of a second.
    """

    link: str
    data: bytes
    sent: bool = False


class LinkChange(_Input, frozen=True, tag=True):
    """A link was opened, lost or found again.

    Attributes:
        up: whether bytes can flow now.
        identity: stable identity of what is plugged in, as far as known.
        reason: why it was lost; None when `up`.
    """

    link: str
    up: bool
    identity: str = ""
    reason: Message | None = None


class ClockAnchor(_Input, frozen=True, tag=True):
    """The wall clock beside the monotonic one: once a minute, to notice sleep and clock steps."""

    utc_us: int


class Ended(_Input, frozen=True, tag=True):
    """The session was ended on purpose. A session without it was cut off."""


class BeginCheck(_Input, frozen=True, tag=True):
    """The technician begins to check a part.

    Attributes:
        part: own name of the part: "old part", "replacement 1".
        lot: name of the carton that the part belongs to; "" none.
        label: text of the rating label; what the label gives, where a kind is told.
        kind: JSON of the `PartKind`, whole, as it was on that day; "": a capacitor by its label.
        tolerance: typed by the user where the label gives none: "6 %".
        accuracy: the meter's accuracy line; "" if not known.
        rule: "guarded" or "simple".
        channel: the channel whose readings are judged.
        reference: JSON of the `ReferencePart`, whole, as it was on that day: the meter is asked,
            and no part; "" else.
    """

    part: str
    label: str
    kind: str = ""
    lot: str = ""
    tolerance: str = ""
    accuracy: str = ""
    rule: str = "guarded"
    channel: str = "capacitor"
    reference: str = ""


class TakeReading(_Input, frozen=True, tag=True):
    """Take what the meter shows now for the section that is asked for."""


class SelectSection(_Input, frozen=True, tag=True):
    """Measure this section next."""

    section: str


class RepeatSection(_Input, frozen=True, tag=True):
    """Measure this section again; what was taken before stays in the record."""

    section: str


class NullLeads(_Input, frozen=True, tag=True):
    """Take what the meter shows now as the offset of the open leads."""


class AcceptBias(_Input, frozen=True, tag=True):
    """From the next check on, take the meter's bias off its readings; 0: no longer.

    Attributes:
        channel: whose readings.
        bias_si, uncertainty_si: what it reads too much, and U of that, k = 2.
        reference: JSON of the `ReferencePart` by which it was found.
        text: the technician's words.
    """

    channel: str
    bias_si: Decimal
    uncertainty_si: Decimal
    reference: str
    text: str = ""


class TypeReading(_Input, frozen=True, tag=True):
    """A reading typed in by hand: "44.1 uF", "OL"."""

    channel: str
    text: str


class TakeVolts(_Input, frozen=True, tag=True):
    """Take what the meter for the residual volts shows: its leads are on the part."""


class PowerRestored(_Input, frozen=True, tag=True):
    """Power is back on the unit: a restart delay may run from here."""


class Mark(_Input, frozen=True, tag=True):
    """A marker with the technician's words."""

    text: str


class Annotate(_Input, frozen=True, tag=True):
    """A remark on the session as a whole."""

    text: str


Command = (
    BeginCheck
    | TakeReading
    | SelectSection
    | RepeatSection
    | NullLeads
    | AcceptBias
    | TypeReading
    | TakeVolts
    | PowerRestored
    | Mark
    | Annotate
)
"""What the technician does."""

Input = Chunk | LinkChange | ClockAnchor | Ended | Command
"""One element of a session's stream."""
