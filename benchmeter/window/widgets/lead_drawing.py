"""Which lead goes where: the part with its terminals, two leads, and what the meter is set to."""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPainterPath, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from benchmeter.quantities.quantity import Quantity
from benchmeter.scenes.lead_plan import DrawnLead, LeadPlan
from benchmeter.window.widgets.painted import Painted, WrappedText, centred, longest_word
from benchmeter.words.verdicts import set_to

__all__ = ["LeadDrawing"]

_RED = "#c4122f"  # what such a lead looks like; the word beside it says it too
_BLACK = "#111111"


class LeadDrawing(Painted):
    """The meter with its setting above, the part with its terminals below, the leads between.

    The terminals in use are filled and large, the others hollow. The red lead is a solid line,
    the black one a double line; each bears its name, and so does a clamp or a probe.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(self.tr("widgets.leads"))
        self._plan: LeadPlan | None = None
        self.renew(self._spoken())

    def show_leads(self, plan: LeadPlan | None) -> None:
        """Show where the leads go; None: nothing is to be measured."""
        if plan != self._plan:
            self._plan = plan
            self.renew(self._spoken())

    # --- words ---------------------------------------------------------------------------------

    def _knob(self, plan: LeadPlan) -> str:
        function = set_to(plan.quantity, self.look.presentation)
        if plan.typed:
            return self.tr("widgets.read_function_then_type").format(function=function)
        if plan.quantity is Quantity.CAPACITANCE:
            return self.tr("widgets.meter_capacitance_uf")
        return self.tr("widgets.meter_function").format(function=function)

    def _how(self, plan: LeadPlan) -> str:
        either = self.tr("widgets.either_way_round") if plan.either_way else ""
        return f"{either} {plan.how}".strip()

    def _tab(self, lead: DrawnLead) -> str:
        return {
            "red": self.tr("widgets.red"),
            "black": self.tr("widgets.black"),
            "clamp": self.tr("widgets.clamp"),
            "probe": self.tr("widgets.probe"),
            "gauge": self.tr("widgets.gauge"),
        }[lead.name]

    def _spoken(self) -> str:
        plan = self._plan
        if plan is None:
            return self.tr("widgets.nothing_clip")
        texts = [f"{plan.part}. {self._knob(plan)}."]
        sentences = {
            "red": self.tr("widgets.red_lead_terminal"),
            "black": self.tr("widgets.black_lead_terminal"),
            "clamp": self.tr("widgets.clamp_around_terminal"),
            "probe": self.tr("widgets.probe_terminal"),
            "gauge": self.tr("widgets.gauge_terminal"),
        }
        for lead in plan.leads:
            texts.append(sentences[lead.name].format(terminal=plan.terminals[lead.terminal]))
        return " ".join((*texts, self._how(plan))).strip()

    # --- geometry ------------------------------------------------------------------------------

    def _blocks(self, width: float) -> tuple[WrappedText, WrappedText]:
        """What the meter is set to, and what to do."""
        look = self.look
        room = width - 2 * look.gap
        plan = self._plan
        if plan is None:
            nothing = self.tr("widgets.where_leads_go_drawn")
            return WrappedText(nothing, look.body, room), WrappedText("", look.body, room)
        return (
            WrappedText(self._knob(plan), self._knob_font(), room),
            WrappedText(self._how(plan), look.body, room),
        )

    def _knob_font(self) -> QFont:
        font = self.look.title
        font.setPixelSize(self.look.px(22))
        return font

    def _meter_height(self, width: float) -> float:
        return self._blocks(width)[0].height + self.look.px(12)

    def _names(self, width: float) -> list[WrappedText]:
        """The terminals' names, each as wide as its place."""
        look, plan = self.look, self._plan
        if plan is None:
            return []
        slot = (width - 2 * look.px(8)) / max(len(plan.terminals), 1) - look.px(6)
        return [
            WrappedText(
                name, self._name_font(name, slot, strong=place in plan.used), max(slot, 1.0)
            )
            for place, name in enumerate(plan.terminals)
        ]

    def _name_font(self, name: str, slot: float, *, strong: bool) -> QFont:
        """The largest of our sizes in which no word is broken and two lines are enough."""
        look = self.look
        sizes = (look.title, look.bold(look.body), look.bold(look.small))
        fonts = sizes if strong else (look.body, look.small)

        def fits(font: QFont) -> bool:
            high = WrappedText(name, font, max(slot, 1.0)).height
            few = high <= 2 * QFontMetricsF(font).lineSpacing() + 1
            return few and longest_word(name, font) <= slot

        return next((font for font in fonts if fits(font)), fonts[-1])

    def _part_height(self, width: float) -> float:
        names = max((name.height for name in self._names(width)), default=0.0)
        return names + self._title(width).height + self.look.px(18)

    def _title(self, width: float) -> WrappedText:
        title = self._plan.part if self._plan is not None else ""
        return WrappedText(title, self.look.small, width - 2 * self.look.gap)

    def _between(self) -> int:
        """Room for the leads."""
        return self.look.px(124)

    def heightForWidth(self, width: int) -> int:
        knob, how = self._blocks(width)
        if self._plan is None:
            return int(knob.height) + 1
        below = how.height + self.look.px(6) if how.height else 0.0
        high = self._meter_height(width) + self._between() + self._part_height(width)
        return int(high + below) + 1

    def sizeHint(self) -> QSize:
        width = self.look.px(460)
        return QSize(width, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:
        width = self.look.px(300)
        return QSize(width, self.heightForWidth(width))

    def terminal_at(self, place: int) -> QPointF:
        """Where the lead of that terminal is clipped on; widget coordinates."""
        look, plan = self.look, self._plan
        if plan is None:
            raise ValueError("nothing is shown")
        slot = (self.width() - 2 * look.px(8)) / max(len(plan.terminals), 1)
        top = self._meter_height(self.width()) + self._between()
        return QPointF(look.px(8) + slot * (place + 0.5), top - look.px(8))

    # --- painting ------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = self.painter()
        look, plan, width = self.look, self._plan, self.width()
        knob, how = self._blocks(width)
        if plan is None:
            knob.draw(painter, look.gap, 0, look.colour("faint_ink"))
            painter.end()
            return
        meter = QRectF(look.px(1), look.px(1), width - look.px(2), self._meter_height(width))
        self._box(painter, meter)
        knob.draw(painter, (width - knob.width) / 2, meter.top() + look.px(6), look.colour("ink"))
        self._paint_part(painter, plan)
        for row, lead in enumerate(plan.leads):
            self._paint_lead(painter, lead, meter.bottom(), row)
        bottom = self._meter_height(width) + self._between() + self._part_height(width)
        how.draw(painter, look.gap, bottom + look.px(6), look.colour("ink"))
        painter.end()

    def _box(self, painter: QPainter, rect: QRectF) -> None:
        look = self.look
        painter.setPen(QPen(look.colour("edge"), look.px(2)))
        painter.setBrush(look.colour("panel"))
        painter.drawRoundedRect(rect, look.px(6), look.px(6))
        painter.setBrush(Qt.BrushStyle.NoBrush)

    def _paint_part(self, painter: QPainter, plan: LeadPlan) -> None:
        look, width = self.look, self.width()
        top = self._meter_height(width) + self._between()
        self._box(
            painter,
            QRectF(look.px(1), top, width - look.px(2), self._part_height(width) - look.px(1)),
        )
        names = self._names(width)
        for place, name in enumerate(names):
            at, used = self.terminal_at(place), place in plan.used
            # A blade that stands out of the part.
            half, high = look.px(8 if used else 6), look.px(14 if used else 10)
            blade = QRectF(at.x() - half, top - high, 2 * half, high)
            tone = look.colour("ink" if used else "faint_ink")
            painter.setPen(QPen(tone, look.px(2)))
            painter.setBrush(tone if used else look.colour("ground"))
            painter.drawRect(blade)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            name.draw(painter, at.x() - name.width / 2, top + look.px(4), tone)
        title = self._title(width)
        y = top + self._part_height(width) - look.px(6) - title.height
        title.draw(painter, (width - title.width) / 2, y, look.colour("ink"))

    def _paint_lead(self, painter: QPainter, lead: DrawnLead, top: float, row: int) -> None:
        """From the meter straight down to the terminal: cable, clip or tool, name."""
        look = self.look
        end = self.terminal_at(lead.terminal) - QPointF(0, look.px(40))
        cable = QPainterPath(QPointF(end.x(), top))
        cable.lineTo(end)
        colour = {"red": QColor(_RED), "black": QColor(_BLACK)}.get(lead.name)
        if colour is None:
            self._stroke(painter, cable, look.px(5), look.colour("ink"))
            self._paint_tool(painter, lead, end)
        else:
            self._stroke(painter, cable, look.px(11), look.colour("panel"))
            self._stroke(painter, cable, look.px(9), look.colour("ink"))
            self._stroke(painter, cable, look.px(6), colour)
            if lead.name == "black":
                self._stroke(painter, cable, look.px(2), QColor("#ffffff"))
            self._paint_clip(painter, end, colour)
        self._paint_name(painter, lead, QPointF(end.x(), top), row, colour)

    def _paint_tool(self, painter: QPainter, lead: DrawnLead, at: QPointF) -> None:
        """A clamp closes around the wire; a probe or a gauge touches it."""
        look = self.look
        painter.setPen(QPen(look.colour("ink"), look.px(5)))
        if lead.name == "clamp":
            ring = QRectF(at.x() - look.px(20), at.y(), look.px(40), look.px(34))
            painter.drawEllipse(ring)
            return
        painter.drawLine(at, at + QPointF(0, look.px(34)))
        painter.setBrush(look.colour("ink"))
        painter.drawEllipse(at + QPointF(0, look.px(22)), look.px(8), look.px(8))
        painter.setBrush(Qt.BrushStyle.NoBrush)

    def _stroke(self, painter: QPainter, path: QPainterPath, width: int, colour: QColor) -> None:
        pen = QPen(colour, width)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        painter.strokePath(path, pen)

    def _paint_clip(self, painter: QPainter, at: QPointF, colour: QColor) -> None:
        """Two jaws that hold the blade, opened a little above it."""
        look = self.look
        wide, high, gap = look.px(13), look.px(34), look.px(2)
        painter.setPen(QPen(look.colour("ink"), look.px(2)))
        painter.setBrush(colour)
        for way in (-1, 1):
            jaw = QPainterPath(at + QPointF(way * gap, 0))
            jaw.lineTo(at + QPointF(way * look.px(7), 0))
            jaw.lineTo(at + QPointF(way * wide, high * 0.45))
            jaw.lineTo(at + QPointF(way * look.px(5), high))
            jaw.lineTo(at + QPointF(way * gap, high * 0.8))
            jaw.closeSubpath()
            painter.drawPath(jaw)
        painter.setBrush(Qt.BrushStyle.NoBrush)

    def _paint_name(
        self, painter: QPainter, lead: DrawnLead, at: QPointF, row: int, colour: QColor | None
    ) -> None:
        """The word on a tab round the cable; that of the second lead hangs lower."""
        look, text = self.look, self._tab(lead)
        font = look.bold(look.body)
        metrics = QFontMetricsF(font)
        wide, high = metrics.horizontalAdvance(text) + look.px(16), metrics.height() + look.px(4)
        left = min(max(at.x() - wide / 2, look.px(2)), self.width() - wide - look.px(2))
        tab = QRectF(left, at.y() + look.px(8) + row * (high + look.px(4)), wide, high)
        painter.setPen(QPen(look.colour("ink"), look.px(2)))
        painter.setBrush(colour or look.colour("panel"))
        painter.drawRect(tab)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(look.colour("ink") if colour is None else QColor("#ffffff"))
        centred(painter, font, tab.center().x(), tab.center().y() + metrics.capHeight() / 2, text)
