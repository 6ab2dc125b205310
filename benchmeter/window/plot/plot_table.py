"""The plot in words: what it shows, as rows, for those who do not see it."""

from collections.abc import Sequence

import numpy as np

from benchmeter.window.plot.axes import elapsed
from benchmeter.window.plot.markers import Marker
from benchmeter.window.plot.scale import Scale
from benchmeter.window.plot.series import Series
from benchmeter.words.presentation import Presentation

__all__ = ["plot_table"]

Row = tuple[str, ...]


def plot_table(
    series: Sequence[Series],
    markers: Sequence[Marker],
    x_range: tuple[float, float],
    step: float,
    scale: Scale,
    presentation: Presentation,
) -> tuple[Row, ...]:
    """A head; then a row at each tick and at each marker of the stretch, by time.

    Columns: elapsed time, a temperature of each series, the marker's words. A temperature is that
    of the reading next to the moment; a dash where there was none near it.
    """
    low, high = x_range
    ends = [one.history.span for one in series]
    first = max(low, min((span[0] for span in ends if span), default=high))
    last = min(high, max((span[1] for span in ends if span), default=low))
    ticks = np.arange(np.ceil(first / step), np.floor(last / step) + 1) * step
    words = [m for m in sorted(markers) if low <= m.time_s <= high]
    moments = sorted([(float(t), "") for t in ticks] + [(m.time_s, m.text) for m in words])
    times = np.array([time for time, _ in moments])
    columns = [one.history.nearest(times, within=step / 8)[1] for one in series]
    head = ("Elapsed time", *(f"{one.title}, {scale.unit}" for one in series), "Marker")
    rows = [
        (
            elapsed(time),
            *(
                "–" if np.isnan(column[i]) else scale.text(float(column[i]), presentation)
                for column in columns
            ),
            text,
        )
        for i, (time, text) in enumerate(moments)
    ]
    return (head, *rows)
