"""The control chart of a meter: what it read too much of one reference part, reading by reading."""

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from benchmeter.checking.meter_history import ReferenceHistory
from benchmeter.statistics.control_chart import ChartPoint
from benchmeter.window.widgets.painted import Painted
from benchmeter.words.meters import chart_words, difference_words, stands_out_words

__all__ = ["ControlChartView"]

_PLOT = 116  # height of the picture itself, at 100 %
_NARROW = 420  # below this width words of a line give way to its number, at 100 %


@dataclass(frozen=True, slots=True)
class _ChartLevel:
    """A line across the chart with its words at the right."""

    value_si: float
    words: str
    style: Qt.PenStyle
    ink: str


# Painted by hand: items of pyqtgraph are silent for a screen reader, their texts neither wrap nor
# make room at 200 %, and its import holds the window for 0.2 s that this picture does not need.
class ControlChartView(Painted):
    """Points in the order of time, their mean, the limits that chance keeps to, and the reference.

    A point within the limits is a disc, one beyond them a square, one after a jump a triangle that
    points the way it jumped. Without limits, which need several readings, the points stand alone.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(self.tr("widgets.what_meter_read_too"))
        self._history: ReferenceHistory | None = None
        self.renew("")

    def show_history(self, history: ReferenceHistory | None) -> None:
        """Show the readings of one reference part; None: nothing."""
        self._history = history
        self.renew(self._spoken())

    def _spoken(self) -> str:
        h = self._history
        if h is None:
            return ""
        how = self.look.presentation
        points = (
            f"{p.name}: {difference_words(h, p.difference_si, how)}"
            + (f", {out}" if (out := stands_out_words(p, how)) else "")
            for p in h.chart.points
        )
        return f"{'; '.join(points)}. {chart_words(h, how)}."

    # --- geometry ------------------------------------------------------------------------------

    def heightForWidth(self, width: int) -> int:
        look = self.look
        return int(look.px(_PLOT + 16) + QFontMetricsF(look.small).height()) + 1

    def sizeHint(self) -> QSize:
        width = self.look.px(480)
        return QSize(width, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:
        width = self.look.px(240)
        return QSize(width, self.heightForWidth(width))

    def _levels(self, *, narrow: bool) -> list[_ChartLevel]:
        h = self._history
        if h is None:
            return []
        chart, dash = h.chart, Qt.PenStyle.DashLine

        def words(name: str, value_si: float) -> str:
            shown = difference_words(h, value_si, self.look.presentation).replace("-", "−")
            return shown if narrow else f"{name} {shown}"

        found = [
            _ChartLevel(0.0, self.tr("widgets.n0_reference"), Qt.PenStyle.SolidLine, "edge"),
            _ChartLevel(
                chart.centre_si,
                words(self.tr("widgets.mean"), chart.centre_si),
                Qt.PenStyle.SolidLine,
                "accent",
            ),
        ]
        for limit in (chart.low_si, chart.high_si):
            if limit is not None:
                line = words(self.tr("widgets.limit"), limit)
                found.append(_ChartLevel(limit, line, dash, "ink"))
        return found

    def plot(self) -> QRectF:
        """Where the points stand; the words of the levels stand at its right."""
        look = self.look
        metrics = QFontMetricsF(look.small)
        levels = self._levels(narrow=self.width() < look.px(_NARROW))
        words = max((metrics.horizontalAdvance(level.words) for level in levels), default=0.0)
        side = look.px(8)
        width = max(self.width() - 3 * side - words, look.px(60))
        return QRectF(side, look.px(8), width, look.px(_PLOT))

    def _ends(self) -> tuple[float, float]:
        """Least and greatest value that are shown.

        The reference is among them unless it is so far away that the points would run together.
        """
        h = self._history
        if h is None:
            return 0.0, 1.0
        limits = (h.chart.low_si, h.chart.high_si)
        values = [p.difference_si for p in h.chart.points] + [x for x in limits if x is not None]
        least, greatest = min(values), max(values)
        near = (greatest - least) or float(h.resolution_si) or abs(greatest)
        if least - near <= 0.0 <= greatest + near:
            least, greatest = min(least, 0.0), max(greatest, 0.0)
        room = (greatest - least) * 0.12 or near or 1.0
        return least - room, greatest + room

    def place(self, number: int) -> QPointF:
        """Where a point stands; `number`: from 0, in the order of time."""
        if self._history is None:
            raise ValueError("no history is shown")
        area, points = self.plot(), self._history.chart.points
        x = area.left() + (number + 0.5) * area.width() / len(points)
        return QPointF(x, self._y_of(points[number].difference_si))

    def _y_of(self, value_si: float) -> float:
        area, (least, greatest) = self.plot(), self._ends()
        return area.bottom() - (value_si - least) / (greatest - least) * area.height()

    # --- painting ------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        h = self._history
        if h is None:
            return
        painter, look, area = self.painter(), self.look, self.plot()
        painter.fillRect(area, look.colour("panel"))
        if h.chart.low_si is not None and h.chart.high_si is not None:
            top, bottom = self._y_of(h.chart.high_si), self._y_of(h.chart.low_si)
            painter.fillRect(
                QRectF(area.left(), top, area.width(), bottom - top), look.colour("band")
            )
        self._paint_levels(painter, area)
        places = [self.place(number) for number in range(len(h.chart.points))]
        painter.setPen(QPen(look.colour("edge"), look.px(1)))
        painter.drawPolyline(places)
        for number, point in enumerate(h.chart.points):
            before = h.chart.points[number - 1].difference_si if number else point.difference_si
            self._paint_point(painter, places[number], point, up=point.difference_si >= before)
        self._paint_dates(painter, area, h.chart.points)
        painter.end()

    def _paint_levels(self, painter: QPainter, area: QRectF) -> None:
        look = self.look
        metrics = QFontMetricsF(look.small)
        levels = sorted(
            self._levels(narrow=self.width() < look.px(_NARROW)), key=lambda level: -level.value_si
        )
        painter.setFont(look.small)
        height = metrics.height()
        # Words keep their distance, and all of them stay beside the picture.
        tops: list[float] = []
        for level in levels:
            wanted = self._shown_y(level.value_si) - height / 2
            tops.append(max(wanted, tops[-1] + height) if tops else max(wanted, 0.0))
        lowest = self.height() - height
        for number in reversed(range(len(tops))):
            tops[number] = min(tops[number], lowest)
            lowest = tops[number] - height
        for level, top in zip(levels, tops, strict=True):
            y = self._shown_y(level.value_si)
            painter.setPen(QPen(look.colour(level.ink), look.px(2), level.style))
            if y == self._y_of(level.value_si):
                painter.drawLine(QPointF(area.left(), y), QPointF(area.right(), y))
            else:
                self._paint_beyond(painter, area, below=y > area.top())
            painter.setPen(QPen(look.colour("edge"), look.px(1)))
            painter.drawLine(
                QPointF(area.right(), y), QPointF(area.right() + look.px(7), top + height / 2)
            )
            painter.setPen(look.colour("ink"))
            painter.drawText(
                QPointF(area.right() + look.px(9), top + metrics.ascent()), level.words
            )

    def _shown_y(self, value_si: float) -> float:
        """Where a level stands; the nearer edge for what lies beyond the picture."""
        area = self.plot()
        return min(max(self._y_of(value_si), area.top()), area.bottom())

    def _paint_beyond(self, painter: QPainter, area: QRectF, *, below: bool) -> None:
        """An arrow at the right edge: it lies farther down, or up."""
        size = self.look.px(6)
        tip = area.bottom() if below else area.top()
        away = -1 if below else 1
        x = area.right() - 2 * size
        painter.drawLine(QPointF(x, tip), QPointF(x, tip + 3 * away * size))
        painter.drawLine(QPointF(x, tip), QPointF(x - size, tip + away * size))
        painter.drawLine(QPointF(x, tip), QPointF(x + size, tip + away * size))

    def _paint_point(self, painter: QPainter, at: QPointF, point: ChartPoint, *, up: bool) -> None:
        look = self.look
        size = look.px(5)
        painter.setPen(QPen(look.colour("panel"), look.px(1)))
        if point.out_of_control:
            painter.setBrush(look.colour("bad"))
            half = look.px(6)
            painter.drawRect(QRectF(at.x() - half, at.y() - half, 2 * half, 2 * half))
        elif point.jumped:
            painter.setBrush(look.colour("caution"))
            tip = -1 if up else 1
            painter.drawPolygon(
                QPolygonF(
                    [
                        at + QPointF(0, 1.4 * tip * size),
                        at + QPointF(-1.3 * size, -tip * size),
                        at + QPointF(1.3 * size, -tip * size),
                    ]
                )
            )
        else:
            painter.setBrush(look.colour("ink"))
            painter.drawEllipse(at, size * 0.8, size * 0.8)
        painter.setBrush(Qt.BrushStyle.NoBrush)

    def _paint_dates(self, painter: QPainter, area: QRectF, points: tuple[ChartPoint, ...]) -> None:
        look = self.look
        metrics = QFontMetricsF(look.small)
        y = area.bottom() + look.px(4) + metrics.ascent()
        painter.setFont(look.small)
        painter.setPen(look.colour("ink"))
        painter.drawText(QPointF(area.left(), y), points[0].name)
        last = points[-1].name
        x = area.right() - metrics.horizontalAdvance(last)
        if len(points) > 1 and x > area.left() + metrics.horizontalAdvance(points[0].name) * 1.2:
            painter.drawText(QPointF(x, y), last)
