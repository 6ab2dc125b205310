"""Notices in words."""

from dataclasses import dataclass

from benchmeter.readings.events import Event
from benchmeter.session.outcome import Notice, Severity
from benchmeter.words.event_words import tell_event
from benchmeter.words.presentation import PLAIN, Presentation

__all__ = ["ToldNotice", "tell_notice"]


@dataclass(frozen=True, slots=True)
class ToldNotice:
    """A notice as it is read: what happened and what it means for the record; what to do."""

    severity: Severity
    text: str
    advice: str = ""


def tell_notice(notice: Notice, presentation: Presentation = PLAIN) -> ToldNotice:
    """A notice in this person's language; the same fact gives the same words."""
    match notice.fact:
        case Event() as event:
            told = tell_event(event, presentation)
        case message:
            told = presentation.tell(message)
    return ToldNotice(notice.severity, told.text, told.advice)
