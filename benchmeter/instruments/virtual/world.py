"""The bench and the unit: parts, leads, stored charge, power, air.

Everything follows from the simulated time and the acts of the hands.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from benchmeter.errors import InputError
from benchmeter.instruments.virtual.air import Air, RiseSegment, rise_at
from benchmeter.sources.source import HandChoice

__all__ = ["Contact", "Lead", "Part", "SectionTruth", "Unit", "World"]

_METER_OHM = 10e6  # input resistance of a voltmeter, common practice

_SECTION_TITLES = {"HERM": "C and HERM", "FAN": "C and FAN", "single": "Both terminals"}


@dataclass(frozen=True, slots=True)
class SectionTruth:
    """What a section of a part really is."""

    capacitance_f: float
    open: bool = False
    shorted: bool = False


@dataclass(frozen=True, slots=True)
class Part:
    """A part on the bench: its own name, its label's text, its sections by name."""

    name: str
    label: str
    sections: Mapping[str, SectionTruth]


@dataclass(frozen=True, slots=True)
class Unit:
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


class Lead(StrEnum):
    """What is between the leads."""

    AIR = "air"
    TERMINALS = "terminals"
    CAPACITOR = "capacitor"
    OPEN = "open"
    SHORT = "short"


@dataclass(frozen=True, slots=True)
class Contact:
    """What is between the leads, and since when; `capacitance_f` of a CAPACITOR."""

    lead: Lead
    capacitance_f: float
    since_ns: int


@dataclass(frozen=True, slots=True)
class _State:
    part: str
    leads: str  # "air", "terminals" or a section of the part
    leads_since_ns: int
    power: bool
    resistor: bool
    volts: float  # on the terminals at `volts_since_ns`
    volts_since_ns: int
    rise: tuple[RiseSegment, ...]


class World:
    """The world of a scenario. Power is off at the start, and the first part is in the hand.

    Args:
        parts: at least one.
        unit: the outdoor unit.

    Times given never fall. `choices` may be called from any thread.
    """

    def __init__(self, parts: Sequence[Part], unit: Unit) -> None:
        self._parts = {part.name: part for part in parts}
        self._unit = unit
        self._state = _State(parts[0].name, "air", 0, False, False, unit.stored_v, 0, ())

    def choices(self) -> tuple[HandChoice, ...]:
        """What hands can do now; live terminals are not for leads."""
        state = self._state
        leads = {"air": "In the air"}
        if not state.power:
            leads["terminals"] = "Terminals of the unit, for volts"
        leads |= {s: _SECTION_TITLES.get(s, s) for s in self._parts[state.part].sections}
        return (
            *(HandChoice(f"leads: {n}", "leads", t, n == state.leads) for n, t in leads.items()),
            *(
                HandChoice(f"part: {p.name}", "part", p.name, p.name == state.part, p.label)
                for p in self._parts.values()
            ),
            HandChoice("resistor: on", "resistor", "Resistor across the terminals", state.resistor),
            HandChoice("resistor: off", "resistor", "Resistor taken away", not state.resistor),
            HandChoice("power: on", "unit", "Power on", state.power),
            HandChoice("power: off", "unit", "Power off", not state.power),
        )

    def do(self, name: str, now_ns: int) -> None:
        """Hands do what a choice of that name says; doing it twice changes nothing.

        Raises:
            InputError: it cannot be done now.
        """
        found = next((choice for choice in self.choices() if choice.name == name), None)
        if found is None:
            raise InputError(f"“{name}” cannot be done at the simulated bench now.")
        if found.active:
            return
        group, what = name.split(": ", 1)
        match group:
            case "leads":
                self._state = self._leads_to(what, now_ns)
            case "part":
                self._state = replace(self._leads_to("air", now_ns), part=what)
            case "resistor":
                self._state = replace(self._drained(now_ns), resistor=what == "on")
            case _:
                self._state = self._switched(what == "on", now_ns)

    def contact(self) -> Contact:
        """What is between the leads."""
        state = self._state
        if state.leads in ("air", "terminals"):
            return Contact(Lead(state.leads), 0.0, state.leads_since_ns)
        section = self._parts[state.part].sections[state.leads]
        lead = Lead.OPEN if section.open else Lead.SHORT if section.shorted else Lead.CAPACITOR
        return Contact(lead, section.capacitance_f, state.leads_since_ns)

    def terminal_volts(self, now_ns: int) -> float:
        """DC volts across the terminals of the unit; 0 while it has power (that is AC)."""
        state = self._state
        if state.power:
            return 0.0
        ohm = self._unit.resistor_ohm if state.resistor else _METER_OHM
        elapsed_s = (now_ns - state.volts_since_ns) / 1e9
        return state.volts * math.exp(-elapsed_s / (ohm * self._unit.stored_f))

    def outdoor_k(self, now_ns: int) -> float:
        """Air that enters the unit, kelvin."""
        return self._unit.air.outdoor_k(now_ns)

    def discharge_k(self, now_ns: int) -> float:
        """Air that leaves the unit, kelvin."""
        return self.outdoor_k(now_ns) + rise_at(self._state.rise, now_ns)

    def _leads_to(self, place: str, now_ns: int) -> _State:
        if place == self._state.leads:
            return self._state
        return replace(self._state, leads=place, leads_since_ns=now_ns)

    def _drained(self, now_ns: int) -> _State:
        return replace(self._state, volts=self.terminal_volts(now_ns), volts_since_ns=now_ns)

    def _switched(self, on: bool, now_ns: int) -> _State:
        unit, state = self._unit, self._state
        past = tuple(segment for segment in state.rise if segment.start_ns < now_ns)
        if on:
            start_ns = now_ns + _ns(unit.restart_delay_s + unit.dead_time_s)
            coming = RiseSegment(start_ns, unit.rise_k, unit.time_constant_s)
            if state.leads == "terminals":
                state = self._leads_to("air", now_ns)
            return replace(state, power=True, rise=(*past, coming))
        coming = RiseSegment(now_ns, 0.0, unit.cool_down_s)
        return replace(
            state, power=False, rise=(*past, coming), volts=unit.stored_v, volts_since_ns=now_ns
        )


def _ns(seconds: float) -> int:
    return round(seconds * 1e9)
