"""What to do next: every step is one short line that names the terminals and the knob."""

from decimal import Decimal

import pytest

from benchmeter.checking.check import MeasurementCheck, PartCheck, Step
from benchmeter.conformity.verdict import (
    Measurement,
    Rule,
    Verdict,
)
from benchmeter.files.folders import Folders
from benchmeter.parts.by_label import rate_label
from benchmeter.parts.kind_catalogue import all_part_kinds
from benchmeter.parts.part_kind import TOOLS, Between, MeasurementSpec, PartKind
from benchmeter.parts.rated_part import (
    Rating,
)
from benchmeter.quantities.quantity import Quantity
from benchmeter.words.lead_words import leads_words
from benchmeter.words.steps import step_text
from tests.fakes.concluded import OF_PART

D = Decimal
# Invented: a relay whose coil and contact are measured.
RELAY = PartKind(
    name="relay", title="Relay", about="Invented.", example="", hazards=(),
    measures=(
        MeasurementSpec(
            name="coil", title="Coil", quantity=Quantity.RESISTANCE, unit="Ω", leads=("A1", "A2"),
            limits=Between(low="9 ohm", high="14 ohm"), overload="open", **OF_PART,
        ),
        MeasurementSpec(
            name="contact", title="Contact, open", quantity=Quantity.RESISTANCE, unit="MΩ",
            leads=("L1", "T1"), limits=Between(low="1 Mohm"), overload="pass", **OF_PART,
        ),
    ),
)  # fmt: skip
COIL = Measurement("coil", None, D(9), D(14), Quantity.RESISTANCE, "Ω", None, Verdict.OPEN)
CONTACT = Measurement(
    "contact", None, D("1e6"), None, Quantity.RESISTANCE, "MΩ", None, Verdict.PASS
)


def check_of(rating: Rating, step: Step, expected: str, kind: PartKind) -> PartCheck:
    sections = tuple(map(MeasurementCheck, rating.sections))
    return PartCheck(
        1, "old", "meter", rating, None, Rule.GUARDED, D(0), sections, expected, step, kind
    )


def capacitor(label: str, step: Step) -> PartCheck:
    kind, rating = rate_label(label)
    return check_of(rating, step, rating.sections[0].name, kind)


def relay(step: Step, expected: str = "coil") -> PartCheck:
    rating = Rating("", "relay", (COIL, CONTACT), "", "kind", (), ())
    return check_of(rating, step, expected, RELAY)


def one_with(leads, step, quantity=Quantity.TEMPERATURE, unit="°C") -> PartCheck:
    measure = MeasurementSpec(
        name="one", title="One", quantity=quantity, unit=unit, leads=leads, **OF_PART
    )
    kind = PartKind(
        name="own", title="Own", about="Invented.", example="", hazards=(), measures=(measure,)
    )
    section = Measurement("one", None, None, None, quantity, unit)
    return check_of(Rating("", "own", (section,), "", "kind", (), ()), step, "one", kind)


@pytest.mark.parametrize("label", ["45/5 µF ±6 %", "45 µF ±6 %"])
@pytest.mark.parametrize("step", Step)
def test_every_step_is_one_short_line(step, label):
    for check in (capacitor(label, step), relay(step), relay(step, "contact")):
        said = step_text(check)
        assert said.endswith(".") and len(said) < 100 and "\n" not in said


def test_a_capacitor_is_told_by_its_sections():
    assert step_text(capacitor("45/5 µF ±6 %", Step.CLIP_ON)) == "Put the leads on C and HERM."
    assert "FAN" in step_text(capacitor("45/5 µF ±6 %", Step.LOOKS_LIKE_OTHER_SECTION))
    said = step_text(capacitor("45 µF ±6 %", Step.LIFT_LEADS))
    assert said == "Lift the leads, then put them on the part's two terminals."


def test_a_part_of_a_kind_is_told_by_its_terminals():
    assert step_text(relay(Step.CLIP_ON)) == "Red lead on A1, black lead on A2."
    said = step_text(relay(Step.LIFT_LEADS, "contact"))
    assert said == "Lift the leads, then put red on L1, black on T1."


@pytest.mark.parametrize(
    ("leads", "says"),
    [
        (("clamp", "wire at C"), "Clamp round the wire at C alone."),
        (("clamp", "L1"), "Clamp round L1 alone."),
        (("clamp", "one wire"), "Clamp round one wire alone."),
        (("probe", "beside the sensor"), "Probe beside the sensor."),
        (("probe", "switch"), "Probe on the switch."),
        (("gauge", "switch"), "Gauge on the switch."),
        (("L1", "T1"), "Red lead on L1, black lead on T1."),
    ],
)
def test_a_clamp_a_probe_and_a_gauge_have_no_colours(leads, says):
    """What the kinds of the program and of a person write in `leads`."""
    assert step_text(one_with(leads, Step.CLIP_ON)) == says
    if leads[0] in TOOLS:
        for step in (Step.LIFT_LEADS, Step.NOTHING_BETWEEN_LEADS):
            said = step_text(one_with(leads, step))
            assert f"put the {says[0].lower()}{says[1:-1]}" in said.replace("Put", "put")
            assert "red" not in said


def test_no_kind_of_the_program_puts_a_lead_on_a_clamp(tmp_path):
    kinds, broken = all_part_kinds(Folders(tmp_path))
    assert kinds and not broken
    for measure in (m for kind in kinds for m in kind.measures):
        said = leads_words(measure)
        assert (measure.leads[0] in TOOLS) == ("red lead" not in said), said


@pytest.mark.parametrize(
    ("unit", "quantity", "says"),
    [
        ("Ω", Quantity.RESISTANCE, "Set the meter to ohms."),
        ("V", Quantity.VOLTAGE_AC, "Set the meter to AC volts."),
        ("µF", Quantity.CAPACITANCE, "Set the meter to capacitance."),
    ],
)
def test_the_knob_is_named_by_what_the_section_expects(unit, quantity, says):
    assert step_text(one_with(("1", "2"), Step.SET_FUNCTION, quantity, unit)) == says


def test_an_overload_is_an_open_coil_and_a_good_open_contact_in_the_highest_range_only():
    """Common practice, no source: a coil without continuity is open; a contact at rest must be.

    A range of 200 Ω overloads at 5 kΩ, too (follows from what a range is).
    """
    for step in (Step.OVERLOAD, Step.NOTHING_BETWEEN_LEADS):
        for expected, word in (("coil", "open"), ("contact", "good")):
            said = step_text(relay(step, expected))
            assert f"If the meter shows OL in its highest range, take it: {word}." in said
