"""Where hands have put the leads and the knob of a meter."""

from dataclasses import dataclass
from enum import StrEnum

from benchmeter.quantities.quantity import Quantity
from benchmeter.simulator.virtual_parts import Truth

__all__ = ["KNOB", "Contact", "Lead"]

KNOB = {
    Quantity.RESISTANCE: "Ohms",
    Quantity.CAPACITANCE: "Capacitance",
    Quantity.VOLTAGE_DC: "DC volts",
    Quantity.VOLTAGE_AC: "AC volts",
    Quantity.CURRENT_AC: "AC amps, by clamp",
}
"""The positions of a multimeter's knob, in order, and their titles."""


class Lead(StrEnum):
    """Where the leads are."""

    AIR = "air"
    TOGETHER = "together"
    TERMINALS = "terminals"  # of the unit
    PART = "part"


@dataclass(frozen=True, slots=True)
class Contact:
    """What the meter sees, and since when: leads or knob were moved then.

    `between`: of a PART what is between its terminals.
    """

    lead: Lead
    between: Truth
    since_ns: int
