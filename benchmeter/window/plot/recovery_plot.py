"""The recovery plot: temperatures over elapsed time, the fit, where it will settle, and when."""

import math
from pathlib import Path
from typing import Any

import numpy as np
import pyqtgraph as pg
from numpy.typing import ArrayLike, NDArray
from PySide6.QtCore import QEvent, QPoint, QSize, Qt, QTimer, Signal, Slot
from PySide6.QtGui import QAccessible, QImage, QKeyEvent, QPainter, QRegion, QResizeEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from benchmeter.cooling.recovery import Recovery
from benchmeter.window.plot.axes import DegreeAxis, ElapsedAxis, dress_axes, elapsed
from benchmeter.window.plot.content import Content
from benchmeter.window.plot.entries import legend_entries
from benchmeter.window.plot.forecast_band import Forecast
from benchmeter.window.plot.legend import Legend, LegendEntry
from benchmeter.window.plot.markers import Marker, Markers
from benchmeter.window.plot.plot_table import plot_table
from benchmeter.window.plot.scale import Scale
from benchmeter.window.plot.series import SYMBOLS, Series
from benchmeter.window.plot.view import Mode, View
from benchmeter.window.plot.view_buttons import ViewButtons
from benchmeter.window.theme.palette import Theme, current_theme

__all__ = ["RecoveryPlot"]

Floats = NDArray[np.float64]

_USUAL = {"discharge": 0, "outdoor": 1}  # numbers of the channels that every session has
_FRAME_MS = 40  # from one frame to the next, at least: readings may come at any pace
_SPOKEN_S = 10.0  # the spoken table is renewed no more often


class RecoveryPlot(QWidget):
    """Shows a recovery. Everything is given from outside; only the view is its own.

    Keys: arrows move the view, + and - zoom, Home shows everything, F follows the present.

    Signals:
        view_changed: "everything", "follow" or "free".
    """

    view_changed = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(self.tr("plot.recovery_plot"))
        self._own_look: Theme | None = None
        self._dressed: Theme | None = None  # the look that everything was dressed in last
        self._scale = Scale()
        self._content = Content()
        self._view = View()
        self._new = True
        self._ratio = 1.0  # pixels of the screen to a pixel
        self._spoken: object = None  # what the spoken table was made from
        self._frame = QTimer(self, interval=_FRAME_MS, singleShot=True)
        self._frame.timeout.connect(self.tick)

        self._axis = ElapsedAxis()
        self._plot = pg.PlotWidget(axisItems={"bottom": self._axis, "left": DegreeAxis()})
        self._plot.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        item = self._plot.getPlotItem()
        item.setMenuEnabled(False)
        item.hideButtons()
        self._box = item.getViewBox()
        self._box.disableAutoRange()
        self._box.setMouseEnabled(x=True, y=False)
        self._box.setDefaultPadding(0)
        self._box.sigRangeChangedManually.connect(self._moved_by_hand)
        self._forecast = Forecast(item)
        self._markers = Markers(item)

        self._legend = Legend(self)
        self._buttons = ViewButtons(self)
        for button, slot in (
            (self._buttons.everything, self.show_everything),
            (self._buttons.follow, self.follow),
            (self._buttons.closer, self.zoom_in),
            (self._buttons.farther, self.zoom_out),
            (self._buttons.earlier, self.move_earlier),
            (self._buttons.later, self.move_later),
        ):
            button.clicked.connect(slot)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.addWidget(self._legend)
        self._column.addWidget(self._plot, 1)
        self._column.addWidget(self._buttons)
        self._dress()

    # --- what is shown -------------------------------------------------------------------------

    def name_channel(self, channel: str, title: str, series: int | None = None) -> None:
        """Give a channel its name for people, and perhaps its series 0 to 3."""
        known = self._known(channel)
        known.title = title
        if series is not None:
            known.number = series % len(SYMBOLS)
        self._dress()

    def add_readings(self, channel: str, times_s: ArrayLike, values_k: ArrayLike) -> None:
        """Take readings in: seconds since the session's start, kelvin; NaN is a gap."""
        self._known(channel).history.add(
            np.asarray(times_s, dtype=float), np.asarray(values_k, dtype=float)
        )
        self._new = True

    def add_gap(self, channel: str, from_s: float, to_s: float) -> None:
        """Break the line of a channel; known late or at once."""
        if not to_s >= from_s:
            raise ValueError(f"a gap from {from_s} to {to_s} s")
        self._known(channel).history.add_gap(from_s)
        self._new = True

    def show_recovery(self, recovery: Recovery | None) -> None:
        """Show what is known of the recovery."""
        if recovery != self._content.recovery:
            self._content.recovery = recovery
            self._new = True

    def mark(self, time_s: float, text: str) -> None:
        """Put a marker with the technician's words."""
        self._content.marks.append(Marker(time_s, " ".join(text.split())))
        self._new = True

    def set_temperature_unit(self, unit: str) -> None:
        """ "°F" or "°C"."""
        self._scale = Scale(unit)
        self._view.y = (0.0, 1.0)
        self._dress()

    def set_look(self, look: Theme | None) -> None:
        """A look of its own, for a report; None: that of the application."""
        self._own_look = look
        self._dress()

    def clear(self) -> None:
        """Forget everything: another session begins."""
        for series in self._content.series.values():
            series.remove()
        self._content = Content()
        self._markers.clear()
        self._view = View()
        self._set_mode("everything")

    def tick_soon(self) -> None:
        """Draw what is new with the next frame; there are at most 25 a second."""
        if not self._frame.isActive():
            self._frame.start()

    @Slot()
    def tick(self) -> None:
        """Draw what is new now."""
        moved = self._ratio != self._plot.devicePixelRatioF()  # to another screen
        if (self._new or moved) and self.isVisible():
            self._redraw()

    def table(self) -> tuple[tuple[str, ...], ...]:
        """What is in view as rows of text: a head, then ticks and markers by time."""
        return plot_table(
            self._content.in_order(),
            self._content.markers(),
            self._view.x,
            self._axis.step(*self._view.x, self._width),
            self._scale,
            self._look.presentation,
        )

    def to_png(self, path: str | Path, size: QSize | tuple[int, int], scale: float = 1.0) -> None:
        """Save a picture without the buttons; works without a screen.

        Args:
            size: in logical pixels.
            scale: pixels of the picture to a logical pixel.

        Raises:
            OSError: the file cannot be written.
        """
        before = self.size()
        self._buttons.hide()
        margin = self._look.px(16)
        self._column.setContentsMargins(margin, margin, margin, margin)
        self.resize(size if isinstance(size, QSize) else QSize(*size))
        self.ensurePolished()
        for _ in range(3):  # the axis takes its width from its labels
            self.grab()
            self._redraw(scale)
        picture = QImage(self.size() * scale, QImage.Format.Format_RGB32)
        picture.setDevicePixelRatio(scale)
        picture.fill(self._look.colour("panel"))
        painter = QPainter(picture)
        flags = QWidget.RenderFlag.DrawChildren
        self.render(painter, QPoint(), QRegion(), flags)
        painter.end()
        saved = picture.save(str(path))
        self._column.setContentsMargins(0, 0, 0, 0)
        self._buttons.show()
        self.resize(before)
        self._new = True
        if not saved:
            raise OSError(f"cannot write {path}")

    # --- the view ------------------------------------------------------------------------------

    @Slot()
    def show_everything(self) -> None:
        """From the first reading to the end of the forecast."""
        self._set_mode("everything")

    @Slot()
    def follow(self) -> None:
        """Keep the present in view, at the present zoom."""
        self._set_mode("follow")

    @Slot()
    def zoom_in(self) -> None:
        """Half the stretch; the end stays when following, else the middle."""
        self._view.zoom(0.5)
        self._set_mode(self._view.mode)

    @Slot()
    def zoom_out(self) -> None:
        """Twice the stretch."""
        self._view.zoom(2.0)
        self._set_mode(self._view.mode)

    @Slot()
    def move_earlier(self) -> None:
        """By a fifth of the stretch."""
        self._view.move(-0.2)
        self._set_mode(self._view.mode)

    @Slot()
    def move_later(self) -> None:
        """By a fifth of the stretch."""
        self._view.move(0.2)
        self._set_mode(self._view.mode)

    @property
    def x_range(self) -> tuple[float, float]:
        """What is in view, seconds."""
        return self._view.x

    def _set_mode(self, mode: Mode) -> None:
        self._view.mode = mode
        self._buttons.show_mode(mode)
        self._new = True
        self.view_changed.emit(mode)
        self.tick()

    @Slot()
    def _moved_by_hand(self, *_: object) -> None:
        low, high = self._box.viewRange()[0]
        self._view.go((float(low), float(high)))
        self._set_mode("free")

    def keyPressEvent(self, event: QKeyEvent) -> None:
        slot = {
            Qt.Key.Key_Left: self.move_earlier,
            Qt.Key.Key_Right: self.move_later,
            Qt.Key.Key_Plus: self.zoom_in,
            Qt.Key.Key_Equal: self.zoom_in,  # the same key without shift
            Qt.Key.Key_Minus: self.zoom_out,
            Qt.Key.Key_Up: self.zoom_in,
            Qt.Key.Key_Down: self.zoom_out,
            Qt.Key.Key_Home: self.show_everything,
            Qt.Key.Key_F: self.follow,
        }.get(Qt.Key(event.key()))
        if slot is None:
            super().keyPressEvent(event)
        else:
            slot()

    def changeEvent(self, event: QEvent) -> None:
        # One change of the look comes as some twenty events.
        changed = event.type() in (QEvent.Type.PaletteChange, QEvent.Type.FontChange)
        if changed and self._look != self._dressed:
            self._dress()
        super().changeEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._new = True
        super().resizeEvent(event)

    def showEvent(self, event: Any) -> None:
        self._new = True
        super().showEvent(event)

    def minimumSizeHint(self) -> QSize:
        look = current_theme()
        return QSize(look.px(320), look.px(280))

    def sizeHint(self) -> QSize:
        look = current_theme()
        return QSize(look.px(800), look.px(460))

    # --- drawing -------------------------------------------------------------------------------

    @property
    def _look(self) -> Theme:
        return self._own_look or current_theme()

    @property
    def _width(self) -> float:
        return max(float(self._box.width()), 50.0)

    @property
    def _height(self) -> float:
        return max(float(self._box.height()), 50.0)

    def _known(self, channel: str) -> Series:
        """The series of a channel; made when it is first named."""
        known = self._content.series.get(channel)
        if known is not None:
            return known
        taken = {series.number for series in self._content.series.values()}
        free = (n for n in range(len(SYMBOLS)) if n not in taken | set(_USUAL.values()))
        number = _USUAL.get(channel, next(free, len(self._content.series) % len(SYMBOLS)))
        titles = {
            "discharge": self.tr("plot.discharge_air"),
            "outdoor": self.tr("plot.outdoor_air"),
        }
        made = Series(self._plot.getPlotItem(), titles.get(channel, channel), number)
        made.dress(self._look)
        self._content.series[channel] = made
        return made

    def _dress(self) -> None:
        """Take colours and fonts from the look."""
        if not hasattr(self, "_column"):  # Qt tells of its first style before we are built
            return
        look = self._dressed = self._look
        self._plot.setBackground(look.colour("panel"))
        item = self._plot.getPlotItem()
        dress_axes(
            item,
            look,
            self.tr("plot.elapsed_time"),
            self.tr("plot.temperature_unit").format(unit=self._scale.unit),
        )
        item.layout.setContentsMargins(0, look.px(12), look.px(12), 0)
        self._forecast.dress(look)
        for series in self._content.series.values():
            series.dress(look)
        self._legend.set_look(self._own_look)
        self._column.setSpacing(look.px(8))
        self._new = True
        if self.isVisible():
            self._redraw()

    def _redraw(self, ratio: float | None = None) -> None:
        """Draw all; `ratio`: pixels of a picture to a pixel, None: those of the screen."""
        self._new = False
        self._ratio = ratio or self._plot.devicePixelRatioF()
        view, scale, look = self._view, self._scale, self._look
        view.hold_x(self._content.begin_s(), self._content.now_s(), self._content.horizon_s())
        if self._box.viewRange()[0] != list(view.x):
            self._box.setXRange(*view.x, padding=0)
        words = self._markers.place(
            self._content.markers(), view.x, self._width, self._height, look
        )
        view.hold_y(*self._content.extremes(view.x, scale), words)
        if self._box.viewRange()[1] != list(view.y):
            self._box.setYRange(*view.y, padding=0)
        item = self._plot.getPlotItem()
        item.getAxis("left").hold_step(*view.y, self._height, look.px(44))
        step = self._axis.step(*view.x, self._width)
        pixel = (view.y[1] - view.y[0]) / self._height
        for series in self._content.series.values():
            series.draw(view.x, math.ceil(self._width), step, scale, pixel, self._ratio)
        self._forecast.draw(self._content.recovery, view.x, self._width, scale, look)
        self._markers.draw(self._content.delay(), view.x, view.y, self._width, self._height, look)
        self._legend.show_entries(self._entries())
        self._speak()
        # Now: left to the paint, the new place of everything would make it paint twice.
        self._plot.scene().prepareForPaint()

    def _entries(self) -> tuple[LegendEntry, ...]:
        band = self._forecast.band is not None
        return legend_entries(self._content, self._scale, self._look, band=band)

    def _speak(self) -> None:
        """Renew what a screen reader says, but not at every reading; the table if there is one."""
        recovery = self._content.recovery
        phase = recovery.phase if recovery is not None else None
        fitted = recovery is not None and recovery.fit is not None
        about = (
            int(self._content.now_s() // _SPOKEN_S),
            tuple(self._content.series),
            (phase, fitted),
            len(self._content.marks),
            self._view.x,
            self._scale,
            QAccessible.isActive(),
        )
        if about == self._spoken:
            return
        self._spoken = about
        sentences = [entry.text for entry in self._entries()]
        sentences += [f"{elapsed(m.time_s)}: {m.text}" for m in self._content.markers()]
        if QAccessible.isActive():
            sentences += [", ".join(cell for cell in row if cell) for row in self.table()]
        self.setAccessibleDescription(". ".join(sentences))
