"""The view of a carton with 10,000 parts of two sections: opened, laid out, painted.

Floor: the same statistics by NumPy and SciPy alone, as one would type them.
"""

import math
import os
import time
from decimal import Decimal

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPoint
from PySide6.QtGui import QImage
from scipy import stats

from benchmeter.conformity.verdict import Measurement, Verdict
from benchmeter.parts.nameplate.label import parse_label
from benchmeter.scenes.lot_scene import LotReadings, lot_scene
from benchmeter.statistics.lot import WORDS, MeasurementReadings
from benchmeter.window.pages.bench.lot_view import LotView
from benchmeter.words.presentation import PLAIN
from tests.benchmarks.measure import Row, in_turn, left_alone, p50
from tests.benchmarks.plots import application

__all__ = ["run"]

_COUNT_F = Decimal("1e-8")
_SIZE = (1040, 700)


def run(quick: bool) -> list[Row]:
    app = application()
    number = 200 if quick else 10_000
    sections = parse_label("45/5 µF ±6 %").sections
    lot = _lot(sections, number)
    picture = QImage(*_SIZE, QImage.Format.Format_RGB32)
    seen: list[str] = []

    def opened() -> None:
        view = LotView()
        view.resize(*_SIZE)
        view.show_scene(lot_scene(lot, PLAIN))
        view.render(picture, QPoint())
        seen[:] = [view.answer.text()]
        view.deleteLater()

    def again() -> None:
        kept.show_scene(lot_scene(lot, PLAIN))
        kept.render(picture, QPoint())

    def bare() -> None:
        for section in lot.sections:
            _bare(section.section, section.values_si, section.codes)

    kept = LotView()
    kept.resize(*_SIZE)
    with left_alone():
        floor, ours, shown = in_turn(5 if quick else 60, bare, opened, again)
        begin = time.thread_time_ns()
        opened()
        used = (time.thread_time_ns() - begin) / 1e6
    app.processEvents()
    wrong = float(str(number) not in seen[0])
    return [
        Row("10,000 parts: the view opens, p50", p50(ours), "ms", 3.0, p50(floor)),
        Row("10,000 parts: the view shows another carton, p50", p50(shown), "ms", 3.0, p50(floor)),
        Row("10,000 parts: processor time of opening", used, "ms", 3.0, p50(floor)),
        Row("10,000 parts: parts that are not counted", wrong, "", 0),
    ]


def _lot(sections: tuple[Measurement, ...], number: int) -> LotReadings:
    random = np.random.default_rng(5)
    made = []
    for section in sections:
        rated = float(section.rated_si or 0) / float(_COUNT_F)
        counts = random.normal(rated * 0.99, rated * 0.018, number).astype(np.int64)
        low, high = float(section.low_si or 0), float(section.high_si or 0)
        values = counts / 1e8
        inside = (values >= low) & (values <= high)
        codes = np.where(inside, WORDS.index(Verdict.PASS), WORDS.index(Verdict.FAIL))
        made.append(MeasurementReadings(section, values, codes.astype(np.uint8), _COUNT_F))
    bad = np.any([m.codes == WORDS.index(Verdict.FAIL) for m in made], axis=0)
    worst = np.where(bad, WORDS.index(Verdict.FAIL), WORDS.index(Verdict.PASS))
    return LotReadings("a carton", tuple(made), worst.astype(np.uint8))


def _bare(section: Measurement, values: NDArray[np.float64], codes: NDArray[np.uint8]) -> object:
    low, high = float(section.low_si or 0), float(section.high_si or 0)
    count = len(values)
    mean, deviation = values.mean(), values.std(ddof=1)
    interval = stats.t.interval(0.95, count - 1, loc=mean, scale=deviation / math.sqrt(count))
    spread = deviation * np.sqrt((count - 1) / stats.chi2.ppf([0.975, 0.025], count - 1))
    outside = int(((values < low) | (values > high)).sum())
    share = stats.binomtest(outside, count).proportion_ci(0.95, method="exact")
    bars = np.histogram(values, np.linspace(low, high, 11))
    line = stats.linregress(np.arange(count), values)
    slope = line.slope + np.array([-1, 1]) * stats.t.ppf(0.975, count - 2) * line.stderr
    above = values[values != np.median(values)] > np.median(values)
    runs = 1 + int((above[1:] != above[:-1]).sum())
    cp = (high - low) / (6 * deviation)
    cpk = min(high - mean, mean - low) / (3 * deviation)
    half = stats.norm.ppf(0.975) * math.sqrt(1 / (9 * count) + cpk**2 / (2 * (count - 1)))
    words = np.bincount(codes)
    return interval, spread, share, bars, slope, runs, cp, cpk - half, words
