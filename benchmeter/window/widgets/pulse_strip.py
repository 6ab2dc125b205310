"""The pulse of each instrument: the one place that tells what is connected."""

from collections.abc import Mapping
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, Role
from benchmeter.session.acquisition.channel_state import ChannelState, ChannelStatus
from benchmeter.window.theme.icons import paint_icon, pulse_icon
from benchmeter.window.theme.palette import Theme
from benchmeter.window.widgets.painted import Painted, WrappedText
from benchmeter.words.durations import age

__all__ = ["PulseStrip"]

_FRESH_NS = 1_950_000_000  # younger readings are not given an age: it would only flicker
_ILL = (ChannelStatus.LOST, ChannelStatus.STALE)  # the worst first
_DOUBTFUL = (
    ChannelStatus.OVERLOAD,
    ChannelStatus.WRONG_FUNCTION,
    ChannelStatus.NO_CONTACT,
    ChannelStatus.NO_VALUE,
    ChannelStatus.SUSPECT,
)


@dataclass(frozen=True, slots=True)
class _Cell:
    icon: str
    tone: str
    name: str
    state: str
    advice: str
    rank: int = 0  # how much it needs looking after; 0: all is well


class PulseStrip(Painted):
    """One cell a channel, side by side, in further rows where the width or the zoom needs it.

    Compact it is one line, which names what is not well, the worst first.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(self.tr("widgets.instruments"))
        self._compact = False
        self._cells: tuple[_Cell, ...] = (self._empty(),)
        self.renew(self._spoken())

    def show_pulses(
        self, pulses: Mapping[str, ChannelState], setup: BenchSetup | None, now_ns: int
    ) -> None:
        """Show every channel of the setup, and what else has sent something.

        Args:
            pulses: by channel name; a channel without one is waiting.
            setup: None: nothing is connected.
            now_ns: session time, for ages.
        """
        channels = setup.channels if setup is not None else ()
        known = {channel.name for channel in channels}
        cells = [self._cell(self._role_name(c), pulses.get(c.name), now_ns) for c in channels]
        cells += [self._cell(n, p, now_ns) for n, p in pulses.items() if n not in known]
        shown = tuple(cells) or (self._empty(),)
        if shown != self._cells:
            self._cells = shown
            self.renew(self._spoken())

    def set_compact(self, on: bool) -> None:
        """Whether there is room for one line only."""
        if on != self._compact:
            self._compact = on
            self._needed = None
            self.renew(self._spoken())

    # --- words ---------------------------------------------------------------------------------

    def _empty(self) -> _Cell:
        return _Cell(
            "plug",
            "faint_ink",
            self.tr("widgets.no_instrument"),
            self.tr("widgets.connect_meter_or_begin"),
            "",
        )

    def _role_name(self, channel: ChannelSetup) -> str:
        return {
            Role.METER: self.tr("widgets.bench_meter"),
            Role.CAPACITOR: self.tr("widgets.capacitance_meter"),
            Role.PROBE: self.tr("widgets.probe_at_part"),
            Role.DISCHARGE: self.tr("widgets.discharge_probe"),
            Role.OUTDOOR: self.tr("widgets.outdoor_probe"),
            Role.RESIDUAL: self.tr("widgets.residual_volts"),
        }.get(channel.role, channel.name)

    def _cell(self, name: str, pulse: ChannelState | None, now_ns: int) -> _Cell:
        if pulse is None:
            icon = pulse_icon(ChannelStatus.WAITING)
            return _Cell(icon, "faint_ink", name, self.tr("widgets.waiting"), "", 1)
        state = self._state_words(pulse.state)
        if pulse.reading is not None and now_ns - pulse.reading.time_ns >= _FRESH_NS:
            ago = self.tr("widgets.state_age_ago")
            since = age(now_ns - pulse.reading.time_ns, self.look.presentation)
            state = ago.format(state=state, age=since)
        tone = "ink"
        advice = ""
        rank = 1 if pulse.state is ChannelStatus.WAITING else 0
        if pulse.state in _ILL:
            tone, rank = "bad", 4 - _ILL.index(pulse.state)
            if pulse.reason is not None:
                advice = str(self.look.presentation.tell(pulse.reason))
            elif pulse.state is ChannelStatus.LOST:
                advice = self.tr("widgets.check_plug")
        elif pulse.state in _DOUBTFUL:
            tone, rank = "caution", 2
        return _Cell(pulse_icon(pulse.state), tone, name, state, advice, rank)

    def _state_words(self, state: ChannelStatus) -> str:
        return {
            ChannelStatus.WAITING: self.tr("widgets.waiting"),
            ChannelStatus.MOVING: self.tr("widgets.moving"),
            ChannelStatus.SETTLED: self.tr("widgets.settled"),
            ChannelStatus.OVERLOAD: self.tr("widgets.overload"),
            ChannelStatus.WRONG_FUNCTION: self.tr("widgets.wrong_function"),
            ChannelStatus.NO_CONTACT: self.tr("widgets.no_contact"),
            ChannelStatus.NO_VALUE: self.tr("widgets.no_value"),
            ChannelStatus.SUSPECT: self.tr("widgets.suspect"),
            ChannelStatus.STALE: self.tr("widgets.stale"),
            ChannelStatus.LOST: self.tr("widgets.lost"),
        }[state]

    def _line(self) -> tuple[_Cell, str]:
        """The cell that matters most, and what the compact strip says."""
        worst = sorted((c for c in self._cells if c.rank), key=lambda c: -c.rank)
        if worst:
            return worst[0], ";  ".join(f"{c.name}: {c.state}" for c in worst)
        first = self._cells[0]
        if first.icon == "plug":
            return first, f"{first.name}. {first.state}"
        if len(self._cells) == 1:
            return first, f"{first.name}: {first.state}"
        return first, self.tr("widgets.all_count_instruments_send").format(count=len(self._cells))

    def _spoken(self) -> str:
        return " ".join(f"{c.name}: {c.state}. {c.advice}".strip() for c in self._cells)

    # --- geometry ------------------------------------------------------------------------------

    def _widest(self, look: Theme) -> float:
        """Width of a cell: the widest name or state on one line, with the icon and the gaps."""
        body, name = QFontMetricsF(look.body), QFontMetricsF(look.bold(look.body))
        states = [c.state for c in self._cells if c.icon != "plug"]
        # Ages change all the time; cells must not.
        states.append(
            self.tr("widgets.state_age_ago").format(state=self.tr("widgets.settled"), age="59.9 s")
        )
        text = max(
            *(name.horizontalAdvance(c.name) for c in self._cells),
            *(body.horizontalAdvance(s) for s in states),
        )
        return text + look.px(36) + 2 * look.gap

    def _places(self, width: float) -> tuple[list[QRectF], float]:
        look = self.look
        wanted = max(min(self._widest(look), width), 1.0)
        columns = max(1, min(len(self._cells), int(width // wanted)))
        cell_width = width / columns
        places: list[QRectF] = []
        y = 0.0
        for start in range(0, len(self._cells), columns):
            row = self._cells[start : start + columns]
            height = max(sum(t.height for t, _ in self._texts(c, cell_width)) for c in row)
            height += look.px(16)
            places += [QRectF(i * cell_width, y, cell_width, height) for i in range(len(row))]
            y += height
        return places, y

    def _texts(self, cell: _Cell, width: float) -> list[tuple[WrappedText, str]]:
        look = self.look
        room = width - look.px(36) - 2 * look.gap
        texts = [
            (WrappedText(cell.name, look.bold(look.body), room), "ink"),
            (WrappedText(cell.state, look.body, room), cell.tone),
        ]
        if cell.advice:
            texts.append((WrappedText(cell.advice, look.small, room), "ink"))
        return texts

    def _line_height(self) -> int:
        metrics = QFontMetricsF(self.look.body)
        return int(max(metrics.height(), self.look.px(24))) + self.look.px(8)

    def heightForWidth(self, width: int) -> int:
        if self._compact:
            return self._line_height()
        return int(self._places(width)[1]) + 1

    def sizeHint(self) -> QSize:
        width = int(self._widest(self.look)) * max(len(self._cells), 1)
        return QSize(width, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:
        width = self.look.px(220)
        return QSize(width, self.sizeHint().height())

    # --- painting ------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        look = self.look
        painter = self.painter()
        painter.fillRect(self.rect(), look.colour("panel"))
        if self._compact:
            self._paint_line(painter)
            return
        for place, cell in zip(self._places(self.width())[0], self._cells, strict=True):
            side = look.px(24)
            x, y = place.x() + look.gap, place.y() + look.px(8)
            paint_icon(painter, cell.icon, QRectF(x, y, side, side), look.colour(cell.tone))
            for text, tone in self._texts(cell, place.width()):
                y = text.draw(painter, x + look.px(36), y, look.colour(tone))
            if place.x() > 0:
                painter.setPen(QPen(look.colour("rule"), look.px(1), c=Qt.PenCapStyle.FlatCap))
                inset = QPointF(0, look.px(8))
                painter.drawLine(place.topLeft() + inset, place.bottomLeft() - inset)
        painter.end()

    def _paint_line(self, painter: QPainter) -> None:
        look = self.look
        cell, text = self._line()
        side = look.px(24)
        box = QRectF(look.gap, (self.height() - side) / 2, side, side)
        paint_icon(painter, cell.icon, box, look.colour(cell.tone))
        left = box.right() + look.gap
        room = self.width() - left - look.gap
        painter.setFont(look.body)
        painter.setPen(look.colour(cell.tone))
        shown = QFontMetricsF(look.body).elidedText(text, Qt.TextElideMode.ElideRight, room)
        place = QRectF(left, 0, room, self.height())
        painter.drawText(place, Qt.AlignmentFlag.AlignVCenter, shown)
        painter.end()
