"""The readings of one channel: its line and its line markers."""

import math
from typing import Any

import numpy as np
import pyqtgraph as pg
from PySide6.QtGui import QPen

from benchmeter.window.plot.history import ChannelHistory
from benchmeter.window.plot.scale import Scale
from benchmeter.window.plot.strokes import lengthened, widened
from benchmeter.window.theme.palette import Theme

__all__ = ["SYMBOLS", "Series"]

SYMBOLS = ("o", "s", "t1", "d")
"""Line markers of the series, as the plotting library calls them."""

_DENSE = 2000  # points a curve above which it is drawn without antialiasing


class Series:
    """One curve item for the whole session.

    Attributes:
        title: name for people.
        number: 0 to 3: its colour and line marker.
        pen: of the line; its width is in pixels of the screen.
    """

    def __init__(self, item: Any, title: str, number: int) -> None:
        self.title, self.number = title, number
        self.history = ChannelHistory()
        self.pen = pg.mkPen(None)
        self.curve = pg.PlotCurveItem(connect="finite", antialias=False)
        self.curve.setSegmentedLineMode("on")
        self.curve.setZValue(4)
        self.symbols = pg.ScatterPlotItem()
        self.symbols.setZValue(6)
        self._item = item
        for thing in (self.curve, self.symbols):
            item.addItem(thing, ignoreBounds=True)

    def remove(self) -> None:
        """Take it out of the plot."""
        for thing in (self.curve, self.symbols):
            self._item.removeItem(thing)

    def dress(self, look: Theme) -> None:
        """Take colours and widths."""
        colour = look.palette.series[self.number]
        # Opaque and solid: anything else costs seconds a frame on a noisy curve. Wider than the
        # fit that lies over it, so that both are seen where they agree.
        self.pen = pg.mkPen(colour, width=min(look.px(3), 4))
        self.symbols.setBrush(pg.mkBrush(colour))
        self.symbols.setPen(pg.mkPen(look.palette.panel, width=1))
        self.symbols.setSymbol(SYMBOLS[self.number])
        self.symbols.setSize(look.px(13))

    def draw(
        self,
        x_range: tuple[float, float],
        columns: int,
        step: float,
        scale: Scale,
        pixel: float,
        ratio: float,
    ) -> None:
        """Draw the stretch.

        Args:
            columns: pixel columns, none wider than a pixel.
            step: seconds between two ticks, and between two line markers.
            pixel: degrees that a pixel is high.
            ratio: pixels of the screen to a pixel.
        """
        low, high = x_range
        dense = self.history.spans(low, high, columns)
        if dense is not None:
            # Strokes as thin as a column, widened and lengthened to what the pen would cover: it
            # would paint every pixel several times.
            pen = QPen(self.pen)
            pen.setWidthF(math.ceil(ratio))
            more = max(self.pen.widthF() - pen.widthF(), 0.0) / 2 / ratio  # at each side
            x, y = dense.strokes()
            if more >= 1:
                x, y = widened(x, y, dense.step)
            y = lengthened(scale.degrees(y), more * pixel)
            self.curve.setData(x, y, pen=pen, connect="pairs", antialias=False)
        else:
            x, y = self.history.query(low, high, columns)
            self.curve.setData(
                x, scale.degrees(y), pen=self.pen, connect="finite", antialias=len(x) < _DENSE
            )
        # Near round times, the series apart from one another, each on a reading of its own.
        shift = (self.number + 0.5) / len(SYMBOLS) * step
        first = math.floor(low / step)
        places = np.arange(first, math.ceil(high / step) + 1, dtype=float) * step + shift
        times, values = self.history.nearest(places, within=step / 8)
        there = ~np.isnan(values)
        self.symbols.setData(times[there], scale.degrees(values[there]))
