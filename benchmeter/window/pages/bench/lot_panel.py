"""A carton on the bench: its strip, its statistics, and the next part of it."""

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtWidgets import QWidget

from benchmeter.checking.lot_progress import LotProgress, lot_progress
from benchmeter.checking.part_check import PartCheck
from benchmeter.readings.inputs import BeginCheck
from benchmeter.window.control.session_controller import SessionController
from benchmeter.window.pages.bench.lot_strip import LotStrip
from benchmeter.window.pages.bench.lot_view import LotView

__all__ = ["LotPanel"]


class LotPanel(QObject):
    """The carton of the part in hand is the one that is open, until it is closed.

    What the carton holds follows from the checks of the session alone, so that a replay shows it
    too, and a crash loses none of it.

    Signals:
        begin: a BeginCheck for the next part, with the label of the one before.
        statistics: the view of the whole carton is wanted.
        closed: the carton is done with.
    """

    begin = Signal(object)
    statistics = Signal()
    closed = Signal()

    def __init__(self, controller: SessionController, parent: QWidget) -> None:
        super().__init__(parent)
        self._controller = controller
        self._closed_lot = ""
        self.strip = LotStrip(parent)
        self.strip.hide()
        self.strip.begin.connect(self._begin)
        self.strip.statistics.connect(self.statistics)
        self.strip.close_lot.connect(self._close)
        self.strip.left_out.connect(self.say_left_out)

    @property
    def is_open(self) -> bool:
        check = self._check()
        return check is not None and bool(check.lot) and check.lot != self._closed_lot

    def progress(self) -> LotProgress:
        """How far the carton of the part in hand is."""
        check, view = self._check(), self._controller.view
        if check is None or view is None:
            return LotProgress("", ())
        return lot_progress((c for _, c in sorted(view.checks.items())), check.lot)

    def refresh(self) -> None:
        """Show how far it is."""
        check = self._check()
        acts = self._controller.session is not None and not self._controller.replaying
        self.strip.setVisible(self.is_open and acts)
        if check is not None and self.is_open:
            waits = check.verdict is not None
            self.strip.show_progress(self.progress(), waits=waits)

    def show_statistics(self, shown: LotView) -> None:
        """Show what the carton as a whole looks like; without one, all that was checked."""
        view, check = self._controller.view, self._check()
        if check is not None and check.lot:
            shown.show_lot(self.progress().checks, f"{check.lot}: {check.rating.text}")
        else:
            checks = view.checks.items() if view is not None else ()
            shown.show_lot([c for _, c in sorted(checks) if c.reference is None])

    def begin_next(self) -> None:
        """Begin the part that is offered."""
        self.strip.field.confirm()

    def take_focus(self) -> None:
        """Own numbers go to the strip while nothing is being measured.

        At the simulated bench the digits belong to the hands; there Space takes what is offered.
        """
        check, session = self._check(), self._controller.session
        if session is None or session.hands is not None:
            return
        if not self.strip.isHidden() and check is not None and check.verdict is not None:
            self.strip.take_focus()

    def _check(self) -> PartCheck | None:
        return self._controller.view.check if self._controller.view is not None else None

    @Slot(str)
    def _begin(self, number: str) -> None:
        check = self._check()
        if check is None:
            return
        self.begin.emit(next_of(check, number))

    @Slot()
    def _close(self) -> None:
        check = self._check()
        self._closed_lot = check.lot if check is not None else ""
        self.refresh()
        self.closed.emit()

    @Slot(int)
    def say_left_out(self, count: int) -> None:
        """Tell that a scanned code held what nobody can see."""
        self._controller.say(
            self.tr("page_lot.count_signs_code_cannot").format(count=count),
            self.tr("page_lot.compare_number_one_part"),
        )


def next_of(check: PartCheck, number: str) -> BeginCheck:
    """The check of another part of the same carton, by the same label and terms."""
    from benchmeter.checking.reference_check import reference_text
    from benchmeter.parts.catalogue import kind_text

    return BeginCheck(
        time_ns=0,
        part=number,
        label=check.rating.text,
        kind="" if check.kind is None else kind_text(check.kind),
        lot=check.lot,
        reference="" if check.reference is None else reference_text(check.reference),
        tolerance=check.rating.tolerance if check.rating.tolerance_from == "user" else "",
        accuracy="" if check.accuracy is None else check.accuracy.text,
        rule=check.rule.value,
        channel=check.channel,
    )
