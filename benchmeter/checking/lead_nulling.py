"""What the leads alone read, taken off every later reading."""

from dataclasses import replace

from benchmeter.checking.leads import IN_OHM
from benchmeter.checking.meter_state import MeterState
from benchmeter.conformity.judgement import mean_si
from benchmeter.conformity.lead_offset import LeadOffsets, refuse_ohm_offset
from benchmeter.conformity.uncertainty import offset_uncertainty
from benchmeter.errors import InputError
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.channel_status import ChannelStatus

__all__ = ["null_leads"]


def null_leads(offsets: LeadOffsets, shown: MeterState | None) -> LeadOffsets:
    """The offsets with what the meter shows now.

    Raises:
        InputError: nothing has settled, or it is no reading of leads.
    """
    if shown is None or shown.state is not ChannelStatus.SETTLED or not shown.window_si:
        raise InputError("checking.leads_not_settled")
    mean = mean_si(shown.window_si)
    u = offset_uncertainty(shown.window_si, shown.resolution_si)
    if shown.quantity in IN_OHM:
        refuse_ohm_offset(mean)
        return replace(offsets, ohm=mean, ohm_u=u)
    if shown.quantity not in (None, Quantity.CAPACITANCE):
        raise InputError("checking.leads_in_other_function")
    return replace(offsets, farad=mean, farad_u=u)
