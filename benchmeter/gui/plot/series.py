"""The readings of one channel: its line and its line markers."""

import math
from typing import Any

import numpy as np
import pyqtgraph as pg

from benchmeter.gui.palette import Look
from benchmeter.gui.plot.history import ChannelHistory
from benchmeter.gui.plot.scale import Scale

__all__ = ["SYMBOLS", "Series"]

SYMBOLS = ("o", "s", "t1", "d")
"""Line markers of the series, as the plotting library calls them."""

_DENSE = 2000  # points a curve above which it is drawn without antialiasing


class Series:
    """One curve item for the whole session.

    Attributes:
        title: name for people.
        number: 0 to 3: its colour and line marker.
    """

    def __init__(self, item: Any, title: str, number: int) -> None:
        self.title, self.number = title, number
        self.history = ChannelHistory()
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

    def dress(self, look: Look) -> None:
        """Take colours and widths."""
        colour = look.palette.series[self.number]
        # Opaque and solid: anything else costs seconds a frame on a noisy curve. Wider than the
        # fit that lies over it, so that both are seen where they agree.
        self.curve.setPen(pg.mkPen(colour, width=min(look.px(3), 4)))
        self.symbols.setBrush(pg.mkBrush(colour))
        self.symbols.setPen(pg.mkPen(look.palette.panel, width=1))
        self.symbols.setSymbol(SYMBOLS[self.number])
        self.symbols.setSize(look.px(13))

    def draw(self, x_range: tuple[float, float], columns: int, step: float, scale: Scale) -> None:
        """Draw the stretch.

        Args:
            columns: pixel columns.
            step: seconds between two ticks, and between two line markers.
        """
        low, high = x_range
        dense = self.history.spans(low, high, columns)
        if dense is not None:
            x, y = dense.strokes()
            self.curve.setData(x, scale.degrees(y), connect="pairs", antialias=False)
        else:
            x, y = self.history.query(low, high, columns)
            smooth = len(x) < _DENSE
            self.curve.setData(x, scale.degrees(y), connect="finite", antialias=smooth)
        # Near round times, the series apart from one another, each on a reading of its own.
        shift = (self.number + 0.5) / len(SYMBOLS) * step
        first = math.floor(low / step)
        places = np.arange(first, math.ceil(high / step) + 1, dtype=float) * step + shift
        times, values = self.history.nearest(places, within=step / 8)
        there = ~np.isnan(values)
        self.symbols.setData(times[there], scale.degrees(values[there]))
