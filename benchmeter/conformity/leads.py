"""Where the leads are: still on what was taken last, in the air, or on something else.

All widths are common practice, no source: how far a reading strays while the leads stay put, and
how near to its rated value a section that is worth a second look still reads.
"""

from dataclasses import replace
from decimal import Decimal

from benchmeter.conformity.judge import expected_si, open_below_si
from benchmeter.conformity.part_check import PartCheck
from benchmeter.conformity.sight import Sight
from benchmeter.conformity.verdict import Rating, Section
from benchmeter.errors import InputError
from benchmeter.readings.pulse_state import PulseState

__all__ = [
    "ON_SOMETHING",
    "armed",
    "is_like_other",
    "is_nothing",
    "refuse_lead_offset",
    "refuse_offset_on",
    "watch_leads",
]

ON_SOMETHING = {PulseState.MOVING, PulseState.SETTLED, PulseState.OVERLOAD, PulseState.SUSPECT}
"""States in which the leads may be on a part."""

_STRAY = Decimal("0.05")
_STRAY_COUNTS = 10
_NOTHING_COUNTS = 5
_NOTHING_AT_MOST = Decimal("0.1")
_LIKE = Decimal("0.2")
_LARGEST_OFFSET = Decimal("0.1")


def watch_leads(check: PartCheck, sight: Sight) -> PartCheck:
    """Notice whether the leads have left what was taken last."""
    if check.lifted:
        return check
    if sight.state is PulseState.NO_CONTACT:
        return replace(check, lifted=True, moved=True)
    if sight.value_si is None or sight.state not in ON_SOMETHING:
        return check
    value = sight.value_si - check.lead_offset_si
    if all(is_nothing(s.section, value, sight.resolution_si) for s in check.sections):
        return replace(check, lifted=True, moved=True)
    if check.held_si is None:
        return replace(check, held_si=value)
    counts = _STRAY_COUNTS * (sight.resolution_si or Decimal(0))
    strayed = abs(value - check.held_si) > max(_STRAY * abs(check.held_si), counts)
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
    return not _near(held, expected_si(section), _LIKE)


def is_nothing(section: Section, value_si: Decimal, resolution_si: Decimal | None) -> bool:
    """Whether this may be the bare leads: an open section, or a few counts from zero."""
    counts = _NOTHING_COUNTS * (resolution_si or Decimal(0))
    most = _NOTHING_AT_MOST * expected_si(section)
    return abs(value_si) <= max(open_below_si(section), min(counts, most))


def is_like_other(check: PartCheck, section: Section, value_si: Decimal) -> bool:
    """Whether this looks like another section of the part: its rating, or what was read of it."""
    if _near(value_si, expected_si(section), _LIKE):
        return False
    for other in check.sections:
        if other.section == section:
            continue
        if _near(value_si, expected_si(other.section), _LIKE):
            return True
        read_si = other.taken[-1].verdict.reading_si if other.taken else None
        if read_si is not None and _near(value_si, read_si, _STRAY):
            return True
    return False


def refuse_lead_offset(rating: Rating, lead_offset_si: Decimal) -> None:
    """Raise InputError if the offset is so large that it was taken with the leads on a part."""
    refuse_offset_on(min(expected_si(s) for s in rating.sections), lead_offset_si)


def refuse_offset_on(value_si: Decimal, lead_offset_si: Decimal) -> None:
    """The same for a part of that value, farad."""
    if abs(lead_offset_si) > _LARGEST_OFFSET * value_si:
        raise InputError(
            f"A lead offset of {lead_offset_si.scaleb(6).normalize():f} µF is more than a tenth of "
            "the part: the leads were not open.",
            "Hold the open leads apart and take their reading again.",
        )


def _near(value: Decimal, other: Decimal, within: Decimal) -> bool:
    return abs(value - other) <= within * abs(other)
