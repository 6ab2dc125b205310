"""Events in words."""

import pytest

from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.events import Event, EventKind
from benchmeter.words.event_words import event_words


def test_open_leads_are_told_as_the_meter_wrote_them():
    event = Event(EventKind.LEADS_NULLED, 0, "capacitor", "0.02 µF", number=2e-8)
    assert event_words(event) == "Open leads taken as zero: 0.02 µF."


@pytest.mark.parametrize(
    ("ohm", "resolution", "says"),
    [
        ("0.21", "0.01", "0.21 Ω"),
        ("0.2133333333333333333333333333", "0.01", "0.21 Ω"),
        ("0.2", "0.1", "0.2 Ω"),
        ("0.20", None, "0.2 Ω"),
        ("0", "0.01", "0.00 Ω"),
    ],
)
def test_joined_leads_are_told_with_value_and_unit(ohm, resolution, says):
    """The mean of a few readings has no more digits than the display (JCGM 100 cl. 7.2.6)."""
    event = Event(
        EventKind.LEADS_NULLED,
        5,
        "meter",
        "as the meter wrote it",
        number=float(ohm),
        quantity=Quantity.RESISTANCE,
        resolution=None if resolution is None else float(resolution),
    )
    assert event_words(event) == f"Joined leads read {says}, taken off every resistance."
