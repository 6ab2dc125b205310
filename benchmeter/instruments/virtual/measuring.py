"""What a meter measures, apart from how it speaks: ranges, settling, noise."""

import math
import random
from typing import Protocol

from benchmeter.instruments.virtual.display import Display, Ranges
from benchmeter.instruments.virtual.world import Contact, Lead, World
from benchmeter.readings.quantities import Quantity

__all__ = ["CapacitanceMeasuring", "Measuring", "ResistanceMeasuring", "VoltageMeasuring"]

_CAPACITANCE = Ranges(Quantity.CAPACITANCE, (-12, -11, -10, -9, -8, -7, -6))  # 6 nF to 6 mF
_VOLTAGE = Ranges(Quantity.VOLTAGE_DC, (-2, -1))  # 60 V and 600 V
_RESISTANCE = Ranges(Quantity.RESISTANCE, (-1, 0, 1, 2, 3, 4))  # 600 Ω to 60 MΩ

_INTEGRATION_NS = 90_000_000
_RANGE_STEP_NS = 160_000_000

_STRAY_F = {Lead.AIR: 6e-12, Lead.TERMINALS: 6e-12, Lead.OPEN: 14e-12}
_OHM_PER_S = 1.5e5  # an ohmmeter charges a capacitor: its reading climbs


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
        match self._contact:
            case Contact(Lead.CAPACITOR, capacitance_f):
                return capacitance_f * self._gain
            case Contact(Lead.SHORT):
                return math.inf
            case Contact(lead):
                return _STRAY_F[lead]


class VoltageMeasuring:
    """A DC voltmeter across the terminals of the unit; 6000 counts, 60 V and 600 V."""

    def __init__(self, world: World, seed: str, noise_counts: float = 0.2) -> None:
        self._world = world
        self._random = random.Random(seed)
        self._noise_counts = noise_counts

    def function(self, now_ns: int) -> Quantity:
        return Quantity.VOLTAGE_DC

    def ready_ns(self, asked_ns: int) -> int:
        return asked_ns + _INTEGRATION_NS

    def show(self, now_ns: int) -> Display:
        connected = self._world.contact().lead is Lead.TERMINALS
        volts = self._world.terminal_volts(now_ns) if connected else 0.0
        noise = self._random.gauss(0, self._noise_counts)
        return _VOLTAGE.show(volts, _VOLTAGE.index_for(volts), noise)


class ResistanceMeasuring:
    """The same leads on a meter that was set to ohms by mistake."""

    def __init__(self, world: World) -> None:
        self._world = world

    def function(self, now_ns: int) -> Quantity:
        return Quantity.RESISTANCE

    def ready_ns(self, asked_ns: int) -> int:
        return asked_ns + _INTEGRATION_NS

    def show(self, now_ns: int) -> Display:
        contact = self._world.contact()
        match contact.lead:
            case Lead.CAPACITOR:
                ohm = _OHM_PER_S * (now_ns - contact.since_ns) / 1e9
            case Lead.SHORT:
                ohm = 0.2
            case _:
                ohm = math.inf
        return _RESISTANCE.show(ohm, _RESISTANCE.index_for(ohm))
