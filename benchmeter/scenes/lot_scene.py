"""A carton of parts: how many are good, which to set aside, what they have in common."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchmeter.checking.part_check import PartCheck
from benchmeter.conformity.judgement import WORST_FIRST
from benchmeter.conformity.verdict import Measurement, MeasurementVerdict, Verdict
from benchmeter.words.lots import (
    counted_words,
    outside_words,
    section_words,
    spread_words,
    too_small_words,
)
from benchmeter.words.presentation import Presentation

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from benchmeter.statistics.lot import MeasurementReadings
    from benchmeter.statistics.lot_statistics import LotStatistics

__all__ = ["LotReadings", "LotScene", "LotSection", "lot_scene", "readings_of_checks"]

_GOOD = (Verdict.PASS, Verdict.CONDITIONAL_PASS)
_BAD = (Verdict.FAIL, Verdict.OPEN, Verdict.SHORTED, Verdict.CONDITIONAL_FAIL)
_OPEN = tuple(word for word in Verdict if word not in _GOOD + _BAD)
_NAMED = 10  # parts that are told by name
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


@dataclass(frozen=True, slots=True)
class LotSection:
    """One section of all parts.

    Attributes:
        statistics: drawn as a histogram.
        values_si: in the order of measuring; float64, NaN where there is none.
        heading, facts: in words.
        trend: what the order of measuring shows.
    """

    statistics: "LotStatistics"
    values_si: "NDArray[np.float64]"
    heading: str
    facts: str
    trend: str


@dataclass(frozen=True, slots=True)
class LotScene:
    """What is shown in place of the part in hand.

    Attributes:
        title: the carton and its label; "" there is none.
        bad: a part is bad.
        counts: the verdicts that came up, the worst first.
        next_step: what to set aside.
    """

    answer: str
    next_step: str
    title: str = ""
    bad: bool = False
    counts: tuple[tuple[Verdict, int], ...] = ()
    sections: tuple[LotSection, ...] = ()


def lot_scene(lot: LotReadings | None, tell: Presentation) -> LotScene:
    """The lot as it is to be drawn; None: nothing has been measured."""
    if lot is None or not len(lot.codes):
        return LotScene(
            tell.text("page_lot.no_carton_yet"), tell.text("page_lot.name_carton_form_next")
        )
    import numpy as np

    from benchmeter.statistics.lot import WORDS

    number = np.bincount(lot.codes, minlength=len(WORDS)).tolist()
    counts = dict(zip(WORDS, number, strict=True))
    title = lot.title
    if lot.unfinished:
        title = tell.text("page_lot.title_count_not_finished", title=title, count=lot.unfinished)
    return LotScene(
        _answer(counts, tell),
        _aside(lot, tell),
        title,
        any(counts[word] for word in _BAD),
        tuple((word, counts[word]) for word in WORST_FIRST if counts[word]),
        tuple(_section(readings, tell) for readings in lot.sections),
    )


def _answer(counts: dict[Verdict, int], tell: Presentation) -> str:
    whole = sum(counts.values())
    good, bad = (sum(counts[word] for word in words) for words in (_GOOD, _BAD))
    parts = [tell.text("page_lot.good_all_good", good=good, all=whole)]
    if bad:
        parts.append(tell.text("page_lot.bad_bad", bad=bad))
    if whole > good + bad:
        parts.append(tell.text("page_lot.open_not_decided", open=whole - good - bad))
    return ", ".join(parts)


def _aside(lot: LotReadings, tell: Presentation) -> str:
    bad, open_ = _names(lot, _BAD, tell), _names(lot, _OPEN, tell)
    lines = [tell.text("page_lot.set_aside_names", names=bad)] if bad else []
    if open_:
        lines.append(tell.text("page_lot.measure_again_or_better", names=open_))
    return " ".join(lines) or tell.text("page_lot.nothing_set_aside")


def _names(lot: LotReadings, words: Iterable[Verdict], tell: Presentation) -> str:
    """The parts of these verdicts, some of them by name; "" there are none."""
    import numpy as np

    from benchmeter.statistics.lot import WORDS

    places = np.flatnonzero(np.isin(lot.codes, [WORDS.index(word) for word in words])).tolist()
    names = ", ".join(lot.name(place) for place in places[:_NAMED])
    if len(places) <= _NAMED:
        return names
    return tell.text("page_lot.names_count_more", names=names, count=len(places) - _NAMED)


def _section(readings: "MeasurementReadings", tell: Presentation) -> LotSection:
    from benchmeter.statistics.lot import statistics_of

    lot = statistics_of(readings)
    lines = [outside_words(lot, tell)] if lot.judged_count else []
    if lot.spread is None:
        lines.append(too_small_words(tell))
    else:
        lines += spread_words(lot.spread, lot.section, tell)
    heading = f"{section_words(lot.section, tell)}: {counted_words(lot, tell)}"
    facts = _MINUS.sub("\u2212", "\n".join(lines))
    return LotSection(lot, readings.values_si, heading, facts, lines[-1])
