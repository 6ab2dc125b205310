"""The fit, where the curve is expected to go, and the value at which it settles."""

from dataclasses import dataclass
from typing import Any

import numpy as np
import pyqtgraph as pg
from numpy.typing import NDArray
from PySide6.QtCore import Qt
from PySide6.QtGui import QPen

from benchmeter.cooling.recovery import Phase, Recovery, StepFit
from benchmeter.window.plot.scale import Scale
from benchmeter.window.theme.palette import Theme

__all__ = ["Band", "Forecast", "expected_band", "fitted"]

Floats = NDArray[np.float64]


def fitted(fit: StepFit, since_start_s: Floats) -> Floats:
    """The fitted step response, kelvin."""
    final, initial = fit.final.value, fit.initial.value
    return np.asarray(final + (initial - final) * np.exp(-since_start_s / _tau(fit)))


@dataclass(frozen=True, slots=True)
class Band:
    """Where the curve is expected from now on; kelvin, shapes (n,)."""

    times_s: Floats
    low: Floats
    high: Floats


def expected_band(recovery: Recovery, until_s: float) -> Band | None:
    """The interval, about 95 %, of the *curve* at each time from now to `until_s`.

    It is the band of the law, not of single readings, which scatter about the curve. It begins at
    the fitted value of now and follows y(t) = y(now) + (final - y(now))·(1 - exp(-(t - now)/τ)).
    Two doubts are propagated to first order (JCGM 100:2008 5.1.2): that of the final value, which
    is the interval shown as "settles at" (of the fit, with what is doubtful of the way still to
    go), and that of the time constant τ. They are added as if independent. Those of a fit are
    not: a slower curve goes farther, and the two effects oppose each other, so that the band is
    rather too wide than too narrow. As more is measured both intervals shrink, and the band with
    them.

    None without a fit or a start, and once it has settled: then there is nothing to foretell.
    """
    fit, start = recovery.fit, recovery.start_ns
    now = recovery.time_ns / 1e9
    if fit is None or start is None or recovery.phase is not Phase.RISING or until_s <= now:
        return None
    settles = recovery.settled_k or fit.final
    tau, times = _tau(fit), np.linspace(now, until_s, 120)
    at_now = fitted(fit, np.array([now - start / 1e9]))[0]
    ahead = times - now
    decay = np.exp(-ahead / tau)
    middle = settles.value + (at_now - settles.value) * decay
    slope_tau = np.abs((settles.value - at_now) * decay * ahead / tau**2)
    times_of = fit.time_constant_s
    slower, faster = times_of.high - times_of.value, times_of.value - times_of.low
    if settles.value < at_now:  # a fall: slower is higher
        slower, faster = faster, slower
    low = middle - np.hypot((1 - decay) * (settles.value - settles.low), slope_tau * slower)
    high = middle + np.hypot((1 - decay) * (settles.high - settles.value), slope_tau * faster)
    return Band(times, low, high)


def _tau(fit: StepFit) -> float:
    return max(fit.time_constant_s.value, 1e-9)


class Forecast:
    """Draws the fit (while there is a forecast on to the edge), the band and the settled value.

    Attributes:
        band: what is drawn of it; None where there is none.
    """

    def __init__(self, item: Any) -> None:
        self.area = pg.FillBetweenItem(pg.PlotCurveItem(), pg.PlotCurveItem())
        self.fit = pg.PlotCurveItem()
        self.settled = pg.PlotCurveItem()
        self.band: Band | None = None
        # The fit lies over the readings, which are noisy and would hide it.
        for thing, depth in ((self.area, 2), (self.fit, 5), (self.settled, 7)):
            thing.setZValue(depth)
            item.addItem(thing, ignoreBounds=True)
        self._drawn: object = None

    def dress(self, look: Theme) -> None:
        """Take colours and widths."""
        self.fit.setPen(pg.mkPen(look.colour("ink"), width=1.5 * look.zoom))
        self.area.setBrush(pg.mkBrush(look.colour("forecast")))
        self.area.setPen(pg.mkPen(None))
        pen = QPen(look.colour("ink"), look.px(3), c=Qt.PenCapStyle.FlatCap)
        pen.setCosmetic(True)
        self.settled.setPen(pen)
        self._drawn = None

    def draw(
        self,
        recovery: Recovery | None,
        x_range: tuple[float, float],
        width: float,
        scale: Scale,
        look: Theme,
    ) -> None:
        """Draw what is known; `width`: of the plot in pixels."""
        drawn = (recovery, x_range, width, scale)
        if drawn == self._drawn:
            return
        self._drawn = drawn
        fit = recovery.fit if recovery is not None else None
        start = recovery.start_ns if recovery is not None else None
        self.band = None
        if recovery is None or fit is None or start is None:
            for curve in (self.fit, self.settled, *self.area.curves):
                curve.setData([], [])
            return
        now, begin = recovery.time_ns / 1e9, start / 1e9
        edge = max(x_range[1], now)
        self.band = expected_band(recovery, edge)
        times = np.linspace(begin, edge if self.band is not None else now, 300)
        self.fit.setData(times, scale.degrees(fitted(fit, times - begin)), antialias=True)
        for curve, name in zip(self.area.curves, ("low", "high"), strict=True):
            if self.band is None:
                curve.setData([], [])
            else:
                curve.setData(self.band.times_s, scale.degrees(getattr(self.band, name)))
        settles = recovery.settled_k or fit.final
        # A bar with three cross lines at the right edge.
        per_pixel = (x_range[1] - x_range[0]) / max(width, 50)
        cap, x = look.px(10) * per_pixel, edge - look.px(14) * per_pixel
        low, value, high = (scale.degrees(v) for v in (settles.low, settles.value, settles.high))
        nan = np.nan
        self.settled.setData(
            np.array([x, x, nan, x - cap, x + cap, nan, x - cap, x + cap, nan, x - cap, x + cap]),
            np.array([low, high, nan, low, low, nan, value, value, nan, high, high]),
            connect="finite",
        )
