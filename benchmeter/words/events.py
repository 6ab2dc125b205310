"""Events in words: what happened, what it means for the record, what to do."""

from decimal import Decimal

from benchmeter.readings.events import Event, EventKind
from benchmeter.words.numbers import number_text

__all__ = ["event_advice", "event_words", "joined_leads"]

_OHM = "Ω"
_MOST_DECIMALS = 6


def joined_leads(time_ns: int, channel: str, ohm: Decimal, resolution_ohm: Decimal | None) -> Event:
    """The event that the joined tips read so much, to the digits that the meter shows."""
    exact = (resolution_ohm or ohm).normalize().as_tuple().exponent
    decimals = min(max(-exact, 0), _MOST_DECIMALS) if isinstance(exact, int) else 0
    text = f"{number_text(ohm, decimals)} {_OHM}"
    return Event(EventKind.LEADS_NULLED, time_ns, channel, text, number=float(ohm))


def event_words(event: Event) -> str:
    """One sentence; what it means for the record is part of it."""
    subject = event.subject
    match event.kind:
        case EventKind.LINK_UP:
            about = f" ({event.text})" if event.text else ""
            return f"Connected: {subject}{about}."
        case EventKind.LINK_LOST:
            why = f": {event.text}" if event.text else "."
            return f"No connection to {subject}{why}"
        case EventKind.GAP:
            seconds = ((event.until_ns or event.time_ns) - event.time_ns) / 1e9
            return f"No readings from {subject} for {seconds:.1f} s; the line shows a gap."
        case EventKind.CLOCK_STEP:
            return (
                f"The computer slept or its clock was set: {event.number or 0:+.0f} s. "
                "The lines show a gap; times before and after are not joined."
            )
        case EventKind.GARBLED:
            many = int(event.number or 1)
            frames = "A frame" if many == 1 else f"{many} frames"
            return f"{frames} from {subject} could not be read ({event.text}) and gave no value."
        case EventKind.FUNCTION:
            return f"{subject} measures {event.text}."
        case EventKind.TYPED:
            return f"{subject}: {event.text}, typed in by hand."
        case EventKind.POWER_RESTORED:
            return "Power restored."
        case EventKind.START_DETECTED:
            return "The unit started: discharge air rises."
        case EventKind.SETTLED:
            return "Discharge air has settled."
        case EventKind.LEADS_NULLED:
            if event.text.endswith(_OHM):
                return f"Joined leads read {event.text}, taken off every resistance."
            return f"Open leads taken as zero: {event.text}."
        case EventKind.BIAS_ACCEPTED:
            return f"{subject}: {event.text}"
        case EventKind.MARK | EventKind.REMARK:
            return event.text


def event_advice(event: Event) -> str:
    """What to do; "" where nothing is to be done."""
    match event.kind:
        case EventKind.LINK_LOST:
            return "Check the plug; what else is connected goes on being recorded."
        case EventKind.GARBLED:
            return "If it goes on, check the cable and the profile's line settings."
        case _:
            return ""
