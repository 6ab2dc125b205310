"""Which stretch of time and of temperature is in view. It stands still as long as it can."""

import math
from typing import Literal

__all__ = ["Mode", "View"]

Mode = Literal["everything", "follow", "free"]
Range = tuple[float, float]

_SHORTEST_S = 120.0  # of the stretch that is shown at first
_LEAST_S, _MOST_S = 10.0, 7 * 86_400.0  # of a stretch that somebody chose


class View:
    """The ranges of both axes. A range that moves at every reading is painted twice a frame.

    Attributes:
        x: seconds since the session's start.
        y: degrees of the person's scale.
    """

    def __init__(self) -> None:
        self.mode: Mode = "everything"
        self.x: Range = (0.0, _SHORTEST_S)
        self.y: Range = (0.0, 1.0)

    # --- chosen by the person ------------------------------------------------------------------

    def zoom(self, factor: float) -> None:
        """Other width; the end stays when following, else the middle."""
        low, high = self.x
        width = min(max((high - low) * factor, _LEAST_S), _MOST_S)
        if self.mode == "follow":
            self.x = (high - width, high)
            return
        middle = (low + high) / 2
        self.go((middle - width / 2, middle + width / 2))

    def move(self, part: float) -> None:
        """Later by that part of the width; earlier if negative."""
        low, high = self.x
        by = (high - low) * part
        self.go((low + by, high + by))

    def go(self, x: Range) -> None:
        """Show exactly this stretch."""
        self.x, self.mode = x, "free"

    # --- held as the readings come ----------------------------------------------------------

    def hold_x(self, begin: float, now: float, horizon: float) -> None:
        """Keep the stretch, or jump by a tenth.

        Args:
            begin: time of the first reading.
            horizon: where the forecast ends, not before `now`.
        """
        low, high = self.x
        if self.mode == "everything":
            width = max(horizon - begin, _SHORTEST_S)
            # Shrink only when much is empty: the forecast's end moves to and fro.
            if low != begin or horizon > high or high - begin > 1.35 * width:
                low, high = begin, begin + width * 1.1
        elif self.mode == "follow" and not low <= now <= high:
            width = high - low
            high = now + width / 10
            low = high - width
        self.x = (low, high)

    def hold_y(self, least: float, most: float, words: float) -> None:
        """Round limits that change only when something leaves them or most of them is empty.

        Args:
            least, most: of what must be seen.
            words: part of the height, below 1, that is kept above it for words.
        """
        span = max(most - least, 4.0)
        step = 10 if span > 40 else 5 if span > 12 else 2
        low = math.floor((least - 0.06 * span) / step) * float(step)
        taken = words / (1 - words)
        high = math.ceil((most + 0.03 * span + (most - low) * taken) / step) * float(step)
        held_low, held_high = self.y
        fits = (
            held_low <= least - 0.02 * span
            and held_high >= most + 0.02 * span
            and held_high - most >= (held_high - held_low) * words
        )
        if not fits or held_high - held_low > 1.8 * (high - low):
            self.y = (low, high)
