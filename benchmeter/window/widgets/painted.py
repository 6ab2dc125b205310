"""What all painted widgets share: the look, wrapped text that is never cut off, spoken text."""

import re
from functools import lru_cache

from PySide6.QtCore import QPointF, QSize
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QTextLayout, QTextOption
from PySide6.QtWidgets import QSizePolicy, QWidget

from benchmeter.window.theme.palette import Theme, current_theme

__all__ = ["Painted", "WrappedText", "centred", "longest_word"]

# A number stays with its unit and with its uncertainty.
_BELONGS = re.compile(r"(?<=\d) (?=[µ°Ω%±]|[kM]Ω|(?:mV|V|mA|A|Hz|s|min|h)\b)")


class Painted(QWidget):
    """A widget that paints itself in the current look and follows it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self._needed: tuple[int, QSize] | None = None

    @property
    def look(self) -> Theme:
        return current_theme()

    def hasHeightForWidth(self) -> bool:
        return True

    def renew(self, spoken: str) -> None:
        """Paint again; `spoken` is what a screen reader says."""
        if spoken != self.accessibleDescription():
            self.setAccessibleDescription(spoken)
        needed = (self.heightForWidth(max(self.width(), 1)), self.minimumSizeHint())
        if needed != self._needed:  # else the whole window is laid out at every reading
            self._needed = needed
            self.updateGeometry()
        self.update()

    def painter(self) -> QPainter:
        made = QPainter(self)
        made.setRenderHint(QPainter.RenderHint.Antialiasing)
        return made


class WrappedText:
    """A text broken into lines of at most `width`; its height is known before it is drawn."""

    def __init__(self, text: str, font: QFont, width: float) -> None:
        self._layout, self.height, self.width = _broken(text, font, width)

    def draw(self, painter: QPainter, x: float, y: float, colour: QColor) -> float:
        """Draw with the upper left corner at x, y; the y below it."""
        painter.setPen(colour)
        self._layout.draw(painter, QPointF(x, y))
        return y + self.height


@lru_cache(maxsize=512)
def _broken(text: str, font: QFont, width: float) -> tuple[QTextLayout, float, float]:
    """The text in lines, its height and its width; a layout asks for them again and again."""
    layout = QTextLayout(_BELONGS.sub("\u00a0", text), font)
    option = QTextOption()
    option.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
    layout.setTextOption(option)
    height = widest = 0.0
    spacing = QFontMetricsF(font).lineSpacing()
    layout.beginLayout()
    while text:
        line = layout.createLine()
        if not line.isValid():
            break
        line.setLineWidth(max(width, 1.0))
        line.setPosition(QPointF(0, height))
        height += spacing
        widest = max(widest, line.naturalTextWidth())
    layout.endLayout()
    return layout, height, widest


def longest_word(text: str, font: QFont) -> float:
    """Width of the widest word: no column may be narrower."""
    metrics = QFontMetricsF(font)
    return max((metrics.horizontalAdvance(word) for word in text.split()), default=0.0)


def centred(painter: QPainter, font: QFont, x: float, baseline: float, text: str) -> None:
    """Draw one line with its middle at x."""
    painter.setFont(font)
    width = QFontMetricsF(font).horizontalAdvance(text)
    # Whole pixels: the same sign at the same place looks the same.
    painter.drawText(QPointF(round(x - width / 2), round(baseline)), text)
