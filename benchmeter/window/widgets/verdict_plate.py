"""The verdict plate: one word, one shape, one sentence of reason, the numbers beneath."""

from datetime import date

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import (
    QAccessible,
    QAccessibleAnnouncementEvent,
    QFont,
    QPainter,
    QPaintEvent,
    QPen,
)
from PySide6.QtWidgets import QWidget

from benchmeter.checking.part_check import PartCheck
from benchmeter.window.theme.icons import paint_icon
from benchmeter.window.theme.palette import Theme
from benchmeter.window.widgets.painted import Painted, WrappedText, longest_word
from benchmeter.window.widgets.plate_text import PlateText, check_plate_text
from benchmeter.words.steps import step_text

__all__ = ["VerdictPlate"]


class _PlateLayout:
    """The plate's blocks for a width; height known before painting."""

    def __init__(self, text: PlateText, look: Theme, width: float) -> None:
        self._text, self._look = text, look
        pad = look.px(16)
        beside = width >= look.px(400)
        block = look.px(120 if beside else 72)
        self._block = block
        self._beside = beside
        column = width - 2 * pad - (block if beside else 0)
        self._x = pad + (block if beside else 0)
        word_font = _word_font(look, text.judged)
        self._texts = [
            (WrappedText(text.word, word_font, column), text.tone if text.judged else "ink"),
            (WrappedText(text.sentence, look.body, column), "ink"),
            *((WrappedText(line, look.small, column), "ink") for line in text.numbers),
        ]
        self._shape = look.px(22)
        self._concluded = [
            (WrappedText(c.words, look.body, column - self._shape - look.px(8)), c)
            for c in text.conclusions
        ]
        body = self._words_height() + look.px(8) + look.px(20)
        self.height = max(body, block) if beside else body + block

    def paint(self, painter: QPainter, rect: QRectF) -> None:
        look, text = self._look, self._text
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(rect, look.colour("panel"))
        tone = look.colour(text.tone)
        across = QRectF(rect.x(), rect.y(), rect.width(), self._block)
        along = QRectF(rect.x(), rect.y(), self._block, rect.height())
        block = along if self._beside else across
        inset = self._block * 0.17
        shape = QRectF(0, 0, self._block - 2 * inset, self._block - 2 * inset)
        shape.moveCenter(block.center())
        if text.judged:
            painter.fillRect(block, tone)
            paint_icon(painter, text.icon, shape, look.colour("on_verdict"))
        else:
            paint_icon(painter, text.icon, shape, tone)
        edge = look.px(2)
        painter.setPen(QPen(tone, edge))
        painter.drawRect(rect.adjusted(edge / 2, edge / 2, -edge / 2, -edge / 2))
        y = rect.y() + look.px(8) + (0 if self._beside else self._block)
        if self._beside:  # the words stand in the middle of a tall plate
            y += max(0.0, (rect.height() - self._words_height()) / 2 - look.px(8))
        for i, (block_text, colour) in enumerate(self._texts):
            y = block_text.draw(painter, rect.x() + self._x, y, look.colour(colour))
            y += look.px(8) if i == 1 else 0
            if i == 1:
                y = self._paint_conclusions(painter, rect.x() + self._x, y)
        painter.restore()

    def _paint_conclusions(self, painter: QPainter, x: float, y: float) -> float:
        look, side = self._look, self._shape
        for words, text in self._concluded:
            square = QRectF(x, y + look.px(1), side, side)
            paint_icon(painter, text.icon, square, look.colour(text.tone))
            y = words.draw(painter, x + side + look.px(8), y, look.colour("ink")) + look.px(4)
        return y

    def _words_height(self) -> float:
        look = self._look
        concluded = sum(t.height + look.px(4) for t, _ in self._concluded)
        return sum(t.height for t, _ in self._texts) + concluded + look.px(8)


def _word_font(look: Theme, judged: bool) -> QFont:
    font = look.title
    if judged:
        font.setPixelSize(look.px(48))
    return font


class VerdictPlate(Painted):
    """Shows the verdict on a part, or what is missing for one."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(self.tr("widgets.verdict"))
        self._text = self._empty()
        self.renew(self._spoken())

    def show_check(self, check: PartCheck | None, today: date = date.min) -> None:
        """Show a check: its verdict, or what to do to get one; None: no part is being checked.

        Args:
            today: as `meter_plate_text`.
        """
        if check is None:
            self._show(self._empty())
        elif check.verdict is not None and check.reference is not None:
            from benchmeter.window.widgets.meter_plate import meter_plate_text

            self._announce(meter_plate_text(check, today, self.look.presentation))
        elif check.verdict is not None:
            self._announce(check_plate_text(check, check.verdict, self.look.presentation))
        else:
            taken = sum(1 for section in check.sections if section.finished)
            progress = self.tr("widgets.taken_all_measured").format(
                taken=taken, all=len(check.sections)
            )
            numbers = (progress,) if len(check.sections) > 1 else ()
            word = self.tr("widgets.not_judged_yet")
            self._show(
                PlateText(
                    "verdict-none",
                    "edge",
                    word,
                    step_text(check, self.look.presentation),
                    numbers,
                    judged=False,
                )
            )

    def _announce(self, text: PlateText) -> None:
        if self._show(text) and QAccessible.isActive():
            QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, self._spoken()))

    def _empty(self) -> PlateText:
        return PlateText(
            "verdict-none",
            "edge",
            self.tr("widgets.no_part_yet_2"),
            self.tr("widgets.type_what_label_says_2"),
            judged=False,
        )

    def _show(self, text: PlateText) -> bool:
        if text == self._text:
            return False
        self._text = text
        self.renew(self._spoken())
        return True

    def _spoken(self) -> str:
        return " ".join(
            (
                f"{self._text.word}.",
                self._text.sentence,
                *(f"{c.words}." for c in self._text.conclusions),
                *(f"{n}." for n in self._text.numbers),
            )
        )

    def heightForWidth(self, width: int) -> int:
        return int(_PlateLayout(self._text, self.look, width).height) + 1

    def sizeHint(self) -> QSize:
        width = self.look.px(560)
        return QSize(width, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:
        look = self.look
        font = _word_font(look, self._text.judged)
        width = max(int(longest_word(self._text.word, font)) + look.px(32), look.px(260)) + 1
        return QSize(width, self.heightForWidth(max(self.sizeHint().width(), self.width())))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = self.painter()
        _PlateLayout(self._text, self.look, self.width()).paint(painter, QRectF(self.rect()))
        painter.end()
