"""What to know of the meter when a session begins: calibrations that are due, a bias on offer."""

from collections.abc import Iterator
from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Slot

from benchmeter.checking.bias_offer import OfferReason, offer
from benchmeter.conformity.calibration import Due, due_state
from benchmeter.links.instruments.setup import BenchSetup
from benchmeter.session.outcome import Severity
from benchmeter.tasks.known_parts import MeterFound
from benchmeter.words.meters import bias_words, due_words
from benchmeter.words.notices import ToldNotice

if TYPE_CHECKING:
    from benchmeter.window.control.session_controller import SessionController

__all__ = ["MeterNotices", "meter_notices"]


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


class MeterNotices(QObject):
    """Tells once a session that measures what is due, and what could be taken off."""

    def __init__(self, controller: "SessionController") -> None:
        super().__init__(controller)
        self._controller = controller
        self._told = ""
        controller.session_changed.connect(self._look)

    @Slot()
    def _look(self) -> None:
        view = self._controller.seen()
        if not view.acts or view.session_id == self._told:
            return
        self._told = view.session_id
        services, meter = self._controller.services, view.roles.part_meter
        channel = meter.name if meter is not None else ""
        self._controller.ask_store(
            lambda store: meter_notices(
                view.setup, services.meter(store, view.session_id, channel), view.today
            ),
            self._tell,
        )

    def _tell(self, notices: tuple[ToldNotice, ...]) -> None:
        for notice in notices:
            self._controller.noticed.emit(notice)
