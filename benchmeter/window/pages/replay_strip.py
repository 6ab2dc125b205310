"""The controls of a replay."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QSlider, QVBoxLayout, QWidget

from benchmeter.window.theme.labels import label
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.flow import FlowLayout
from benchmeter.window.widgets.keys import KeyButton

if TYPE_CHECKING:
    from benchmeter.tasks.running import ReplayControl

__all__ = ["PACES", "ReplayStrip"]

PACES = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0)
_WIND_NS = 30_000_000_000
_MS = 1_000_000


class ReplayStrip(QWidget):
    """Pause, step, pace, and where one is; only in a replay.

    Signals:
        seek: the time that is wanted, ns.
    """

    seek = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._replay: ReplayControl | None = None
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(current_theme().px(4))
        top = QHBoxLayout()
        self.slider = QSlider(Qt.Orientation.Horizontal, self)
        self.slider.setAccessibleName(self.tr("pages.time_replay"))
        self.slider.setMinimumHeight(current_theme().target)
        self.slider.setSingleStep(1000)
        self.slider.setPageStep(60_000)
        self.slider.actionTriggered.connect(self._moved)
        self.slider.sliderReleased.connect(self._seek_slider)
        self.words = label(wrap=False)
        top.addWidget(self.slider, 1)
        top.addWidget(self.words)
        rows.addLayout(top)
        flow = FlowLayout(spacing=current_theme().px(8))
        self.pause = KeyButton(self.tr("pages.pause"), "Space", self, primary=True)
        self.pause.clicked.connect(self._pause)
        self.step = KeyButton(self.tr("pages.step"), ".", self)
        self.step.clicked.connect(self._step)
        self.back = KeyButton(self.tr("pages.n30_s_back"), "Ctrl+Left", self)
        self.back.clicked.connect(self._back)
        self.on = KeyButton(self.tr("pages.n30_s"), "Ctrl+Right", self)
        self.on.clicked.connect(self._on)
        self.begin = KeyButton(self.tr("pages.start"), "Ctrl+Home", self)
        self.begin.clicked.connect(self._to_start)
        self.slower = KeyButton(self.tr("pages.slower"), "Ctrl+Down", self)
        self.slower.clicked.connect(self._slower)
        self.faster = KeyButton(self.tr("pages.faster"), "Ctrl+Up", self)
        self.faster.clicked.connect(self._faster)
        for button in (
            self.pause,
            self.step,
            self.back,
            self.on,
            self.begin,
            self.slower,
            self.faster,
        ):
            flow.addWidget(button)
        rows.addLayout(flow)
        self.hide()

    def show_replay(self, replay: "ReplayControl | None") -> None:
        """Take over the control of a replay; None: not a replay."""
        self._replay = replay
        self.setVisible(replay is not None)
        self.refresh()

    @Slot()
    def refresh(self) -> None:
        """Show where it is."""
        replay = self._replay
        if replay is None:
            return
        length, position = replay.length_ns, replay.position_ns
        self.slider.setRange(0, max(length // _MS, 1))
        if not self.slider.isSliderDown():
            self.slider.setValue(position // _MS)
        self.words.setText(
            self.tr("pages.at_length_pace").format(
                at=_clock(position), length=_clock(length), pace=f"{replay.pace or 0:g}"
            )
        )
        self.pause.set_title(self.tr("pages.go") if replay.paused else self.tr("pages.pause"))

    @Slot()
    def _pause(self) -> None:
        if self._replay is not None:
            if self._replay.paused:
                self._replay.resume()
            else:
                self._replay.pause()
            self.refresh()

    @Slot()
    def _step(self) -> None:
        if self._replay is not None:
            if not self._replay.paused:
                self._replay.pause()
            self._replay.step()

    def _seek(self, time_ns: int) -> None:
        if self._replay is not None:
            self.seek.emit(min(max(time_ns, 0), self._replay.length_ns))

    @Slot()
    def _back(self) -> None:
        if self._replay is not None:
            self._seek(self._replay.position_ns - _WIND_NS)

    @Slot()
    def _on(self) -> None:
        if self._replay is not None:
            self._seek(self._replay.position_ns + _WIND_NS)

    @Slot()
    def _to_start(self) -> None:
        self._seek(0)

    @Slot(int)
    def _moved(self, _action: int) -> None:
        if not self.slider.isSliderDown():
            self._seek(self.slider.sliderPosition() * _MS)

    @Slot()
    def _seek_slider(self) -> None:
        self._seek(self.slider.sliderPosition() * _MS)

    def _pace(self, step: int) -> None:
        if self._replay is None:
            return
        now = self._replay.pace or PACES[-1]
        nearest = min(range(len(PACES)), key=lambda i: abs(PACES[i] - now))
        self._replay.set_pace(PACES[min(max(nearest + step, 0), len(PACES) - 1)])
        self.refresh()

    @Slot()
    def _slower(self) -> None:
        self._pace(-1)

    @Slot()
    def _faster(self) -> None:
        self._pace(1)


def _clock(time_ns: int) -> str:
    minutes, seconds = divmod(time_ns // 1_000_000_000, 60)
    return f"{minutes}:{seconds:02d}"
