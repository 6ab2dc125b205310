"""The tolerance ruler: a number line to scale that explains the verdict without a formula."""

from dataclasses import dataclass
from decimal import Decimal

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QLinearGradient, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from benchmeter.checking.part_check import MeasurementCheck
from benchmeter.conformity.judgement import low_limit_si
from benchmeter.conformity.verdict import Measurement, MeasurementVerdict, Verdict
from benchmeter.quantities.units import UNITS
from benchmeter.reports.shapes import VERDICT_TONE
from benchmeter.window.widgets.painted import Painted, WrappedText, centred
from benchmeter.words.numbers import exact_text, number_text
from benchmeter.words.verdicts import limits_text, reading_words

__all__ = ["RulerScale", "ToleranceRuler", "scale_of"]


_ABOVE = 24  # room for the live pointer above the line, at 100 %
_TEMPERATURE_K = 20.0  # a limit of 300 K says nothing about how far from it is far


@dataclass(frozen=True, slots=True)
class RulerScale:
    """The stretch of the number line that is shown, SI."""

    low_si: float
    high_si: float

    def place(self, value_si: float) -> float:
        """0 at the left end, 1 at the right end; outside that: off the scale."""
        return (value_si - self.low_si) / (self.high_si - self.low_si)


def scale_of(check: MeasurementCheck) -> RulerScale | None:
    """The scale for a section: it depends on the limits and on what was taken, not on the live
    reading, so that it stands still while the leads are moved.

    At least half a band's width is shown beyond each limit, and up to two and a half where a
    reading lies there; what is farther off is shown at the edge as an arrow with its number.
    With one limit its distance from zero takes the place of the band.

    Returns:
        None without limits and without a rated value as long as nothing has been taken.
    """
    taken = [t.verdict for t in check.taken]
    values = [
        (float(v.reading_si), v.expanded_uncertainty_si or 0.0)
        for v in taken
        if v.reading_si is not None
    ]
    low, high = low_limit_si(check.section), check.section.high_si
    if low is None and high is None:
        if check.section.rated_si is not None:
            values.append((float(check.section.rated_si), 0.0))
        return _scale_around(values)
    band = _band(check.section)
    left = float(low) - band / 2 if low is not None else float(high or 0) - 1.5 * band
    right = float(high) + band / 2 if high is not None else float(low or 0) + 1.5 * band
    farthest_left, farthest_right = left - 2 * band, right + 2 * band
    for value, bar in values:
        if farthest_left <= value <= farthest_right:
            left = max(min(left, value - bar - band / 8), farthest_left)
            right = min(max(right, value + bar + band / 8), farthest_right)
    return RulerScale(left, right)


def _band(section: Measurement) -> float:
    """Width of the band; with one limit, what is far from it."""
    low, high = low_limit_si(section), section.high_si
    if low is not None and high is not None:
        return max(float(high - low), abs(float(high)) * 1e-3) or 1.0
    limit = low if low is not None else high
    if UNITS[section.unit].kind == "temperature":
        return _TEMPERATURE_K
    if section.rated_si is not None and limit is not None and section.rated_si != limit:
        return 2 * abs(float(section.rated_si - limit))
    return abs(float(limit or 0)) or 1.0


def _scale_around(values: list[tuple[float, float]]) -> RulerScale | None:
    if not values:
        return None
    left = min(value - bar for value, bar in values)
    right = max(value + bar for value, bar in values)
    room = (right - left) or abs(left) * 0.1 or 1.0
    return RulerScale(left - room, right + room)


class ToleranceRuler(Painted):
    """One section: band, rated value, the reading with its uncertainty, earlier and live readings.

    The reading that counts is a filled disc with a bar, earlier ones are faint strokes, the live
    one is a hollow pointer above the line. Where there is no limit the band runs out and an arrow
    points on; without any limit there is a plain line.

    Args:
        known: the part is one of known value, and no rated one.
    """

    def __init__(self, parent: QWidget | None = None, *, known: bool = False) -> None:
        super().__init__(parent)
        self._known = known
        self.setAccessibleName(self.tr("widgets.tolerance_ruler"))
        self._check: MeasurementCheck | None = None
        self._live_si: float | None = None
        self._title = ""
        self.renew(self.tr("widgets.no_part_yet"))

    def show_section(
        self, check: MeasurementCheck | None, live_si: float | None = None, title: str = ""
    ) -> None:
        """Show a section.

        Args:
            live_si: what the meter shows now, SI; None if nothing valid.
            title: for people; "": the section's own name.
        """
        if (check, live_si, title) == (self._check, self._live_si, self._title):
            return
        self._check, self._live_si, self._title = check, live_si, title
        self.renew(self._spoken())

    # --- words ---------------------------------------------------------------------------------

    def _rated(self, section: Measurement) -> str:
        if section.rated_si is None:
            return ""
        unit = self.look.presentation.unit(section.unit)
        rated = self.look.presentation.number(exact_text(section.rated_si, unit))
        words = (
            self.tr("widgets.known_rated_unit")
            if self._known
            else self.tr("widgets.rated_rated_unit")
        )
        return words.format(rated=rated, unit=unit)

    def _limits(self, section: Measurement) -> str:
        limits = limits_text(section, self.look.presentation)
        text = ", ".join(filter(None, (self._rated(section), limits)))
        return text or self.tr("widgets.no_limits_own")

    def _heading(self, section: Measurement) -> str:
        """Two limits stand at the line beside a rated value, so only a range needs them here."""
        if section.rated_si is None or low_limit_si(section) is None or section.high_si is None:
            return self._limits(section)
        return self._rated(section)

    def _counting(self) -> MeasurementVerdict | None:
        return self._check.taken[-1].verdict if self._check and self._check.taken else None

    def _reading_words(self) -> str:
        counting = self._counting()
        if counting is None:
            return self.tr("widgets.not_measured_yet")
        if counting.reading_si is None:
            return {
                Verdict.OPEN: self.tr("widgets.open"),
                Verdict.SHORTED: self.tr("widgets.shorted"),
                Verdict.PASS: self.tr("widgets.more_than_meter_shows"),  # an insulation
            }.get(counting.verdict, self.tr("widgets.no_value"))
        return reading_words(counting, self.look.presentation)

    def _name(self, section: Measurement) -> str:
        if self._title:
            return self._title
        return self.tr("widgets.capacitance") if section.name == "single" else section.name

    def _spoken(self) -> str:
        if self._check is None:
            return self.tr("widgets.no_part_yet")
        section = self._check.section
        text = f"{self._name(section)}: {self._limits(section)}. {self._reading_words()}."
        if len(self._check.taken) > 1:
            text += " " + self.tr("widgets.earlier_readings_count").format(
                count=len(self._check.taken) - 1
            )
        return text

    # --- geometry ------------------------------------------------------------------------------

    def line(self) -> QRectF:
        """Where the scale lies within the widget; its ends are the ends of the scale."""
        look = self.look
        side = look.px(28)
        top = self._heading_height(self.width()) + look.px(_ABOVE)
        return QRectF(side, top, max(self.width() - 2 * side, 1), look.px(40))

    def x_of(self, value_si: float) -> float:
        """Widget x of a value, on or off the scale."""
        scale = scale_of(self._check) if self._check is not None else None
        if scale is None:
            raise ValueError("no section with a scale is shown")
        line = self.line()
        return line.left() + scale.place(value_si) * line.width()

    def _heading_blocks(self, width: float) -> tuple[WrappedText, WrappedText, WrappedText]:
        look = self.look
        if self._check is None:
            none = WrappedText("", look.body, width)
            hint = self.tr("widgets.type_what_label_says")
            return none, WrappedText(hint, look.body, width - 2 * look.gap), none
        room = width - 2 * look.gap
        name = WrappedText(self._name(self._check.section), look.title, room)
        reading = WrappedText(self._reading_words(), look.title, room)
        middle = room - name.width - reading.width - 2 * look.gap
        limits_text = self._heading(self._check.section)
        limits = WrappedText(limits_text, look.body, middle)
        if middle < limits.width or limits.height > name.height:  # on a line of its own
            limits = WrappedText(limits_text, look.body, room)
        return name, limits, reading

    def _heading_rows(self, width: float) -> tuple[bool, bool]:
        """Whether limits fit beside the name, and whether the reading does."""
        name, limits, reading = self._heading_blocks(width)
        room = width - 2 * self.look.gap
        gaps = 2 * self.look.gap
        all_in_one = name.width + limits.width + reading.width + gaps <= room
        return all_in_one, name.width + reading.width + self.look.gap <= room

    def _heading_height(self, width: float) -> float:
        name, limits, reading = self._heading_blocks(width)
        if self._check is None:
            return limits.height
        one_row, reading_beside = self._heading_rows(width)
        height = name.height
        if not reading_beside:
            height += reading.height
        if not one_row:
            height += limits.height
        return height

    def _label_places(self, width: float) -> list[tuple[str, float, int]]:
        """Text, middle and row of the numbers below the line; those that clash go a row down."""
        look = self.look
        scale = scale_of(self._check) if self._check is not None else None
        if self._check is None or scale is None:
            return []
        section = self._check.section
        metrics = QFontMetricsF(look.body)
        side = look.px(28)
        limits = [v for v in (low_limit_si(section), section.high_si) if v is not None]
        marks = limits if section.rated_si is None else [*limits, section.rated_si]
        unit = look.presentation.unit(section.unit)
        placed: list[tuple[str, float, int]] = []
        taken: list[tuple[float, float]] = []
        for value in marks:
            text = look.presentation.number(exact_text(value, unit))
            half = metrics.horizontalAdvance(text) / 2
            at = side + scale.place(float(value)) * max(width - 2 * side, 1)
            x = min(max(at, half), width - half)
            clash = any(x - half < b + look.px(6) and x + half > a - look.px(6) for a, b in taken)
            taken.append((x - half, x + half))
            placed.append((text, x, 1 if clash else 0))
        return placed

    def _labels_height(self, width: float) -> float:
        rows = 1 + max((row for _, _, row in self._label_places(width)), default=0)
        return QFontMetricsF(self.look.body).height() * rows + self.look.px(10)

    def heightForWidth(self, width: int) -> int:
        look = self.look
        if self._check is None:
            return int(self._heading_height(width)) + look.px(24)
        return int(self._heading_height(width) + look.px(_ABOVE + 40) + self._labels_height(width))

    def sizeHint(self) -> QSize:
        width = self.look.px(620)
        return QSize(width, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:
        width = self.look.px(320)
        return QSize(width, self.sizeHint().height())

    # --- painting ------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = self.painter()
        self._paint_heading(painter)
        if self._check is not None:
            self._paint_band(painter, self._check.section)
            self._paint_labels(painter)
            for earlier in self._check.taken[:-1]:
                if earlier.verdict.reading_si is not None:
                    self._paint_earlier(painter, float(earlier.verdict.reading_si))
            counting = self._counting()
            if counting is not None and counting.reading_si is not None:
                self._paint_counting(painter, counting, counting.reading_si)
            if self._live_si is not None and scale_of(self._check) is not None:
                self._paint_live(painter, self._live_si)
        painter.end()

    def _paint_heading(self, painter: QPainter) -> None:
        look = self.look
        name, limits, reading = self._heading_blocks(self.width())
        left = float(look.gap)
        if self._check is None:
            limits.draw(painter, left, look.px(8), look.colour("faint_ink"))
            return
        one_row, reading_beside = self._heading_rows(self.width())
        y = name.draw(painter, left, 0, look.colour("ink"))
        counting = self._counting()
        tone = VERDICT_TONE[counting.verdict] if counting is not None else "faint_ink"
        if reading_beside:
            reading.draw(painter, self.width() - look.gap - reading.width, 0, look.colour(tone))
        else:
            y = reading.draw(painter, left, y, look.colour(tone))
        if one_row:
            drop = QFontMetricsF(look.title).ascent() - QFontMetricsF(look.body).ascent()
            limits.draw(painter, left + name.width + look.gap, drop, look.colour("ink"))
        else:
            limits.draw(painter, left, y, look.colour("ink"))

    def _paint_band(self, painter: QPainter, section: Measurement) -> None:
        look, line = self.look, self.line()
        limits = [float(v) for v in (low_limit_si(section), section.high_si) if v is not None]
        if limits:
            low = self.x_of(limits[0]) if low_limit_si(section) is not None else line.left()
            high = self.x_of(limits[-1]) if section.high_si is not None else line.right()
            rect = QRectF(low, line.top(), high - low, line.height())
            painter.fillRect(rect, look.colour("band"))
        painter.setPen(QPen(look.colour("edge"), look.px(2)))
        painter.drawLine(QPointF(line.left(), line.bottom()), QPointF(line.right(), line.bottom()))
        if limits and low_limit_si(section) is None:
            self._paint_open_end(painter, line.left(), -1)
        if limits and section.high_si is None:
            self._paint_open_end(painter, line.right(), 1)
        painter.setPen(QPen(look.colour("ink"), look.px(3), c=Qt.PenCapStyle.FlatCap))
        for x in map(self.x_of, limits):
            painter.drawLine(QPointF(x, line.top()), QPointF(x, line.bottom() + look.px(6)))
        if section.rated_si is not None:
            x = self.x_of(float(section.rated_si))
            painter.setPen(QPen(look.colour("ink"), look.px(1), c=Qt.PenCapStyle.FlatCap))
            painter.drawLine(QPointF(x, line.top()), QPointF(x, line.bottom() + look.px(6)))

    def _paint_open_end(self, painter: QPainter, x: float, way: int) -> None:
        """The band runs out beyond the scale: it fades, and an arrow points on."""
        look, line = self.look, self.line()
        far = x + way * look.px(24)
        fading = QLinearGradient(x, 0, far, 0)
        fading.setColorAt(0, look.colour("band"))
        fading.setColorAt(1, look.colour("ground"))
        painter.fillRect(QRectF(min(x, far), line.top(), abs(far - x), line.height()), fading)
        size = look.px(7)
        painter.setPen(QPen(look.colour("edge"), look.px(2)))
        painter.drawLine(QPointF(x, line.bottom()), QPointF(far, line.bottom()))
        painter.drawPolyline(
            QPolygonF(
                [
                    QPointF(far - way * size, line.bottom() - size),
                    QPointF(far, line.bottom()),
                    QPointF(far - way * size, line.bottom() + size),
                ]
            )
        )

    def _paint_labels(self, painter: QPainter) -> None:
        look, line = self.look, self.line()
        metrics = QFontMetricsF(look.body)
        base = line.bottom() + look.px(6) + metrics.ascent()
        painter.setPen(look.colour("ink"))
        for text, x, row in self._label_places(self.width()):
            centred(painter, look.body, x, base + row * metrics.height(), text)

    def _edge_mark(self, painter: QPainter, value_si: float, y: float, tone: str) -> None:
        """An arrow at the edge that the value lies beyond, with its number."""
        look, line = self.look, self.line()
        right = self.x_of(value_si) > line.right()
        tip = line.right() + look.px(22) if right else line.left() - look.px(22)
        turn = -1 if right else 1
        size = look.px(10)
        painter.setPen(QPen(look.colour(tone), look.px(3)))
        painter.drawLine(QPointF(tip, y), QPointF(tip + turn * 2.4 * size, y))
        painter.drawPolyline(
            QPolygonF(
                [
                    QPointF(tip + turn * size, y - size),
                    QPointF(tip, y),
                    QPointF(tip + turn * size, y + size),
                ]
            )
        )
        text = self._short(value_si)
        metrics = QFontMetricsF(look.bold(look.body))
        width = metrics.horizontalAdvance(text)
        start = tip + turn * (3 * size)
        painter.setFont(look.bold(look.body))
        painter.drawText(
            QPointF(start - width if right else start, y + metrics.capHeight() / 2), text
        )

    def _short(self, value_si: float) -> str:
        """Three digits in the section's unit."""
        symbol = self._check.section.unit if self._check is not None else "µF"
        unit = UNITS[self.look.presentation.unit(symbol)]
        value = value_si / float(unit.scale) - float(unit.zero)
        size = abs(value)
        decimals = next((d for d, least in ((0, 100), (1, 10), (2, 0.1)) if size >= least), 3)
        return self.look.presentation.number(number_text(value, decimals))

    def _on_scale(self, value_si: float) -> bool:
        line = self.line()
        return line.left() <= self.x_of(value_si) <= line.right()

    def _paint_earlier(self, painter: QPainter, value_si: float) -> None:
        look, line = self.look, self.line()
        if not self._on_scale(value_si):
            return
        x = self.x_of(value_si)
        painter.setPen(QPen(look.colour("faint_ink"), look.px(2), c=Qt.PenCapStyle.FlatCap))
        painter.drawLine(
            QPointF(x, line.top() + look.px(10)), QPointF(x, line.bottom() - look.px(10))
        )

    def _paint_counting(
        self, painter: QPainter, verdict: MeasurementVerdict, reading_si: Decimal
    ) -> None:
        look, line = self.look, self.line()
        y, value = line.center().y(), float(reading_si)
        tone = VERDICT_TONE[verdict.verdict]
        if not self._on_scale(value):
            self._edge_mark(painter, value, y, tone)
            return
        x, bar = self.x_of(value), verdict.expanded_uncertainty_si or 0.0
        ends = [min(max(self.x_of(value + s * bar), line.left()), line.right()) for s in (-1, 1)]
        pen = QPen(look.colour(tone), look.px(4), c=Qt.PenCapStyle.FlatCap)
        painter.setPen(pen)
        cap = look.px(9)
        if bar:
            painter.drawLine(QPointF(ends[0], y), QPointF(ends[1], y))
            for end in ends:
                painter.drawLine(QPointF(end, y - cap), QPointF(end, y + cap))
        painter.setBrush(look.colour(tone))
        painter.setPen(QPen(look.colour("panel"), look.px(2)))
        painter.drawEllipse(QPointF(x, y), look.px(8), look.px(8))
        painter.setBrush(Qt.BrushStyle.NoBrush)

    def _paint_live(self, painter: QPainter, value_si: float) -> None:
        look, line = self.look, self.line()
        size = look.px(9)
        y = line.top() - look.px(4)
        if not self._on_scale(value_si):
            self._edge_mark(painter, value_si, y - size, "ink")
            return
        x = self.x_of(value_si)
        painter.setPen(QPen(look.colour("ink"), look.px(2)))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPolygon(
            QPolygonF(
                [
                    QPointF(x, y),
                    QPointF(x - size, y - 1.7 * size),
                    QPointF(x + size, y - 1.7 * size),
                ]
            )
        )
