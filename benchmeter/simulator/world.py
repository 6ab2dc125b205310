"""The bench and the unit: parts, leads, knob, stored charge, power, air.

Everything follows from the simulated time and the acts of the hands.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from benchmeter.errors import InputError
from benchmeter.links.ports.source import HandChoice
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.temperature import ZERO_CELSIUS_K
from benchmeter.simulator.air import Air, RiseSegment, rise_at
from benchmeter.simulator.contact import KNOB, Contact, Lead
from benchmeter.simulator.virtual_parts import Part, Truth

__all__ = ["OutdoorUnit", "World"]

_METER_OHM = 10e6  # input resistance of a voltmeter, common practice
_BENCH_RESISTOR_OHM = 18e3  # 15 to 20 kΩ is common practice
_FEW_PARTS = 9  # each has a key of its own


@dataclass(frozen=True, slots=True)
class OutdoorUnit:
    """The outdoor unit.

    Attributes:
        restart_delay_s: how long the control holds the compressor off after power is back.
        dead_time_s: from the compressor's start to the first warm air.
        time_constant_s: of the rise.
        cool_down_s: time constant after power is off.
        rise_k: settled discharge air over outdoor air.
        stored_v, stored_f, resistor_ohm: what power leaves on the terminals, and what drains it.
    """

    air: Air
    restart_delay_s: float
    dead_time_s: float
    time_constant_s: float
    cool_down_s: float
    rise_k: float
    stored_v: float
    stored_f: float
    resistor_ohm: float


@dataclass(frozen=True, slots=True)
class _State:
    part: str
    leads: str  # a Lead, or a place of the part
    knob: Quantity | None
    seen_ns: int  # when leads or knob were moved last
    power: bool
    resistor: bool
    volts: float  # on the terminals at `volts_ns`
    volts_ns: int
    charges: Mapping[tuple[str, str], float]  # on places of parts at `charges_ns`
    charges_ns: int
    rise: tuple[RiseSegment, ...]


class World:
    """The world of a scenario. Power is off at the start, and the first part is in the hand.

    Args:
        parts: at least one.
        unit: the outdoor unit; None: only a bench.
        knob: where the multimeter's knob stands; None: there is no multimeter.
        room_c: temperature of parts that say nothing else, °C.

    Times given never fall. `choices` may be called from any thread.
    """

    def __init__(
        self,
        parts: Sequence[Part],
        unit: OutdoorUnit | None,
        *,
        knob: Quantity | None = None,
        room_c: float = 22.0,
    ) -> None:
        self._parts = {part.name: part for part in parts}
        self._unit = unit
        self._resistor_ohm = unit.resistor_ohm if unit else _BENCH_RESISTOR_OHM
        self._room_c = room_c
        charges = {
            (part.name, place): truth.stored_v
            for part in parts
            for place, truth in part.truths.items()
            if truth.stored_v
        }
        self._charged_ever = bool(charges)
        self._state = _State(
            part=parts[0].name,
            leads=Lead.AIR,
            knob=knob,
            seen_ns=0,
            power=False,
            resistor=False,
            volts=unit.stored_v if unit else 0.0,
            volts_ns=0,
            charges=charges,
            charges_ns=0,
            rise=(),
        )

    def choices(self) -> tuple[HandChoice, ...]:
        """What hands can do now; live terminals are not for leads."""
        state = self._state
        choices = [
            HandChoice(f"leads: {name}", "leads", title, name == state.leads)
            for name, title in self._places().items()
        ]
        if len(self._parts) > _FEW_PARTS:
            choices += [
                HandChoice("part: next", "part", "Next part", False),
                HandChoice("part: previous", "part", "Part before", False),
            ]
        choices += [
            HandChoice(f"part: {p.name}", "part", p.name, p.name == state.part, p.label, p.kind)
            for p in self._parts.values()
        ]
        if state.knob is not None:
            choices += [
                HandChoice(f"knob: {q.value}", "knob", title, q is state.knob)
                for q, title in KNOB.items()
            ]
        if self._unit is not None or self._charged_ever:
            where = "terminals" if self._unit is not None else "leads"
            choices += [
                HandChoice(
                    "resistor: on", "resistor", f"Resistor across the {where}", state.resistor
                ),
                HandChoice("resistor: off", "resistor", "Resistor taken away", not state.resistor),
            ]
        if self._unit is not None:
            choices += [
                HandChoice("power: on", "unit", "Power on", state.power),
                HandChoice("power: off", "unit", "Power off", not state.power),
            ]
        return tuple(choices)

    def do(self, name: str, now_ns: int) -> None:
        """Hands do what a choice of that name says; doing it twice changes nothing.

        Raises:
            InputError: it cannot be done now.
        """
        found = next((choice for choice in self.choices() if choice.name == name), None)
        if found is None:
            raise InputError("simulator.not_now", action=name)
        if found.active:
            return
        group, what = name.split(": ", 1)
        drained = self._drained(now_ns)
        match group:
            case "leads":
                self._state = replace(drained, leads=what, seen_ns=now_ns)
            case "part":
                self._state = self._with_part(drained, self._part_named(what), now_ns)
            case "knob":
                self._state = replace(drained, knob=Quantity(what), seen_ns=now_ns)
            case "resistor":
                self._state = replace(drained, resistor=what == "on")
            case _:
                self._state = self._switched(drained, what == "on", now_ns)

    def knob(self) -> Quantity | None:
        """Where the multimeter's knob stands."""
        return self._state.knob

    def contact(self) -> Contact:
        """What is between the leads."""
        state = self._state
        if state.leads in tuple(Lead):
            return Contact(Lead(state.leads), Truth(), state.seen_ns)
        return Contact(Lead.PART, self._parts[state.part].truths[state.leads], state.seen_ns)

    def lead_volts(self, now_ns: int) -> float:
        """DC volts between the leads: of a live circuit, or of stored charge."""
        state = self._state
        if state.leads == Lead.TERMINALS:
            return self.terminal_volts(now_ns)
        contact = self.contact()
        if contact.lead is not Lead.PART or contact.between.open or contact.between.shorted:
            return 0.0
        key = self._charge_key()
        return contact.between.volts_dc + (self._charge(now_ns) if key in state.charges else 0.0)

    def terminal_volts(self, now_ns: int) -> float:
        """DC volts across the terminals of the unit; 0 while it has power (that is AC)."""
        state = self._state
        if state.power or self._unit is None:
            return 0.0
        ohm = self._resistor_ohm if self._resistor_at_terminals() else _METER_OHM
        return _decayed(state.volts, now_ns - state.volts_ns, ohm * self._unit.stored_f)

    def outdoor_k(self, now_ns: int) -> float:
        """Air that enters the unit, kelvin."""
        assert self._unit is not None, "no probe hangs in the air of a unit that is not there"
        return self._unit.air.outdoor_k(now_ns)

    def discharge_k(self, now_ns: int) -> float:
        """Air that leaves the unit, kelvin."""
        return self.outdoor_k(now_ns) + rise_at(self._state.rise, now_ns)

    def room_k(self, now_ns: int) -> float:
        """The room, kelvin."""
        return ZERO_CELSIUS_K + self._room_c

    def part_k(self, now_ns: int) -> float:
        """The part in the hand, kelvin."""
        celsius = self._parts[self._state.part].celsius
        return self.room_k(now_ns) if celsius is None else ZERO_CELSIUS_K + celsius

    def _places(self) -> dict[str, str]:
        """Where the leads can go now, and the title of each place."""
        state = self._state
        places = {str(Lead.AIR): "In the air"}
        if state.knob is not None:
            places[Lead.TOGETHER] = "Tips together"
        if self._unit is not None and not state.power:
            places[Lead.TERMINALS] = "Terminals of the unit, for volts"
        part = self._parts[state.part]
        return places | {name: part.titles.get(name, name) for name in part.truths}

    def _part_named(self, what: str) -> str:
        names = list(self._parts)
        step = {"next": 1, "previous": -1}.get(what)
        if step is None or what in self._parts:
            return what
        return names[(names.index(self._state.part) + step) % len(names)]

    def _with_part(self, state: _State, part: str, now_ns: int) -> _State:
        """Another part is in the hand; the leads come off the last one."""
        if state.leads != Lead.AIR:
            state = replace(state, leads=Lead.AIR, seen_ns=now_ns)
        return replace(state, part=part)

    def _resistor_at_terminals(self) -> bool:
        return self._state.resistor and self.contact().lead is not Lead.PART

    def _charge_key(self) -> tuple[str, str]:
        state = self._state
        return state.part, self._parts[state.part].same.get(state.leads, state.leads)

    def _charge(self, now_ns: int) -> float:
        """Volts of the stored charge between the leads; they drain it."""
        state = self._state
        ohm = self._resistor_ohm if state.resistor else _METER_OHM
        contact = self.contact()
        ohm = 1 / (1 / ohm + 1 / contact.between.ohm)
        volts = state.charges[self._charge_key()]
        return _decayed(volts, now_ns - state.charges_ns, ohm * contact.between.capacitance_f)

    def _drained(self, now_ns: int) -> _State:
        """The state with what is left of each charge now."""
        state, key = self._state, self._charge_key()
        if key in state.charges:
            charges = {**state.charges, key: self._charge(now_ns)}
            state = replace(state, charges=charges, charges_ns=now_ns)
        if self._unit is None or state.power:
            return replace(state, charges_ns=now_ns)
        return replace(state, charges_ns=now_ns, volts=self.terminal_volts(now_ns), volts_ns=now_ns)

    def _switched(self, state: _State, on: bool, now_ns: int) -> _State:
        unit = self._unit
        assert unit is not None, "there is no choice to switch one that is not there"
        past = tuple(segment for segment in state.rise if segment.start_ns < now_ns)
        if on:
            start_ns = now_ns + _ns(unit.restart_delay_s + unit.dead_time_s)
            coming = RiseSegment(start_ns, unit.rise_k, unit.time_constant_s)
            if state.leads == Lead.TERMINALS:
                state = replace(state, leads=Lead.AIR, seen_ns=now_ns)
            return replace(state, power=True, rise=(*past, coming))
        coming = RiseSegment(now_ns, 0.0, unit.cool_down_s)
        return replace(
            state, power=False, rise=(*past, coming), volts=unit.stored_v, volts_ns=now_ns
        )


def _decayed(volts: float, elapsed_ns: int, time_constant_s: float) -> float:
    return volts * math.exp(-max(0, elapsed_ns) / 1e9 / time_constant_s)


def _ns(seconds: float) -> int:
    return round(seconds * 1e9)
