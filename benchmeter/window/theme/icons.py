"""Our own line icons, drawn in any colour at any size."""

from functools import lru_cache

from PySide6.QtCore import QByteArray, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPixmap
from PySide6.QtSvg import QSvgRenderer

from benchmeter.conformity.verdict import Verdict
from benchmeter.files.resources import resource
from benchmeter.reports.shapes import verdict_shape
from benchmeter.session.acquisition.channel_state import ChannelStatus

__all__ = ["icon", "paint_icon", "pulse_icon", "verdict_icon"]


@lru_cache(maxsize=256)
def _renderer(name: str, colour: str) -> QSvgRenderer:
    text = resource(f"icons/{name}.svg").read_text(encoding="utf-8")
    return QSvgRenderer(QByteArray(text.replace("currentColor", colour).encode()))


def paint_icon(painter: QPainter, name: str, rect: QRectF, colour: QColor) -> None:
    """Draw the icon of that name into the largest square in the middle of `rect`."""
    side = min(rect.width(), rect.height())
    square = QRectF(0, 0, side, side)
    square.moveCenter(rect.center())
    _renderer(name, colour.name()).render(painter, square)


def icon(name: str, colour: QColor, size: int, pixel_ratio: float = 1.0) -> QIcon:
    """The icon for a button, `size` logical pixels."""
    pixels = QPixmap(QSize(size, size) * pixel_ratio)
    pixels.setDevicePixelRatio(pixel_ratio)
    pixels.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixels)
    paint_icon(painter, name, QRectF(0, 0, size, size), colour)
    painter.end()
    return QIcon(pixels)


def verdict_icon(word: Verdict | None) -> str:
    """Name of the verdict's shape; None: there is no verdict yet."""
    return verdict_shape(word)


def pulse_icon(state: ChannelStatus) -> str:
    """Name of the state's shape."""
    return f"pulse-{state.replace(' ', '-')}"
