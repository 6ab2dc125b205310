"""The reading: digits that do not jump, the unit, and the state in words."""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Slot
from PySide6.QtGui import QFont, QFontMetricsF, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from benchmeter.quantities.quantity import Quantity
from benchmeter.scenes.reading_scene import ReadingScene, reading_scene
from benchmeter.session.acquisition.channel_state import ChannelState
from benchmeter.window.theme.icons import paint_icon
from benchmeter.window.widgets.painted import Painted, WrappedText, centred, longest_word

__all__ = ["ReadingView"]

_CELLS = 5  # a sign and four digits; more as soon as the meter has shown more
_SIGN = 0.6  # width of the sign's cell, in digits
_SECOND = 44  # size of the digits where the verdict comes first, at 100 %


class ReadingView(Painted):
    """Shows the pulse of one channel in the largest type on the screen.

    Digits and unit are the meter's own. What a meter sends in plain farad has no unit of a
    display: there the stray capacitance of open leads is shown as 0.000 µF, since its picofarads
    never hold still and mean nothing; the meter's own words are one key away.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(self.tr("widgets.reading"))
        self._raw = False
        self._second = False
        self._cells = _CELLS
        self._state: tuple[ChannelState | None, Quantity | None, int] = (None, None, 0)
        self._shown = self._scene()

    def show_pulse(
        self,
        pulse: ChannelState | None,
        quantity: Quantity | None,
        now_ns: int,
    ) -> None:
        """Show a channel.

        Args:
            pulse: None: no instrument is connected.
            quantity: what is expected of the channel.
            now_ns: session time, for ages.
        """
        if quantity is not self._state[1]:
            self._cells = _CELLS
        self._state = (pulse, quantity, now_ns)
        self._renew()

    @Slot(bool)
    def show_raw(self, on: bool) -> None:
        """Whether the indication is shown as the meter wrote it, too."""
        self._raw = on
        self._renew()

    def set_second(self, on: bool) -> None:
        """Whether something else comes first now, and the digits are smaller."""
        if on != self._second:
            self._second = on
            self._needed = None
            self._renew()
            self.updateGeometry()
            self.update()

    def _renew(self) -> None:
        shown = self._scene()
        digits = len(shown.digits.strip("−").replace(self.look.decimal_sign, ""))
        grew = digits + 1 > self._cells
        self._cells = max(self._cells, digits + 1)
        if shown != self._shown or grew:
            self._shown = shown
            value = f"{shown.digits} {shown.unit}. " if shown.digits[:1] != "–" else ""
            self.renew(f"{value}{shown.state}. {shown.hint}".strip())

    def _scene(self) -> ReadingScene:
        state, quantity, now_ns = self._state
        tell = self.look.presentation
        return reading_scene(state, quantity, now_ns, tell, raw=self._raw)

    # --- geometry ------------------------------------------------------------------------------

    def digit_font(self) -> QFont:
        """The giant font, or the largest that lets all cells and the unit fit."""
        look = self.look
        font = self._largest()
        room = self.width() - 2 * look.gap - self._unit_width()
        needed = self._cells_width(font)
        if needed > room:
            least = look.px(40)
            font.setPixelSize(max(least, int(font.pixelSize() * room / needed)))
        return font

    def _largest(self) -> QFont:
        font = self.look.giant
        if self._second:
            font.setPixelSize(self.look.px(_SECOND))
        return font

    def digit_cells(self) -> list[QRectF]:
        """The places of sign and digits; they depend on the width, never on the value."""
        font = self.digit_font()
        width = self._cell_width(font)
        height = QFontMetricsF(font).height()
        left = float(self.look.gap)
        sign = QRectF(left, 0, width * _SIGN, height)
        digits = self._cells - 1
        return [sign, *(QRectF(sign.right() + i * width, 0, width, height) for i in range(digits))]

    @staticmethod
    def _cell_width(font: QFont) -> float:
        # Wider than the glyph: the decimal point stands between two cells.
        return QFontMetricsF(font).horizontalAdvance("0") * 1.13

    def _cells_width(self, font: QFont) -> float:
        return self._cell_width(font) * (self._cells - 1 + _SIGN)

    def _unit_width(self) -> float:
        metrics = QFontMetricsF(self.look.title)
        widest = max(metrics.horizontalAdvance(text) for text in ("kΩ", "µF", self._shown.unit))
        return self.look.gap + widest

    def _words_beside(self, width: int) -> float:
        """Width of the column beside the digits; 0 if the words go below."""
        look = self.look
        used = self._cells_width(self._largest()) + self._unit_width() + 3 * look.gap
        left = width - used - look.gap
        return left if left >= look.px(180 if self._second else 280) else 0.0

    def heightForWidth(self, width: int) -> int:
        look = self.look
        font = self._largest()
        room = width - 2 * look.gap - self._unit_width()
        needed = self._cells_width(font)
        if needed > room:
            font.setPixelSize(max(look.px(40), int(font.pixelSize() * room / needed)))
        digits = QFontMetricsF(font).height()
        beside = self._words_beside(width)
        words = self._words_height(beside or width - 2 * look.gap)
        return int(max(digits, words) if beside else digits + words) + look.gap

    def sizeHint(self) -> QSize:
        width = self.look.px(620)
        return QSize(width, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:
        look = self.look
        font = look.giant
        font.setPixelSize(look.px(40))
        cells = self._cells_width(font) + self._unit_width() + 2 * look.gap
        words = longest_word(self._shown.state, look.title) + look.px(44) + 2 * look.gap
        width = int(max(cells, words))
        return QSize(width, self.sizeHint().height())

    def _words_height(self, width: float) -> float:
        blocks = self._word_blocks(width)
        hint = blocks[1].height if self._in_one_line(blocks, width) else 0.0
        return sum(text.height for text in blocks) - hint + self.look.px(4)

    def _in_one_line(self, blocks: list[WrappedText], width: float) -> bool:
        """Whether the hint fits beside the state."""
        look = self.look
        return look.px(44) + blocks[0].width + 2 * look.gap + blocks[1].width <= width

    def _word_blocks(self, width: float) -> list[WrappedText]:
        look, shown = self.look, self._shown
        blocks = [
            WrappedText(shown.state, look.title, width - look.px(44)),
            WrappedText(shown.hint, look.body, width),
        ]
        if shown.raw:
            text = self.tr("widgets.meter_wrote_text").format(text=shown.raw)
            blocks.append(WrappedText(text, look.body, width))
        return blocks

    # --- painting ------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        look, shown = self.look, self._shown
        painter = self.painter()
        font = self.digit_font()
        metrics = QFontMetricsF(font)
        cells = self.digit_cells()
        baseline = metrics.ascent()
        painter.setFont(font)
        painter.setPen(look.colour(shown.digits_tone))
        point_font = QFont(look.title)  # the point of the text font is the narrower one
        point_font.setPixelSize(font.pixelSize())
        for centre, sign in self._placed_signs(cells):
            if sign == look.decimal_sign:
                centred(painter, point_font, centre, baseline, sign)
            else:
                centred(painter, font, centre, baseline, sign)
        if shown.struck:  # faint alone is not enough in the sun
            y = baseline - metrics.capHeight() / 2
            painter.setPen(QPen(look.colour(shown.tone), look.px(4), c=Qt.PenCapStyle.FlatCap))
            used = len(shown.digits.replace(look.decimal_sign, ""))
            painter.drawLine(QPointF(cells[-used].left(), y), QPointF(cells[-1].right(), y))
            painter.setPen(look.colour(shown.digits_tone))
        painter.setFont(look.title)
        unit_x = cells[-1].right() + look.gap
        painter.drawText(QPointF(unit_x, baseline), shown.unit)

        beside = self._words_beside(self.width())
        x = unit_x + self._unit_width() + look.gap if beside else float(look.gap)
        room = beside or self.width() - 2 * look.gap
        blocks = self._word_blocks(room)
        y = cells[0].bottom()
        if beside:
            y = max(0.0, baseline - metrics.capHeight() / 2 - self._words_height(room) / 2)
        tone = look.colour(shown.tone)
        side = look.px(32)
        first_line = QFontMetricsF(look.title).lineSpacing()
        paint_icon(painter, shown.icon, QRectF(x, y + (first_line - side) / 2, side, side), tone)
        below = blocks[0].draw(painter, x + look.px(44), y, tone) + look.px(4)
        rest = blocks[1:]
        if self._in_one_line(blocks, room):
            ascents = (QFontMetricsF(font).ascent() for font in (look.title, look.body))
            hint_x = x + look.px(44) + blocks[0].width + 2 * look.gap
            rest.pop(0).draw(painter, hint_x, y + next(ascents) - next(ascents), look.colour("ink"))
        y = below
        for block in rest:
            y = block.draw(painter, x, y, look.colour("ink"))
        painter.end()

    def _placed_signs(self, cells: list[QRectF]) -> list[tuple[float, str]]:
        """Middle and character: right-aligned in the cells, the point between two of them."""
        placed = []
        cell = len(cells)
        for sign in reversed(self._shown.digits):
            if sign == self.look.decimal_sign:
                placed.append((cells[cell].left(), sign))
                continue
            cell -= 1
            placed.append((cells[cell].center().x(), sign))
        return placed
