"""What keeps the expected measurement from being taken by itself, and which readings it has."""

from decimal import Decimal

from benchmeter.checking.leads import IN_OHM, ON_SOMETHING, armed, is_like_other, is_nothing
from benchmeter.checking.meter_state import MeterState
from benchmeter.checking.part_check import PartCheck, Step
from benchmeter.conformity.judgement import mean_si
from benchmeter.conformity.verdict import Measurement
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.channel_status import ChannelStatus

__all__ = ["by_probe", "may_reach_limit", "next_step", "other_function", "readings_of"]

_SOON_S, _LATER_S, _CREPT = 5.0, 60.0, Decimal("0.1")
"""A limit that a reading may reach within 5 s is near. One that is up to a tenth of it away is near
for a minute: what creeps (soak, warmth, a filter) goes no further. Common practice, no source."""

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
    value = mean_si(readings_of(meter)) - check.offset_of(section)
    if is_nothing(section, value, meter.resolution_si):
        return Step.NOTHING_BETWEEN_LEADS if settled else Step.CLIP_ON
    if not settled:
        return Step.HOLD
    if value < 0 and section.quantity is Quantity.CAPACITANCE:
        return Step.UNLIKELY
    if is_like_other(check, section, value):
        return Step.LOOKS_LIKE_OTHER_SECTION
    return Step.HOLD if may_reach_limit(check, section, meter) else None


def may_reach_limit(check: PartCheck, section: Measurement, meter: MeterState) -> bool:
    """Whether a settled reading, as fast as it may still be moving, comes to a limit soon.

    So a reading far from its limits is taken at once, and one that is near is watched longer.
    """
    if meter.drift is None or not meter.window_si:
        return False
    value = mean_si(meter.window_si) - check.offset_of(section)
    for limit in (section.low_si, section.high_si):
        if limit is None:
            continue
        way = limit - value
        speed = meter.drift.rise if way > 0 else meter.drift.fall
        foreseen_s = _LATER_S if abs(way) <= _CREPT * abs(limit) else _SOON_S
        if abs(float(way)) <= abs(speed) * foreseen_s:
            return True
    return False


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
