"""What stands on the plate of a reference part: the verdict on the meter, and on no part."""

from datetime import date
from decimal import Decimal

from benchmeter.checking.part_check import PartCheck
from benchmeter.checking.reference_check import compatibility_of, measured_section
from benchmeter.conformity.calibration import Due, due_state
from benchmeter.scenes.meter_scene import METER_TONE, meter_icon
from benchmeter.window.widgets.plate_text import PlateText
from benchmeter.words.meters import (
    agreement_why,
    due_words,
    meter_meaning,
    meter_word,
    reference_words,
)
from benchmeter.words.presentation import PLAIN, Presentation, capitalized

__all__ = ["meter_plate_text"]


def meter_plate_text(
    check: PartCheck, today: date, presentation: Presentation = PLAIN
) -> PlateText:
    """The words and figures of a reference part that was read.

    Args:
        today: an overdue value is told; `date.min`: whenever that was, it is not.
    """
    found = compatibility_of(check, today)
    if found is None or check.reference is None:
        words = presentation.text("meters.no_value", part=check.part)
        return PlateText(
            "verdict-no-reading", "undecided", presentation.text("meters.no_reading"), words
        )
    section = measured_section(check)
    resolution_si = (section.resolution_si if section is not None else None) or Decimal(0)
    why = agreement_why(found, resolution_si, presentation)
    lines = [reference_words(check.reference, presentation)]
    if found.en_number is not None:
        lines.append(presentation.text("meters.en_number", en=found.en_number))
    if due_state(check.reference.due, today) is Due.OVERDUE:
        lines.append(
            f"{check.reference.name}: {due_words(check.reference.due, today, presentation)}"
        )
    word = meter_word(found.verdict, presentation)
    return PlateText(
        meter_icon(found.verdict),
        METER_TONE[found.verdict],
        capitalized(word),
        f"{why} {meter_meaning(found.verdict, presentation)}",
        tuple(lines),
    )
