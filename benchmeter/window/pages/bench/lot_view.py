"""A carton of parts: how many are good, which to set aside, what they have in common."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QFontMetricsF, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QVBoxLayout, QWidget

from benchmeter.checking.part_check import PartCheck
from benchmeter.conformity.verdict import Measurement, MeasurementVerdict, Verdict
from benchmeter.reports.shapes import VERDICT_TONE
from benchmeter.window.theme.icons import paint_icon, verdict_icon
from benchmeter.window.theme.labels import label, restyle
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.lot_histogram import LotHistogram, LotTrend
from benchmeter.window.widgets.painted import Painted
from benchmeter.words.verdicts import verdict_word

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from benchmeter.statistics.lot import MeasurementReadings
    from benchmeter.statistics.lot_statistics import LotStatistics

__all__ = ["LotReadings", "LotView", "readings_of_checks"]

_GOOD = (Verdict.PASS, Verdict.CONDITIONAL_PASS)
_BAD = (Verdict.FAIL, Verdict.OPEN, Verdict.SHORTED, Verdict.CONDITIONAL_FAIL)
_NAMED = 10  # parts that are told by name
_BESIDE = 760  # width from which the words stand beside the picture, at 100 %
_MINUS = re.compile(r"(?<![^ (])-(?=\d)")  # as wide as a plus in our fonts


@dataclass(frozen=True, slots=True)
class LotReadings:
    """A lot as arrays.

    Attributes:
        title: the carton and its label.
        sections: each with one reading a part, in the order of measuring.
        codes: the verdict on each part, see `statistics.lot.WORDS`; uint8, shape (n,).
        names: own numbers of the parts; none: 1, 2, 3.
        unfinished: parts that have no verdict yet.
    """

    title: str
    sections: "tuple[MeasurementReadings, ...]"
    codes: "NDArray[np.uint8]"
    names: Sequence[str] = ()
    unfinished: int = 0

    def name(self, place: int) -> str:
        """The own number of a part."""
        return self.names[place] if self.names else str(place + 1)


def readings_of_checks(checks: Sequence[PartCheck], title: str = "") -> LotReadings | None:
    """The arrays of judged checks, in the order of measuring; None if none is judged."""
    import numpy as np

    from benchmeter.statistics.lot import WORDS, readings_of

    judged = [(check, check.verdict) for check in checks if check.verdict is not None]
    if not judged:
        return None
    # Parts whose label differs have sections of their own.
    sections = dict.fromkeys(s.section for _, verdict in judged for s in verdict.sections)
    found: dict[Measurement, list[MeasurementVerdict]] = {section: [] for section in sections}
    for _, verdict in judged:
        for of_section in verdict.sections:
            found[of_section.section].append(of_section)
    place = {word: code for code, word in enumerate(WORDS)}
    return LotReadings(
        title or judged[0][0].rating.text,
        tuple(readings_of(section, verdicts) for section, verdicts in found.items()),
        np.array([place[verdict.verdict] for _, verdict in judged], np.uint8),
        [check.part for check, _ in judged],
        len(checks) - len(judged),
    )


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
        self._next = ""
        for widget in (self.title, self.answer, self.counts):
            rows.addWidget(widget)
        self._rows = rows
        self._sections: list[_SectionRows] = []
        rows.addStretch(1)
        self.show_readings(None)

    def show_lot(self, checks: Sequence[PartCheck], title: str = "") -> None:
        """Show the checks of a carton.

        Args:
            checks: in the order of measuring; those without a verdict are counted only.
            title: the carton and its label; "": the label of the first part.
        """
        self.show_readings(readings_of_checks(checks, title))

    def show_readings(self, lot: LotReadings | None) -> None:
        """Show a lot that is given as arrays; None: nothing has been measured."""
        if lot is None or not len(lot.codes):
            self._show_empty()
            return
        import numpy as np

        from benchmeter.statistics.lot import WORDS, statistics_of

        number = np.bincount(lot.codes, minlength=len(WORDS)).tolist()
        counts = dict(zip(WORDS, number, strict=True))
        self.title.setText(self._title_words(lot))
        self._show_answer(counts)
        self.counts.show_counts(counts)
        self._next = self._aside_words(lot)
        for widget in (self.title, self.counts):
            widget.show()
        for rows, readings in zip(self._section_rows(len(lot.sections)), lot.sections, strict=True):
            rows.show_section(statistics_of(readings), readings.values_si)

    def next_words(self) -> str:
        """What to do next, in one line."""
        return self._next

    # --- words ---------------------------------------------------------------------------------

    def _show_empty(self) -> None:
        self.title.hide()
        self.counts.hide()
        self.answer.setText(self.tr("page_lot.no_carton_yet"))
        restyle(self.answer, "tone", "")
        self._next = self.tr("page_lot.name_carton_form_next")
        list(self._section_rows(0))

    def _title_words(self, lot: LotReadings) -> str:
        if not lot.unfinished:
            return lot.title
        words = self.tr("page_lot.title_count_not_finished")
        return words.format(title=lot.title, count=lot.unfinished)

    def _show_answer(self, counts: dict[Verdict, int]) -> None:
        whole = sum(counts.values())
        good, bad = (sum(counts[word] for word in words) for words in (_GOOD, _BAD))
        parts = [self.tr("page_lot.good_all_good").format(good=good, all=whole)]
        if bad:
            parts.append(self.tr("page_lot.bad_bad").format(bad=bad))
        if whole > good + bad:
            parts.append(self.tr("page_lot.open_not_decided").format(open=whole - good - bad))
        self.answer.setText(", ".join(parts))
        restyle(self.answer, "tone", "bad" if bad else "")

    def _aside_words(self, lot: LotReadings) -> str:
        import numpy as np

        from benchmeter.statistics.lot import WORDS

        lines = []
        for words, texts in (
            (_BAD, self.tr("page_lot.set_aside_names")),
            (
                tuple(w for w in Verdict if w not in _GOOD + _BAD),
                self.tr("page_lot.measure_again_or_better"),
            ),
        ):
            places = np.flatnonzero(np.isin(lot.codes, [WORDS.index(word) for word in words]))
            if len(places):
                lines.append(texts.format(names=self._names(lot, places.tolist())))
        return " ".join(lines) or self.tr("page_lot.nothing_set_aside")

    def _names(self, lot: LotReadings, places: Sequence[int]) -> str:
        names = ", ".join(lot.name(place) for place in places[:_NAMED])
        more = len(places) - _NAMED
        if more <= 0:
            return names
        return self.tr("page_lot.names_count_more").format(names=names, count=more)

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

    def show_counts(self, counts: dict[Verdict, int]) -> None:
        """Show those that are not none, worst first."""
        from benchmeter.conformity.judgement import WORST_FIRST

        self._counts = tuple((word, counts[word]) for word in WORST_FIRST if counts.get(word))
        self.renew(", ".join(f"{count} {verdict_word(word)}" for word, count in self._counts))

    def _places(self, width: int) -> list[tuple[Verdict, str, float, float]]:
        """Verdict, text, and where it begins; what does not fit goes into a further row."""
        look, metrics = self.look, QFontMetricsF(self.look.body)
        x = y = 0.0
        found = []
        for word, count in self._counts:
            text = f"{count} {verdict_word(word)}"
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

    def show_section(self, lot: "LotStatistics", values_si: "NDArray[np.float64]") -> None:
        """Show one section."""
        from benchmeter.words.lots import (
            counted_words,
            outside_words,
            section_words,
            spread_words,
            too_small_words,
        )

        how = current_theme().presentation
        self.heading.setText(f"{section_words(lot.section, how)}: {counted_words(lot, how)}")
        lines = [outside_words(lot, how)] if lot.judged_count else []
        if lot.spread is None:
            lines.append(too_small_words(how))
        else:
            lines += spread_words(lot.spread, lot.section, how)
        self.facts.setText(_MINUS.sub("\u2212", "\n".join(lines)))
        self.histogram.show_section(lot)
        self.trend.show_section(lot.section, values_si, lines[-1])
