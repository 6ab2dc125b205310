"""What keeps the expected measurement from being taken by itself, and which readings it has."""

from decimal import Decimal

from benchmeter.checking.leads import IN_OHM, ON_SOMETHING, armed, is_like_other, is_nothing
from benchmeter.checking.meter_state import MeterState
from benchmeter.checking.part_check import PartCheck, Step
from benchmeter.conformity.verdict import Measurement
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.channel_status import ChannelStatus

__all__ = ["by_probe", "next_step", "other_function", "readings_of"]

_STEP_OF_STATE = {
    ChannelStatus.WAITING: Step.METER_SILENT,
    ChannelStatus.STALE: Step.METER_SILENT,
    ChannelStatus.LOST: Step.METER_SILENT,
    ChannelStatus.WRONG_FUNCTION: Step.SET_FUNCTION,
    ChannelStatus.OVERLOAD: Step.OVERLOAD,
    ChannelStatus.NO_CONTACT: Step.CLIP_ON,
    ChannelStatus.NO_VALUE: Step.CLIP_ON,
    ChannelStatus.SUSPECT: Step.UNLIKELY,
}


def next_step(check: PartCheck, section: Measurement, meter: MeterState) -> Step | None:
    """What keeps the expected section from being taken by itself; None: nothing."""
    if check.measure(section).typed:  # where a probe is now, only a person knows
        return Step.TYPE_IT
    if check.safety.to_be_made_safe and check.discharge_first(section):
        return Step.MAKE_SAFE
    if other_function(section, meter):
        return Step.SET_FUNCTION
    if section.quantity in IN_OHM and meter.state is ChannelStatus.OVERLOAD:
        return Step.NOTHING_BETWEEN_LEADS if check.lifted else Step.LIFT_LEADS
    if meter.state in ON_SOMETHING and not armed(check) and not by_probe(section):
        return Step.LIFT_LEADS
    if meter.state in _STEP_OF_STATE or not readings_of(meter):
        return _STEP_OF_STATE.get(meter.state, Step.METER_SILENT)
    settled = meter.state is ChannelStatus.SETTLED
    readings = readings_of(meter)
    value = sum(readings, Decimal(0)) / len(readings) - check.offset_of(section)
    if is_nothing(section, value, meter.resolution_si):
        return Step.NOTHING_BETWEEN_LEADS if settled else Step.CLIP_ON
    if not settled:
        return Step.HOLD
    if value < 0 and section.quantity is Quantity.CAPACITANCE:
        return Step.UNLIKELY
    if is_like_other(check, section, value):
        return Step.LOOKS_LIKE_OTHER_SECTION
    return None


def readings_of(meter: MeterState) -> tuple[Decimal, ...]:
    """The repeated readings: all of a settled window, otherwise the last one."""
    if meter.state is ChannelStatus.SETTLED and meter.window_si:
        return meter.window_si
    return () if meter.value_si is None else (meter.value_si,)


def other_function(section: Measurement, meter: MeterState) -> bool:
    """Whether the meter is set to something else. In ohms it beeps as well."""
    if meter.quantity in (None, section.quantity):
        return False
    return not (section.quantity in IN_OHM and meter.quantity in IN_OHM)


def by_probe(section: Measurement) -> bool:
    """A probe measures wherever it is: it has no leads to be lifted."""
    return section.quantity is Quantity.TEMPERATURE
