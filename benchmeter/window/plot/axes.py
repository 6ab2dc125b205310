"""The axes: elapsed time in minutes and seconds, hours and minutes; temperature in degrees."""

from typing import Any

import pyqtgraph as pg

from benchmeter.window.theme.palette import Theme

__all__ = ["DegreeAxis", "ElapsedAxis", "dress_axes", "elapsed"]

_STEPS_S = (1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 10800, 21600, 43200)


def elapsed(seconds: float, step: float = 1.0) -> str:
    """ "2:05", "1:02:05"; without the seconds where the step is whole minutes of long times."""
    sign = "−" if seconds < -0.5 else ""
    whole = round(abs(seconds))
    hours, rest = divmod(whole, 3600)
    minutes, secs = divmod(rest, 60)
    if step >= 60 and whole % 60 == 0 and hours:
        return f"{sign}{hours}:{minutes:02d} h"
    if hours:
        return f"{sign}{hours}:{minutes:02d}:{secs:02d}"
    return f"{sign}{minutes}:{secs:02d}"


class ElapsedAxis(pg.AxisItem):
    """Ticks at whole seconds, minutes and hours."""

    def __init__(self) -> None:
        super().__init__("bottom")
        self.label_width = 60.0  # pixels that a label needs
        self.enableAutoSIPrefix(False)

    def step(self, low: float, high: float, size: float) -> int:
        """Seconds from tick to tick, so that labels do not touch."""
        wanted = (high - low) * self.label_width * 1.6 / max(size, 1.0)
        return next((s for s in _STEPS_S if s >= wanted), _STEPS_S[-1] * 2)

    def tickSpacing(self, minVal: float, maxVal: float, size: float) -> Any:  # noqa: N803
        return [(self.step(minVal, maxVal, size), 0)]

    def tickStrings(self, values: Any, scale: float, spacing: float) -> list[str]:
        return [elapsed(value * scale, spacing) for value in values]


class DegreeAxis(pg.AxisItem):
    """Ticks at whole and round degrees, each with its number."""

    def __init__(self) -> None:
        super().__init__("left")
        self.enableAutoSIPrefix(False)
        self.setStyle(maxTickLevel=0)
        self._step = 0

    def hold_step(self, low: float, high: float, size: float, label: float) -> None:
        """Choose the step; `label`: pixels that a number needs, `size`: of the axis."""
        wanted = (high - low) * label / max(size, 1.0)
        step = next((s for s in (1, 2, 5, 10, 20, 50, 100, 200, 500) if s >= wanted), 1000)
        if step != self._step:
            self._step = step
            self.setTickSpacing(step, step)


def dress_axes(item: Any, look: Theme, below: str, beside: str) -> None:
    """Give both axes of a plot their titles, colours and letters."""
    label = {"color": look.palette.ink, "font-size": f"{look.px(14)}px"}
    for side, title in (("left", beside), ("bottom", below)):
        axis = item.getAxis(side)
        axis.setPen(pg.mkPen(look.colour("edge"), width=look.px(1)))
        axis.setTextPen(pg.mkPen(look.colour("ink")))
        axis.setStyle(tickFont=look.body, tickLength=-look.px(6), tickTextOffset=look.px(6))
        item.setLabel(side, title, **label)
    item.getAxis("bottom").label_width = float(look.px(76))
    item.getAxis("left").setTickPen(pg.mkPen(look.colour("rule"), width=look.px(1)))
    item.showGrid(x=False, y=True, alpha=1.0)
