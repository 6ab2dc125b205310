"""Cautions: short, beside the step that they belong to, not to be dismissed."""

from collections.abc import Sequence

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QFontMetricsF, QPaintEvent
from PySide6.QtWidgets import QWidget

from benchmeter.window.theme.icons import paint_icon
from benchmeter.window.widgets.painted import Painted, WrappedText

__all__ = ["CautionLines"]


class CautionLines(Painted):
    """One or more short cautions, each on its own line with the warning sign."""

    def __init__(self, lines: Sequence[str] = (), parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(self.tr("widgets.caution"))
        self._lines: tuple[str, ...] = ()
        self.show_lines(lines)

    def show_lines(self, lines: Sequence[str]) -> None:
        """Show these cautions; hidden when there is none."""
        self._lines = tuple(lines)
        self.renew(" ".join(self._lines))
        if not self._lines or self.isHidden():
            self.setVisible(bool(self._lines))

    def _blocks(self, width: float) -> list[WrappedText]:
        look = self.look
        room = width - look.px(36) - look.gap
        return [WrappedText(line, look.bold(look.body), room) for line in self._lines]

    def heightForWidth(self, width: int) -> int:
        look = self.look
        side = look.px(24)
        blocks = self._blocks(width)
        return int(sum(max(b.height, side) + look.px(4) for b in blocks)) + look.px(4)

    def sizeHint(self) -> QSize:
        width = self.look.px(520)
        return QSize(width, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:
        width = self.look.px(260)
        return QSize(width, self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        look = self.look
        painter = self.painter()
        side, y = look.px(24), float(look.px(4))
        tone = look.colour("caution")
        line_height = QFontMetricsF(look.bold(look.body)).lineSpacing()
        for block in self._blocks(self.width()):
            mark = QRectF(0, y + (line_height - side) / 2, side, side)
            paint_icon(painter, "warning", mark, tone)
            block.draw(painter, look.px(36), y, tone)
            y += max(block.height, side) + look.px(4)
        painter.end()
