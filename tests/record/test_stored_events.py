"""Events through their stored form, and the sentences that older records hold."""

from decimal import Decimal

import pytest

from benchmeter.errors import Amount, Message
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.events import Event, EventKind
from benchmeter.record.structs.findings import FORM, SessionForm
from benchmeter.record.structs.stored_events import StoredEvent
from benchmeter.words.event_words import event_words

WHY = Message(
    "room.code",
    {
        "text": "{as it is}",
        "number": 3,
        "exact": Decimal("0.10"),
        "amount": Amount(Decimal("4.50E-5"), "µF"),
        "names": ("C", "HERM"),
        "why": Message("room.other", {"number": 0.5}),
    },
)


@pytest.mark.parametrize(
    "event",
    [
        Event(EventKind.GARBLED, 1, "meter", number=2.0, reason=WHY),
        Event(EventKind.LINK_LOST, 1, "meter", reason=WHY),
        Event(EventKind.LINK_LOST, 1, "meter"),
        Event(EventKind.BIAS_ACCEPTED, 1, "meter", "my words", number=5e-7, reason=WHY),
        Event(EventKind.FUNCTION, 1, "meter", quantity=Quantity.RESISTANCE),
        Event(
            EventKind.LEADS_NULLED,
            1,
            "meter",
            "0.20 Ohm",
            number=0.2,
            quantity=Quantity.RESISTANCE,
            resolution=0.01,
        ),
        Event(EventKind.LEADS_NULLED, 1, "meter", "x", number=0.0, quantity=Quantity.CAPACITANCE),
        Event(EventKind.GAP, 1, "meter", until_ns=2),
        Event(EventKind.MARK, 1, text='{"message": "mine"}'),
        Event(EventKind.LINK_UP, 1, "meter", text="1a86:7523"),
    ],
)
def test_every_fact_of_an_event_comes_back(event: Event) -> None:
    assert StoredEvent.of(event).restored(FORM) == event


@pytest.mark.parametrize(
    ("kind", "text", "words"),
    [
        ("garbled", "check sum is wrong", "A frame from x could not be read (check sum is wrong)"),
        ("link lost", "The cable has come off.", "No connection to x: The cable has come off."),
        ("leads nulled", "0.21 Ω", "Joined leads read 0.21 Ω, taken off every resistance."),
        ("leads nulled", "0.02 µF", "Open leads taken as zero: 0.02 µF."),
        ("bias accepted", "The meter reads too much. As I say.", "x: The meter reads too much. As"),
        ("function", "resistance", "x measures resistance."),
    ],
)
def test_a_sentence_of_an_older_record_is_told_as_it_stands(kind, text, words) -> None:
    stored = StoredEvent(kind, 1, "x", text, None, 1.0, None, None, None)
    for form in (None, SessionForm.FARADS, SessionForm.SI):
        assert event_words(stored.restored(form)).startswith(words)
