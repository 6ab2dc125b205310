"""What the label of a part says: what is to be measured, and between which limits."""

from dataclasses import dataclass
from enum import StrEnum

from benchmeter.conformity.verdict import Measurement

__all__ = ["CapacitorKind", "Rating"]


class CapacitorKind(StrEnum):
    """What a label that names no kind is the label of."""

    RUN = "run capacitor"
    START = "start capacitor"  # label gives a range: 88-108 µF


@dataclass(frozen=True, slots=True)
class Rating:
    """What the label says.

    Attributes:
        text: the label as typed.
        kind: "run capacitor", "start capacitor", or the name of the part's kind.
        sections: HERM (the larger) first; of other parts in the order of measuring.
        tolerance: as understood: "±6 %", "0/+10 %", "range on the label"; "" where each section
            has limits of its own.
        tolerance_from: "label", "user" or "kind".
        voltages_v: rated voltages, AC, RMS; may be empty.
        frequencies_hz: may be empty.
    """

    text: str
    kind: str
    sections: tuple[Measurement, ...]
    tolerance: str
    tolerance_from: str
    voltages_v: tuple[int, ...]
    frequencies_hz: tuple[int, ...]
