"""The closed list of units that people and meters write, and the way to SI, exact in decimals.

Never free text to a units library: one of them reads "cfm" as centifermi. What each unit is worth
stands in the definitions.
"""

from dataclasses import dataclass
from decimal import Context, Decimal
from fractions import Fraction
from functools import lru_cache

from benchmeter.errors import InputError
from benchmeter.quantities.definitions import DEFINITIONS, read_definitions
from benchmeter.quantities.typed_numbers import parse_number

__all__ = [
    "GAUGE_PRESSURE",
    "UNITS",
    "Unit",
    "exact_si",
    "exact_span_si",
    "find_unit",
    "last_digit",
    "parse_value",
    "resolution_of",
    "span_to_si",
    "split_value",
    "to_si",
]


@dataclass(frozen=True, slots=True, eq=False)  # one object a unit: compared as fast as found
class Unit:
    """A unit of the list: SI = (number + zero) × scale.

    Attributes:
        symbol: as we print it.
        kind: "capacitance", "voltage", "temperature difference", ...: what it can measure.
        scale, zero: the way to SI.
        endless: whether the scale has no end as a decimal, like five ninths.
        definition: its name in `resources/units/units.txt`.
    """

    symbol: str
    kind: str
    scale: Decimal
    definition: str
    zero: Decimal = Decimal(0)
    endless: bool = False


# Room for every digit that a number may have, whatever context the caller has set.
_EXACTLY = Context(prec=100)

# What we print and read, by kind: the symbol, and its name in the definitions.
_LISTED: dict[str, dict[str, str]] = {
    "capacitance": {
        "pF": "picofarad", "nF": "nanofarad", "µF": "microfarad", "mF": "millifarad", "F": "farad",
    },
    "resistance": {
        "mΩ": "milliohm", "Ω": "ohm", "kΩ": "kiloohm", "MΩ": "megaohm", "GΩ": "gigaohm",
    },
    "voltage": {"µV": "microvolt", "mV": "millivolt", "V": "volt", "kV": "kilovolt"},
    "current": {"µA": "microampere", "mA": "milliampere", "A": "ampere"},
    "frequency": {"Hz": "hertz", "kHz": "kilohertz", "MHz": "megahertz"},
    "power": {"W": "watt", "kW": "kilowatt", "VA": "volt_ampere", "kVA": "kilovolt_ampere"},
    "pressure": {
        "Pa": "pascal", "kPa": "kilopascal", "bar": "bar", "psi": "pound_force_per_square_inch",
    },
    "gauge pressure": {
        "Pag": "pascal_gauge", "kPag": "kilopascal_gauge", "barg": "bar_gauge",
        "psig": "pound_force_per_square_inch_gauge", "inWC": "inch_H2O_gauge",
    },
    "airflow": {
        "m³/s": "cubic_meter_per_second", "m³/h": "cubic_meter_per_hour",
        "l/s": "liter_per_second", "cfm": "cubic_foot_per_minute",
    },
    "time": {"ms": "millisecond", "s": "second", "min": "minute", "h": "hour"},
    "ratio": {"%": "percent"},
    "relative humidity": {"%RH": "percent"},
    "temperature": {"K": "kelvin", "°C": "degree_Celsius", "°F": "degree_Fahrenheit"},
    "temperature difference": {"Δ°C": "delta_degree_Celsius", "Δ°F": "delta_degree_Fahrenheit"},
}  # fmt: skip


def _decimal(number: Fraction) -> Decimal:
    """Without zeros at its end: a value keeps the digits that were written when it is scaled."""
    quotient = _EXACTLY.divide(Decimal(number.numerator), Decimal(number.denominator))
    return quotient.normalize(_EXACTLY)


def _units() -> dict[str, Unit]:
    definitions = read_definitions(DEFINITIONS.read_text(encoding="utf-8"))
    found = {}
    for kind, listed in _LISTED.items():
        for symbol, name in listed.items():
            worth = definitions.worth(name)
            zero = worth.offset / worth.scale
            scale = _decimal(worth.scale)
            endless = Fraction(scale) != worth.scale
            found[symbol] = Unit(symbol, kind, scale, name, _decimal(zero), endless)
    return found


UNITS: dict[str, Unit] = _units()
"""Every unit by the symbol that we print."""

GAUGE_PRESSURE = "gauge pressure"
"""A kind of its own: to an absolute pressure it lacks the pressure around."""

# Spellings whose letter case carries no meaning (mF and MF, mohm and Mohm do).
_FOLDED: dict[str, str] = {
    "pf": "pF", "nf": "nF", "uf": "µF", "µf": "µF", "mfd": "µF", "ufd": "µF", "µfd": "µF",
    "microfarad": "µF", "microfarads": "µF",
    "v": "V", "vac": "V", "vdc": "V", "volt": "V", "volts": "V",
    "a": "A", "amp": "A", "amps": "A", "hz": "Hz", "khz": "kHz", "ms": "ms", "s": "s", "sec": "s",
    "min": "min", "h": "h", "%": "%", "k": "K", "degc": "°C", "c": "°C", "°c": "°C", "℃": "°C",
    "degf": "°F", "°f": "°F", "℉": "°F", "kohm": "kΩ", "kω": "kΩ", "ohm": "Ω", "ohms": "Ω",
    "ω": "Ω", "gohm": "GΩ", "w": "W", "watt": "W", "watts": "W", "kw": "kW", "va": "VA",
    "kva": "kVA", "psi": "psi", "psia": "psi", "psig": "psig", "bar": "bar", "bara": "bar",
    "barg": "barg", "pa": "Pa", "paa": "Pa", "pag": "Pag", "kpa": "kPa", "kpaa": "kPa",
    "kpag": "kPag", "inwc": "inWC", "inh2o": "inWC", "%rh": "%RH", "cfm": "cfm",
    "m³/h": "m³/h", "m3/h": "m³/h", "m³/s": "m³/s",
    "m3/s": "m³/s", "l/s": "l/s",
    "deltac": "Δ°C", "deltaf": "Δ°F", "deltadegc": "Δ°C", "deltadegf": "Δ°F",
    "δ°c": "Δ°C", "δ°f": "Δ°F", "deltak": "Δ°C", "kv": "kV", "uv": "µV", "µv": "µV", "ua": "µA",
    "µa": "µA",
}  # fmt: skip
_EXACT: dict[str, str] = {
    "mohm": "mΩ", "Mohm": "MΩ", "MOhm": "MΩ", "Mohms": "MΩ", "mV": "mV", "mA": "mA", "mΩ": "mΩ",
    "MΩ": "MΩ", "GΩ": "GΩ", "MHz": "MHz",
}  # fmt: skip


@lru_cache(maxsize=1024)
def find_unit(text: str, kind: str = "") -> Unit:
    """The unit that `text` names.

    Args:
        text: as written by a person or a meter; both micro signs and both ohm signs are read.
        kind: expected kind. It settles "F": farad where a capacitance, Fahrenheit where a
            temperature is expected; and "psi": gauge where a gauge pressure is expected, else
            absolute. "mF" is refused: labels mean microfarad by it, standards
            millifarad.

    Raises:
        InputError: not in the list, or of another kind.
    """
    name = "".join(text.split()).replace("\u03bc", "µ").replace("\u2126", "Ω")
    if name in ("F", "f"):
        if kind not in ("capacitance", "temperature"):
            raise InputError("quantities.farad_or_fahrenheit", unit=name)
        found: str | None = "F" if kind == "capacitance" else "°F"
    elif name.upper() == "MF":
        raise InputError("quantities.micro_or_milli", unit=name)
    else:
        # lower(), not casefold(), which turns the micro sign into the letter mu
        found = _EXACT.get(name) or _FOLDED.get(name.lower())
    if found is None:
        raise InputError("quantities.unit_unknown", unit=name)
    unit = UNITS[found]
    if kind == GAUGE_PRESSURE and unit.kind == "pressure" and name.lower() == found.lower():
        unit = UNITS[f"{found}g"]  # a plain psi counts as the gauge does; psia does not
    if kind and unit.kind != kind:
        raise InputError("quantities.unit_of_other_kind", unit=name, kind=unit.kind, wanted=kind)
    return unit


def split_value(text: str) -> tuple[str, str]:
    """Number and unit of "45uF" or "44,1 µF", both as text; the unit may be empty."""
    end = len(text)
    for i, sign in enumerate(text):
        exponent = sign in "eE" and i and text[i + 1 : i + 2] and (text[i + 1] in "+-0123456789")
        if not (sign in "+-−.,0123456789 \u00a0\u202f'" or exponent):
            end = i
            break
    return text[:end].strip(), text[end:].strip()


def parse_value(text: str, kind: str, default_unit: str = "") -> tuple[Decimal, Unit]:
    """A number with its unit in one word or two: `45uF`, `44,1 µF`, `95F`, `10deltaF`.

    Raises:
        InputError: no number, no unit (and no default), a unit of another kind, or a temperature
            below absolute zero.
    """
    written, name = split_value(text)
    number = parse_number(written)
    if not name and not default_unit:
        raise InputError("quantities.unit_missing", number=written, wanted=kind)
    unit = find_unit(name or default_unit, kind)
    if unit.kind == "temperature" and number + unit.zero < 0:
        raise InputError("quantities.below_absolute_zero", number=written, unit=unit.symbol)
    if unit.kind == "pressure" and number < 0:
        raise InputError("quantities.below_no_pressure", number=written, unit=unit.symbol)
    return number, unit


def to_si(number: Decimal, unit: Unit) -> float:
    """SI value, rounded once."""
    if unit.zero:
        number = _EXACTLY.add(number, unit.zero)
    return float(_EXACTLY.multiply(number, unit.scale))


@lru_cache(maxsize=1024)
def span_to_si(step: Decimal, unit: Unit) -> float:
    """A width in SI, such as a digit's worth, rounded once: without the zero of its scale."""
    return float(_EXACTLY.multiply(step, unit.scale))


def exact_si(number: Decimal, unit: Unit) -> Decimal:
    """SI value, every digit; of five ninths and their like the decimal that `to_si` shows."""
    if unit.endless:
        return Decimal(repr(to_si(number, unit)))
    return _EXACTLY.multiply(_EXACTLY.add(number, unit.zero), unit.scale)


def exact_span_si(step: Decimal, unit: Unit) -> Decimal:
    """A width in SI, as exact as `exact_si`."""
    if unit.endless:
        return Decimal(repr(span_to_si(step, unit)))
    return _EXACTLY.multiply(step, unit.scale)


def resolution_of(number: Decimal, unit: Unit) -> float:
    """What the last written digit is worth in SI (a difference for temperatures)."""
    return span_to_si(last_digit(number), unit)


def last_digit(number: Decimal) -> Decimal:
    """What the last written digit is worth."""
    return _power_of_ten(int(number.as_tuple().exponent))


@lru_cache(maxsize=128)
def _power_of_ten(exponent: int) -> Decimal:
    return Decimal(1).scaleb(exponent)
