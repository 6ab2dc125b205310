"""What to know of the meter when a session begins: calibrations that are due, a bias on offer."""

from collections.abc import Iterator
from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Slot

from benchmeter.checking.bias_offer import OfferReason, offer
from benchmeter.conformity.calibration import Due, due_state
from benchmeter.errors import Message
from benchmeter.links.instruments.setup import BenchSetup
from benchmeter.session.outcome import Severity
from benchmeter.tasks.known_parts import MeterFound
from benchmeter.words.meters import bias_words, due_words
from benchmeter.words.notice_words import ToldNotice
from benchmeter.words.presentation import PLAIN, Presentation

if TYPE_CHECKING:
    from benchmeter.window.control.session_controller import SessionController

__all__ = ["MeterNotices", "meter_notices"]


def meter_notices(
    setup: BenchSetup, found: MeterFound, today: date, presentation: Presentation = PLAIN
) -> tuple[ToldNotice, ...]:
    """The notices of a session that begins, those about the instruments first."""
    own = setup.origin != "simulated"  # nothing that is simulated grows old
    notices = [
        *(
            _due(link.profile.title, link.profile.calibration_due, today, presentation)
            for link in setup.links
        ),
        *(_due(part.name, part.due, today, presentation) for part in found.parts if own),
        *_biases(found, presentation),
    ]
    return tuple(notice for notice in notices if notice is not None)


def _due(name: str, due: date | None, today: date, presentation: Presentation) -> ToldNotice | None:
    match due_state(due, today):
        case Due.OVERDUE:
            severity, advice = Severity.WARNING, ""  # the words say it
        case Due.SOON:
            severity, advice = Severity.INFO, presentation.text("meters.due_advice")
        case _:
            return None
    words = due_words(due, today, presentation)
    return ToldNotice(severity, presentation.text("meters.known", name=name, what=words), advice)


def _biases(found: MeterFound, presentation: Presentation) -> Iterator[ToldNotice]:
    for history in found.record.histories if found.record is not None else ():
        if offer(history).reason is OfferReason.CLEAR:
            bias = bias_words(history, presentation)
            told = presentation.tell(
                Message("meters.offered", {"part": history.name, "bias": bias})
            )
            yield ToldNotice(Severity.INFO, told.text, told.advice)


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
                view.setup,
                services.meter(store, view.session_id, channel),
                view.today,
                view.presentation,
            ),
            self._tell,
        )

    def _tell(self, notices: tuple[ToldNotice, ...]) -> None:
        for notice in notices:
            self._controller.noticed.emit(notice)
