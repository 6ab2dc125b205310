"""What to know of the meter when a session begins: calibrations that are due, a bias on offer."""

from collections.abc import Iterator
from datetime import date

from benchmeter.checking.bias_offer import OfferReason, offer
from benchmeter.conformity.calibration import Due, due_state
from benchmeter.links.instruments.setup import BenchSetup
from benchmeter.session.outcome import Severity
from benchmeter.window.control.services import MeterFound
from benchmeter.words.meters import bias_words, due_words
from benchmeter.words.notices import ToldNotice

__all__ = ["meter_notices"]


def meter_notices(setup: BenchSetup, found: MeterFound, today: date) -> tuple[ToldNotice, ...]:
    """The notices of a session that begins, those about the instruments first."""
    own = setup.origin != "simulated"  # nothing that is simulated grows old
    notices = [
        *(_due(link.profile.title, link.profile.calibration_due, today) for link in setup.links),
        *(_due(part.name, part.due, today) for part in found.parts if own),
        *_biases(found),
    ]
    return tuple(notice for notice in notices if notice is not None)


def _due(name: str, due: date | None, today: date) -> ToldNotice | None:
    match due_state(due, today):
        case Due.OVERDUE:
            severity, advice = Severity.WARNING, ""  # the words say it
        case Due.SOON:
            severity, advice = Severity.INFO, "Have it done in time."
        case _:
            return None
    return ToldNotice(severity, f"{name}: {due_words(due, today)}", advice)


def _biases(found: MeterFound) -> Iterator[ToldNotice]:
    for history in found.record.histories if found.record is not None else ():
        if offer(history).reason is OfferReason.CLEAR:
            yield ToldNotice(
                Severity.INFO,
                f"By {history.name} the meter is off by {bias_words(history)}.",
                "Nothing is taken off by itself: E offers it.",
            )
