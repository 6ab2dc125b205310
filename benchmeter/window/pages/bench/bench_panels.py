"""What the bench shows in place of the part in hand; each panel is made when it is first wanted."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal, Slot

from benchmeter.scenes.bench_state import BenchState
from benchmeter.window.control.session_controller import SessionController
from benchmeter.window.widgets.stack import Stack

if TYPE_CHECKING:
    from benchmeter.window.pages.bench.all_parts import AllParts
    from benchmeter.window.pages.bench.meter_panel import MeterPanel
    from benchmeter.window.pages.bench.replacement_view import ReplacementView

    Panel = AllParts | ReplacementView | MeterPanel

__all__ = ["BenchPanels"]


class BenchPanels(QObject):
    """Shows them among the leaves of the bench.

    Signals:
        begin: a BeginCheck, as it is to be sent.
        back: the part in hand is wanted again.
        next_step: what to do next has changed.
    """

    begin = Signal(object)
    back = Signal()
    next_step = Signal()

    def __init__(
        self, controller: SessionController, leaves: Stack, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._controller = controller
        self._leaves = leaves
        self._made: dict[BenchState, Panel] = {}

    def shown(self) -> "Panel | None":
        """The one that is shown."""
        leaf = self._leaves.shown()
        return next((panel for panel in self._made.values() if panel is leaf), None)

    def show(self, state: BenchState) -> None:
        """Show the panel of that state, as the session stands now."""
        if state not in self._made:
            self._made[state] = self._make(state)
        self._leaves.show_leaf(self._made[state])
        self._made[state].open(self._controller.seen())

    def focus(self) -> None:
        """Bring the keys to the one that is shown."""
        if (panel := self.shown()) is not None:
            panel.focus()

    def next_words(self) -> str:
        """What to do next at the one that is shown."""
        panel = self.shown()
        return "" if panel is None else panel.next_words()

    def _make(self, state: BenchState) -> "Panel":
        panel: Panel
        match state:
            case BenchState.STATISTICS:
                from benchmeter.window.pages.bench.all_parts import AllParts

                panel = AllParts()
            case BenchState.REPLACEMENT:
                from benchmeter.window.pages.bench.replacement_view import ReplacementView

                panel = ReplacementView(self._controller)
            case _:
                from benchmeter.window.pages.bench.meter_panel import MeterPanel

                panel = MeterPanel(self._controller)
        self._leaves.add(panel)
        panel.begin.connect(self.begin)
        panel.back.connect(self.back)
        panel.next_step.connect(self._say_next)
        return panel

    @Slot()
    def _say_next(self) -> None:
        if self.sender() is self.shown():
            self.next_step.emit()
