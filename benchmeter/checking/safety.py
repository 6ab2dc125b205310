"""Is the part safe to touch? By measurement, not by a tick box."""

from dataclasses import dataclass

from benchmeter.conformity.judgement import expected_si
from benchmeter.conformity.verdict import Rating
from benchmeter.errors import InputError
from benchmeter.parts.capacitor import Discharge, discharge
from benchmeter.quantities.quantity import Quantity

__all__ = ["RESISTOR_OHM", "SAFE_BELOW_V", "MadeSafe", "ResidualVolts", "rated_discharge"]

SAFE_BELOW_V = 5.0
"""A residual DC voltage below this may be touched (common practice, no source)."""

_NEARLY_GONE_V = 25.0  # the last that a meter shows of a discharge; common practice, no source

RESISTOR_OHM = 20_000.0
"""The slower end of the usual discharge resistor, 15-20 kΩ (common practice, no source)."""


def rated_discharge(rating: Rating) -> Discharge | None:
    """From the crest of the highest voltage on the label to `SAFE_BELOW_V` through `RESISTOR_OHM`.

    Of the largest section. None where the label gives no capacitance or no voltage.
    """
    sections = [s for s in rating.sections if s.quantity is Quantity.CAPACITANCE]
    values = [float(v) for s in sections if (v := s.high_si or expected_si(s)) is not None]
    if not values or not rating.voltages_v:
        return None
    try:
        return discharge(max(values), max(rating.voltages_v), RESISTOR_OHM, SAFE_BELOW_V)
    except InputError:  # a label may carry what no supply has
        return None


@dataclass(frozen=True, slots=True)
class MadeSafe:
    """The residual voltage last seen.

    Attributes:
        time_ns: when.
        residual_v: DC volts; None where the meter showed no value.
        typed: typed in by hand, not measured.
    """

    time_ns: int
    residual_v: float | None
    typed: bool

    @property
    def safe(self) -> bool:
        return self.residual_v is not None and abs(self.residual_v) < SAFE_BELOW_V


class ResidualVolts:
    """What the meter at the part's terminals says of the charge. A fold, like the chain's.

    A voltmeter whose leads hang in the air shows 0 V as well, and so do leads that slip off a
    charged part, all at once. A low voltage counts only when the same meter was seen to come down
    to it (it touches the part, and it works), or when the technician takes it, with the leads on
    the part. A high voltage counts at once.
    """

    def __init__(self) -> None:
        self._charge_seen = False
        self._came_down = False  # the last charge that was seen was nearly gone

    def measured(self, time_ns: int, volts: float | None) -> MadeSafe | None:
        """A reading of the meter; None where it proves nothing."""
        found = MadeSafe(time_ns, volts, typed=False)
        if volts is None:
            return found if self._charge_seen else None
        if not found.safe:
            self._charge_seen = True
            self._came_down = abs(volts) <= _NEARLY_GONE_V
            return found
        return found if self._came_down else None

    def taken(self, time_ns: int, volts: float | None) -> MadeSafe:
        """The technician takes what the meter shows: the leads are on the part."""
        self._charge_seen = self._came_down = True
        return MadeSafe(time_ns, volts, typed=False)

    def next_part(self) -> None:
        """Another part: what was seen on the last one says nothing of it."""
        self._charge_seen = self._came_down = False

    def live_again(self, time_ns: int) -> MadeSafe:
        """Power is back: what was measured no longer holds."""
        self._charge_seen = self._came_down = False
        return MadeSafe(time_ns, None, typed=False)
