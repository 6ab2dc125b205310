"""A carton of parts: how many are good, which to set aside, what they have in common."""

from collections.abc import Iterator

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QFontMetricsF, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QVBoxLayout, QWidget

from benchmeter.conformity.verdict import Verdict
from benchmeter.reports.shapes import VERDICT_TONE
from benchmeter.scenes.lot_scene import LotScene, LotSection
from benchmeter.window.theme.icons import paint_icon, verdict_icon
from benchmeter.window.theme.labels import label, restyle
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.lot_histogram import LotHistogram, LotTrend
from benchmeter.window.widgets.painted import Painted
from benchmeter.words.verdicts import verdict_word

__all__ = ["LotView"]

_BESIDE = 760  # width from which the words stand beside the picture, at 100 %


class LotView(QWidget):
    """How many are good, in words; the count of each verdict; each section with its pictures."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        look = current_theme()
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(look.px(6))
        self.title = label(size="small", tone="faint")
        self.answer = label(size="title")
        self.counts = _Counts(self)
        for widget in (self.title, self.answer, self.counts):
            rows.addWidget(widget)
        self._rows = rows
        self._sections: list[_SectionRows] = []
        rows.addStretch(1)

    def show_scene(self, scene: LotScene) -> None:
        """Draw it."""
        self.title.setText(scene.title)
        self.title.setVisible(bool(scene.title))
        self.answer.setText(scene.answer)
        restyle(self.answer, "tone", "bad" if scene.bad else "")
        self.counts.show_counts(scene.counts)
        self.counts.setVisible(bool(scene.counts))
        for rows, section in zip(
            self._section_rows(len(scene.sections)), scene.sections, strict=True
        ):
            rows.show_section(section)

    def _section_rows(self, number: int) -> "Iterator[_SectionRows]":
        """So many of them to be filled; the others are hidden and kept."""
        while len(self._sections) < number:
            made = _SectionRows(self)
            self._rows.insertWidget(self._rows.count() - 1, made)
            self._sections.append(made)
        for place, rows in enumerate(self._sections):
            rows.setVisible(place < number)
        yield from self._sections[:number]


class _Counts(Painted):
    """The verdicts with their shapes, and how many there are of each."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(self.tr("page_lot.counts"))
        self._counts: tuple[tuple[Verdict, int], ...] = ()

    def show_counts(self, counts: tuple[tuple[Verdict, int], ...]) -> None:
        """Show these."""
        self._counts = counts
        how = self.look.presentation
        self.renew(", ".join(f"{count} {verdict_word(word, how)}" for word, count in self._counts))

    def _places(self, width: int) -> list[tuple[Verdict, str, float, float]]:
        """Verdict, text, and where it begins; what does not fit goes into a further row."""
        look, metrics = self.look, QFontMetricsF(self.look.body)
        x = y = 0.0
        found = []
        for word, count in self._counts:
            text = f"{count} {verdict_word(word, self.look.presentation)}"
            wide = look.px(36) + metrics.horizontalAdvance(text)
            if x and x + wide > width:
                x, y = 0.0, y + look.px(34)
            found.append((word, text, x, y))
            x += wide + look.px(20)
        return found

    def heightForWidth(self, width: int) -> int:
        places = self._places(width)
        return int(places[-1][3] if places else 0) + self.look.px(34)

    def sizeHint(self) -> QSize:
        width = self.look.px(520)
        return QSize(width, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:
        width = self.look.px(240)
        return QSize(width, self.look.px(34))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter, look = self.painter(), self.look
        metrics = QFontMetricsF(look.body)
        painter.setFont(look.body)
        for word, text, x, y in self._places(self.width()):
            square = QRectF(x, y + look.px(3), look.px(28), look.px(28))
            paint_icon(painter, verdict_icon(word), square, look.colour(VERDICT_TONE[word]))
            painter.setPen(look.colour("ink"))
            base = square.center().y() + metrics.capHeight() / 2
            painter.drawText(int(x + look.px(36)), round(base), text)
        painter.end()


class _SectionRows(QWidget):
    """A section: heading, histogram, what follows from it, and the order of measuring."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        look = current_theme()
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, look.px(8), 0, 0)
        rows.setSpacing(look.px(2))
        self.heading = label(size="lead")
        self.histogram = LotHistogram(self)
        self.facts = label()
        self.trend = LotTrend(self)
        self._beside = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._beside.setSpacing(look.px(16))
        self._beside.addWidget(self.histogram, 1)
        self._beside.addWidget(self.facts, 1)
        rows.addWidget(self.heading)
        rows.addLayout(self._beside)
        rows.addWidget(self.trend)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Where the words do not fit beside the picture, they go below it."""
        direction = QBoxLayout.Direction
        beside = self.width() >= current_theme().px(_BESIDE)
        self._beside.setDirection(direction.LeftToRight if beside else direction.TopToBottom)
        super().resizeEvent(event)

    def show_section(self, section: LotSection) -> None:
        """Draw one section."""
        self.heading.setText(section.heading)
        self.facts.setText(section.facts)
        self.histogram.show_section(section.statistics)
        self.trend.show_section(section.statistics.section, section.values_si, section.trend)
