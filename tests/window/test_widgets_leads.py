"""The drawing of the leads: the terminals that the part has, the two in use strong and named."""

from dataclasses import replace

import pytest
from PySide6.QtGui import QColor

from benchmeter.conformity.verdict import Measurement
from benchmeter.files.folders import Folders
from benchmeter.parts.kind_catalogue import all_part_kinds
from benchmeter.parts.part_kind import Between, InLabel, MeasurementSpec, PartKind
from benchmeter.quantities.quantity import Quantity
from benchmeter.scenes.lead_plan import DrawnLead, LeadPlan, lead_plan
from benchmeter.window.theme import palette as palettes
from benchmeter.window.widgets.lead_drawing import LeadDrawing
from tests.fakes import bench_states as made
from tests.fakes.concluded import OF_PART

pytestmark = pytest.mark.gui

OHM = Quantity.RESISTANCE


def measure(name, red, black, **more):
    given = {"quantity": OHM, "unit": "Ω", **OF_PART, **more}
    return MeasurementSpec(name=name, title=name, leads=(red, black), **given)


CONTACTOR = PartKind(
    name="contactor",
    title="Contactor",
    about="",
    example="",
    hazards=(),
    measures=(
        measure("coil", "A1", "A2", limits=Between(low="9 ohm", high="14 ohm")),
        measure("pole 1", "L1", "T1", quantity=Quantity.VOLTAGE_AC, unit="mV", how="Under load."),
        measure("amps", "clamp", "wire at T1", quantity=Quantity.CURRENT_AC, unit="A"),
        measure("heat", "probe", "case", quantity=Quantity.TEMPERATURE, unit="°C", typed=True),
        measure("wire", "lead", "lead"),
    ),
)


def check_of(kind, *names, expected):
    sections = tuple(
        made.MeasurementCheck(Measurement(n, None, None, None, OHM, "Ω")) for n in names
    )
    check = made.new_check()
    return replace(check, kind=kind, sections=sections, expected=expected)


def ends(plan):
    return {lead.name: plan.terminals[lead.terminal] for lead in plan.leads}


def test_a_dual_capacitor_has_its_common_and_its_sections():
    """C, HERM, FAN stand on such a part (common practice, no source); red on the section."""
    plan = lead_plan(made.half_check())
    assert plan.terminals == ("C", "HERM", "FAN")
    assert ends(plan) == {"red": "FAN", "black": "C"}
    assert plan.quantity is Quantity.CAPACITANCE


def test_a_capacitor_of_one_section_has_two_terminals_without_names():
    single = replace(made.HERM, name="single")
    check = replace(made.new_check(), sections=(made.MeasurementCheck(single),), expected="single")
    plan = lead_plan(check)
    assert plan.terminals == ("terminal", "terminal")
    assert plan.used == {0, 1}
    assert plan.either_way


def test_further_measurements_are_no_terminals_of_the_capacitor():
    kind = PartKind(
        name="run",
        title="Run capacitor",
        about="",
        label="capacitor",
        example="",
        hazards=(),
        measures=(
            measure("µF", "HERM", "C", quantity=Quantity.CAPACITANCE, unit="µF", limits=InLabel()),
            measure("bleed", "HERM", "C"),
        ),
    )
    check = made.new_check()
    bleed = made.MeasurementCheck(Measurement("bleed", None, None, None, OHM, "Ω"))
    check = replace(check, kind=kind, sections=(*check.sections, bleed))
    assert lead_plan(check).terminals == ("C", "HERM", "FAN")
    plan = lead_plan(replace(check, expected="bleed"))
    assert (plan.terminals, plan.quantity) == (("HERM", "C"), OHM)


def test_every_terminal_of_a_kind_is_drawn_and_those_of_the_measurement_are_used():
    check = check_of(CONTACTOR, "coil", "pole 1", "heat", expected="pole 1")
    plan = lead_plan(check)
    assert plan.terminals == ("A1", "A2", "L1", "T1", "wire at T1", "case", "lead", "lead")
    assert ends(plan) == {"red": "L1", "black": "T1"}
    assert not plan.either_way
    assert plan.quantity is Quantity.VOLTAGE_AC
    assert plan.how == "Under load."


def test_a_clamp_goes_around_one_wire():
    plan = lead_plan(check_of(CONTACTOR, "coil", "amps", expected="amps"))
    assert ends(plan) == {"clamp": "wire at T1"}


def test_what_is_typed_is_read_on_a_probe():
    plan = lead_plan(check_of(CONTACTOR, "coil", "heat", expected="heat"))
    assert ends(plan) == {"probe": "case"}
    assert plan.typed


def test_two_terminals_of_one_name_are_two_terminals():
    plan = lead_plan(check_of(CONTACTOR, "coil", "wire", expected="wire"))
    assert [(lead.name, lead.terminal) for lead in plan.leads] == [("red", 6), ("black", 7)]
    assert plan.either_way


def test_a_lead_of_every_measurement_of_the_trade_finds_its_terminal(tmp_path):
    kinds, faults = all_part_kinds(Folders(tmp_path))
    assert not faults
    for kind in kinds:
        for measured in kind.measures:
            if isinstance(measured.limits, InLabel):
                continue
            plan = lead_plan(check_of(kind, measured.name, expected=measured.name))
            wanted = [name for name in measured.leads if name not in ("clamp", "probe", "gauge")]
            assert [plan.terminals[lead.terminal] for lead in plan.leads] == wanted
            assert len(plan.used) == len(wanted)


def test_nothing_is_drawn_when_all_is_measured():
    assert lead_plan(made.judged_check(made.FAN_GOOD)) is None


@pytest.fixture
def drawing(qtbot, qapp):
    palettes.apply(qapp, palettes.palette("day"))
    widget = LeadDrawing()
    qtbot.addWidget(widget)
    widget.show_leads(
        LeadPlan(
            "Contactor", ("A1", "A2", "L1", "T1"), (DrawnLead("red", 1), DrawnLead("black", 2)), OHM
        )
    )
    widget.resize(460, widget.heightForWidth(460))
    return widget


def test_it_is_said_in_words(drawing):
    spoken = drawing.accessibleDescription()
    assert "Red lead on A2." in spoken
    assert "Black lead on L1." in spoken
    assert "Meter on ohms" in spoken


def test_each_lead_ends_at_its_terminal(drawing):
    picture = drawing.grab().toImage()

    def reddish(colour):
        return colour.red() > 150 and colour.green() < 90 and colour.blue() < 110

    for place in range(4):
        at = drawing.terminal_at(place)
        column = [QColor(picture.pixel(round(at.x()) + 4, y)) for y in range(round(at.y()))]
        assert any(map(reddish, column[60:])) is (place == 1)
        assert any(c.lightness() < 30 for c in column[60:]) is (place in (1, 2))


@pytest.mark.parametrize("name", palettes.NAMES)
@pytest.mark.parametrize("zoom", [1.0, 2.0])
def test_the_used_terminals_differ_from_the_others_by_more_than_colour(qtbot, qapp, name, zoom):
    """Filled against hollow: the middle of the blade is ink there, ground here."""
    look = palettes.apply(qapp, palettes.palette(name), zoom)
    widget = LeadDrawing()
    qtbot.addWidget(widget)
    widget.show_leads(
        LeadPlan(
            "Contactor", ("A1", "A2", "L1", "T1"), (DrawnLead("red", 0), DrawnLead("black", 1)), OHM
        )
    )
    width = widget.sizeHint().width()
    widget.resize(width, widget.heightForWidth(width))
    picture = widget.grab().toImage()
    for place, tone in ((0, "ink"), (1, "ink"), (2, "ground"), (3, "ground")):
        at = widget.terminal_at(place).toPoint()
        shown = picture.pixelColor(at.x(), at.y() + look.px(3))
        assert shown == look.colour(tone)
    palettes.apply(qapp, palettes.palette("day"))


def test_no_word_of_a_terminal_is_broken(drawing):
    names = ("primary 1", "primary 2", "secondary 1", "secondary 2")
    plan = LeadPlan("Transformer", names, (DrawnLead("red", 2), DrawnLead("black", 3)), OHM)
    drawing.show_leads(plan)
    assert all(name._layout.lineCount() <= 2 for name in drawing._names(300))


def test_an_empty_drawing_says_so(drawing):
    drawing.show_leads(None)
    assert "Nothing" in drawing.accessibleDescription()
    drawing.grab()
