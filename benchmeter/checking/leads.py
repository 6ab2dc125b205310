"""Where the leads are: still on what was taken last, in the air, or on something else.

One stray line, or a clip that slips for a moment, lifts nothing: they are in the air once three
measurements in a row have seen nothing between them.

All widths are common practice, no source: how far a reading strays while the leads stay put, and
how near to its rated value a section that is worth a second look still reads.
"""

from dataclasses import replace
from decimal import Decimal

from benchmeter.checking.meter_state import MeterState
from benchmeter.checking.part_check import PartCheck
from benchmeter.conformity.judgement import expected_si, open_below_si
from benchmeter.conformity.verdict import Measurement
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.channel_status import ChannelStatus

__all__ = [
    "IN_OHM",
    "ON_SOMETHING",
    "armed",
    "is_like_other",
    "is_nothing",
    "watch_leads",
]

ON_SOMETHING = {
    ChannelStatus.MOVING,
    ChannelStatus.SETTLED,
    ChannelStatus.OVERLOAD,
    ChannelStatus.SUSPECT,
}
"""States in which the leads may be on a part."""

IN_OHM = (Quantity.RESISTANCE, Quantity.CONTINUITY)

_LIFTS = 3
"""Measurements; at four a second half a second."""
_STRAY = Decimal("0.05")
_STRAY_COUNTS = 10
_NOTHING_COUNTS = 5
_NOTHING_AT_MOST = Decimal("0.1")
_LIKE = Decimal("0.2")


def watch_leads(check: PartCheck, meter: MeterState) -> PartCheck:
    """Notice whether the leads have left what was taken last."""
    if check.lifted:
        return check
    held = check.last_taken
    if _see_nothing(check, held, meter):
        return _seen_nothing(check, meter)
    if check.nothing_since is not None:
        check = replace(check, nothing_since=None)
    if held is not None and _knob_turned(check, held, meter):
        return _after_turn(check, held, meter)
    if meter.value_si is None or meter.state not in ON_SOMETHING:
        return check
    value = meter.value_si - (check.offset_of(held) if held else check.lead_offset_si)
    if check.held_si is None:
        return replace(check, held_si=value)
    counts = _STRAY_COUNTS * (meter.resolution_si or Decimal(0))
    # Of what is shown, for less the leads next to nothing may be left, of which any stray is much.
    size = max(abs(check.held_si), abs(meter.value_si))
    strayed = abs(value - check.held_si) > max(_STRAY * size, counts)
    return replace(check, moved=True) if strayed and not check.moved else check


def armed(check: PartCheck) -> bool:
    """Whether the next settled reading may be taken by itself.

    A bad contact may look like a move. Where what was held could pass for the section that is
    expected now, or belongs to the part before, the leads must have been seen lifted.
    """
    if check.lifted:
        return True
    section, held = check.section, check.held_si
    begun = any(s.taken for s in check.sections)
    if not check.moved or not begun or section is None or held is None:
        return False
    last, expected = check.last_taken, place_si(section)
    if last is None or last.quantity is not section.quantity or expected is None:
        return False
    return not _near(held, expected, _LIKE)


def place_si(section: Measurement) -> Decimal | None:
    """Where on the scale a good part lies; None where the limits do not tell."""
    return section.low_si if section.rated_si is None else section.rated_si


def is_nothing(section: Measurement, value_si: Decimal, resolution_si: Decimal | None) -> bool:
    """Whether this may be the bare leads: an open section, or a few counts from zero.

    In ohms bare leads are an overload, never a value; a probe measures wherever it is.
    """
    if section.quantity in (*IN_OHM, Quantity.TEMPERATURE):
        return False
    counts = _NOTHING_COUNTS * (resolution_si or Decimal(0))
    expected = expected_si(section)
    least = counts if expected is None else min(counts, _NOTHING_AT_MOST * expected)
    return abs(value_si) <= max(open_below_si(section) or Decimal(0), least)


def is_like_other(check: PartCheck, section: Measurement, value_si: Decimal) -> bool:
    """Whether this looks like another section of the part: its rating, or what was read of it."""
    own = place_si(section)
    if own is None or _near(value_si, own, _LIKE):
        return False
    for other in check.sections:
        place = place_si(other.section)
        if other.section.name == section.name or other.section.quantity is not section.quantity:
            continue
        if place is None or _near(place, own, _LIKE):
            continue
        if _near(value_si, place, _LIKE):
            return True
        read_si = other.taken[-1].verdict.reading_si if other.taken else None
        if read_si is not None and _near(value_si, read_si, _STRAY):
            return True
    return False


def _see_nothing(check: PartCheck, held: Measurement | None, meter: MeterState) -> bool:
    """Whether the meter shows nothing between the leads, in the function that tells.

    In another function than that of what was taken last, leads that are still on may show nothing:
    0 A in an empty clamp. So it counts only in the function that is expected now.
    """
    if meter.state is ChannelStatus.NO_CONTACT:
        return True
    if held is not None and _knob_turned(check, held, meter) and not _expected_now(check, meter):
        return False
    if meter.quantity in IN_OHM and meter.state is ChannelStatus.OVERLOAD:
        return True
    alike = [s.section for s in check.sections if meter.quantity in (None, s.section.quantity)]
    value = meter.value_si
    if value is None or meter.state not in ON_SOMETHING or not alike:
        return False
    return all(is_nothing(s, value - check.offset_of(s), meter.resolution_si) for s in alike)


def _seen_nothing(check: PartCheck, meter: MeterState) -> PartCheck:
    """Lifted, if for as many measurements as it takes."""
    since = meter.measured if check.nothing_since is None else check.nothing_since
    if since is None or meter.measured is None or meter.measured - since + 1 >= _LIFTS:
        return replace(check, lifted=True, moved=True, nothing_since=None)
    return check if since == check.nothing_since else replace(check, nothing_since=since)


def _knob_turned(check: PartCheck, held: Measurement, meter: MeterState) -> bool:
    """Whether the meter is set to something else than what was taken with it last."""
    if meter.quantity is None or check.measure(held).typed:
        return False
    return not _alike(meter.quantity, held.quantity)


def _after_turn(check: PartCheck, held: Measurement, meter: MeterState) -> PartCheck:
    """On the same terminals nothing needs to be lifted: the knob alone is turned."""
    section = check.section
    if section is None or not _expected_now(check, meter):
        return check
    if _same_terminals(check, held, section):
        return replace(check, lifted=True, moved=True)
    return check


def _expected_now(check: PartCheck, meter: MeterState) -> bool:
    section = check.section
    if section is None or meter.quantity is None:
        return False
    return _alike(meter.quantity, section.quantity)


def _alike(one: Quantity, other: Quantity) -> bool:
    return one is other or (one in IN_OHM and other in IN_OHM)


def _same_terminals(check: PartCheck, one: Measurement, other: Measurement) -> bool:
    return check.measure(one).leads == check.measure(other).leads


def _near(value: Decimal, other: Decimal, within: Decimal) -> bool:
    return abs(value - other) <= within * abs(other)
