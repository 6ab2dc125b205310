"""A good and a bad part of each kind, as somebody would meet them.

Where readings of a part hang together they are written down here, with the source; other kinds
have what lies well inside and well outside of their own limits. A kind that is added and draws
conclusions of its own must be added here too.
"""

from decimal import Decimal

from benchmeter.conformity.verdict import (
    Measurement,
)
from benchmeter.parts.part_kind import InLabel, PartKind
from benchmeter.parts.rated_part import (
    Rating,
)
from benchmeter.simulator.scenario_plan import PartPlan
from tests.parity.cases import Deed, deeds_of, good_deed, is_typed, section_plan_for, truth_for

__all__ = ["deeds_of_part", "part_plan"]

_PAIRS = ("C-S", "C-R", "S-R")
_DELTA = ("T1-T2", "T2-T3", "T1-T3")
_PHASES = ("A-common", "B-common", "C-common", "D-common")
_LINES = ("L1-L2", "L2-L3", "L1-L3", "amps L1", "amps L2", "amps L3")

_TOGETHER: dict[str, tuple[dict[str, str], dict[str, str]]] = {
    # The sum of the two smaller pairs is the largest (common practice, no source).
    "compressor-single-phase": (
        dict(zip(_PAIRS, ("3.1", "0.9", "4.0"), strict=True)),
        dict(zip(_PAIRS, ("3.1", "0.9", "5.5"), strict=True)),
    ),
    "motor-single-phase": (
        dict(zip(_PAIRS, ("28.6", "17.7", "46.3"), strict=True)),
        dict(zip(_PAIRS, ("28.6", "17.7", "39.9"), strict=True)),
    ),
    # Balanced within 5 %, or one winding a third less.
    "motor-three-phase": (
        dict(zip(_DELTA, ("64.1", "64.5", "64.2"), strict=True)),
        dict(zip(_DELTA, ("64.1", "49.0", "52.3"), strict=True)),
    ),
    # Alike within 10 %, or one winding or phase a third less.
    "motor-electronic": (
        {"A-B": "8.9", "B-C": "8.8", "A-C": "8.9"},
        {"A-B": "8.9", "B-C": "6.1", "A-C": "8.8"},
    ),
    "expansion-valve-coil": (
        dict(zip(_PHASES, ("46.2", "46.0", "46.3", "45.9"), strict=True)),
        dict(zip(_PHASES, ("46.2", "30.7", "46.3", "45.9"), strict=True)),
    ),
    # The same pipe; hot gas that leaks past the slide warms it.
    "reversing-valve": (
        {"suction before": "45.0 °F", "suction behind": "46.5 °F"},
        {"suction before": "45.0 °F", "suction behind": "60.0 °F"},
    ),
    # NEMA MG 1: 460 V, unbalance below 1 % against (462 - 447.5)/456.2, about 2 %.
    "motor-three-phase-running": (
        dict(zip(_LINES, ("460.3", "460.1", "460.2", "6.92", "6.95", "6.91"), strict=True)),
        dict(zip(_LINES, ("462.0", "440.5", "459.1", "8.30", "6.20", "6.90"), strict=True)),
    ),
    # C = I/(2πfV): 6.28 A at 370 V and 60 Hz are 45.0 µF, 0.697 A are 5.00 µF, 4.61 A 33.1 µF.
    "run-capacitor-under-load": (
        {"volts": "370.0", "amps": "6.28"},
        {"volts": "370.0", "amps": "4.61"},
    ),
    "run-capacitor-dual-under-load": (
        {"HERM volts": "370.0", "HERM amps": "6.28", "FAN volts": "370.0", "FAN amps": "0.697"},
        {"HERM volts": "370.0", "HERM amps": "4.61", "FAN volts": "370.0", "FAN amps": "0.697"},
    ),
    # At 0 °C a type 2 element has 32 650 Ω, a type 3 element 29 490 Ω.
    "sensor-ntc": (
        {"resistance": "32650", "probe": "32.0 °F"},
        {"resistance": "29490", "probe": "32.0 °F"},
    ),
    # IEC 60751: 109.73 Ω at 25 °C; 0.39 Ω are 1 K.
    "sensor-pt100": (
        {"resistance": "109.7", "probe": "77.0 °F"},
        {"resistance": "112.0", "probe": "77.0 °F"},
    ),
    # ITS-90, type K: 4.096 mV between 0 and 100 °C.
    "sensor-thermocouple": (
        {"emf": "0.00410", "terminals": "32.0 °F", "probe": "212.0 °F"},
        {"emf": "0.00460", "terminals": "32.0 °F", "probe": "212.0 °F"},
    ),
}  # fmt: skip


def deeds_of_part(kind: PartKind, rating: Rating, *, good: bool) -> dict[str, Deed]:
    """What is done about each section of a good or of a bad part."""
    known = _TOGETHER.get(kind.name)
    if known is not None:
        told = known[0] if good else known[1]
        return {
            s.name: _told(s, told[s.name], kind) if s.name in told else good_deed(s, kind)
            for s in rating.sections
        }
    deeds = {s.name: good_deed(s, kind) for s in rating.sections}
    if not good:
        of_part = [s for s in rating.sections if kind.measure_of(s.name).subject == "part"]
        limited = [s for s in of_part if s.low_si is not None or s.high_si is not None]
        first = next(s for s in limited if s.low_si != s.shorted_below_si or s.low_si is None)
        outside = (d for d in deeds_of(first, kind) if "well " in d.name and "inside" not in d.name)
        deeds[first.name] = next(outside)
    return deeds


def part_plan(
    name: str, kind: PartKind, rating: Rating, label: str, deeds: dict[str, Deed]
) -> PartPlan:
    """The part on which the meter shows that."""
    sections, truths = {}, {}
    for section in rating.sections:
        measure = kind.measure_of(section.name)
        if measure.typed:
            continue
        deed = deeds[section.name]
        if deed.value is None and not deed.truth:
            deed = good_deed(section, kind)
        if isinstance(measure.limits, InLabel):
            sections[section.name] = section_plan_for(deed)
        else:
            truths[section.name] = truth_for(section, deed)
    return PartPlan(name=name, kind=kind.name, label=label, sections=sections, truths=truths)


def _told(section: Measurement, text: str, kind: PartKind) -> Deed:
    if is_typed(section, kind):
        return Deed("as it is", typed=text)
    return Deed("as it is", value=Decimal(text))
