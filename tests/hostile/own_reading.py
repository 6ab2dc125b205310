"""A second reading of values with units, written apart from the program's and far stricter.

Scales are those of the SI and of NIST SP 811 (B.8), as fractions. It is asked about what the
program accepted: the value must be the same, in the same kind of unit.
"""

import re
from fractions import Fraction

__all__ = ["KINDS", "number", "si"]

_PSI = Fraction("4.4482216152605") / Fraction("0.00064516")
_FIVE_NINTHS = Fraction(5, 9)
_MICRO, _NANO, _PICO = Fraction(1, 10**6), Fraction(1, 10**9), Fraction(1, 10**12)
_MILLI, _KILO, _MEGA, _GIGA = Fraction(1, 1000), Fraction(1000), Fraction(10**6), Fraction(10**9)
_ONE = Fraction(1)

# kind of unit -> spelling (small letters, except where the case tells) -> zero, scale
KINDS: dict[str, dict[str, tuple[Fraction, Fraction]]] = {
    kind: {name: (Fraction(0), scale) for name, scale in units.items()}
    for kind, units in {
        "capacitance": {
            "pf": _PICO, "nf": _NANO, "uf": _MICRO, "µf": _MICRO, "mfd": _MICRO, "ufd": _MICRO,
            "µfd": _MICRO, "microfarad": _MICRO, "microfarads": _MICRO, "f": _ONE,
        },
        "resistance": {
            "ohm": _ONE, "ohms": _ONE, "ω": _ONE, "kohm": _KILO, "kω": _KILO, "mohm": _MILLI,
            "mω": _MILLI, "Mohm": _MEGA, "MOhm": _MEGA, "Mohms": _MEGA, "MΩ": _MEGA,
            "gohm": _GIGA, "gω": _GIGA,
        },
        "voltage": {
            "v": _ONE, "volt": _ONE, "volts": _ONE, "mV": _MILLI,
            "kv": _KILO, "uv": _MICRO, "µv": _MICRO,
        },
        "current": {
            "a": _ONE, "amp": _ONE, "amps": _ONE, "mA": _MILLI, "ua": _MICRO, "µa": _MICRO,
        },
        "frequency": {"hz": _ONE, "khz": _KILO, "MHz": _MEGA},
        "power": {
            "w": _ONE, "watt": _ONE, "watts": _ONE, "kw": _KILO, "va": _ONE, "kva": _KILO,
        },
        "pressure": {
            "pa": _ONE, "kpa": _KILO, "bar": Fraction(100_000), "psi": _PSI,
            "paa": _ONE, "kpaa": _KILO, "bara": Fraction(100_000), "psia": _PSI,
        },
        "gauge pressure": {
            "pa": _ONE, "kpa": _KILO, "bar": Fraction(100_000), "psi": _PSI,
            "pag": _ONE, "kpag": _KILO, "barg": Fraction(100_000), "psig": _PSI,
            # Conventional: 1000 kg/m³ · 9.80665 m/s² · 0.0254 m, NIST SP 811 (2008) B.8.
            "inwc": Fraction("9806.65") * Fraction("0.0254"),
        },
        "time": {"ms": _MILLI, "s": _ONE, "sec": _ONE, "min": Fraction(60), "h": Fraction(3600)},
        "ratio": {"%": Fraction(1, 100)},
    }.items()
}  # fmt: skip
_CELSIUS, _FAHRENHEIT = (Fraction("273.15"), _ONE), (Fraction("459.67"), _FIVE_NINTHS)
KINDS["temperature"] = {
    **dict.fromkeys(("°c", "c", "degc", "℃"), _CELSIUS),
    **dict.fromkeys(("°f", "f", "degf", "℉"), _FAHRENHEIT),
    "k": (Fraction(0), _ONE),
}
KINDS["temperature difference"] = {
    **dict.fromkeys(
        ("°c", "c", "degc", "℃", "k", "δ°c", "deltac", "deltadegc", "deltak"), (Fraction(0), _ONE)
    ),
    **dict.fromkeys(
        ("°f", "f", "degf", "℉", "δ°f", "deltaf", "deltadegf"), (Fraction(0), _FIVE_NINTHS)
    ),
}
_VALUE = re.compile(r"\s*([-+−]?)\s*([0-9]*)(?:[.,]([0-9]*))?(?:[eE]([-+]?[0-9]+))?\s*(\D*)\s*")


def number(text: str) -> Fraction:
    """The one number in `text`; ValueError if it is none, or may be two."""
    found = _VALUE.fullmatch(text)
    if found is None or not (found[2] or found[3]):
        raise ValueError(text)
    if "," in text and len(found[3] or "") == 3 and 1 <= len(found[2]) <= 3 and found[2][0] != "0":
        raise ValueError(f"{text}: grouped")
    digits, places = (found[2] or "") + (found[3] or ""), len(found[3] or "")
    size = Fraction(int(digits)) * Fraction(10) ** (int(found[4] or 0) - places)
    return -size if found[1] in ("-", "−") else size


def si(text: str, kind: str, default: str = "") -> Fraction:
    """The SI value of `text`, of that kind of unit.

    Raises:
        ValueError: it has another unit, or none that this table knows.
    """
    found = _VALUE.fullmatch(text)
    if found is None:
        raise ValueError(text)
    name = "".join(found[5].split()).replace("\u03bc", "µ").replace("\u2126", "Ω") or default
    if kind in ("voltage", "current") and name[-2:].lower() in ("ac", "dc"):
        name = name[:-2]
    units = KINDS[kind]
    spelled = name if name in units else name.lower()
    if (
        name in ("mF", "MF")
        or (spelled in ("mohm", "mω") and name[0] == "M")
        or spelled not in units
    ):
        raise ValueError(f"{text}: no unit of {kind}")
    zero, scale = units[spelled]
    return (number(text[: found.start(5)]) + zero) * scale
