"""What the technician does, as it enters a session's stream."""

from decimal import Decimal

from benchmeter.conformity.reference_part import ReferencePart
from benchmeter.conformity.verdict import Budget
from benchmeter.parts.part_kind import PartKind
from benchmeter.readings.inputs import Input

__all__ = [
    "AcceptBias",
    "Annotate",
    "BeginCheck",
    "Command",
    "Mark",
    "NullLeads",
    "PowerRestored",
    "ProveMeter",
    "RepeatSection",
    "SelectSection",
    "TakeReading",
    "TakeVolts",
    "TypeReading",
]


class BeginCheck(Input, frozen=True):
    """The technician begins to check a part.

    Attributes:
        part: own name of the part: "old part", "replacement 1".
        lot: name of the carton that the part belongs to; "" none.
        label: text of the rating label; what the label gives, where a kind is told.
        kind: whole, as it was on that day; None: a capacitor by its label.
        tolerance: typed by the user where the label gives none: "6 %".
        accuracy: the meter's accuracy line; "" if not known.
        rule: "guarded" or "simple".
        channel: the channel whose readings are judged.
        reference: whole, as it was on that day: the meter is asked, and no part; None else.
        seen: on the part: "swollen", "burnt: terminal C"; "" nothing. It decides at once.
        photo: where a picture of it lies; "" none.
        budget: of the uncertainty of its readings.
    """

    part: str
    label: str
    kind: PartKind | None = None
    lot: str = ""
    tolerance: str = ""
    accuracy: str = ""
    rule: str = "guarded"
    channel: str = "capacitor"
    reference: ReferencePart | None = None
    seen: str = ""
    photo: str = ""
    budget: Budget = Budget.WHOLE


class TakeReading(Input, frozen=True):
    """Take what the meter shows now for the section that is asked for."""


class SelectSection(Input, frozen=True):
    """Measure this section next."""

    section: str


class RepeatSection(Input, frozen=True):
    """Measure this section again; what was taken before stays in the record."""

    section: str


class NullLeads(Input, frozen=True):
    """Take what the meter shows now as the offset of the open leads."""


class AcceptBias(Input, frozen=True):
    """From the next check on, take the meter's bias off its readings; 0: no longer.

    Attributes:
        channel: whose readings.
        bias_si, uncertainty_si: what it reads too much, and U of that, k = 2.
        reference: by which it was found.
        text: the technician's words.
    """

    channel: str
    bias_si: Decimal
    uncertainty_si: Decimal
    reference: ReferencePart
    text: str = ""


class TypeReading(Input, frozen=True):
    """A reading typed in by hand: "44.1 uF", "OL"."""

    channel: str
    text: str


class TakeVolts(Input, frozen=True):
    """Take what the voltmeter shows, AC or DC: its leads are on the part."""


class ProveMeter(Input, frozen=True):
    """The voltmeter goes to a live source, or is on one. `text`: typed; "": what it shows."""

    text: str = ""


class PowerRestored(Input, frozen=True):
    """Power is back on the unit: a restart delay may run from here."""


class Mark(Input, frozen=True):
    """A marker with the technician's words."""

    text: str


class Annotate(Input, frozen=True):
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
    | ProveMeter
    | PowerRestored
    | Mark
    | Annotate
)
"""What the technician does."""
