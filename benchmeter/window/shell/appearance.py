"""What a person prefers to look at: colours, size, language; and the keys that change them."""

from PySide6.QtCore import QObject, Slot
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QApplication, QWidget

from benchmeter.window.control.session_controller import SessionController
from benchmeter.window.theme import palette
from benchmeter.window.theme.language import speak
from benchmeter.window.theme.palette import Theme, current_theme
from benchmeter.words.presentation import Presentation

__all__ = ["Appearance"]

_ZOOM_STEP = 10  # percent


class Appearance(QObject):
    """Dresses the whole application as the preferences ask.

    Args:
        window: where the keys are heard.
    """

    def __init__(self, controller: SessionController, window: QWidget) -> None:
        super().__init__(window)
        self._controller = controller
        for keys, slot in (
            (("Ctrl++", "Ctrl+="), self.enlarge),
            (("Ctrl+-",), self.reduce),
            (("Ctrl+0",), self.reset),
        ):
            for key in keys:
                QShortcut(QKeySequence(key), window).activated.connect(slot)

    def apply(self) -> None:
        """Dress the application, if it is not dressed so already."""
        preferences = self._controller.preferences
        app = QApplication.instance()
        assert isinstance(app, QApplication)
        speak(app, preferences.language)
        chosen = palette.palette(preferences.palette)
        look = current_theme()
        wanted = Theme(chosen, preferences.zoom / 100, Presentation.of(preferences))
        if look != wanted or not app.styleSheet():
            palette.apply(app, wanted.palette, wanted.zoom, wanted.presentation)

    @Slot()
    def next_palette(self) -> None:
        """The next colours, round and round."""
        now = palette.NAMES.index(self._controller.preferences.palette)
        self._controller.prefer(palette=palette.NAMES[(now + 1) % len(palette.NAMES)])

    @Slot()
    def enlarge(self) -> None:
        """One step larger, 200 % at most."""
        self._zoom(self._controller.preferences.zoom + _ZOOM_STEP)

    @Slot()
    def reduce(self) -> None:
        """One step smaller, 100 % at least."""
        self._zoom(self._controller.preferences.zoom - _ZOOM_STEP)

    @Slot()
    def reset(self) -> None:
        """100 %."""
        self._zoom(100)

    def _zoom(self, percent: int) -> None:
        self._controller.prefer(zoom=min(max(percent, 100), 200))
