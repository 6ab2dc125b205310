"""Every kind of part at its example: limits, what overload means, what is live, what to discharge.

Written from the sources, not from the files, so that a slip of the keyboard in a file is found.
Where a limit has a published source, it stands beside it; for the others there is common practice
only. Who measures what is live, or what holds a charge, must be told: a winding may still be
connected to the run capacitor, and a megohm tester leaves its voltage on what it tested.
"""

from decimal import Decimal
from fractions import Fraction

import pytest
from msgspec import to_builtins

from benchmeter.files.resources import resource
from benchmeter.parts.kind_catalogue import read_part_kind
from benchmeter.parts.part_kind import MeasurementSpec, PartKind
from benchmeter.parts.rating import rate

# NIST SP 811 (2008) B.8: 1 psi = 4.448 221 615 260 5 N / (0.0254 m)²; (t/°F + 459.67) / 1.8 = T/K.
WORTH = {
    "Ω": Fraction(1),
    "kΩ": Fraction(1000),
    "MΩ": Fraction(1_000_000),
    "µF": Fraction(1, 1_000_000),
    "V": Fraction(1),
    "mV": Fraction(1, 1000),
    "A": Fraction(1),
    "psig": Fraction("4.4482216152605") / Fraction("0.0254") ** 2,
    "°F": Fraction(5, 9),
}
ZERO = {"°F": Fraction("459.67") * Fraction(5, 9)}

# name | quantity | limits at the example | what overload means | a short up to | flags
POLE = [
    "{0} at rest | resistance | 1.. MΩ | pass | |",
    "{0} closed | resistance | ..1 Ω | open | |",
]
COIL = "coil | resistance | 9..14 Ω | open | 1 ohm |"  # the range of the example
# Of a 24 V coil 85 % to 110 %: NEMA ICS 2 (from memory).
COIL_VOLTS = "coil volts | AC voltage | 20.4..26.4 V | | | powered"
DROP = "drop {0} | AC voltage | ..500 mV | | | powered"
WINDING = "{0} | resistance | .. Ω | open | | discharge"
# IEEE 43-2013: 5 MΩ for random-wound windings below 1 kV (from memory).
INSULATION = "to case | resistance | 5.. MΩ | pass | | typed discharge caution"
CONTACT = "contact | resistance | ..1 Ω | open | |"
UNDER_LOAD = [
    "{0}volts | AC voltage | .. V | | | powered",
    "{0}amps | AC current | .. A | | | powered",
]
L = ("L1-T1", "L2-T2", "L3-T3")


def each(pattern: str | list[str], *names: str) -> list[str]:
    return [
        p.format(n) for n in names for p in ([pattern] if isinstance(pattern, str) else pattern)
    ]


MEASURES = {
    "compressor-single-phase": [*each(WINDING, "C-S", "C-R", "S-R"), INSULATION],
    "contactor": [COIL, *each(POLE, *L[:2])],
    "contactor-one-pole": [COIL, *each(POLE, *L[:1])],
    "contactor-one-pole-under-load": [COIL_VOLTS, *each(DROP, *L[:1])],
    "contactor-three-pole": [COIL, *each(POLE, *L)],
    "contactor-three-pole-under-load": [COIL_VOLTS, *each(DROP, *L)],
    "contactor-under-load": [COIL_VOLTS, *each(DROP, *L[:2])],
    "fuse": ["fuse | resistance | ..1 Ω | open | |"],
    # R = V²/P: 240²/1500 = 38.4 Ω, ±10 %.
    "heater": [
        "element | resistance | 34.56..42.24 Ω | open | |",
        "to case | resistance | 1.. MΩ | pass | | typed caution",
    ],
    "ignitor": ["element | resistance | 40..90 Ω | open | | caution"],
    "motor-single-phase": [*each(WINDING, "C-S", "C-R", "S-R"), INSULATION],
    # NEMA MG 1 cl. 12.44: ±10 % of rated volts (from memory); no more than the rated amps.
    "motor-single-phase-running": [
        "volts | AC voltage | 207..253 V | | | powered",
        "amps | AC current | ..16.7 A | | | powered",
    ],
    "motor-three-phase": [*each(WINDING, "T1-T2", "T2-T3", "T1-T3"), INSULATION],
    "motor-three-phase-running": [
        *each("{0} | AC voltage | 414..506 V | | | powered", "L1-L2", "L2-L3", "L1-L3"),
        *each("amps {0} | AC current | ..7.6 A | | | powered", "L1", "L2", "L3"),
    ],
    "pressure-cut-out": [
        CONTACT,
        "opens | gauge pressure | 579.5..640.5 psig | | | typed",
        "closes | gauge pressure | 399..441 psig | | | typed",
    ],
    "pressure-cut-out-low": [
        CONTACT,
        "opens | gauge pressure | 18..22 psig | | | typed",
        "closes | gauge pressure | 36..44 psig | | | typed",
    ],
    "relay": [
        COIL,
        "COM-NC at rest | resistance | ..1 Ω | open | |",
        "COM-NO at rest | resistance | 1.. MΩ | pass | |",
        "COM-NO pulled in | resistance | ..1 Ω | open | |",
        "COM-NC pulled in | resistance | 1.. MΩ | pass | |",
    ],
    "run-capacitor": [
        "HERM | capacitance | 42.3..47.7 µF | | | discharge",
        "FAN | capacitance | 4.7..5.3 µF | | | discharge",
    ],
    "run-capacitor-dual-under-load": each(UNDER_LOAD, "HERM ", "FAN "),
    "run-capacitor-under-load": each(UNDER_LOAD, ""),
    "sensor-ntc": [
        "resistance | resistance | .. kΩ | open | 10 ohm |",
        "probe | temperature | .. °F | | | typed",
    ],
    "sensor-pt100": [
        "resistance | resistance | .. Ω | open | 10 ohm |",
        "probe | temperature | .. °F | | | typed",
    ],
    "sensor-thermocouple": [
        "emf | DC voltage | .. mV | open | |",
        "terminals | temperature | .. °F | | | typed",
        "probe | temperature | .. °F | | | typed",
    ],
    # 15 to 20 kΩ across it, each with 10 %.
    "start-capacitor": [
        "single | capacitance | 88..108 µF | | | discharge",
        "bleed | resistance | 13.5..22 kΩ | open | 10 ohm | discharge",
    ],
    "start-relay": [
        "coil | resistance | 5..10 kΩ | open | 10 ohm | discharge",
        "contact | resistance | ..1 Ω | open | | discharge",
    ],
    "switch": [
        "closed | resistance | ..1 Ω | open | |",
        "open | resistance | 1.. MΩ | pass | |",
    ],
    "temperature-cut-out": [
        CONTACT,
        "opens | temperature | 155..165 °F | | | typed",
        "closes | temperature | 125..135 °F | | | typed",
    ],
    "temperature-cut-out-low": [
        CONTACT,
        "opens | temperature | 27..37 °F | | | typed",
        "closes | temperature | 40..50 °F | | | typed",
    ],
    "transformer": [
        "primary | resistance | 1.. Ω | open | 1 ohm |",
        "secondary | resistance | ..50 Ω | open | |",
        "windings apart | resistance | 1.. MΩ | pass | |",
        "core | resistance | 1.. MΩ | pass | |",
    ],
    # 40 VA / 24 V = 5/3 A, rounded up in the seventh digit.
    "transformer-under-load": [
        "primary volts | AC voltage | 216..264 V | | | powered",
        "secondary volts | AC voltage | 21.6..26.4 V | | | powered",
        "secondary amps | AC current | ..1.666667 A | | | powered",
    ],
    "valve-coil": ["coil | resistance | 10..16 Ω | open | 1 ohm |"],
    # 24²/10 = 57.6 Ω, ±10 %.
    "valve-coil-dc": ["coil | resistance | 51.84..63.36 Ω | open | 1 ohm |"],
}

# What the label gives: unit, "or …" for what is taken without it, and how it may be written.
RANGE = "coil Ω, optional, a range"
COIL_GIVENS = ["volts V, optional", RANGE, "tolerance % or ±15 %"]
MOTOR = ["volts V AC, optional", "amps A, optional", "insulation MΩ or 5 Mohm"]
RUNNING = ["volts V AC", "amps A"]
ON_LOAD = ["volts V AC", "drop V or 0.5 V"]
RATED = ["volts V, optional", "amps A, optional"]


def cut_out(unit: str, difference: str, tolerance: str) -> list[str]:
    ends = [f"opens {unit}, a range", f"closes {unit}, a range"]
    return [*ends, f"differential {difference}, optional, a range", tolerance]


GIVENS = {
    "compressor-single-phase": MOTOR,
    "contactor": COIL_GIVENS,
    "contactor-one-pole": COIL_GIVENS,
    "contactor-one-pole-under-load": ON_LOAD,
    "contactor-three-pole": COIL_GIVENS,
    "contactor-three-pole-under-load": ON_LOAD,
    "contactor-under-load": ON_LOAD,
    "fuse": RATED,
    "heater": ["volts V", "power W", "tolerance % or ±10 %"],
    "ignitor": ["cold Ω, a range"],
    "motor-single-phase": MOTOR,
    "motor-single-phase-running": RUNNING,
    "motor-three-phase": MOTOR,
    "motor-three-phase-running": RUNNING,
    "pressure-cut-out": cut_out("psig", "psig", "tolerance % or ±5 %"),
    "pressure-cut-out-low": cut_out("psig", "psig", "tolerance % or ±10 %"),
    "relay": COIL_GIVENS,
    "run-capacitor-dual-under-load": ["frequency Hz"],
    "run-capacitor-under-load": ["frequency Hz"],
    "sensor-ntc": ["curve of ntc-10k-2, ntc-10k-3"],
    # Classes of IEC 60751 and IEC 60584-1 (from memory).
    "sensor-pt100": ["sensor or pt100 of pt100", "class of AA, A, B, C"],
    "sensor-thermocouple": ["type of K, T, J", "class of 1, 2, 3"],
    "start-relay": COIL_GIVENS,
    "switch": RATED,
    "temperature-cut-out": cut_out("°F", "Δ°F", "tolerance Δ°F or ±5 °F"),
    "temperature-cut-out-low": cut_out("°F", "Δ°F", "tolerance Δ°F or ±5 °F"),
    "transformer": ["primary V AC, optional", "secondary V AC, optional", "power VA, optional"],
    "transformer-under-load": ["primary V AC", "secondary V AC", "power VA"],
    "valve-coil": ["volts V AC, optional", RANGE, "tolerance % or ±15 %"],
    "valve-coil-dc": ["volts V DC", "power W", "tolerance % or ±10 %"],
}

WINDINGS = {"by": "windings", "pairs": {"C-S": "C-S", "C-R": "C-R", "S-R": "S-R"}}


def alike(most: str, *of: str) -> dict[str, object]:
    return {"by": "alike", "of": of, "most": most}


def difference(of: str, less: str, unit: str) -> dict[str, object]:
    limits = {"by": "of given", "given": "differential", "tolerance": "20 %"}
    return {"by": "difference", "of": of, "less": less, "unit": unit, "limits": limits}


def under_load(prefix: str, section: str) -> dict[str, object]:
    volts, amps = f"{prefix}volts", f"{prefix}amps"
    return {
        "by": "under load", "volts": volts, "amps": amps, "frequency": "frequency",
        "section": section,
    }  # fmt: skip


CONCLUSIONS: dict[str, list[dict[str, object]]] = {
    "compressor-single-phase": [WINDINGS],
    "contactor-three-pole-under-load": [alike("100 mV", *(f"drop {pole}" for pole in L))],
    "contactor-under-load": [alike("100 mV", *(f"drop {pole}" for pole in L[:2]))],
    "motor-single-phase": [WINDINGS],
    "motor-three-phase": [alike("5 %", "T1-T2", "T2-T3", "T1-T3")],
    # NEMA MG 1 cl. 12.45: no more than 1 % from the mean of the three (from memory).
    "motor-three-phase-running": [
        {"by": "voltage unbalance", "of": ("L1-L2", "L2-L3", "L1-L3"), "most": "1 %"},
        alike("10 %", "amps L1", "amps L2", "amps L3"),
    ],
    "pressure-cut-out": [difference("opens", "closes", "psig")],
    "pressure-cut-out-low": [difference("closes", "opens", "psig")],
    "run-capacitor-dual-under-load": [under_load("HERM ", "HERM"), under_load("FAN ", "FAN")],
    "run-capacitor-under-load": [under_load("", "single")],
    "sensor-ntc": [{"by": "sensor", "reading": "resistance", "probe": "probe", "sensor": "curve"}],
    "sensor-pt100": [
        {"by": "sensor", "reading": "resistance", "probe": "probe", "sensor": "sensor",
         "sensor_class": "class"},
    ],
    "sensor-thermocouple": [
        {"by": "sensor", "reading": "emf", "probe": "probe", "sensor": "type",
         "sensor_class": "class", "junction": "terminals"},
    ],
    "temperature-cut-out": [difference("opens", "closes", "Δ°F")],
    "temperature-cut-out-low": [difference("closes", "opens", "Δ°F")],
}  # fmt: skip


def kind(name: str) -> PartKind:
    return read_part_kind(resource("parts") / f"{name}.toml")


def test_every_kind_is_here() -> None:
    assert sorted(MEASURES) == sorted(path.stem for path in resource("parts").glob("*.toml"))


@pytest.mark.parametrize("name", MEASURES)
def test_limits_overload_and_flags_at_the_example(name: str) -> None:
    part = kind(name)
    specs = {measure.name: measure for measure in part.measures}
    found = []
    for measured in rate(part, part.example).sections:
        # The sections of a capacitor are measured as one.
        spec = specs.get(measured.name, part.measures[0])
        limits = (_written(measured.low_si, spec.unit), _written(measured.high_si, spec.unit))
        found.append((measured.name, measured.quantity, limits, *_finding(spec)))
    assert found == [_row(line) for line in MEASURES[name]]


@pytest.mark.parametrize("name", MEASURES)
def test_what_the_label_gives(name: str) -> None:
    found = []
    for given in kind(name).givens:
        text = " ".join(filter(None, [given.name, given.unit, given.current]))
        text += f" or {given.default}" if given.default else ""
        text += f" of {', '.join(given.choices)}" if given.choices else ""
        text += ", optional" if not given.needed else ""
        text += ", a range" if given.range else ""
        found.append(text)
    assert found == GIVENS.get(name, [])


@pytest.mark.parametrize("name", MEASURES)
def test_what_is_concluded_from_several(name: str) -> None:
    prose = {"name", "failure", "source"}
    found = [
        {key: value for key, value in to_builtins(rule).items() if key not in prose and value}
        for rule in kind(name).conclusions
    ]
    assert found == CONCLUSIONS.get(name, [])


def test_a_start_relay_has_its_coil_at_5_and_2_and_its_contacts_at_1_and_2() -> None:
    """The terminals of a potential relay: common practice, no source."""
    measures = kind("start-relay").measures
    assert [measure.leads for measure in measures] == [("5", "2"), ("1", "2")]


def _finding(spec: MeasurementSpec) -> tuple[str, str, frozenset[str]]:
    flags = {
        "typed": spec.typed,
        "powered": spec.powered,
        "discharge": spec.discharge_first,
        "caution": bool(spec.caution),
    }
    return spec.overload, spec.shorted_below, frozenset(name for name, on in flags.items() if on)


def _row(line: str) -> tuple[object, ...]:
    name, quantity, limits, overload, short, flags = (part.strip() for part in line.split("|"))
    span, unit = limits.split(" ")
    low, high = span.split("..")
    both = tuple(None if end == "" else float(_si(Fraction(end), unit)) for end in (low, high))
    return name, quantity, both, overload, short, frozenset(flags.split())


def _si(value: Fraction, unit: str) -> Fraction:
    return value * WORTH[unit] + ZERO.get(unit, 0)


def _written(limit: Decimal | None, unit: str) -> float | None:
    return None if limit is None else float(limit)
