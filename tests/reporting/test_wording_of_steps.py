"""What to do next: every step is one short line that names the terminals and the knob."""

from decimal import Decimal

import pytest

from benchmeter.conformity.check import PartCheck, SectionCheck, Step
from benchmeter.conformity.label import parse_label
from benchmeter.conformity.part_kind import Between, Measure, PartKind
from benchmeter.conformity.verdict import Rating, Rule, Section, Word
from benchmeter.readings.quantities import Quantity
from benchmeter.reporting.wording_steps import step_text

D = Decimal
# Invented: a relay whose coil and contact are measured.
RELAY = PartKind(
    name="relay",
    title="Relay",
    about="Invented.",
    example="",
    measures=(
        Measure(
            name="coil", title="Coil", quantity=Quantity.RESISTANCE, unit="Ω", leads=("A1", "A2"),
            limits=Between(low="9 ohm", high="14 ohm"), overload="open", failure="Dead.", source="",
        ),
        Measure(
            name="contact", title="Contact, open", quantity=Quantity.RESISTANCE, unit="MΩ",
            leads=("L1", "T1"), limits=Between(low="1 Mohm"), overload="pass", failure="", source="",
        ),
    ),
)  # fmt: skip
COIL = Section("coil", None, D(9), D(14), Quantity.RESISTANCE, "Ω", None, Word.OPEN)
CONTACT = Section("contact", None, D("1e6"), None, Quantity.RESISTANCE, "MΩ", None, Word.PASS)


def capacitor(label: str, step: Step) -> PartCheck:
    rating = parse_label(label)
    return PartCheck(
        1, "old part", "capacitor", rating, None, Rule.GUARDED, D(0),
        tuple(SectionCheck(s) for s in rating.sections), rating.sections[0].name, step,
    )  # fmt: skip


def relay(step: Step, expected: str = "coil") -> PartCheck:
    rating = Rating("", "relay", (COIL, CONTACT), "", "kind", (), ())
    sections = (SectionCheck(COIL), SectionCheck(CONTACT))
    return PartCheck(
        1, "old relay", "meter", rating, None, Rule.GUARDED, D(0), sections, expected, step, RELAY
    )


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
    ("quantity", "says"),
    [
        (Quantity.RESISTANCE, "Set the meter to ohms."),
        (Quantity.VOLTAGE_AC, "Set the meter to AC volts."),
        (Quantity.CAPACITANCE, "Set the meter to capacitance."),
    ],
)
def test_the_knob_is_named_by_what_the_section_expects(quantity, says):
    section = Section("one", None, None, None, quantity, "Ω")
    rating = Rating("", "own", (section,), "", "kind", (), ())
    check = PartCheck(
        1, "", "meter", rating, None, Rule.GUARDED, D(0), (SectionCheck(section),), "one",
        Step.SET_FUNCTION,
    )  # fmt: skip
    assert step_text(check) == says


def test_an_overload_is_an_open_coil_and_a_good_open_contact():
    """Common practice, no source: a coil without continuity is open; a contact at rest must be."""
    for step in (Step.OVERLOAD, Step.NOTHING_BETWEEN_LEADS):
        assert "open" in step_text(relay(step))
        assert "good" in step_text(relay(step, "contact"))
