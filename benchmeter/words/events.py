"""Events in words: what happened, what it means for the record, what to do."""

from decimal import Decimal

from benchmeter.readings.events import Event, EventKind
from benchmeter.words.numbers import number_text
from benchmeter.words.presentation import PLAIN, Presentation

__all__ = ["event_advice", "event_words", "joined_leads"]

_OHM = "Ω"
_MOST_DECIMALS = 6


def joined_leads(time_ns: int, channel: str, ohm: Decimal, resolution_ohm: Decimal | None) -> Event:
    """The event that the joined tips read so much, to the digits that the meter shows."""
    exact = (resolution_ohm or ohm).normalize().as_tuple().exponent
    decimals = min(max(-exact, 0), _MOST_DECIMALS) if isinstance(exact, int) else 0
    text = f"{number_text(ohm, decimals)} {_OHM}"
    return Event(EventKind.LEADS_NULLED, time_ns, channel, text, number=float(ohm))


def event_words(event: Event, presentation: Presentation = PLAIN) -> str:
    """One sentence; what it means for the record is part of it."""
    text, subject = presentation.text, event.subject
    match event.kind:
        case EventKind.LINK_UP if event.text:
            return text("events.link_up_about", link=subject, about=event.text)
        case EventKind.LINK_UP:
            return text("events.link_up", link=subject)
        case EventKind.LINK_LOST if event.text:
            return text("events.link_lost_why", link=subject, why=event.text)
        case EventKind.LINK_LOST:
            return text("events.link_lost", link=subject)
        case EventKind.GAP:
            seconds = ((event.until_ns or event.time_ns) - event.time_ns) / 1e9
            return text("events.gap", channel=subject, seconds=seconds)
        case EventKind.CLOCK_STEP:
            return text("events.clock_step", seconds=float(event.number or 0))
        case EventKind.GARBLED if int(event.number or 1) == 1:
            return text("events.garbled_one", link=subject, why=event.text)
        case EventKind.GARBLED:
            count = int(event.number or 1)
            return text("events.garbled", count=count, link=subject, why=event.text)
        case EventKind.FUNCTION:
            return text("events.function", channel=subject, quantity=event.text)
        case EventKind.TYPED:
            return text("events.typed", channel=subject, value=event.text)
        case EventKind.POWER_RESTORED:
            return text("events.power_restored")
        case EventKind.START_DETECTED:
            return text("events.start_detected")
        case EventKind.SETTLED:
            return text("events.settled")
        case EventKind.LEADS_NULLED if event.text.endswith(_OHM):
            return text("events.leads_joined", value=presentation.number(event.text))
        case EventKind.LEADS_NULLED:
            return text("events.leads_open", value=event.text)
        case EventKind.BIAS_ACCEPTED:
            return text("events.bias", channel=subject, what=event.text)
        case EventKind.MARK | EventKind.REMARK:
            return event.text


def event_advice(event: Event, presentation: Presentation = PLAIN) -> str:
    """What to do; "" where nothing is to be done."""
    match event.kind:
        case EventKind.LINK_LOST:
            return presentation.text("events.link_lost_advice")
        case EventKind.GARBLED:
            return presentation.text("events.garbled_advice")
        case _:
            return ""
