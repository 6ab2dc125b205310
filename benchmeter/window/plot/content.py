"""What a plot shows: the readings by channel, the recovery, and the markers."""

from collections.abc import Iterable

from PySide6.QtCore import QCoreApplication

from benchmeter.cooling.recovery import Recovery
from benchmeter.window.plot.axes import elapsed
from benchmeter.window.plot.markers import Marker
from benchmeter.window.plot.scale import Scale
from benchmeter.window.plot.series import Series

__all__ = ["Content"]

_FURTHEST_S = 3600.0  # beyond now: no forecast farther than this


class Content:
    """All that is shown, and what follows from it for the view."""

    def __init__(self) -> None:
        self.series: dict[str, Series] = {}
        self.recovery: Recovery | None = None
        self.marks: list[Marker] = []

    def in_order(self) -> list[Series]:
        """The series by their numbers."""
        return sorted(self.series.values(), key=lambda series: series.number)

    def begin_s(self) -> float:
        """Time of the first reading."""
        return min((first for first, _ in self._spans()), default=0.0)

    def now_s(self) -> float:
        """Time of the last reading, or of the recovery."""
        ends = [last for _, last in self._spans()]
        if self.recovery is not None:
            ends.append(self.recovery.time_ns / 1e9)
        return max(ends, default=0.0)

    def horizon_s(self) -> float:
        """Where the forecast ends."""
        now, recovery = self.now_s(), self.recovery
        if recovery is None or recovery.fit is None:
            return now
        left = recovery.time_left_s.value if recovery.time_left_s is not None else 0.0
        return now + min(max(left * 1.1, 0.0), _FURTHEST_S)

    def extremes(self, x_range: tuple[float, float], scale: Scale) -> tuple[float, float]:
        """Least and greatest degree that must be seen."""
        ends: list[float] = []
        for series in self.series.values():
            ends += [scale.degrees(v) for v in series.history.extremes(*x_range) or ()]
        recovery = self.recovery
        settled = recovery.settled_k if recovery is not None and recovery.fit else None
        if settled is not None:
            wanted = [scale.degrees(v) for v in (settled.low, settled.value, settled.high)]
            if ends:  # not so far off that the readings become a flat line
                least, most = min(ends), max(ends)
                reach = max(1.5 * (most - least), 10.0)
                wanted = [min(max(end, least - reach), most + reach) for end in wanted]
            ends += wanted
        if not ends:
            ends = [50.0, 110.0] if scale.unit == "°F" else [10.0, 45.0]
        return min(ends), max(ends)

    def delay(self) -> tuple[float, float] | None:
        """The restart delay, as far as it has gone."""
        recovery = self.recovery
        if recovery is None or recovery.power_ns is None:
            return None
        end = recovery.start_ns if recovery.start_ns is not None else recovery.time_ns
        return (recovery.power_ns / 1e9, end / 1e9) if end > recovery.power_ns else None

    def markers(self) -> list[Marker]:
        """The technician's, and what the recovery tells of, by time."""
        found = list(self.marks)
        if self.recovery is not None and self.recovery.start_ns is not None:
            text = QCoreApplication.translate("RecoveryPlot", "plot.start")
            found.append(Marker(self.recovery.start_ns / 1e9, text))
        delay = self.delay()
        if delay is not None:
            text = QCoreApplication.translate("RecoveryPlot", "plot.restart_delay_time")
            found.append(Marker(delay[0], text.format(time=elapsed(delay[1] - delay[0]))))
        return sorted(found)

    def _spans(self) -> Iterable[tuple[float, float]]:
        return (s.history.span for s in self.series.values() if s.history.span is not None)
