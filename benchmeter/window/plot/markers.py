"""Restart delay, start and the technician's markers: spans and lines with their words."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import pyqtgraph as pg
from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetricsF

from benchmeter.window.plot.plot_words import PlotWord, place_words
from benchmeter.window.theme.palette import Theme

__all__ = ["Marker", "Markers"]

_MARGIN = 12.0  # that the plotting library puts around a word, and a little between two
_MOST_ROWS = 6
_SHARE = 0.45  # of the height that words may take


@dataclass(frozen=True, slots=True, order=True)
class Marker:
    """A moment with its words."""

    time_s: float
    text: str


class Markers:
    """Draws them; made anew only when something of them has changed.

    Attributes:
        things: what is in the plot.
    """

    def __init__(self, item: Any) -> None:
        self._item = item
        self.things: list[Any] = []
        self._drawn: object = None
        self._words: tuple[tuple[Marker, PlotWord], ...] = ()
        self._placed_for: object = None

    def place(
        self, markers: Sequence[Marker], x_range: tuple[float, float], width: float, height: float,
        look: Theme,
    ) -> float:  # fmt: skip
        """Find where the words stand; the part of the height that they need."""
        row_height = _row_height(look)
        asked = (tuple(markers), x_range, width, height, look)
        if asked != self._placed_for:
            self._placed_for = asked
            low, high = x_range
            seen = sorted(m for m in markers if low <= m.time_s <= high)
            rows = max(min(int(height * _SHARE / row_height), _MOST_ROWS), 1)
            metrics = QFontMetricsF(look.body)
            placed = place_words(
                [((m.time_s - low) / (high - low) * width, m.text) for m in seen],
                width,
                rows,
                lambda text: metrics.horizontalAdvance(text) + _MARGIN,
                lambda text, cap: metrics.elidedText(
                    text, Qt.TextElideMode.ElideRight, cap - _MARGIN
                ),
            )
            self._words = tuple(zip(seen, placed, strict=True))
        used = max((word.row + 1 for _, word in self._words), default=0)
        return used * row_height / max(height, 50.0)

    def draw(
        self,
        delay: tuple[float, float] | None,
        x_range: tuple[float, float],
        y_range: tuple[float, float],
        width: float,
        height: float,
        look: Theme,
    ) -> None:
        """Draw the span of the restart delay, and the words as they were placed."""
        drawn = (delay, self._words, x_range, y_range, width, height, look)
        if drawn == self._drawn:
            return
        self.clear()
        self._drawn = drawn
        if delay is not None:
            self._put(_span(delay, look), 1)
        low, high = y_range
        row_height = _row_height(look) / max(height, 50.0) * (high - low)
        per_pixel = (x_range[1] - x_range[0]) / max(width, 1.0)
        for marker, word in self._words:
            top = high - word.row * row_height
            line = pg.PlotCurveItem(
                [marker.time_s] * 2, [low, top], pen=pg.mkPen(look.colour("ink"), width=look.px(1))
            )
            self._put(line, 1.5)
            if not word.text:
                continue
            text = pg.TextItem(
                word.text,
                color=look.colour("ink"),
                anchor=(0, 0),
                fill=pg.mkBrush(look.colour("panel")),
            )
            text.setFont(look.body)
            text.setPos(x_range[0] + word.left * per_pixel, top)
            self._put(text, 8)

    def clear(self) -> None:
        """Take everything out of the plot."""
        for thing in self.things:
            self._item.removeItem(thing)
        self.things.clear()
        self._drawn = None

    def _put(self, thing: Any, depth: float) -> None:
        thing.setZValue(depth)
        self._item.addItem(thing, ignoreBounds=True)
        self.things.append(thing)


def _row_height(look: Theme) -> float:
    """Of a word with the margin that the plotting library puts above and below it."""
    return QFontMetricsF(look.body).lineSpacing() + 9


def _span(ends: tuple[float, float], look: Theme) -> Any:
    return pg.LinearRegionItem(
        ends,
        movable=False,
        brush=pg.mkBrush(look.colour("hold_off")),
        pen=pg.mkPen(look.colour("edge"), width=look.px(1)),
    )
