"""Numbers for people: their unit, and as many digits as the meter or the uncertainty supports."""

import math
from decimal import ROUND_HALF_EVEN, Decimal

from benchmeter.readings.quantities import Quantity
from benchmeter.readings.reading import Reading
from benchmeter.readings.temperature import Temperature

__all__ = ["MICRO", "age", "microfarads", "number", "reading_figures", "with_uncertainty"]

MICRO = Decimal("1e-6")

_STEPS: dict[Quantity, tuple[tuple[float, str], ...]] = {
    Quantity.CAPACITANCE: ((1e-6, "µF"),),
    Quantity.RESISTANCE: ((1e6, "MΩ"), (1e3, "kΩ"), (1.0, "Ω")),
    Quantity.CONTINUITY: ((1.0, "Ω"),),
    Quantity.VOLTAGE_DC: ((1.0, "V DC"),),
    Quantity.VOLTAGE_AC: ((1.0, "V AC"),),
    Quantity.DIODE: ((1.0, "V"),),
    Quantity.CURRENT_DC: ((1.0, "A DC"),),
    Quantity.CURRENT_AC: ((1.0, "A AC"),),
    Quantity.FREQUENCY: ((1.0, "Hz"),),
    Quantity.DUTY: ((0.01, "%"),),
}


def number(value: float | Decimal, decimals: int, decimal_sign: str = ".") -> str:
    """The value rounded to so many decimals, half to even, with a true minus sign."""
    exact = value if isinstance(value, Decimal) else Decimal(repr(float(value)))
    rounded = exact.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_EVEN)
    text = f"{rounded:f}" if rounded else f"{abs(rounded):f}"
    return text.replace("-", "−").replace(".", decimal_sign)


def reading_figures(
    reading: Reading, quantity: Quantity | None, temperature_unit: str, decimal_sign: str = "."
) -> tuple[str, str]:
    """Digits and unit of a reading with a value, in the person's unit.

    Args:
        temperature_unit: "degF" or "degC".
    """
    value = reading.value
    if value is None:
        raise ValueError("a reading without a value has no digits")
    step = 1.0
    if quantity is None:
        unit = ""
    elif quantity is Quantity.TEMPERATURE:
        point = Temperature(value)
        fahrenheit = temperature_unit == "degF"
        value = point.fahrenheit if fahrenheit else point.celsius
        step, unit = (5 / 9, "°F") if fahrenheit else (1.0, "°C")
    else:
        steps = _STEPS[quantity]
        step, unit = next((s for s in steps if abs(value) >= s[0]), steps[-1])
        value /= step
    return number(value, _decimals(value, reading.resolution, step), decimal_sign), unit


def _decimals(value: float, resolution: float | None, step: float) -> int:
    if resolution is not None and resolution > 0:
        return min(max(0, math.ceil(-math.log10(resolution / step) - 1e-6)), 9)
    # The meter does not tell: four significant digits.
    return min(max(0, 3 - math.floor(math.log10(abs(value)))), 9) if value else 1


def microfarads(farads: Decimal, decimal_sign: str = ".") -> str:
    """An exact limit or rated value: every digit that it has, and no more."""
    plain = f"{(farads / MICRO).normalize():f}"
    return plain.replace(".", decimal_sign)


def with_uncertainty(
    value_f: Decimal, expanded_f: float | None, resolution_f: Decimal | None, decimal_sign: str
) -> str:
    """ "44.10 ± 0.73": µF; the uncertainty with two significant digits (JCGM 100:2008, 7.2.6)."""
    value = value_f / MICRO
    if expanded_f is None or expanded_f <= 0:
        exponent = (resolution_f / MICRO).normalize().as_tuple().exponent if resolution_f else -2
        return number(value, max(0, -int(exponent)), decimal_sign)
    expanded = expanded_f * 1e6
    decimals = max(0, 1 - math.floor(math.log10(expanded)))
    if float(f"{expanded:.{decimals}f}") >= 10 ** (2 - decimals):  # 0.0996 is 0.10, not 0.100
        decimals = max(0, decimals - 1)
    return f"{number(value, decimals, decimal_sign)} ± {number(expanded, decimals, decimal_sign)}"


def age(span_ns: int) -> str:
    """How long something lasts or is ago: "0.4 s", "12 s", "3 min", "2 h 5 min"."""
    seconds = max(span_ns, 0) / 1e9
    if seconds < 0.95:
        return f"{seconds:.1f} s"
    if seconds < 119.5:
        return f"{seconds:.0f} s"
    minutes = round(seconds / 60)
    if minutes < 120:
        return f"{minutes} min"
    return f"{minutes // 60} h {minutes % 60} min"
