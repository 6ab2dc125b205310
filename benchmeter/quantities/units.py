"""The closed list of units that people and meters write, and the way to SI, exact in decimals.

Never free text to a units library: one of them reads "cfm" as centifermi.
"""

from dataclasses import dataclass
from decimal import Context, Decimal

from benchmeter.errors import InputError
from benchmeter.quantities.typed_numbers import parse_number

__all__ = [
    "GAUGE_PRESSURE",
    "UNITS",
    "Unit",
    "find_unit",
    "parse_value",
    "resolution_of",
    "split_value",
    "to_si",
]


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit of the list: SI = (number + zero) × scale.

    Attributes:
        symbol: as we print it.
        kind: "capacitance", "voltage", "temperature difference", ...: what it can measure.
        scale, zero: the way to SI.
        definition: the same unit in the words of the registry file, for cross-checks.
    """

    symbol: str
    kind: str
    scale: Decimal
    definition: str
    zero: Decimal = Decimal(0)


def _decimal(kind: str, definition: str, symbols: dict[str, int]) -> dict[str, Unit]:
    names = {
        -12: "pico",
        -9: "nano",
        -6: "micro",
        -3: "milli",
        0: "",
        3: "kilo",
        6: "mega",
        9: "giga",
    }
    return {
        symbol: Unit(symbol, kind, Decimal(1).scaleb(power), names[power] + definition)
        for symbol, power in symbols.items()
    }


# Room for every digit that a number may have, whatever context the caller has set.
_EXACTLY = Context(prec=100)
_FAHRENHEIT = _EXACTLY.divide(Decimal(5), Decimal(9))
# A pound-force per square inch: 0.45359237 kg × 9.80665 m/s² / (0.0254 m)² (NIST SP 811, B.8).
_PSI = _EXACTLY.divide(Decimal("4.4482216152605"), Decimal("0.00064516"))
_PER_HOUR = _EXACTLY.divide(Decimal(1), Decimal(3600))
# A cubic foot, (0.3048 m)³, per minute (NIST SP 811, B.8).
_CFM = _EXACTLY.divide(Decimal("0.028316846592"), Decimal(60))

UNITS: dict[str, Unit] = {
    **_decimal("capacitance", "farad", {"pF": -12, "nF": -9, "µF": -6, "mF": -3, "F": 0}),
    **_decimal("resistance", "ohm", {"mΩ": -3, "Ω": 0, "kΩ": 3, "MΩ": 6, "GΩ": 9}),
    **_decimal("voltage", "volt", {"µV": -6, "mV": -3, "V": 0, "kV": 3}),
    **_decimal("current", "ampere", {"µA": -6, "mA": -3, "A": 0}),
    **_decimal("frequency", "hertz", {"Hz": 0, "kHz": 3, "MHz": 6}),
    **_decimal("power", "watt", {"W": 0, "kW": 3}),
    **_decimal("power", "volt_ampere", {"VA": 0, "kVA": 3}),
    **_decimal("pressure", "pascal", {"Pa": 0, "kPa": 3}),
    "bar": Unit("bar", "pressure", Decimal(100_000), "bar"),
    "psi": Unit("psi", "pressure", _PSI, "psi"),
    **_decimal("gauge pressure", "pascal_gauge", {"Pag": 0, "kPag": 3}),
    "barg": Unit("barg", "gauge pressure", Decimal(100_000), "bar_gauge"),
    "psig": Unit("psig", "gauge pressure", _PSI, "psig"),
    "m³/s": Unit("m³/s", "airflow", Decimal(1), "cubic_meter_per_second"),
    "m³/h": Unit("m³/h", "airflow", _PER_HOUR, "cubic_meter_per_hour"),
    "l/s": Unit("l/s", "airflow", Decimal("0.001"), "liter_per_second"),
    "cfm": Unit("cfm", "airflow", _CFM, "cubic_foot_per_minute"),
    **_decimal("time", "second", {"ms": -3, "s": 0}),
    "min": Unit("min", "time", Decimal(60), "minute"),
    "h": Unit("h", "time", Decimal(3600), "hour"),
    "%": Unit("%", "ratio", Decimal("0.01"), "percent"),
    "%RH": Unit("%RH", "relative humidity", Decimal("0.01"), "percent"),
    "K": Unit("K", "temperature", Decimal(1), "kelvin"),
    "°C": Unit("°C", "temperature", Decimal(1), "degree_Celsius", Decimal("273.15")),
    "°F": Unit("°F", "temperature", _FAHRENHEIT, "degree_Fahrenheit", Decimal("459.67")),
    "Δ°C": Unit("Δ°C", "temperature difference", Decimal(1), "delta_degree_Celsius"),
    "Δ°F": Unit("Δ°F", "temperature difference", _FAHRENHEIT, "delta_degree_Fahrenheit"),
}
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
    "kpag": "kPag", "%rh": "%RH", "cfm": "cfm", "m³/h": "m³/h", "m3/h": "m³/h", "m³/s": "m³/s",
    "m3/s": "m³/s", "l/s": "l/s",
    "deltac": "Δ°C", "deltaf": "Δ°F", "deltadegc": "Δ°C", "deltadegf": "Δ°F",
    "δ°c": "Δ°C", "δ°f": "Δ°F", "deltak": "Δ°C", "kv": "kV", "uv": "µV", "µv": "µV", "ua": "µA",
    "µa": "µA",
}  # fmt: skip
_EXACT: dict[str, str] = {
    "mohm": "mΩ", "Mohm": "MΩ", "MOhm": "MΩ", "Mohms": "MΩ", "mV": "mV", "mA": "mA", "mΩ": "mΩ",
    "MΩ": "MΩ", "GΩ": "GΩ", "MHz": "MHz",
}  # fmt: skip


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
    shown = name[:20]
    if name in ("F", "f"):
        if kind not in ("capacitance", "temperature"):
            raise InputError(f"“{shown}” may be farad or Fahrenheit.", "Write µF or °F.")
        found: str | None = "F" if kind == "capacitance" else "°F"
    elif name.upper() == "MF":
        raise InputError(f"“{shown}” may be microfarad or millifarad.", "Write µF (or MFD).")
    else:
        # lower(), not casefold(), which turns the micro sign into the letter mu
        found = _EXACT.get(name) or _FOLDED.get(name.lower())
    if found is None:
        raise InputError(
            f"The unit “{shown}” is not known here.", "Write for example µF, V, Ω, °C."
        )
    unit = UNITS[found]
    if kind == GAUGE_PRESSURE and unit.kind == "pressure" and name.lower() == found.lower():
        unit = UNITS[f"{found}g"]  # a plain psi counts as the gauge does; psia does not
    if kind and unit.kind != kind:
        raise InputError(f"“{shown}” is a unit of {unit.kind}, not of {kind}.")
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
        raise InputError(f"“{written}” has no unit.", f"Write a {kind} with its unit.")
    unit = find_unit(name or default_unit, kind)
    if unit.kind == "temperature" and number + unit.zero < 0:
        raise InputError(f"“{written} {unit.symbol}” lies below absolute zero.")
    return number, unit


def to_si(number: Decimal, unit: Unit) -> float:
    """SI value, rounded once."""
    return float(_EXACTLY.multiply(_EXACTLY.add(number, unit.zero), unit.scale))


def resolution_of(number: Decimal, unit: Unit) -> float:
    """The worth of the last written digit, in SI (a difference for temperatures)."""
    exponent = number.as_tuple().exponent
    return float(_EXACTLY.multiply(Decimal(1).scaleb(int(exponent)), unit.scale))
