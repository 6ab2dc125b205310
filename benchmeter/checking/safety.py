"""Is the part in hand safe to touch, and may it be measured? By measurement, not by a tick box.

The only place that decides it: everything else asks `PartSafety`.
"""

from dataclasses import dataclass, replace
from enum import StrEnum

from benchmeter.conformity.judgement import expected_si
from benchmeter.errors import InputError
from benchmeter.parts.capacitor import Discharge, discharge
from benchmeter.parts.rated_part import (
    Rating,
)
from benchmeter.quantities.quantity import Quantity

__all__ = [
    "RESISTOR_OHM",
    "SAFE_BELOW_V",
    "PartSafety",
    "ResidualVoltage",
    "SafetyReason",
    "SafetyWatch",
    "rated_discharge",
]

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
class ResidualVoltage:
    """The residual voltage last seen.

    Attributes:
        time_ns: when.
        residual_v: DC volts; None: unknown, since power came back or the meter overloaded.
        typed: typed in by hand, not measured.
    """

    time_ns: int
    residual_v: float | None
    typed: bool

    @property
    def safe(self) -> bool:
        return self.residual_v is not None and abs(self.residual_v) < SAFE_BELOW_V


class SafetyReason(StrEnum):
    """Why the part in hand may be touched, or may not."""

    NOT_MEASURED = "not measured"
    UNKNOWN = "unknown"  # power came back, or the voltmeter overloaded
    CHARGED = "charged"
    MEASURED = "measured"  # and low
    TYPED = "typed"  # and low


@dataclass(frozen=True, slots=True)
class PartSafety:
    """What is known of the charge on the part in hand.

    Attributes:
        volts: left on it, as last seen; None: not measured.
        proof_needed: it is of a kind that may be charged, and not new: it is measured by itself
            only after its volts were seen to be low.
    """

    volts: ResidualVoltage | None = None
    proof_needed: bool = False

    @property
    def may_be_touched(self) -> bool:
        return self.volts is not None and self.volts.safe

    @property
    def to_be_made_safe(self) -> bool:
        """Whether it must be made safe before it is measured. Volts that are seen always count."""
        return self.proof_needed if self.volts is None else not self.volts.safe

    @property
    def seen_unsafe(self) -> bool:
        """Whether nothing may be taken of it, by hand neither: what a meter shows is no finding."""
        return self.volts is not None and not self.volts.safe

    @property
    def reason(self) -> SafetyReason:
        if self.volts is None:
            return SafetyReason.NOT_MEASURED
        if self.volts.residual_v is None:
            return SafetyReason.UNKNOWN
        if not self.volts.safe:
            return SafetyReason.CHARGED
        return SafetyReason.TYPED if self.volts.typed else SafetyReason.MEASURED


class SafetyWatch:
    """What voltmeter, technician and power say of the charge on the part in hand. A fold.

    A voltmeter whose leads hang in the air shows 0 V as well, and so do leads that slip off a
    charged part, all at once. A low voltage counts only when the same meter was seen to come down
    to it (it touches the part, and it works), or when the technician takes it, with the leads on
    the part. A high voltage counts at once.
    """

    def __init__(self) -> None:
        self.part = PartSafety()
        self._first = True
        self._came_down = False  # the last charge that was seen was nearly gone

    def begin_part(self, *, proof_needed: bool) -> None:
        """Another part is in hand: what was seen on the last one says nothing of it.

        What was seen before the first part of a session was seen on that part; where proof is
        needed it is not taken for one.
        """
        if proof_needed or not self._first:
            self.part = PartSafety()
            self._came_down = False
        self._first = False
        self.part = replace(self.part, proof_needed=proof_needed)

    def measured(self, time_ns: int, volts: float) -> None:
        """A reading of the voltmeter; it changes nothing where it proves nothing."""
        found = ResidualVoltage(time_ns, volts, typed=False)
        if not found.safe:
            self._came_down = abs(volts) <= _NEARLY_GONE_V
        if not found.safe or self._came_down:
            self._see(found)

    def overloaded(self, time_ns: int) -> None:
        """The voltmeter shows more than its range holds."""
        self._came_down = False
        self._see(ResidualVoltage(time_ns, None, typed=False))

    def taken(self, time_ns: int, volts: float) -> None:
        """The technician takes what the voltmeter shows: the leads are on the part."""
        self._came_down = abs(volts) <= _NEARLY_GONE_V
        self._see(ResidualVoltage(time_ns, volts, typed=False))

    def typed(self, time_ns: int, volts: float) -> None:
        """The technician types what a voltmeter showed."""
        self._see(ResidualVoltage(time_ns, volts, typed=True))

    def power_restored(self, time_ns: int) -> None:
        """What was measured no longer holds."""
        self._came_down = False
        self._see(ResidualVoltage(time_ns, None, typed=False))

    def _see(self, found: ResidualVoltage) -> None:
        self.part = replace(self.part, volts=found)
