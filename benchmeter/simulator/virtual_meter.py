"""What a meter measures, apart from how it speaks: ranges, settling, noise.

A meter in the wrong function shows what a real one would: ohms on a live or charged part are an
overload, so is capacitance on a short, on a low resistance, or on a charged part.
"""

import math
import random
from typing import Protocol

from benchmeter.quantities.quantity import Quantity
from benchmeter.simulator.contact import Contact, Lead
from benchmeter.simulator.display import Display, Ranges
from benchmeter.simulator.world import World

__all__ = [
    "AcMeasuring",
    "CapacitanceMeasuring",
    "Measuring",
    "Multimeter",
    "ResistanceMeasuring",
    "VoltageMeasuring",
]

_CAPACITANCE = Ranges(Quantity.CAPACITANCE, (-12, -11, -10, -9, -8, -7, -6))  # 6 nF to 6 mF
_VOLTAGE = Ranges(Quantity.VOLTAGE_DC, (-2, -1))  # 60 V and 600 V
_RESISTANCE = Ranges(Quantity.RESISTANCE, (-1, 0, 1, 2, 3, 4))  # 600 Ω to 60 MΩ
_BENCH_VOLTAGE = Ranges(Quantity.VOLTAGE_DC, (-5, -4, -3, -2, -1))  # 60 mV to 600 V
_AC_VOLTAGE = Ranges(Quantity.VOLTAGE_AC, (-4, -3, -2, -1))  # 600 mV to 600 V
_AC_CURRENT = Ranges(Quantity.CURRENT_AC, (-3, -2))  # 6 A and 60 A

_INTEGRATION_NS = 90_000_000
_RANGE_STEP_NS = 160_000_000
_RANGING_NS = {
    Quantity.RESISTANCE: 450_000_000,
    Quantity.VOLTAGE_DC: 320_000_000,
    Quantity.VOLTAGE_AC: 600_000_000,
    Quantity.CURRENT_AC: 600_000_000,
}

_LEAD_OHM = 0.2
_STRAY_F = 6e-12
_STRAY_ON_PART_F = 14e-12
_OHMMETER_FAILS_V = 0.2
_CAPACITANCE_FAILS_V = 1.0
_CAPACITANCE_FAILS_OHM = 1e5  # a lower one in parallel drains what the meter charges


class Measuring(Protocol):
    """The measuring half of a meter. Times are in ns and never fall."""

    def function(self, now_ns: int) -> Quantity:
        """What the meter is set to."""
        ...

    def ready_ns(self, asked_ns: int) -> int:
        """When a value that was asked for at `asked_ns` can be shown."""
        ...

    def show(self, now_ns: int) -> Display:
        """What the meter shows now."""
        ...


class CapacitanceMeasuring:
    """An auto-ranging capacitance meter with 6000 counts.

    After the leads have moved it looks for its range, a step at a time; then the reading
    wanders and creeps up to the true value.

    Args:
        world: where the leads are.
        seed: of its noise.
        gain: indicated over true value, for a meter that is a little off.
        noise_counts: standard deviation of a reading at rest.
    """

    def __init__(
        self, world: World, seed: str, gain: float = 1.0, noise_counts: float = 0.25
    ) -> None:
        self._world = world
        self._random = random.Random(seed)
        self._gain = gain
        self._noise_counts = noise_counts
        self._contact = world.contact()
        self._range = _CAPACITANCE.index_for(self._indicated_f())
        self._ranged_ns = 0

    def function(self, now_ns: int) -> Quantity:
        return Quantity.CAPACITANCE

    def ready_ns(self, asked_ns: int) -> int:
        self._look()
        return max(asked_ns + _INTEGRATION_NS, self._ranged_ns)

    def show(self, now_ns: int) -> Display:
        self._look()
        settled_s = max(0.0, (now_ns - self._ranged_ns) / 1e9)
        creep = 0.05 * math.exp(-settled_s / 0.55)
        wander = self._random.gauss(0, 0.008) * math.exp(-settled_s / 0.4)
        noise = self._random.gauss(0, self._noise_counts)
        indicated_f = self._indicated_f() * (1 - creep + wander)
        if _live_volts(self._world, self._contact, now_ns) > _CAPACITANCE_FAILS_V:
            indicated_f = math.inf
        return _CAPACITANCE.show(indicated_f, self._range, noise)

    def _look(self) -> None:
        contact = self._world.contact()
        if contact == self._contact:
            return
        self._contact = contact
        wanted = _CAPACITANCE.index_for(self._indicated_f())
        steps = 1 + abs(wanted - self._range)
        self._range = wanted
        self._ranged_ns = contact.since_ns + steps * _RANGE_STEP_NS

    def _indicated_f(self) -> float:
        """Farad, of a part without charge."""
        lead, between = self._contact.lead, self._contact.between
        if lead is Lead.TOGETHER or between.shorted:
            return math.inf
        if lead is not Lead.PART:
            return _STRAY_F
        if between.open:
            return _STRAY_ON_PART_F
        if between.ohm < _CAPACITANCE_FAILS_OHM:
            return math.inf
        return between.capacitance_f * self._gain or _STRAY_ON_PART_F


class _SteadyMeasuring:
    """A function whose reading neither wanders nor creeps.

    After leads or knob have moved it takes `ranging_ns` to find its range.
    """

    def __init__(
        self, world: World, ranges: Ranges, seed: str, noise_counts: float, ranging_ns: int
    ) -> None:
        self._world = world
        self._ranges = ranges
        self._random = random.Random(seed)
        self._noise_counts = noise_counts
        self._ranging_ns = ranging_ns

    def function(self, now_ns: int) -> Quantity:
        return self._ranges.quantity

    def ready_ns(self, asked_ns: int) -> int:
        ready_ns = asked_ns + _INTEGRATION_NS
        return max(ready_ns, self._world.contact().since_ns + self._ranging_ns)

    def show(self, now_ns: int) -> Display:
        value = self._value(self._world.contact(), now_ns)
        noise = self._random.gauss(0, self._noise_counts)
        return self._ranges.show(value, self._ranges.index_for(value), noise)

    def _value(self, contact: Contact, now_ns: int) -> float:
        """What it would indicate without noise, SI; infinite for an overload."""
        raise NotImplementedError


class VoltageMeasuring(_SteadyMeasuring):
    """DC volts between the leads; 6000 counts, 60 V and 600 V unless other ranges are given."""

    def __init__(
        self,
        world: World,
        seed: str,
        noise_counts: float = 0.2,
        ranges: Ranges = _VOLTAGE,
        ranging_ns: int = 0,
    ) -> None:
        super().__init__(world, ranges, seed, noise_counts, ranging_ns)

    def _value(self, contact: Contact, now_ns: int) -> float:
        return self._world.lead_volts(now_ns)


class ResistanceMeasuring(_SteadyMeasuring):
    """Ohms, with those of the leads. It charges a capacitor: its reading climbs."""

    def __init__(
        self, world: World, seed: str = "", noise_counts: float = 0.0, ranging_ns: int = 0
    ) -> None:
        super().__init__(world, _RESISTANCE, seed, noise_counts, ranging_ns)

    def _value(self, contact: Contact, now_ns: int) -> float:
        between = contact.between
        if contact.lead is Lead.TOGETHER or between.shorted:
            return _LEAD_OHM
        if contact.lead is not Lead.PART or between.open:
            return math.inf
        if _live_volts(self._world, contact, now_ns) > _OHMMETER_FAILS_V:
            return math.inf
        if not between.capacitance_f:
            return between.ohm + _LEAD_OHM
        # A constant current makes V = I·t/C, shown as V/I; a resistance in parallel ends that.
        climbed = (now_ns - contact.since_ns) / 1e9 / between.capacitance_f
        if math.isinf(between.ohm):
            return climbed + _LEAD_OHM
        return between.ohm * -math.expm1(-climbed / between.ohm) + _LEAD_OHM


class AcMeasuring(_SteadyMeasuring):
    """AC volts between the leads, or AC amps in a clamp around what they are on."""

    def __init__(self, world: World, ranges: Ranges, seed: str, noise_counts: float = 0.3) -> None:
        super().__init__(world, ranges, seed, noise_counts, _RANGING_NS[ranges.quantity])

    def _value(self, contact: Contact, now_ns: int) -> float:
        if self._ranges.quantity is Quantity.CURRENT_AC:
            return contact.between.amps_ac
        return contact.between.volts_ac

    def show(self, now_ns: int) -> Display:
        shown = super().show(now_ns)
        counts = None if shown.counts is None else abs(shown.counts)  # an RMS value has no sign
        return Display(shown.quantity, counts, shown.exponent)


class Multimeter:
    """A meter that measures what its knob is set to.

    Args:
        world: where leads and knob are; it must have a knob.
        seed, gain, noise_counts: as of a capacitance meter; the gain is for that function only.
    """

    def __init__(
        self, world: World, seed: str, gain: float = 1.0, noise_counts: float = 0.25
    ) -> None:
        self._world = world
        self._functions: dict[Quantity, Measuring] = {
            Quantity.CAPACITANCE: CapacitanceMeasuring(world, seed, gain, noise_counts),
            Quantity.RESISTANCE: ResistanceMeasuring(
                world, f"{seed} ohms", noise_counts, _RANGING_NS[Quantity.RESISTANCE]
            ),
            Quantity.VOLTAGE_DC: VoltageMeasuring(
                world,
                f"{seed} volts",
                noise_counts,
                _BENCH_VOLTAGE,
                _RANGING_NS[Quantity.VOLTAGE_DC],
            ),
            Quantity.VOLTAGE_AC: AcMeasuring(world, _AC_VOLTAGE, f"{seed} AC volts", noise_counts),
            Quantity.CURRENT_AC: AcMeasuring(world, _AC_CURRENT, f"{seed} AC amps", noise_counts),
        }

    def function(self, now_ns: int) -> Quantity:
        knob = self._world.knob()
        assert knob is not None, "a scenario with a multimeter has a knob"
        return knob

    def ready_ns(self, asked_ns: int) -> int:
        return self._functions[self.function(asked_ns)].ready_ns(asked_ns)

    def show(self, now_ns: int) -> Display:
        return self._functions[self.function(now_ns)].show(now_ns)


def _live_volts(world: World, contact: Contact, now_ns: int) -> float:
    """Volts between the leads, AC or DC, that upset ohms and capacitance.

    Without a multimeter those of the unit's terminals do not: another meter is on them.
    """
    if contact.lead is Lead.TERMINALS and world.knob() is None:
        return 0.0
    return max(contact.between.volts_ac, abs(world.lead_volts(now_ns)))
