"""What a temperature that holds still will do next, without a law for the machine.

The 10-s means of the last ten minutes give a straight line and the scatter about it; the outdoor
air's means of the last twenty minutes give a slope. From them:

- *still*: the line changes by less than a limit over the ten minutes, plus half the scatter or a
  digit of the display, where that is more;
- the interval of what is to come reaches from the mean of the last five minutes by
  `BASE_K` + `SCATTER`·scatter + `OUTDOOR_MIN`·outdoor slope + `OUTDOOR_SPAN`·(how far the outdoor
  air has gone so far) + half a digit to either side, and by `AHEAD_MIN`·slope further to the side
  that the readings move to: the lesser slope of ten and of twenty minutes, since gusts bend the
  shorter line and the start the longer one; `TURNED` of the shorter one's where they oppose.

The numbers are set by trial over simulated machines that obey no common law, so that for each shape
nine of ten intervals hold the temperature a quarter of an hour and an hour later, while the machine
runs on: `python -m tests.recovery_zoo` prints it. No earlier forecast is honest: before the
readings hold still, intervals that hold nine of ten times are wider than the rise itself.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from benchmeter.cooling.means import Mean
from benchmeter.quantities.estimate import Estimate

__all__ = ["LONG_S", "MIDDLE_S", "STRETCH_S", "WINDOW_S", "HeldLine", "ahead", "trend"]

STRETCH_S = 10
WINDOW_S = 600
LONG_S = 1200
MIDDLE_S = 300

BASE_K = 0.9
SCATTER = 0.75
OUTDOOR_MIN = 20.0
OUTDOOR_SPAN = 0.75
AHEAD_MIN = 60.0
TURNED = 0.7

_LEAST_COVERED = 0.75
_MOST_DIGIT_K = 1.0


@dataclass(frozen=True, slots=True)
class HeldLine:
    """The straight line through the last means.

    Attributes:
        recent_k: mean of the last five minutes.
        slope: kelvin per minute.
        scatter_k: standard deviation of the means about the line.
        length_s: that it covers.
    """

    recent_k: float
    slope: float
    scatter_k: float
    length_s: float

    def still(self, limit_k: float, digit_k: float) -> bool:
        """Whether it changes by less than `limit_k`, as the module says."""
        allowed = limit_k + max(self.scatter_k / 2, min(digit_k, _MOST_DIGIT_K))
        return abs(self.slope) * self.length_s / 60 < allowed


def trend(
    means: Sequence[Mean], now_s: float, length_s: float, width_s: int = STRETCH_S
) -> HeldLine | None:
    """Through the means of the last `length_s`; None unless readings cover three quarters.

    Args:
        means: over stretches of `width_s`, oldest first.
    """
    inside = [m for m in means if m.time_s > now_s - length_s]
    if len(inside) < _LEAST_COVERED * length_s / width_s:
        return None
    recent = [m.value for m in inside if m.time_s > now_s - MIDDLE_S]
    if len(recent) < _LEAST_COVERED * MIDDLE_S / width_s / 2:
        return None
    n = len(inside)
    time = sum(m.time_s for m in inside) / n
    value = sum(m.value for m in inside) / n
    spread = sum((m.time_s - time) ** 2 for m in inside)
    slope = sum((m.time_s - time) * (m.value - value) for m in inside) / spread
    rest = sum((m.value - value - slope * (m.time_s - time)) ** 2 for m in inside)
    return HeldLine(sum(recent) / len(recent), slope * 60, math.sqrt(rest / (n - 2)), length_s)


def ahead(
    found: HeldLine,
    longer: HeldLine | None,
    digit_k: float,
    *,
    outdoor_slope: float = 0.0,
    outdoor_span_k: float = 0.0,
) -> Estimate:
    """The interval of what is to come.

    Args:
        found, longer: of the last ten minutes and of the last twenty.
        digit_k: one digit of the display.
        outdoor_slope: of the outdoor air, kelvin per minute; 0 where it cancels.
        outdoor_span_k: that its means of five minutes have covered so far.
    """
    half = BASE_K + SCATTER * found.scatter_k + digit_k / 2
    half += OUTDOOR_MIN * abs(outdoor_slope) + OUTDOOR_SPAN * outdoor_span_k
    slope = found.slope
    if longer is not None:
        alike = slope * longer.slope > 0
        slope = min(slope, longer.slope, key=abs) if alike else slope * TURNED
    reach = AHEAD_MIN * slope
    middle = found.recent_k
    return Estimate(middle, middle - half + min(reach, 0.0), middle + half + max(reach, 0.0))
