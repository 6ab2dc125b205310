"""The quantities that a channel can carry, and their SI units."""

from enum import StrEnum

__all__ = ["SI_UNIT", "Quantity"]


class Quantity(StrEnum):
    """What a meter can be set to measure. AC and DC are apart: a residual voltage is DC."""

    CAPACITANCE = "capacitance"
    RESISTANCE = "resistance"
    VOLTAGE_DC = "DC voltage"
    VOLTAGE_AC = "AC voltage"
    CURRENT_DC = "DC current"
    CURRENT_AC = "AC current"
    TEMPERATURE = "temperature"
    FREQUENCY = "frequency"
    DIODE = "diode"
    CONTINUITY = "continuity"
    DUTY = "duty cycle"
    PRESSURE = "pressure"


SI_UNIT: dict[Quantity, str] = {
    Quantity.CAPACITANCE: "F",
    Quantity.RESISTANCE: "ohm",
    Quantity.VOLTAGE_DC: "V",
    Quantity.VOLTAGE_AC: "V",
    Quantity.CURRENT_DC: "A",
    Quantity.CURRENT_AC: "A",
    Quantity.TEMPERATURE: "K",
    Quantity.FREQUENCY: "Hz",
    Quantity.DIODE: "V",
    Quantity.CONTINUITY: "ohm",
    Quantity.DUTY: "1",
    Quantity.PRESSURE: "Pa",
}
"""The SI unit in which values of each quantity are held."""
