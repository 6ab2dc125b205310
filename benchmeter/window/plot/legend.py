"""What the lines and areas of the plot mean, each with its line marker and its last value."""

from dataclasses import dataclass
from typing import Literal

from pyqtgraph.graphicsItems.ScatterPlotItem import drawSymbol
from PySide6.QtCore import QPointF, QRectF, QSize
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from benchmeter.window.theme.palette import Theme
from benchmeter.window.widgets.painted import Painted, WrappedText

__all__ = ["Legend", "LegendEntry"]


@dataclass(frozen=True, slots=True)
class LegendEntry:
    """One line, area or bar of an interval.

    Attributes:
        symbol: line marker, as the plotting library calls it; "" for none.
    """

    text: str
    colour: str
    symbol: str = ""
    kind: Literal["line", "area", "bar"] = "line"


class Legend(Painted):
    """Entries side by side, in further rows where the width or the zoom needs it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._entries: tuple[LegendEntry, ...] = ()
        self._look: Theme | None = None

    @property
    def look(self) -> Theme:
        return self._look or super().look

    def set_look(self, look: Theme | None) -> None:
        """A look of its own, for a report; None: that of the application."""
        self._look = look
        self.update()

    def show_entries(self, entries: tuple[LegendEntry, ...]) -> None:
        if entries != self._entries:
            self._entries = entries
            self.renew(". ".join(entry.text for entry in entries))

    def _places(self, width: float) -> tuple[list[tuple[QPointF, WrappedText]], float]:
        look = self.look
        swatch = look.px(44)
        x, y, row = 0.0, float(look.px(4)), 0.0
        places = []
        for entry in self._entries:
            text = WrappedText(entry.text, look.body, max(width - swatch, 1))
            taken = swatch + text.width + 2 * look.gap
            if x > 0 and x + taken > width:
                x, y, row = 0.0, y + row, 0.0
            places.append((QPointF(x, y), text))
            x += taken
            row = max(row, text.height)
        return places, y + row

    def heightForWidth(self, width: int) -> int:
        return int(self._places(width)[1]) + self.look.px(4)

    def sizeHint(self) -> QSize:
        width = self.look.px(620)
        return QSize(width, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:
        width = self.look.px(260)
        return QSize(width, self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        look = self.look
        painter = self.painter()
        line_height = QFontMetricsF(look.body).lineSpacing()
        for entry, (place, text) in zip(self._entries, self._places(self.width())[0], strict=True):
            swatch = QRectF(place.x(), place.y(), look.px(36), line_height)
            self._paint_swatch(painter, entry, swatch)
            text.draw(painter, place.x() + look.px(44), place.y(), look.colour("ink"))
        painter.end()

    def _paint_swatch(self, painter: QPainter, entry: LegendEntry, rect: QRectF) -> None:
        look = self.look
        colour = QColor(entry.colour)
        if entry.kind == "area":
            box = rect.adjusted(0, rect.height() * 0.22, 0, -rect.height() * 0.22)
            painter.fillRect(box, colour)
            painter.setPen(QPen(look.colour("edge"), look.px(1)))
            painter.drawRect(box)
            return
        painter.setPen(QPen(colour, look.px(3)))
        middle, y = rect.center().x(), rect.center().y()
        if entry.kind == "bar":  # as it stands at the right edge of the plot
            half = rect.height() * 0.35
            painter.drawLine(QPointF(middle, y - half), QPointF(middle, y + half))
            for at in (y - half, y, y + half):
                painter.drawLine(QPointF(middle - half, at), QPointF(middle + half, at))
            return
        painter.drawLine(QPointF(rect.left(), y), QPointF(rect.right(), y))
        if entry.symbol:
            painter.save()
            painter.translate(rect.center())
            drawSymbol(
                painter,
                entry.symbol,
                look.px(13),
                QPen(look.colour("panel"), 0.12),
                colour,
            )
            painter.restore()
