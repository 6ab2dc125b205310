"""A section of a lot in two pictures: its readings between the limits, and one after the other."""

from decimal import Decimal
from typing import TYPE_CHECKING

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from benchmeter.conformity.verdict import Measurement
from benchmeter.statistics.lot_statistics import LotStatistics
from benchmeter.window.widgets.painted import Painted, centred
from benchmeter.words.lots import counted_words, outside_words, section_words
from benchmeter.words.numbers import exact_text

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

__all__ = ["LotHistogram", "LotTrend"]

_BARS = 76  # height of the highest bar, at 100 %
_TREND = 52
_BAY = 0.12  # share of the width for what lies beyond a limit
_MOST_POINTS = 800  # more are drawn as a band from least to greatest, column by column


# Painted by hand: items of pyqtgraph are silent for a screen reader, their texts neither wrap nor
# make room at 200 %, and its import holds the window for 0.2 s that this picture does not need.
class LotHistogram(Painted):
    """Counts over the tolerance band; what is outside stands beyond the limits.

    The band, its limits, the rated value and the mean with its interval (a disc with a bar) are
    drawn as on the ruler. Bars outside are hatched.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(self.tr("widgets.histogram"))
        self._lot: LotStatistics | None = None
        self.renew("")

    def show_section(self, statistics: LotStatistics | None) -> None:
        """Show the counts of a section; None: nothing."""
        self._lot = statistics
        self.renew(self._spoken())

    def _spoken(self) -> str:
        lot = self._lot
        if lot is None:
            return ""
        counts = ", ".join(str(count) for count in lot.histogram.counts)
        how = self.look.presentation
        said = f"{section_words(lot.section, how)}: {counted_words(lot, how)}"
        return f"{said}; {outside_words(lot, how)}. {counts}."

    # --- geometry ------------------------------------------------------------------------------

    def heightForWidth(self, width: int) -> int:
        look = self.look
        small = QFontMetricsF(look.small).height()
        return int(small + look.px(_BARS + 26) + small * self._rows(width)) + 1

    def sizeHint(self) -> QSize:
        width = self.look.px(520)
        return QSize(width, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:
        width = self.look.px(300)
        return QSize(width, self.heightForWidth(width))

    def line(self) -> QRectF:
        """From the least to the greatest value that has a bin, bars above it."""
        look, width = self.look, self.width()
        left, right = self._bays()
        top = QFontMetricsF(look.small).height()
        side = look.px(8)
        room = width - 2 * side
        start = side + room * left
        return QRectF(start, top, max(room * (1 - left - right), 1.0), look.px(_BARS))

    def _bays(self) -> tuple[float, float]:
        section = self._lot.section if self._lot is not None else None
        if section is None:
            return 0.0, 0.0
        return (
            _BAY if section.low_si is not None else 0.02,
            _BAY if section.high_si is not None else 0.02,
        )

    def x_of(self, value_si: float) -> float:
        """Widget x of a value."""
        if self._lot is None:
            raise ValueError("no section is shown")
        line, edges = self.line(), self._lot.histogram.edges_si
        first, last = float(edges[0]), float(edges[-1])
        if last == first:
            return line.center().x()
        return line.left() + (value_si - first) / (last - first) * line.width()

    def _marks(self) -> list[tuple[str, float]]:
        """Numbers below the line, from left to right."""
        if self._lot is None:
            return []
        section, edges = self._lot.section, self._lot.histogram.edges_si
        known: list[Decimal] = [edges[0], edges[-1]]
        if section.rated_si is not None and edges[0] < section.rated_si < edges[-1]:
            known.append(section.rated_si)
        how = self.look.presentation
        unit = how.unit(section.unit)
        return [(how.number(exact_text(v, unit)), self.x_of(float(v))) for v in sorted(set(known))]

    def _rows(self, width: int) -> int:
        """How many rows the numbers need at the most."""
        metrics = QFontMetricsF(self.look.small)
        needed = sum(
            metrics.horizontalAdvance(text) + self.look.px(12) for text, _ in self._marks()
        )
        return 1 if needed < width * 0.7 else 2

    # --- painting ------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        lot = self._lot
        if lot is None:
            return
        painter = self.painter()
        look, line = self.look, self.line()
        painter.fillRect(line, look.colour("band"))
        histogram = lot.histogram
        greatest = max(*histogram.counts, histogram.below, histogram.above, 1)
        wide = line.width() / len(histogram.counts)
        for place, count in enumerate(histogram.counts):
            self._bar(painter, line.left() + place * wide, wide, count, greatest)
        bay = (self.width() - 2 * look.px(8)) * _BAY
        beyond = ((line.left() - bay, histogram.below), (line.right(), histogram.above))
        for left, count in beyond:
            if count:
                self._bar(painter, left + bay * 0.2, bay * 0.6, count, greatest, outside=True)
        self._axis(painter)
        self._mean(painter, lot)
        painter.end()

    def _bar(
        self,
        painter: QPainter,
        left: float,
        wide: float,
        count: int,
        greatest: int,
        *,
        outside: bool = False,
    ) -> None:
        if not count:
            return
        look, line = self.look, self.line()
        high = max(count / greatest * line.height(), look.px(2))
        rect = QRectF(left + look.px(1), line.bottom() - high, wide - look.px(2), high)
        tone = look.colour("bad" if outside else "edge")
        painter.setPen(QPen(tone, look.px(2)))
        painter.setBrush(tone if not outside else look.colour("panel"))
        painter.drawRect(rect)
        if outside:
            painter.setBrush(tone)
            painter.setBrush(Qt.BrushStyle.BDiagPattern)
            painter.fillRect(rect, painter.brush())
        painter.setBrush(Qt.BrushStyle.NoBrush)
        text, metrics = str(count), QFontMetricsF(look.small)
        if metrics.horizontalAdvance(text) <= wide + look.px(4) or outside:
            painter.setPen(tone if outside else look.colour("ink"))
            centred(painter, look.small, rect.center().x(), rect.top() - look.px(3), text)

    def _axis(self, painter: QPainter) -> None:
        look, line = self.look, self.line()
        assert self._lot is not None
        section = self._lot.section
        painter.setPen(QPen(look.colour("edge"), look.px(2)))
        painter.drawLine(
            QPointF(look.px(8), line.bottom()), QPointF(self.width() - look.px(8), line.bottom())
        )
        painter.setPen(QPen(look.colour("ink"), look.px(3), c=Qt.PenCapStyle.FlatCap))
        for limit, x in ((section.low_si, line.left()), (section.high_si, line.right())):
            if limit is not None:
                painter.drawLine(QPointF(x, line.top()), QPointF(x, line.bottom() + look.px(6)))
        metrics = QFontMetricsF(look.small)
        base = line.bottom() + look.px(22) + metrics.ascent()
        painter.setPen(QPen(look.colour("ink"), look.px(1)))
        marks = self._marks()
        for text, x in marks:
            painter.drawLine(QPointF(x, line.bottom()), QPointF(x, line.bottom() + look.px(6)))
            half = metrics.horizontalAdvance(text) / 2
            row = 1 if self._rows(self.width()) > 1 and 0 < marks.index((text, x)) < 2 else 0
            at = min(max(x, half), self.width() - half)
            centred(painter, look.small, at, base + row * metrics.height(), text)

    def _mean(self, painter: QPainter, lot: LotStatistics) -> None:
        """Just below the line, so that no bar hides it."""
        if lot.spread is None:
            return
        look, line, mean = self.look, self.line(), lot.spread.mean_si
        y = line.bottom() + look.px(11)
        ends = (
            min(max(self.x_of(x), look.px(8)), self.width() - look.px(8))
            for x in (mean.low, mean.value, mean.high)
        )
        low, at, high = ends
        painter.setPen(QPen(look.colour("accent"), look.px(4), c=Qt.PenCapStyle.FlatCap))
        painter.drawLine(QPointF(low, y), QPointF(high, y))
        painter.setPen(QPen(look.colour("ground"), look.px(1)))
        painter.setBrush(look.colour("accent"))
        painter.drawEllipse(QPointF(at, y), look.px(6), look.px(6))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        metrics, words = QFontMetricsF(look.small), self.tr("widgets.mean")
        wide = metrics.horizontalAdvance(words)
        right = max(high, at + look.px(6)) + look.px(6)
        left = min(low, at - look.px(6)) - look.px(6) - wide
        painter.setPen(look.colour("accent"))
        painter.setFont(look.small)
        fits = right + wide < self.width() - look.px(8)
        painter.drawText(QPointF(right if fits else left, y + metrics.capHeight() / 2), words)


class LotTrend(Painted):
    """The readings in the order of measuring, between their limits; least and greatest of each
    column where there are more readings than columns."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(self.tr("widgets.readings_order_measuring"))
        self._section: Measurement | None = None
        self._values: NDArray[np.float64] | None = None
        self.renew("")

    def show_section(
        self, section: Measurement | None, values_si: "NDArray[np.float64] | None", words: str = ""
    ) -> None:
        """Show the readings of a section.

        Args:
            values_si: shape (n,), in the order of measuring; NaN where there is no value.
            words: what a screen reader says of them.
        """
        self._section, self._values = section, values_si
        self.renew(words)

    def heightForWidth(self, width: int) -> int:
        return self.look.px(_TREND)

    def sizeHint(self) -> QSize:
        return QSize(self.look.px(520), self.look.px(_TREND))

    def minimumSizeHint(self) -> QSize:
        return QSize(self.look.px(200), self.look.px(_TREND))

    def _stretch(self, values: "NDArray[np.float64]") -> tuple[float, float]:
        """Least and greatest value that are shown: half a band beyond the limits."""
        import numpy as np

        assert self._section is not None
        low, high = self._section.low_si, self._section.high_si
        if low is not None and high is not None and high > low:
            half = float(high - low) / 2
            return float(low) - half / 2, float(high) + half / 2
        known = [float(limit) for limit in (low, high) if limit is not None]
        if np.isfinite(values).any():
            known += [float(np.nanmin(values)), float(np.nanmax(values))]
        least, greatest = min(known, default=0.0), max(known, default=1.0)
        room = (greatest - least) * 0.1 or abs(least) * 0.1 or 1.0
        return least - room, greatest + room

    def paintEvent(self, event: QPaintEvent) -> None:
        section, values = self._section, self._values
        if section is None or values is None or not len(values):
            return
        import numpy as np

        painter = self.painter()
        look, side = self.look, self.look.px(8)
        area = QRectF(side, side, self.width() - 2 * side, self.height() - 2 * side)
        least, greatest = self._stretch(values)

        def y_of(value: float) -> float:
            return area.bottom() - (value - least) / (greatest - least) * area.height()

        low, high = section.low_si, section.high_si
        top = area.top() if high is None else y_of(float(high))
        bottom = area.bottom() if low is None else y_of(float(low))
        if low is not None or high is not None:
            painter.fillRect(
                QRectF(area.left(), top, area.width(), bottom - top), look.colour("band")
            )
        painter.setPen(QPen(look.colour("ink"), look.px(1)))
        for limit in (low, high):
            if limit is not None:
                y = y_of(float(limit))
                painter.drawLine(QPointF(area.left(), y), QPointF(area.right(), y))
        shown = np.clip(values, least, greatest)
        ys = area.bottom() - (shown - least) / (greatest - least) * area.height()
        out = np.zeros(len(values), bool)
        if low is not None:
            out |= values < float(low)
        if high is not None:
            out |= values > float(high)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, len(values) <= _MOST_POINTS)
        if len(values) <= _MOST_POINTS:
            self._points(painter, area, ys, out)
        else:
            self._columns(painter, area, ys, out)
        painter.end()

    def _points(
        self,
        painter: QPainter,
        area: QRectF,
        ys: "NDArray[np.float64]",
        out: "NDArray[np.bool_]",
    ) -> None:
        look = self.look
        wide = area.width() / len(ys)
        size = min(max(wide / 3, look.px(2)), look.px(5))
        painter.setPen(Qt.PenStyle.NoPen)
        for place, (y, outside) in enumerate(zip(ys.tolist(), out.tolist(), strict=True)):
            if y != y:
                continue
            at = QPointF(area.left() + (place + 0.5) * wide, y)
            painter.setBrush(look.colour("bad" if outside else "ink"))
            if outside:  # another shape, too
                painter.drawRect(QRectF(at.x() - size, at.y() - size, 2 * size, 2 * size))
            else:
                painter.drawEllipse(at, size * 0.8, size * 0.8)

    def _columns(
        self,
        painter: QPainter,
        area: QRectF,
        ys: "NDArray[np.float64]",
        out: "NDArray[np.bool_]",
    ) -> None:
        """A line a pixel column, from the least to the greatest reading in it."""
        import numpy as np

        look = self.look
        columns = min(max(int(area.width()), 1), len(ys))
        first = np.arange(columns) * len(ys) // columns
        tops = np.fmin.reduceat(ys, first).tolist()
        bottoms = np.fmax.reduceat(ys, first).tolist()
        left, wide = area.left(), area.width() / columns
        painter.setPen(QPen(look.colour("edge"), 1))
        painter.drawLines(
            [
                QLineF(left + place * wide, top, left + place * wide, bottom + 1)
                for place, (top, bottom) in enumerate(zip(tops, bottoms, strict=True))
                if top == top
            ]
        )
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(look.colour("bad"))
        size = look.px(2)
        places = np.flatnonzero(out)
        # One mark a column and side is all that can be seen.
        side = places * columns // len(ys) * 2 + (ys[places] < area.center().y())
        for place in places[np.unique(side, return_index=True)[1]].tolist():
            x = left + place * area.width() / len(ys)
            painter.drawRect(QRectF(x - size, ys[place] - size, 2 * size, 2 * size))
