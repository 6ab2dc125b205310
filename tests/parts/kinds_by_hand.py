"""What every kind of part must say, written by hand from the sources: the oracle of the files.

It imports nothing of the program, so that a slip of the keyboard in a file is found here. Where a
limit has a published source, it stands beside it; for the others there is common practice only.
Who measures what is live, or what holds a charge, must be told: a winding may still be connected to
the run capacitor, and a megohm tester leaves its voltage on what it tested.
"""

from fractions import Fraction

__all__ = ["CONCLUSIONS", "DEAD", "GIVENS", "HAZARDS", "MEASURES", "WORTH", "ZERO"]

# NIST SP 811 (2008) B.8: 1 psi = 4.448 221 615 260 5 N / (0.0254 m)²; (t/°F + 459.67) / 1.8 = T/K.
WORTH = {
    "Ω": Fraction(1),
    "kΩ": Fraction(1000),
    "MΩ": Fraction(1_000_000),
    "µF": Fraction(1, 1_000_000),
    "V": Fraction(1),
    "mV": Fraction(1, 1000),
    "A": Fraction(1),
    "µA": Fraction(1, 1_000_000),
    # Conventional inch of water: 1000 kg/m³ · 9.80665 m/s² · 0.0254 m, NIST SP 811 B.8.
    "inWC": Fraction("9806.65") * Fraction("0.0254"),
    "psig": Fraction("4.4482216152605") / Fraction("0.0254") ** 2,
    "°F": Fraction(5, 9),
}
ZERO = {"°F": Fraction("459.67") * Fraction(5, 9)}

# name | subject | quantity | limits at the example | what overload means | a short up to | flags |
# hazards | evidence | source
# Flags: live (the circuit must be), discharge (first), typed, caution (there is one). Of the source
# the words that must stand in it; "none": it has no limits of its own. Behind it, where there is
# any: up to what nothing flows, what it needs, from which tester's volts on it is graded, above which
# given it is remarked.
POLE = [
    "{0} at rest | part | resistance | 1.. MΩ | pass | | | | isolated | practice",
    "{0} closed | part | resistance | ..1 Ω | open | | | | isolated | practice",
]
# The range of the example.
COIL = "coil | part | resistance | 9..14 Ω | open | 1 ohm | | | isolated | Range of the label"
# Of a 24 V coil 85 % to 110 %: NEMA ICS 2 (from memory).
COIL_VOLTS = (
    "coil volts | control | AC voltage | 20.4..26.4 V | | | live caution | live | load running"
    " | NEMA ICS 2"
)
DROP = (
    "drop {0} | part | AC voltage | ..500 mV | | | live caution | live, moving parts"
    " | load running, current flows | practice | needs load amps"
)
LOAD_AMPS = (
    "load amps | part | AC current | .. A | | | live caution | live, moving parts"
    " | load running, current flows | No limits of its own | idle to 0.5 A"
)
WINDING = (
    "{0} | part | resistance | .. Ω | open | | discharge caution | stored charge"
    " | part cold, isolated | none"
)
# IEEE 43-2013: 5 MΩ for random-wound windings below 1 kV, at 500 V (from memory).
INSULATION = (
    "to case | part | resistance | 5.. MΩ | pass | 20 kohm | typed discharge caution"
    " | stored charge, insulation voltage | tester volts, isolated | IEEE 43-2013"
    " | graded at 250 V of tester"
)
# A hermetic compressor in refrigerant reads lower than a motor in air.
HERMETIC = INSULATION.replace("5.. MΩ", "1.. MΩ").replace("IEEE 43-2013", "practice")
CONTACT = "contact | part | resistance | ..1 Ω | open | | | | isolated | practice"
UNDER_LOAD = [
    "{0}volts | part | AC voltage | .. V | | | live caution | live, moving parts | load running"
    " | none",
    "{0}amps | part | AC current | .. A | | | live caution | live, moving parts"
    " | load running, current flows | none",
]
# NEMA MG 1 cl. 12.44: ±10 % of rated volts (from memory). Measured at the contactor, so live parts
# are near the fan.
SUPPLY = (
    "{0} | supply | AC voltage | {1} V | | | live caution | live, moving parts | load running"
    " | NEMA MG 1 cl. 12.44"
)
AMPS = (
    "{0} | part | AC current | {1} A | | | live caution | live, moving parts"
    " | load running, current flows | maker's greatest current | idle to 0.1 A; remark above amps"
)
SECTION = (
    "{0} | part | capacitance | {1} µF | | | discharge caution | stored charge | isolated | label"
)
SENSOR = "resistance | part | resistance | .. {0} | open | 10 ohm | | | isolated, steady | none"
BESIDE = "{0} | part | temperature | .. °F | | | typed | | steady | none"
POINT = "{0} | part | {1} | {2} | | | typed {3} | {4} | isolated, steady | Marked point"
L = ("L1-T1", "L2-T2", "L3-T3")
CLOSED = "{0} | part | resistance | ..1 Ω | open | | | | isolated | practice"
APART = "{0} | part | resistance | 1.. MΩ | pass | | | | isolated | practice"
COIL_OF = "{0} | part | resistance | {1} | open | 1 ohm | | | isolated | Range of the label"
# 85 % to 110 % of 24 V, NEMA ICS 2 (from memory).
CALL = "{0} | {1} | AC voltage | 20.4..26.4 V | | | live caution | live | load running | {2}"
POINTS = "{0} | part | {1} | {2} | | | typed | | isolated, steady | Marked point"
CHARGED = (
    "{0} | part | resistance | {1} | {2} | {3} | discharge caution | stored charge | isolated | {4}"
)
PHASE = (
    "{0} | part | resistance | 8..10 Ω | open | | discharge caution | stored charge"
    " | part cold, isolated | practice"
)
SUCTION = "suction {0} | part | temperature | .. °F | | | typed caution | hot | load running, steady | none"


def each(pattern: str | list[str], *names: str) -> list[str]:
    return [
        p.format(n) for n in names for p in ([pattern] if isinstance(pattern, str) else pattern)
    ]


def points(quantity: str, opens: str, closes: str, hazard: str = "") -> list[str]:
    caution = "caution" if hazard else ""
    return [
        CONTACT,
        POINT.format("opens", quantity, opens, caution, hazard),
        POINT.format("closes", quantity, closes, caution, hazard),
    ]


MEASURES = {
    "compressor-single-phase": [*each(WINDING, "C-S", "C-R", "S-R"), HERMETIC],
    "compressor-three-phase": [*each(WINDING, "T1-T2", "T2-T3", "T1-T3"), HERMETIC],
    "contactor": [COIL, *each(POLE, *L[:2])],
    "contactor-one-pole": [COIL, *each(POLE, *L[:1])],
    "contactor-one-pole-under-load": [COIL_VOLTS, LOAD_AMPS, *each(DROP, *L[:1])],
    "contactor-three-pole": [COIL, *each(POLE, *L)],
    "contactor-three-pole-under-load": [COIL_VOLTS, LOAD_AMPS, *each(DROP, *L)],
    "contactor-under-load": [COIL_VOLTS, LOAD_AMPS, *each(DROP, *L[:2])],
    "control-circuit": [
        CALL.format("R-C", "supply", "practice").replace("20.4", "21.6"),  # 24 V ±10 %
        CALL.format("Y-C", "part", "NEMA ICS 2").replace("20.4..26.4", "20.4.."),
        "Y load | part | resistance | 5.. Ω | open | 1 ohm | | | isolated | practice",
        APART.format("to ground"),
    ],
    "damper-motor": [
        CALL.format("volts", "control", "NEMA ICS 2").replace(
            "live | load", "live, moving parts | load"
        ),
        COIL_OF.format("coil", "60..100 Ω"),
        CLOSED.format("end switch"),
    ],
    "defrost-termination": [
        CONTACT,
        POINTS.format("opens", "temperature", "50..60 °F"),
        POINTS.format("closes", "temperature", "20..30 °F"),
    ],
    "defrost-timer": [
        COIL_OF.format("clock", "1000..2000 Ω"),
        CLOSED.format("cooling"),
        APART.format("cooling, 2 open"),
        CLOSED.format("defrost"),
        APART.format("defrost, 4 open"),
    ],
    "evaporator-fan": [
        # 230 V ±10 %.
        CALL.format("volts", "supply", "NEMA MG 1 cl. 12.44").replace("20.4..26.4", "207..253"),
        "amps | part | AC current | ..0.5 A | | | live caution | live, moving parts"
        " | load running, current flows | rated current | idle to 0.02 A",
        "winding | part | resistance | 60..90 Ω | open | 1 ohm | | | part cold, isolated"
        " | Range of the label",
        APART.format("to frame"),
    ],
    "inducer": [
        # 115 V ±10 %.
        CALL.format("volts", "supply", "NEMA MG 1 cl. 12.44").replace("20.4..26.4", "103.5..126.5"),
        "amps | part | AC current | ..2 A | | | live caution | live, moving parts"
        " | load running, current flows | rated current | idle to 0.02 A",
        "draft | part | gauge pressure | 0.7.. inWC | | | typed caution | hot"
        " | load running, steady | by the maker",
    ],
    "inverter-drive": [
        CHARGED.format(f"{rail}-{leg}", "10.. kΩ", "pass", "100 ohm", "practice")
        for rail in "PN"
        for leg in "UVW"
    ],
    "expansion-valve-coil": [
        # 46 Ω by the maker, ±10 %.
        *each(
            "{0}-common | part | resistance | 41.4..50.6 Ω | open | 1 ohm | | | isolated"
            " | practice",
            *"ABCD",
        ),
        APART.format("to body"),
    ],
    "flame-sensor": [
        "flame current | part | DC current | 2.. µA | | | typed live caution | live, hot"
        " | load running | of the maker",
        APART.format("rod to ground"),
        CLOSED.format("wire"),
    ],
    "gas-valve": [
        COIL_OF.format("coil", "20..40 Ω"),
        CALL.format("coil volts", "control", "NEMA ICS 2"),
        # 3.5 ± 0.3 inches of water.
        "outlet | part | gauge pressure | 3.2..3.8 inWC | | | typed caution | gas, pressure"
        " | load running, steady | practice",
    ],
    "hard-start-kit": [CHARGED.format("at rest", "1000.. Ω", "pass", "10 ohm", "practice")],
    "motor-electronic": [
        *each(PHASE, "A-B", "B-C", "A-C"),
        CHARGED.format("to frame", "0.1.. MΩ", "pass", "", "practice").replace(
            "| isolated", "| part cold, isolated"
        ),
    ],
    "motor-electronic-running": [
        CALL.format("line volts", "supply", "NEMA MG 1 cl. 12.44").replace(
            "20.4..26.4", "207..253"
        ),
        CALL.format("command volts", "control", "practice"),
        "amps | part | AC current | ..4 A | | | live caution | live, moving parts"
        " | load running, current flows | rated current | idle to 0.05 A",
    ],
    "motor-module": [
        CHARGED.format("line input", "1000.. Ω", "pass", "10 ohm", "practice"),
        CHARGED.format("input to ground", "1.. MΩ", "pass", "", "practice"),
    ],
    "pressure-switch-draft": [
        CONTACT,
        POINTS.format("closes", "gauge pressure", "0.585..0.715 inWC"),
        POINTS.format("opens", "gauge pressure", "0.45..0.55 inWC"),
    ],
    "reversing-valve": [
        COIL_OF.format("coil", "9..14 Ω"),
        SUCTION.format("before"),
        SUCTION.format("behind"),
    ],
    "sequencer": [
        COIL_OF.format("heater", "50..80 Ω"),
        APART.format("at rest"),
        CLOSED.format("fed").replace("| | | | isolated", "| | caution | hot | isolated"),
    ],
    "start-device-ptc": [
        "pill | part | resistance | 3..12 Ω | open | | discharge caution | stored charge"
        " | part cold, isolated | Range on the label"
    ],
    "start-relay-current": [
        CHARGED.format("coil", "0.2..1.5 Ω", "open", "", "Range of the label"),
        CHARGED.format("at rest", "1.. MΩ", "pass", "", "practice"),
        CHARGED.format("turned over", "..1 Ω", "open", "", "practice"),
    ],
    "fuse": ["fuse | part | resistance | ..1 Ω | open | | | | isolated | practice"],
    # R = V²/P: 240²/1500 = 38.4 Ω, ±10 %.
    "heater": [
        "element | part | resistance | 34.56..42.24 Ω | open | | | | part cold, isolated | R = V²/P",
        "to case | part | resistance | 1.. MΩ | pass | 20 kohm | typed caution | insulation voltage"
        " | tester volts, isolated | practice | graded at 250 V of tester",
    ],
    "ignitor": [
        "element | part | resistance | 40..90 Ω | open | | caution | hot | part cold, isolated"
        " | Range on the label"
    ],
    "motor-single-phase": [*each(WINDING, "C-S", "C-R", "S-R"), INSULATION],
    "motor-single-phase-running": [
        # Made for either of 208 and 230 V: 208 V - 10 % to 230 V + 10 %.
        SUPPLY.format("volts", "187.2..253"),
        AMPS.format("amps", "..26"),
    ],
    "motor-three-phase": [*each(WINDING, "T1-T2", "T2-T3", "T1-T3"), INSULATION],
    "motor-three-phase-running": [
        *(SUPPLY.format(pair, "414..506") for pair in ("L1-L2", "L2-L3", "L1-L3")),
        *(AMPS.format(f"amps {line}", "..11") for line in ("L1", "L2", "L3")),
    ],
    "pressure-cut-out": points("gauge pressure", "579.5..640.5 psig", "399..441 psig", "pressure"),
    "pressure-cut-out-low": points("gauge pressure", "18..22 psig", "36..44 psig", "pressure"),
    "relay": [
        COIL,
        "COM-NC at rest | part | resistance | ..1 Ω | open | | | | isolated | practice",
        "COM-NO at rest | part | resistance | 1.. MΩ | pass | | | | isolated | practice",
        "COM-NO pulled in | part | resistance | ..1 Ω | open | | | | isolated | practice",
        "COM-NC pulled in | part | resistance | 1.. MΩ | pass | | | | isolated | practice",
    ],
    "run-capacitor": [
        SECTION.format("HERM", "42.3..47.7"),
        SECTION.format("FAN", "4.7..5.3"),
    ],
    "run-capacitor-dual-under-load": each(UNDER_LOAD, "HERM ", "FAN "),
    "run-capacitor-under-load": each(UNDER_LOAD, ""),
    "sensor-ntc": [SENSOR.format("kΩ"), BESIDE.format("probe")],
    "sensor-pt100": [SENSOR.format("Ω"), BESIDE.format("probe")],
    "sensor-thermocouple": [
        "emf | part | DC voltage | .. mV | open | | | | isolated, steady | none",
        *each(BESIDE, "terminals", "probe"),
    ],
    # 15 to 20 kΩ across it, each with 10 %.
    "start-capacitor": [
        SECTION.format("single", "88..108"),
        "bleed | accessory | resistance | 13.5..22 kΩ | open | 10 ohm | discharge caution"
        " | stored charge | isolated | practice",
    ],
    "start-relay": [
        "coil | part | resistance | 5..10 kΩ | open | 10 ohm | discharge caution | stored charge"
        " | isolated | Range of the label",
        "contact | part | resistance | ..1 Ω | open | | discharge caution | stored charge"
        " | isolated | practice",
    ],
    "switch": [
        "closed | part | resistance | ..1 Ω | open | | | | isolated | practice",
        "open | part | resistance | 1.. MΩ | pass | | | | isolated | practice",
    ],
    "temperature-cut-out": points("temperature", "155..165 °F", "125..135 °F", "hot"),
    "temperature-cut-out-low": points("temperature", "27..37 °F", "40..50 °F"),
    "transformer": [
        "primary | part | resistance | 1.. Ω | open | 1 ohm | | | isolated | practice",
        "secondary | part | resistance | ..50 Ω | open | | | | isolated | practice",
        "windings apart | part | resistance | 1.. MΩ | pass | | | | isolated | practice",
        "core | part | resistance | 1.. MΩ | pass | | | | isolated | practice",
    ],
    # 40 VA / 24 V = 5/3 A, rounded up in the seventh digit.
    "transformer-under-load": [
        "primary volts | supply | AC voltage | 216..264 V | | | live caution | live | load running"
        " | practice",
        "secondary volts | part | AC voltage | 21.6..26.4 V | | | live caution | live"
        " | load running | practice | needs primary volts",
        "secondary amps | control | AC current | ..1.666667 A | | | live caution | live"
        " | load running, current flows | I = S/V | idle to 0.02 A",
    ],
    "valve-coil": [
        "coil | part | resistance | 10..16 Ω | open | 1 ohm | | | part cold, isolated"
        " | Range of the label"
    ],
    # 24²/10 = 57.6 Ω, ±10 %.
    "valve-coil-dc": [
        "coil | part | resistance | 51.84..63.36 Ω | open | 1 ohm | | | part cold, isolated"
        " | R = V²/P"
    ],
}

# Of such a part in its machine; what its caution must say stands in brackets.
HAZARDS = {
    "compressor-single-phase": "live, stored charge, pressure, hot (discharge, blow out)",
    "compressor-three-phase": "live, stored charge, pressure, hot (drive, minutes, blow out)",
    "contactor": "live (disconnect)",
    "contactor-one-pole": "live (one leg live, disconnect)",
    "contactor-one-pole-under-load": "live, moving parts (one leg live, insulated probes)",
    "contactor-three-pole": "live (disconnect)",
    "contactor-three-pole-under-load": "live, moving parts (insulated probes)",
    "contactor-under-load": "live, moving parts (insulated probes)",
    "control-circuit": "live (insulated probes, fuse)",
    "damper-motor": "live, moving parts (fingers)",
    "defrost-termination": "live (disconnect)",
    "defrost-timer": "live (disconnect)",
    "evaporator-fan": "live, moving parts (fingers, disconnect)",
    "inducer": "live, moving parts, hot (gas kills, licensed)",
    "inverter-drive": "live, stored charge (bus, minutes, lock out, insulation tester)",
    "expansion-valve-coil": "live, pressure (dead, refrigerant under pressure)",
    "flame-sensor": "live, hot (gas, licensed, cool)",
    "gas-valve": "live, gas, pressure (smells of gas, leave, licensed)",
    "hard-start-kit": "live, stored charge (resistor, never with a screwdriver, empty)",
    "motor-electronic": "live, stored charge, hot (minutes, insulation tester, destroys)",
    "motor-electronic-running": "live, moving parts, stored charge (plug under power, fan)",
    "motor-module": "live, stored charge (minutes, insulation tester, destroys)",
    "pressure-switch-draft": "live (disconnect, flue gas)",
    "reversing-valve": "live, hot, pressure (burns out, refrigerant under pressure)",
    "sequencer": "live, hot (disconnect)",
    "start-device-ptc": "live, hot, stored charge (disconnect, discharge, cool)",
    "start-relay-current": "live, stored charge (disconnect, discharge)",
    "fuse": "live (disconnect)",
    "heater": "live, hot (disconnect, cool)",
    "ignitor": "live, hot (cool)",
    "motor-single-phase": "live, stored charge, hot (discharge, electronic motor, minutes)",
    "motor-single-phase-running": (
        "live, moving parts, pressure, hot (contactor's load side, terminal cover on)"
    ),
    "motor-three-phase": "live, stored charge, hot (drive, minutes, cool)",
    "motor-three-phase-running": (
        "live, moving parts, pressure, hot (contactor's load side, terminal cover on)"
    ),
    "pressure-cut-out": "live, pressure (nitrogen, regulator, relief, never oxygen, eye protection)",
    "pressure-cut-out-low": (
        "live, pressure (nitrogen, regulator, relief, never oxygen, eye protection)"
    ),
    "relay": "live (disconnect)",
    "run-capacitor": "live, stored charge (resistor, never with a screwdriver, empty)",
    "run-capacitor-dual-under-load": "live, moving parts (hold a charge, insulated probes)",
    "run-capacitor-under-load": "live, moving parts (hold a charge, insulated probes)",
    "sensor-ntc": "()",
    "sensor-pt100": "()",
    "sensor-thermocouple": "()",
    "start-capacitor": "live, stored charge (resistor, never with a screwdriver, empty)",
    "start-relay": "live, stored charge (disconnect, discharge)",
    "switch": "live (disconnect)",
    "temperature-cut-out": "live, hot (disconnect, cool)",
    "temperature-cut-out-low": "live (disconnect)",
    "transformer": "live (disconnect)",
    "transformer-under-load": "live (insulated probes)",
    "valve-coil": "live, hot (cool)",
    "valve-coil-dc": "live, hot (cool)",
}

# Where volts are measured before it is touched: between each two of a group, as of every conductor
# to every other and to ground (NFPA 70E:2021, 120.5(7), from memory). A capacitor by its label has
# its sections.
LINE, LINES = (
    "contactor T1, contactor T2, ground",
    "contactor T1, contactor T2, contactor T3, ground",
)
ENDS = "terminal, other terminal, ground"
DEAD = {
    "compressor-single-phase": f"{LINE}; capacitor C, HERM",
    "compressor-three-phase": LINES,
    "contactor": "L1, L2, ground; A1, A2",
    "contactor-one-pole": "L1, T2, ground; A1, A2",
    "contactor-one-pole-under-load": "T1, T2, ground; A1, A2",
    "contactor-three-pole": "L1, L2, L3, ground; A1, A2",
    "contactor-three-pole-under-load": "T1, T2, T3, ground; A1, A2",
    "contactor-under-load": "T1, T2, ground; A1, A2",
    "control-circuit": "R, C, ground",
    "damper-motor": "24 V, common; 24 V, ground",
    "defrost-termination": ENDS,
    "defrost-timer": "common, ground; 2, ground; 4, ground; clock, clock",
    "evaporator-fan": "L1, L2, ground",
    "inducer": "L1, N, ground",
    "inverter-drive": "P, N; P, ground; N, ground; R, S, T, ground",
    "expansion-valve-coil": "common, ground",
    "flame-sensor": "rod, ground",
    "gas-valve": "TH, TR; TH, ground",
    "hard-start-kit": "one wire, other wire, ground",
    "motor-electronic": "line L1, line L2, ground; module +, module −",
    "motor-electronic-running": "line L1, line L2, ground; module +, module −",
    "motor-module": "line L1, line L2, ground",
    "pressure-switch-draft": ENDS,
    "reversing-valve": "coil, other coil; coil, ground",
    "sequencer": "M1, M2, ground",
    "start-device-ptc": "one pin, other pin, ground",
    "start-relay-current": "L, ground; M, ground; S, ground; capacitor, capacitor",
    "fuse": "one end, ground; other end, ground; one end, other line",
    "heater": "end, other end, ground",
    "ignitor": "lead, other lead, ground",
    "motor-single-phase": f"{LINE}; capacitor C, other terminal",
    "motor-single-phase-running": "T1, T2, ground; capacitor C, HERM",
    "motor-three-phase": "T1, T2, T3, ground",
    "motor-three-phase-running": "T1, T2, T3, ground",
    "pressure-cut-out": ENDS,
    "pressure-cut-out-low": ENDS,
    "relay": "coil, coil; COM, ground; NC, ground; NO, ground",
    "run-capacitor-dual-under-load": "C, HERM, FAN; C, ground",
    "run-capacitor-under-load": "C, other terminal, ground",
    "start-relay": "1, ground; 2, ground; 5, ground; 5, 2; 1, 2",
    "switch": ENDS,
    "temperature-cut-out": ENDS,
    "temperature-cut-out-low": ENDS,
    "transformer": "primary end, other primary end, ground; secondary end, other secondary end",
    "transformer-under-load": "primary end, other primary end, ground; R, C",
    "valve-coil": "lead, other lead, ground",
    "valve-coil-dc": "lead, other lead, ground",
}

# What the label gives: unit, "or …" for what is taken without it, and how it may be written.
RANGE = "coil Ω, optional, a range"
COIL_GIVENS = ["volts V, optional", RANGE, "tolerance % or ±15 %"]
# 208-230 V and 208/230 V are nominal voltages; what needs its name in front could be another volt.
VOLTS = "volts V AC, optional, a range, nominal"
TESTER = "tester V DC, optional, named"
MOTOR = [VOLTS, "amps A, optional", "insulation MΩ or 5 Mohm, named", TESTER]
HERMETIC_MOTOR = [VOLTS, "amps A, optional", "insulation MΩ or 1 Mohm, named", TESTER]
STATE = "state of cold, hot, optional"
RUNNING = ["volts V AC, a range, nominal", "amps A", "maximum A, optional, named"]
ON_LOAD = ["volts V AC, a range, nominal", "drop V or 0.5 V"]
RATED = ["volts V, optional", "amps A, optional"]


def cut_out(unit: str, difference: str, tolerance: str) -> list[str]:
    ends = [f"opens {unit}, a range", f"closes {unit}, a range"]
    return [*ends, f"differential {difference}, optional, a range", tolerance]


GIVENS = {
    "compressor-single-phase": [*HERMETIC_MOTOR, STATE],
    "compressor-three-phase": HERMETIC_MOTOR,
    "contactor": COIL_GIVENS,
    "contactor-one-pole": COIL_GIVENS,
    "contactor-one-pole-under-load": ON_LOAD,
    "contactor-three-pole": COIL_GIVENS,
    "contactor-three-pole-under-load": ON_LOAD,
    "contactor-under-load": ON_LOAD,
    "control-circuit": ["volts V AC"],
    "damper-motor": ["volts V AC", RANGE, "tolerance % or ±15 %"],
    "defrost-termination": [
        "opens °F, a range, named",
        "closes °F, a range, named",
        "tolerance Δ°F or ±5 °F",
    ],
    "defrost-timer": [RANGE, "tolerance % or ±15 %"],
    "evaporator-fan": [
        "volts V AC, a range, nominal",
        "amps A, optional",
        RANGE,
        "tolerance % or ±15 %",
    ],
    "inducer": ["volts V AC, a range, nominal", "amps A, optional", "draft inWC, optional, named"],
    "inverter-drive": ["volts V AC, optional, a range, nominal"],
    "expansion-valve-coil": ["phase Ω, optional, a range"],
    "flame-sensor": ["flame µA DC, optional, named"],
    "gas-valve": ["volts V AC", RANGE, "tolerance % or ±15 %", "manifold inWC, optional, named"],
    "hard-start-kit": ["volts V, optional"],
    "motor-electronic": ["winding Ω, optional, a range"],
    "motor-electronic-running": [
        "volts V AC, a range, nominal",
        "command V AC, optional, named",
        "amps A, optional",
    ],
    "motor-module": ["volts V AC, optional, a range, nominal"],
    "pressure-switch-draft": [
        "closes inWC, a range, named",
        "opens inWC, a range, named",
        "tolerance % or ±10 %",
    ],
    "reversing-valve": ["volts V AC, optional", RANGE, "tolerance % or ±15 %"],
    "sequencer": [RANGE, "tolerance % or ±15 %"],
    "start-device-ptc": ["cold Ω, a range"],
    "start-relay-current": [RANGE, "tolerance % or ±15 %"],
    "fuse": RATED,
    "heater": ["volts V", "power W", "tolerance % or ±10 %", TESTER],
    "ignitor": ["cold Ω, a range"],
    "motor-single-phase": [*MOTOR, STATE],
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

WINDINGS = {
    "by": "windings",
    "state": "state",
    "subject": "part",
    "pairs": {"C-S": "C-S", "C-R": "C-R", "S-R": "S-R"},
}


def alike(most: str, *of: str) -> dict[str, object]:
    return {"by": "alike", "subject": "part", "of": of, "most": most}


def difference(of: str, less: str, unit: str) -> dict[str, object]:
    limits = {"by": "of given", "given": "differential", "tolerance": "20 %"}
    return {
        "by": "difference",
        "subject": "part",
        "of": of,
        "less": less,
        "unit": unit,
        "limits": limits,
    }


def under_load(prefix: str, section: str) -> dict[str, object]:
    volts, amps = f"{prefix}volts", f"{prefix}amps"
    return {
        "by": "under load", "subject": "part", "volts": volts, "amps": amps, "frequency": "frequency",
        "section": section,
    }  # fmt: skip


CONCLUSIONS: dict[str, list[dict[str, object]]] = {
    "compressor-single-phase": [WINDINGS],
    "compressor-three-phase": [alike("5 %", "T1-T2", "T2-T3", "T1-T3")],
    "contactor-three-pole-under-load": [alike("100 mV", *(f"drop {pole}" for pole in L))],
    "contactor-under-load": [alike("100 mV", *(f"drop {pole}" for pole in L[:2]))],
    "expansion-valve-coil": [alike("10 %", "A-common", "B-common", "C-common", "D-common")],
    "motor-electronic": [alike("10 %", "A-B", "B-C", "A-C")],
    "reversing-valve": [
        {"by": "difference", "subject": "part", "of": "suction behind", "less": "suction before",
         "unit": "Δ°F", "limits": {"by": "between", "low": "-3 Δ°F", "high": "3 Δ°F"}},
    ],
    "motor-single-phase": [WINDINGS],
    "motor-three-phase": [alike("5 %", "T1-T2", "T2-T3", "T1-T3")],
    # NEMA MG 1 cl. 12.45: no more than 1 % from the mean of the three (from memory).
    "motor-three-phase-running": [
        {"by": "voltage unbalance", "subject": "supply", "of": ("L1-L2", "L2-L3", "L1-L3"), "most": "1 %"},
        alike("10 %", "amps L1", "amps L2", "amps L3"),
    ],
    "pressure-cut-out": [difference("opens", "closes", "psig")],
    "pressure-cut-out-low": [difference("closes", "opens", "psig")],
    "run-capacitor-dual-under-load": [under_load("HERM ", "HERM"), under_load("FAN ", "FAN")],
    "run-capacitor-under-load": [under_load("", "single")],
    "sensor-ntc": [{"by": "sensor", "subject": "part", "reading": "resistance", "probe": "probe", "sensor": "curve"}],
    "sensor-pt100": [
        {"by": "sensor", "subject": "part", "reading": "resistance", "probe": "probe", "sensor": "sensor",
         "sensor_class": "class"},
    ],
    "sensor-thermocouple": [
        {"by": "sensor", "subject": "part", "reading": "emf", "probe": "probe", "sensor": "type",
         "sensor_class": "class", "junction": "terminals"},
    ],
    "temperature-cut-out": [difference("opens", "closes", "Δ°F")],
    "temperature-cut-out-low": [difference("closes", "opens", "Δ°F")],
}  # fmt: skip
