"""What the bench shows in place of the part in hand: what may replace it, and the meter itself.

Both are made when they are first wanted.
"""

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtWidgets import QWidget

from benchmeter.window.control.session_controller import SessionController
from benchmeter.window.widgets.stack import Stack

if TYPE_CHECKING:
    from benchmeter.links.instruments.setup import BenchSetup
    from benchmeter.window.control.services import MeterFound
    from benchmeter.window.pages.bench.meter_panel import MeterPanel
    from benchmeter.window.pages.bench.replacement_view import ReplacementView
    from benchmeter.words.notices import ToldNotice

__all__ = ["BenchPanels"]


class BenchPanels(QObject):
    """Shows them among the leaves of the bench, and tells once a session what to know of the meter.

    Args:
        meter: gives the channel that parts are judged by and its accuracy lines; "" each unknown.

    Signals:
        begin: a BeginCheck, as it is to be sent.
        back: the part in hand is wanted again.
        next_step: words of what to do next.
        to_top: what is shown now begins at the top.
    """

    begin = Signal(object)
    back = Signal()
    next_step = Signal(str)
    to_top = Signal()

    def __init__(
        self,
        controller: SessionController,
        leaves: Stack,
        meter: Callable[[], tuple[str, str]],
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._controller = controller
        self._leaves = leaves
        self._meter = meter
        self._told = ""
        self._replacement: ReplacementView | None = None
        self._desk: MeterPanel | None = None
        controller.session_changed.connect(self._tell_of_meter)

    def shown(self) -> QWidget | None:
        """The one that is shown."""
        leaf = self._leaves.shown()
        return leaf if leaf is not None and leaf in (self._replacement, self._desk) else None

    def focus(self) -> None:
        """Bring the keys to the one that is shown."""
        if (desk := self._desk_shown()) is not None:
            desk.focus()

    def next_words(self) -> str:
        """What to do next at the one that is shown."""
        desk = self._desk_shown()
        return desk.next_words() if desk is not None else ""

    def _desk_shown(self) -> "ReplacementView | MeterPanel | None":
        shown = self.shown()
        return next((d for d in (self._replacement, self._desk) if d is shown), None)

    @Slot()
    def show_replacement(self) -> None:
        """Show what may replace the part in hand."""
        if self._replacement is None:
            from benchmeter.window.pages.bench.replacement_view import ReplacementView

            self._replacement = ReplacementView(self._controller)
            self._take_in(self._replacement)
        self._leaves.show_leaf(self._replacement)
        self.to_top.emit()
        self._replacement.open(self._meter()[1])
        self._say_next()

    @Slot()
    def show_meter(self) -> None:
        """Show what is known of the meter."""
        if self._desk is None:
            from benchmeter.window.pages.bench.meter_panel import MeterPanel

            self._desk = MeterPanel(self._controller)
            self._take_in(self._desk)
        view = self._controller.view
        reference = view.check.reference if view is not None and view.check is not None else None
        self._leaves.show_leaf(self._desk)
        self.to_top.emit()
        self._desk.open(*self._meter(), choose=reference.name if reference is not None else "")
        self._say_next()

    def _take_in(self, desk: "ReplacementView | MeterPanel") -> None:
        self._leaves.add(desk)
        desk.begin.connect(self.begin)
        desk.back.connect(self.back)
        desk.next_step.connect(self._say_next)

    @Slot()
    def _say_next(self) -> None:
        if self.shown() is not None:
            self.next_step.emit(self.next_words())

    @Slot()
    def _tell_of_meter(self) -> None:
        """Once a session that measures: what is due, and what could be taken off."""
        session = self._controller.session
        if session is None or session.replay is not None or session.session_id == self._told:
            return
        self._told = session.session_id
        services, today = self._controller.services, self._controller.today()
        number, setup, channel = session.session_id, session.setup, self._meter()[0]
        self._controller.ask_store(
            lambda store: _notices(setup, services.meter(store, number, channel), today),
            self._tell,
        )

    def _tell(self, notices: "tuple[ToldNotice, ...]") -> None:
        for notice in notices:
            self._controller.noticed.emit(notice)


def _notices(setup: "BenchSetup", found: "MeterFound", today: date) -> "tuple[ToldNotice, ...]":
    from benchmeter.window.control.meter_notices import meter_notices

    return meter_notices(setup, found, today)
