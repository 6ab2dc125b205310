"""Events in words: what happened, what it means for the record, what to do."""

from decimal import Decimal

from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.events import Event, EventKind
from benchmeter.words.numbers import number_text, span_text
from benchmeter.words.presentation import PLAIN, Presentation, Told

__all__ = ["event_advice", "event_text", "event_words", "tell_event"]

_MOST_DECIMALS = 6


def tell_event(event: Event, presentation: Presentation = PLAIN) -> Told:
    """What happened and what it means for the record; what to do about it."""
    return Told(event_words(event, presentation), event_advice(event, presentation))


def event_text(event: Event, presentation: Presentation = PLAIN) -> str:
    """What belongs to an event, without a sentence around it: a reason, a function, a value."""
    match event.kind:
        case EventKind.FUNCTION if event.quantity is not None:
            return event.quantity.value
        case EventKind.LEADS_NULLED:
            return _leads(event, presentation)
        case EventKind.BIAS_ACCEPTED:
            return " ".join((*_reason(event, presentation).split(), *event.text.split()))
        case _:
            return _reason(event, presentation) or event.text


def _reason(event: Event, presentation: Presentation) -> str:
    return "" if event.reason is None else presentation.tell(event.reason).text


def _leads(event: Event, presentation: Presentation) -> str:
    """Joined leads read the mean of a few readings, to the digits that the meter shows."""
    if event.quantity is not Quantity.RESISTANCE or event.number is None:
        return event.text
    if event.text.endswith("Ω") and event.resolution is None:  # of an older record
        return presentation.number(event.text)
    ohm = Decimal(repr(event.number))
    shown = ohm if event.resolution is None else Decimal(repr(event.resolution))
    exact = shown.normalize().as_tuple().exponent
    decimals = min(max(-exact, 0), _MOST_DECIMALS) if isinstance(exact, int) else 0
    return presentation.amount(number_text(ohm, decimals), "Ω")


def _step(event: Event, presentation: Presentation) -> str:
    unit = (event.quantity or Quantity.CAPACITANCE).row.plain_unit
    return presentation.amount(span_text(Decimal(repr(event.number or 0.0)), unit), unit)


def event_words(event: Event, presentation: Presentation = PLAIN) -> str:
    """One sentence; what it means for the record is part of it."""
    text, subject, told = presentation.text, event.subject, event_text(event, presentation)
    match event.kind:
        case EventKind.LINK_UP if event.text:
            return text("events.link_up_about", link=subject, about=event.text)
        case EventKind.LINK_UP:
            return text("events.link_up", link=subject)
        case EventKind.LINK_LOST if event.reason is not None:
            return text("events.link_lost_why", link=subject, why=told)
        case EventKind.LINK_LOST:
            return text("events.link_lost", link=subject)
        case EventKind.GAP:
            seconds = ((event.until_ns or event.time_ns) - event.time_ns) / 1e9
            return text("events.gap", channel=subject, seconds=seconds)
        case EventKind.CLOCK_STEP:
            return text("events.clock_step", seconds=float(event.number or 0))
        case EventKind.GARBLED if int(event.number or 1) == 1:
            return text("events.garbled_one", link=subject, why=told)
        case EventKind.GARBLED:
            count = int(event.number or 1)
            return text("events.garbled", count=count, link=subject, why=told)
        case EventKind.DECODER_FAULT:
            return text("events.decoder_fault", link=subject, why=told)
        case EventKind.DECODER_GIVEN_UP:
            return text("events.decoder_given_up", link=subject, why=told)
        case EventKind.FUNCTION:
            return text("events.function", channel=subject, quantity=told)
        case EventKind.RESOLUTION_LEARNED:
            return text(
                "events.resolution_learned", channel=subject, step=_step(event, presentation)
            )
        case EventKind.TYPED:
            return text("events.typed", channel=subject, value=event.text)
        case EventKind.METER_PROVED:
            if event.text:
                return text("events.meter_proved_typed", value=event.text)
            volts = presentation.amount(f"{event.number:.1f}", "V")
            return text("events.meter_proved", value=volts)
        case EventKind.POWER_RESTORED:
            return text("events.power_restored")
        case EventKind.START_DETECTED:
            return text("events.start_detected")
        case EventKind.SETTLED:
            return text("events.settled")
        case EventKind.UNSETTLED:
            return text("events.unsettled")
        case EventKind.STOPPED:
            return text("events.stopped")
        case EventKind.LEADS_NULLED if event.quantity is Quantity.RESISTANCE:
            return text("events.leads_joined", value=told)
        case EventKind.LEADS_NULLED:
            return text("events.leads_open", value=told)
        case EventKind.BIAS_ACCEPTED:
            return text("events.bias", channel=subject, what=told)
        case EventKind.MARK | EventKind.REMARK:
            return event.text


def event_advice(event: Event, presentation: Presentation = PLAIN) -> str:
    """What to do; "" where nothing is to be done. What the link itself advises comes first."""
    own = "" if event.reason is None else presentation.tell(event.reason).advice
    if own:
        return own
    match event.kind:
        case EventKind.LINK_LOST:
            return presentation.text("events.link_lost_advice")
        case EventKind.GARBLED:
            return presentation.text("events.garbled_advice")
        case EventKind.RESOLUTION_LEARNED:
            return presentation.text("events.resolution_learned_advice")
        case EventKind.DECODER_GIVEN_UP:
            return presentation.text("events.decoder_given_up_advice")
        case _:
            return ""
