"""What is drawn is what was measured: checked by brute force. Speed without it is worth nothing."""

import numpy as np
from numpy.typing import NDArray
from PySide6.QtGui import QImage

from benchmeter.window.plot.history import ChannelHistory
from tests.benchmarks.measure import Row
from tests.benchmarks.plots import CHANNELS, Scene, application, noisy

__all__ = ["run"]

Floats = NDArray[np.float64]

_COLUMNS = 1137


def run(quick: bool) -> list[Row]:
    count = 70_000 if quick else 7_000_000
    random = np.random.default_rng(5)
    wrong = wandering = bridged = 0
    for channel in range(2 if quick else CHANNELS):
        times = np.cumsum(random.exponential(0.01, count))
        values = noisy(count, channel)
        begin = int(random.integers(count // 4, count // 2))
        gap = slice(begin, begin + count // 50)
        values[gap] = np.nan
        history = _in_pieces(times, values, random)
        wrong += sum(_differences(history, times, values, *view) for view in _views(times, random))
        wandering += _wandering(history, float(times[-1]))
        bridged += _in_gap(history, times[gap])
    return [
        Row("pixel columns that differ from brute force", float(wrong), "", 0),
        Row("columns that change while the view scrolls", float(wandering), "", 0),
        Row("points or strokes drawn over a gap", float(bridged), "", 0),
        Row("spikes of one sample not seen in 24 h", float(_unseen(quick)), "", 0),
    ]


def _in_pieces(times: Floats, values: Floats, random: np.random.Generator) -> ChannelHistory:
    history = ChannelHistory()
    cuts = np.sort(random.integers(0, len(times), 200))
    for t, v in zip(np.split(times, cuts), np.split(values, cuts), strict=True):
        history.add(t, v)
    return history


def _views(times: Floats, random: np.random.Generator) -> list[tuple[float, float]]:
    """The whole record, and stretches of any width."""
    end = float(times[-1])
    views = [(0.0, end * 1.1)]
    for part in (0.5, 0.1, 0.01):
        begin = float(random.uniform(0, end * (1 - part)))
        views.append((begin, begin + part * end))
    return views


def _differences(
    history: ChannelHistory, times: Floats, values: Floats, begin: float, end: float
) -> int:
    """Columns whose minimum or maximum is not that of its samples."""
    found = history.spans(begin, end, _COLUMNS)
    if found is None:
        return 0
    wrong = 0
    for column, (low, high) in enumerate(zip(found.low, found.high, strict=True)):
        left, right = ((found.first + column + d) * found.step for d in (0, 1))
        first, last = np.searchsorted(times, (left, right), side="left")
        inside = values[first:last]
        inside = inside[~np.isnan(inside)]
        exact = (inside.min(), inside.max()) if len(inside) else (np.nan, np.nan)
        wrong += not np.array_equal((low, high), exact, equal_nan=True)
    return wrong


def _wandering(history: ChannelHistory, end: float) -> int:
    """Columns in both of two views, one scrolled by a tenth, that differ."""
    width = end / 4
    step = width / _COLUMNS
    before = history.spans(width, 2 * width, _COLUMNS)
    if before is None:
        return 0
    kept = {before.first + n: pair for n, pair in enumerate(zip(before.low, before.high))}  # noqa: B905
    shift = _COLUMNS // 10 * step
    after = history.spans(width + shift, 2 * width + shift, _COLUMNS)
    assert after is not None
    pairs = enumerate(zip(after.low, after.high, strict=True), after.first)
    both = [(kept[n], pair) for n, pair in pairs if n in kept][:-1]  # the last one was cut off
    assert len(both) > _COLUMNS // 2
    return sum(not np.array_equal(a, b, equal_nan=True) for a, b in both)


def _in_gap(history: ChannelHistory, gone: Floats) -> int:
    """Strokes whose column lies in a gap; points of a line, likewise."""
    middle, length = (gone[0] + gone[-1]) / 2, gone[-1] - gone[0]
    found = history.spans(middle - 2 * length, middle + 2 * length, _COLUMNS)
    if found is None:
        return 0
    x, y = found.strokes()
    over = int(((x > gone[0] + found.step) & (x < gone[-1] - found.step)).sum())
    x, y = found.points()
    inside = (x > gone[0] + found.step) & (x < gone[-1] - found.step) & ~np.isnan(y)
    return over + int(inside.sum())


def _unseen(quick: bool) -> int:
    """How many of three spikes of one sample leave no trace in the picture of a day."""
    app = application()
    rate = 1 if quick else 10
    samples = 86_400 * rate
    unseen = 0
    for place in (0.2, 0.5, 0.9):
        at = int(samples * place)
        pictures = []
        for spike in (0.0, 6.0):
            scene = Scene(app, samples, 1 / rate, spike=(at, spike))
            pictures.append(_picture(scene))
            ends = scene.graph.getPlotItem().getViewBox().viewRange()[0]
            scene.plot.close()
        plain, spiked = pictures
        columns = np.flatnonzero((plain != spiked).any(axis=0))
        part = (at / rate - ends[0]) / (ends[1] - ends[0])
        expected = part * plain.shape[1]
        seen = len(columns) and np.abs(columns - expected).min() <= 2
        unseen += not seen
    return unseen


def _picture(scene: Scene) -> NDArray[np.uint32]:
    """The pixels of the curves' area."""
    box = scene.graph.getPlotItem().getViewBox()
    area = box.mapRectToScene(box.boundingRect()).toAlignedRect()
    image = scene.graph.grab(area).toImage().convertToFormat(QImage.Format.Format_RGB32)
    pixels = np.frombuffer(image.constBits(), np.uint32)
    return pixels.reshape(image.height(), image.bytesPerLine() // 4)[:, : image.width()].copy()
