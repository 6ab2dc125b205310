"""What the test leads alone read, and which reading of theirs cannot be one."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from benchmeter.conformity.judgement import expected_si
from benchmeter.conformity.verdict import Measurement
from benchmeter.errors import Amount, InputError
from benchmeter.quantities.quantity import Quantity

__all__ = [
    "LARGEST_LEADS_OHM",
    "LeadOffsets",
    "refuse_lead_offset",
    "refuse_offset_on",
    "refuse_ohm_offset",
]

LARGEST_LEADS_OHM = 2
"""Joined test leads have no more than this; common practice, no source."""

_LARGEST_OFFSET = Decimal("0.1")  # of the part; common practice, no source


@dataclass(frozen=True, slots=True)
class LeadOffsets:
    """What the leads alone read: farad when open, ohm when joined.

    `farad_u`, `ohm_u`: standard uncertainty of each, of its display and scatter.
    """

    farad: Decimal = Decimal(0)
    ohm: Decimal = Decimal(0)
    farad_u: float = 0.0
    ohm_u: float = 0.0

    def of(self, measurement: Measurement) -> Decimal:
        """What is subtracted from a reading of this measurement; SI. Of this meter's leads only."""
        if measurement.instrument:
            return Decimal(0)
        of_kind = {"capacitance": self.farad, "resistance": self.ohm}
        return of_kind.get(measurement.quantity.kind, Decimal(0))

    def u_of(self, measurement: Measurement) -> float:
        """Standard uncertainty of that; SI."""
        of_kind = {"capacitance": self.farad_u, "resistance": self.ohm_u}
        return 0.0 if measurement.instrument else of_kind.get(measurement.quantity.kind, 0.0)


def refuse_lead_offset(measurements: Iterable[Measurement], lead_offset_si: Decimal) -> None:
    """Raise InputError if the offset is so large that it was taken with the leads on a part."""
    capacitances = (s for s in measurements if s.quantity is Quantity.CAPACITANCE)
    values = [v for s in capacitances if (v := expected_si(s)) is not None]
    if values:
        refuse_offset_on(min(values), lead_offset_si)


def refuse_offset_on(value_si: Decimal, lead_offset_si: Decimal) -> None:
    """The same for a part of that value, farad."""
    if abs(lead_offset_si) > _LARGEST_OFFSET * value_si:
        raise InputError("conformity.leads_not_open", offset=Amount(lead_offset_si, "µF"))


def refuse_ohm_offset(lead_offset_ohm: Decimal) -> None:
    """Raise InputError if joined test leads cannot have that resistance."""
    if not 0 <= lead_offset_ohm <= LARGEST_LEADS_OHM:
        raise InputError("conformity.leads_out_of_range", most_ohm=LARGEST_LEADS_OHM)
