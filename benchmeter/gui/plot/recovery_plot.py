"""The recovery plot: temperatures over elapsed time, the fit, where it will settle, and when."""

import math
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pyqtgraph as pg
from numpy.typing import NDArray
from PySide6.QtCore import QEvent, QSize, Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from benchmeter.cooling.recovery import Recovery, StepFit
from benchmeter.gui.flow import FlowLayout
from benchmeter.gui.palette import Look, Palette, current_look
from benchmeter.gui.plot.history import ChannelHistory
from benchmeter.gui.plot.legend import Legend, LegendEntry
from benchmeter.gui.plot.time_axis import ElapsedAxis, elapsed
from benchmeter.readings.temperature import ZERO_CELSIUS_K
from benchmeter.reporting.numbers import temperature_text

__all__ = ["RecoveryPlot"]

Floats = NDArray[np.float64]

_SYMBOLS = ("o", "s", "t1", "d")
_USUAL = {"discharge": 0, "outdoor": 1}  # series of the channels that every session has
_SHORTEST_S = 120.0  # of the stretch that is shown at first
_FURTHEST_S = 3600.0  # beyond now: no forecast farther than this
_DENSE = 2000  # points a curve above which it is drawn without antialiasing


@dataclass(slots=True)
class _Channel:
    title: str
    series: int
    history: ChannelHistory
    curve: Any
    symbols: Any


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
        self.setAccessibleName(self.tr("Recovery plot"))
        self._palette: Palette | None = None
        self._fahrenheit = True
        self._channels: dict[str, _Channel] = {}
        self._recovery: Recovery | None = None
        self._marks: list[tuple[float, str]] = []
        self._view = "everything"
        self._x_range = (0.0, _SHORTEST_S)
        self._y_range = (0.0, 1.0)
        self._new = True
        self._overlays: list[Any] = []
        self._overlaid: object = None  # what the overlays were made from
        self._forecast: object = None  # what fit and forecast were drawn from

        self._axis = ElapsedAxis()
        self._plot = pg.PlotWidget(axisItems={"bottom": self._axis})
        self._plot.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        item = self._plot.getPlotItem()
        item.setMenuEnabled(False)
        item.hideButtons()
        self._box = item.getViewBox()
        self._box.disableAutoRange()
        self._box.setMouseEnabled(x=True, y=False)
        self._box.setDefaultPadding(0)
        self._box.sigRangeChangedManually.connect(self._moved_by_hand)
        self._band = pg.FillBetweenItem(pg.PlotCurveItem(), pg.PlotCurveItem())
        self._fit = pg.PlotCurveItem()
        self._settled = pg.PlotCurveItem()
        for thing, depth in ((self._band, 2), (self._fit, 3), (self._settled, 7)):
            thing.setZValue(depth)
            item.addItem(thing, ignoreBounds=True)

        self._legend = Legend(self)
        self._buttons = self._make_buttons()
        row = FlowLayout()
        for button in self._buttons:
            row.addWidget(button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._legend)
        column.addWidget(self._plot, 1)
        column.addLayout(row)
        self._dress()

    def _make_buttons(self) -> tuple[QPushButton, ...]:
        made = []
        for text, spoken, slot in (
            (self.tr("Everything (Home)"), self.tr("Show everything"), self.show_everything),
            (self.tr("Follow (F)"), self.tr("Follow the present"), self.follow),
            ("+", self.tr("Closer"), self.zoom_in),
            ("−", self.tr("Farther"), self.zoom_out),
            ("←", self.tr("Earlier"), self.move_earlier),
            ("→", self.tr("Later"), self.move_later),
        ):
            button = QPushButton(text, self)
            button.setAccessibleName(spoken)
            button.setToolTip(spoken)
            button.clicked.connect(slot)
            made.append(button)
        made[0].setCheckable(True)
        made[1].setCheckable(True)
        made[0].setChecked(True)
        return tuple(made)

    # --- what is shown -------------------------------------------------------------------------

    def name_channel(self, channel: str, title: str, series: int | None = None) -> None:
        """Give a channel its name for people, and perhaps its series 0 to 3."""
        known = self._channel(channel)
        known.title = title
        if series is not None:
            known.series = series % len(_SYMBOLS)
        self._dress()

    def add_readings(self, channel: str, times_s: Floats, values_k: Floats) -> None:
        """Take readings in: seconds since the session's start, kelvin; NaN is a gap."""
        self._channel(channel).history.add(
            np.asarray(times_s, dtype=float), np.asarray(values_k, dtype=float)
        )
        self._new = True

    def add_gap(self, channel: str, from_s: float, to_s: float) -> None:
        """Break the line of a channel; known late or at once."""
        if not to_s >= from_s:
            raise ValueError(f"a gap from {from_s} to {to_s} s")
        self._channel(channel).history.add_gap(from_s)
        self._new = True

    def show_recovery(self, recovery: Recovery | None) -> None:
        """Show what is known of the recovery."""
        if recovery != self._recovery:
            self._recovery = recovery
            self._new = True

    def mark(self, time_s: float, text: str) -> None:
        """Put a marker with the technician's words."""
        self._marks.append((time_s, text))
        self._new = True

    def set_temperature_unit(self, unit: str) -> None:
        """ "degF" or "degC"."""
        self._fahrenheit = unit == "degF"
        self._y_range = (0.0, 1.0)
        self._dress()

    def set_palette(self, palette: Palette | None) -> None:
        """Colours of their own, for a report; None: those of the application."""
        self._palette = palette
        self._dress()

    def clear(self) -> None:
        """Forget everything: another session begins."""
        item = self._plot.getPlotItem()
        for channel in self._channels.values():
            item.removeItem(channel.curve)
            item.removeItem(channel.symbols)
        self._channels.clear()
        self._marks.clear()
        self._recovery = self._overlaid = self._forecast = None
        self._x_range, self._y_range = (0.0, _SHORTEST_S), (0.0, 1.0)
        self._set_view("everything")

    @Slot()
    def tick(self) -> None:
        """Draw what is new; called by the window's frame timer."""
        if self._new and self.isVisible():
            self._redraw()

    def to_png(self, path: str | Path, size: QSize | tuple[int, int]) -> None:
        """Save a picture without the buttons; works without a screen.

        Raises:
            OSError: the file cannot be written.
        """
        before = self.size()
        for button in self._buttons:
            button.hide()
        self.resize(size if isinstance(size, QSize) else QSize(*size))
        self.ensurePolished()
        for _ in range(2):  # the axis takes its width from its labels
            self.grab()
            self._redraw()
        saved = self.grab().save(str(path))
        for button in self._buttons:
            button.show()
        self.resize(before)
        if not saved:
            raise OSError(f"cannot write {path}")

    # --- the view ------------------------------------------------------------------------------

    @Slot()
    def show_everything(self) -> None:
        """From the first reading to the end of the forecast."""
        self._set_view("everything")

    @Slot()
    def follow(self) -> None:
        """Keep the present in view, at the present zoom."""
        self._set_view("follow")

    @Slot()
    def zoom_in(self) -> None:
        """Half the stretch; the end stays when following, else the middle."""
        self._zoom(0.5)

    @Slot()
    def zoom_out(self) -> None:
        """Twice the stretch."""
        self._zoom(2.0)

    @Slot()
    def move_earlier(self) -> None:
        """By a fifth of the stretch."""
        self._move(-0.2)

    @Slot()
    def move_later(self) -> None:
        """By a fifth of the stretch."""
        self._move(0.2)

    @property
    def x_range(self) -> tuple[float, float]:
        """What is in view, seconds."""
        return self._x_range

    def _set_view(self, view: str) -> None:
        self._view = view
        self._buttons[0].setChecked(view == "everything")
        self._buttons[1].setChecked(view == "follow")
        self._new = True
        self.view_changed.emit(view)
        self.tick()

    def _zoom(self, factor: float) -> None:
        low, high = self._x_range
        width = min(max((high - low) * factor, 10.0), 7 * 86_400.0)
        if self._view == "follow":
            self._x_range = (high - width, high)
            self._set_view("follow")
            return
        middle = (low + high) / 2
        self._x_range = (middle - width / 2, middle + width / 2)
        self._set_view("free")

    def _move(self, part: float) -> None:
        low, high = self._x_range
        by = (high - low) * part
        self._x_range = (low + by, high + by)
        self._set_view("free")

    @Slot()
    def _moved_by_hand(self, *_: object) -> None:
        low, high = self._box.viewRange()[0]
        self._x_range = (float(low), float(high))
        self._set_view("free")

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
        if event.type() in (QEvent.Type.PaletteChange, QEvent.Type.FontChange):
            self._dress()
        super().changeEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._new = True
        super().resizeEvent(event)

    def showEvent(self, event: Any) -> None:
        self._new = True
        super().showEvent(event)

    def minimumSizeHint(self) -> QSize:
        look = current_look()
        return QSize(look.px(320), look.px(280))

    def sizeHint(self) -> QSize:
        look = current_look()
        return QSize(look.px(800), look.px(460))

    # --- drawing -------------------------------------------------------------------------------

    @property
    def _look(self) -> Look:
        look = current_look()
        return look if self._palette is None else Look(self._palette, look.zoom, look.decimal_sign)

    def _degrees(self, kelvin: Any) -> Any:
        celsius = kelvin - ZERO_CELSIUS_K
        return celsius * 1.8 + 32 if self._fahrenheit else celsius

    @property
    def _unit(self) -> str:
        return "°F" if self._fahrenheit else "°C"

    def _channel(self, name: str) -> _Channel:
        known = self._channels.get(name)
        if known is not None:
            return known
        taken = {channel.series for channel in self._channels.values()}
        free = (s for s in range(len(_SYMBOLS)) if s not in taken | set(_USUAL.values()))
        series = _USUAL.get(name, next(free, len(self._channels) % len(_SYMBOLS)))
        titles = {"discharge": self.tr("Discharge air"), "outdoor": self.tr("Outdoor air")}
        curve = pg.PlotCurveItem(connect="finite", antialias=False)
        curve.setSegmentedLineMode("on")
        curve.setZValue(4)
        symbols = pg.ScatterPlotItem()
        symbols.setZValue(5)
        item = self._plot.getPlotItem()
        item.addItem(curve, ignoreBounds=True)
        item.addItem(symbols, ignoreBounds=True)
        made = _Channel(titles.get(name, name), series, ChannelHistory(), curve, symbols)
        self._channels[name] = made
        self._dress_channel(made)
        return made

    def _dress(self) -> None:
        """Take colours and fonts from the look."""
        if not hasattr(self, "_buttons"):  # Qt tells of its first style before we are built
            return
        look = self._look
        self._plot.setBackground(look.colour("panel"))
        item = self._plot.getPlotItem()
        for side in ("left", "bottom"):
            axis = item.getAxis(side)
            axis.setPen(pg.mkPen(look.colour("edge"), width=look.px(1)))
            axis.setTextPen(pg.mkPen(look.colour("ink")))
            axis.setStyle(tickFont=look.body, tickLength=-look.px(6), tickTextOffset=look.px(6))
        self._axis.label_width = float(look.px(76))
        item.getAxis("left").enableAutoSIPrefix(False)
        label = {"color": look.palette.ink, "font-size": f"{look.px(14)}px"}
        item.setLabel("bottom", self.tr("Elapsed time"), **label)
        item.setLabel("left", self.tr("Temperature in {unit}").format(unit=self._unit), **label)
        item.getAxis("left").setStyle(maxTickLevel=0)
        item.getAxis("left").setTickPen(pg.mkPen(look.colour("rule"), width=look.px(1)))
        item.showGrid(x=False, y=True, alpha=1.0)
        self._fit.setPen(pg.mkPen(look.colour("ink"), width=look.px(2)))
        self._band.setBrush(pg.mkBrush(look.colour("forecast")))
        self._band.setPen(pg.mkPen(None))
        self._settled.setPen(QPen(look.colour("ink"), look.px(4), c=Qt.PenCapStyle.FlatCap))
        self._settled.opts["pen"].setCosmetic(True)
        for channel in self._channels.values():
            self._dress_channel(channel)
        item.layout.setContentsMargins(0, look.px(12), look.px(12), 0)
        self._overlaid = self._forecast = None
        layout = self.layout()
        if layout is not None:
            layout.setSpacing(look.px(8))
        self._new = True
        if self.isVisible():
            self._redraw()

    def _dress_channel(self, channel: _Channel) -> None:
        look = self._look
        colour = look.palette.series[channel.series]
        # Opaque and solid: anything else costs seconds a frame on a noisy curve.
        channel.curve.setPen(pg.mkPen(colour, width=min(look.px(3), 4)))
        channel.symbols.setBrush(pg.mkBrush(colour))
        channel.symbols.setPen(pg.mkPen(look.palette.panel, width=1))
        channel.symbols.setSymbol(_SYMBOLS[channel.series])
        channel.symbols.setSize(look.px(13))

    def _redraw(self) -> None:
        self._new = False
        self._hold_x_range()
        self._draw_curves()
        self._draw_recovery()
        self._hold_y_range()
        self._draw_overlays()
        self._legend.show_entries(self._entries())
        self.setAccessibleDescription(". ".join(entry.text for entry in self._entries()))

    def _now_s(self) -> float:
        ends = [c.history.span[1] for c in self._channels.values() if c.history.span]
        if self._recovery is not None:
            ends.append(self._recovery.time_ns / 1e9)
        return max(ends, default=0.0)

    def _begin_s(self) -> float:
        begins = [c.history.span[0] for c in self._channels.values() if c.history.span]
        return min(begins, default=0.0)

    def _horizon_s(self) -> float:
        """Where the forecast ends."""
        now, recovery = self._now_s(), self._recovery
        if recovery is None or recovery.fit is None:
            return now
        left = recovery.time_left_s.value if recovery.time_left_s is not None else 0.0
        return now + min(max(left * 1.1, 0.0), _FURTHEST_S)

    def _hold_x_range(self) -> None:
        """The view stands still and jumps by a tenth: a moving range is painted twice a frame."""
        low, high = self._x_range
        now = self._now_s()
        if self._view == "everything":
            begin, end = self._begin_s(), self._horizon_s()
            width = max(end - begin, _SHORTEST_S)
            # Shrink only when much is empty: the forecast's end moves to and fro.
            if low != begin or end > high or high - begin > 1.35 * width:
                low, high = begin, begin + width * 1.1
        elif self._view == "follow" and not low <= now <= high:
            width = high - low
            high = now + width / 10
            low = high - width
        self._x_range = (low, high)
        if self._box.viewRange()[0] != [low, high]:
            self._box.setXRange(low, high, padding=0)

    def _pixel_columns(self) -> int:
        return max(int(self._box.width()), 50)

    def _draw_curves(self) -> None:
        low, high = self._x_range
        size = max(self._box.width(), 50)
        step = self._axis.step(low, high, size)
        for channel in self._channels.values():
            dense = channel.history.spans(low, high, self._pixel_columns())
            if dense is not None:
                x, y = dense.strokes()
                channel.curve.setData(x, self._degrees(y), connect="pairs", antialias=False)
            else:
                x, y = channel.history.query(low, high, self._pixel_columns())
                smooth = len(x) < _DENSE
                channel.curve.setData(x, self._degrees(y), connect="finite", antialias=smooth)
            # Line markers at round times, the series apart from one another.
            shift = (channel.series + 0.5) / len(_SYMBOLS) * step
            first = math.floor(low / step)
            places = np.arange(first, math.ceil(high / step) + 1, dtype=float) * step + shift
            values = channel.history.near(places, within=step / 8)
            there = ~np.isnan(values)
            channel.symbols.setData(places[there], self._degrees(values[there]))

    def _draw_recovery(self) -> None:
        recovery = self._recovery
        shown = (recovery, self._x_range, self._fahrenheit, self._box.width())
        if shown == self._forecast:
            return
        self._forecast = shown
        fit = recovery.fit if recovery is not None else None
        start = recovery.start_ns if recovery is not None else None
        if recovery is None or fit is None or start is None:
            for curve in (self._fit, self._settled, *self._band.curves):
                curve.setData([], [])
            return
        now, begin = recovery.time_ns / 1e9, start / 1e9
        end = max(self._x_range[1], now)
        times = np.linspace(begin, end, 300)
        self._fit.setData(times, self._degrees(_response(fit, times - begin)), antialias=True)
        settled = recovery.settled_k or fit.final
        ahead = np.linspace(now, end, 120)
        fade = 1 - np.exp(-(ahead - now) / max(fit.time_constant_s.value, 1e-9))
        at_now = _response(fit, np.array([now - begin]))[0]
        for curve, edge in zip(self._band.curves, (settled.low, settled.high), strict=True):
            curve.setData(ahead, self._degrees(at_now + (edge - at_now) * fade))
        self._draw_settled(settled.low, settled.value, settled.high, end)

    def _draw_settled(self, low_k: float, value_k: float, high_k: float, end: float) -> None:
        """The settled value with its interval, at the right edge: a bar with three cross lines."""
        per_pixel = (self._x_range[1] - self._x_range[0]) / max(self._box.width(), 50)
        cap, x = self._look.px(10) * per_pixel, end - self._look.px(14) * per_pixel
        low, value, high = (self._degrees(v) for v in (low_k, value_k, high_k))
        nan = np.nan
        self._settled.setData(
            np.array([x, x, nan, x - cap, x + cap, nan, x - cap, x + cap, nan, x - cap, x + cap]),
            np.array([low, high, nan, low, low, nan, value, value, nan, high, high]),
            connect="finite",
        )

    def _hold_y_range(self) -> None:
        """Round limits that change only when something leaves them or most of them is empty."""
        low, high = self._x_range
        ends: list[float] = []
        for channel in self._channels.values():
            found = channel.history.extremes(low, high)
            ends += [float(self._degrees(v)) for v in found or ()]
        recovery = self._recovery
        if recovery is not None and recovery.fit is not None and recovery.settled_k is not None:
            ends += self._in_reason(recovery, ends)
        if not ends:
            ends = [50.0, 110.0] if self._fahrenheit else [10.0, 45.0]
        least, most = min(ends), max(ends)
        span = max(most - least, 4.0)
        step = 10 if span > 40 else 5 if span > 12 else 2
        # A strip above everything is for the words of spans and markers.
        wanted = (
            math.floor((least - 0.06 * span) / step) * float(step),
            math.ceil((most + 0.3 * span) / step) * float(step),
        )
        held = self._y_range
        fits = held[0] <= least - 0.02 * span and held[1] >= most + 0.2 * span
        if not fits or held[1] - held[0] > 1.8 * (wanted[1] - wanted[0]):
            self._y_range = wanted
        if self._box.viewRange()[1] != list(self._y_range):
            self._box.setYRange(*self._y_range, padding=0)

    def _in_reason(self, recovery: Recovery, seen: list[float]) -> list[float]:
        """The forecast's ends, but not so far off that the readings become a flat line."""
        settled = recovery.settled_k
        if settled is None:
            return []
        ends = [float(self._degrees(v)) for v in (settled.low, settled.value, settled.high)]
        if not seen:
            return ends
        least, most = min(seen), max(seen)
        reach = max(1.5 * (most - least), 10.0)
        return [min(max(end, least - reach), most + reach) for end in ends]

    def _draw_overlays(self) -> None:
        """Restart delay, start and markers: made anew only when something of them has changed."""
        recovery = self._recovery
        words = list(self._marks)
        delay: tuple[float, float] | None = None
        if recovery is not None and recovery.start_ns is not None:
            words.append((recovery.start_ns / 1e9, self.tr("Start")))
        if recovery is not None and recovery.power_ns is not None:
            power, start = recovery.power_ns / 1e9, recovery.start_ns
            end = start / 1e9 if start is not None else recovery.time_ns / 1e9
            if end > power:
                delay = (power, end)
                text = self.tr("Restart delay {time}").format(time=elapsed(end - power))
                words.append((power, text))
        look = self._look
        shown = (delay, tuple(words), self._y_range, self._box.height(), look)
        if shown == self._overlaid:
            return
        self._overlaid = shown
        for thing in self._overlays:
            self._plot.getPlotItem().removeItem(thing)
        self._overlays.clear()
        if delay is not None:
            span = pg.LinearRegionItem(
                delay,
                movable=False,
                brush=pg.mkBrush(look.colour("hold_off")),
                pen=pg.mkPen(look.colour("edge"), width=look.px(1)),
            )
            span.setZValue(1)
            self._put(span)
        for row, (time_s, text) in enumerate(sorted(words)):
            self._put_word(time_s, text, row)

    def _put_word(self, time_s: float, text: str, row: int) -> None:
        """A line with its word, right of it, in one of three rows so that words do not meet."""
        look = self._look
        pen = pg.mkPen(look.colour("ink"), width=look.px(1))
        line = pg.InfiniteLine(time_s, angle=90, pen=pen)
        line.setZValue(1.5)
        self._put(line)
        word = pg.TextItem(
            text, color=look.colour("ink"), anchor=(0, 0), fill=pg.mkBrush(look.colour("panel"))
        )
        word.setFont(look.body)
        low, high = self._y_range
        row_height = look.px(26) / max(self._box.height(), 50) * (high - low)
        word.setPos(time_s, high - (row % 3) * row_height)
        word.setZValue(8)
        self._put(word)

    def _put(self, thing: Any) -> None:
        self._plot.getPlotItem().addItem(thing, ignoreBounds=True)
        self._overlays.append(thing)

    def _entries(self) -> tuple[LegendEntry, ...]:
        look = self._look
        entries = []
        for channel in sorted(self._channels.values(), key=lambda c: c.series):
            last = channel.history.last_valid()
            value = self._in_words(last) if last is not None else self.tr("no reading")
            entries.append(
                LegendEntry(
                    f"{channel.title} {value}",
                    look.palette.series[channel.series],
                    _SYMBOLS[channel.series],
                )
            )
        recovery = self._recovery
        if not entries:
            text = self.tr("No temperatures yet. Connect the probes for discharge and outdoor air.")
            return (LegendEntry(text, look.palette.rule),)
        if recovery is not None and recovery.fit is not None:
            entries.append(LegendEntry(self.tr("fit"), look.palette.ink))
            entries.append(LegendEntry(self.tr("forecast"), look.palette.forecast, area=True))
            if recovery.settled_k is not None:
                settled = recovery.settled_k
                text = self.tr("settles at {value} ({low} to {high})").format(
                    value=self._in_words(settled.value),
                    low=self._in_words(settled.low),
                    high=self._in_words(settled.high),
                )
                entries.append(LegendEntry(text, look.palette.ink))
        return tuple(entries)

    def _in_words(self, kelvin: float) -> str:
        return temperature_text(
            kelvin, self._unit, decimals=1, decimal_sign=self._look.decimal_sign
        )


def _response(fit: StepFit, since_start_s: Floats) -> Floats:
    final, initial = fit.final.value, fit.initial.value
    return np.asarray(
        final + (initial - final) * np.exp(-since_start_s / max(fit.time_constant_s.value, 1e-9))
    )
