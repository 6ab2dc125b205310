"""What the leads alone read, taken off every later reading."""

from dataclasses import dataclass, replace
from decimal import Decimal

from benchmeter.checking.leads import IN_OHM
from benchmeter.checking.meter_state import MeterState
from benchmeter.conformity.lead_offset import refuse_ohm_offset
from benchmeter.errors import InputError
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.channel_status import ChannelStatus

__all__ = ["LeadOffsets", "mean_shown", "null_leads"]


@dataclass(frozen=True, slots=True)
class LeadOffsets:
    """Readings of the leads alone: open, in farad, and joined, in ohm."""

    open_si: Decimal = Decimal(0)
    joined_ohm: Decimal = Decimal(0)


def mean_shown(shown: MeterState) -> Decimal:
    """The mean of the readings that have settled."""
    return sum(shown.window_si, Decimal(0)) / len(shown.window_si)


def null_leads(offsets: LeadOffsets, shown: MeterState | None) -> LeadOffsets:
    """The offsets with what the meter shows now.

    Raises:
        InputError: nothing has settled, or it is no reading of leads.
    """
    if shown is None or shown.state is not ChannelStatus.SETTLED or not shown.window_si:
        raise InputError("checking.leads_not_settled")
    mean = mean_shown(shown)
    if shown.quantity in IN_OHM:
        refuse_ohm_offset(mean)
        return replace(offsets, joined_ohm=mean)
    if shown.quantity not in (None, Quantity.CAPACITANCE):
        raise InputError("checking.leads_in_other_function")
    return replace(offsets, open_si=mean)
