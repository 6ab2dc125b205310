"""Kinds of parts: those that come with the program, and what is said about files that are wrong."""

from pathlib import Path

import msgspec
import pytest

from benchmeter.errors import DataFileError, InputError
from benchmeter.files.folders import Folders
from benchmeter.files.resources import resource
from benchmeter.parts.kind_catalogue import (
    all_part_kinds,
    kind_in,
    kind_text,
    load_part_kind,
    read_part_kind,
)
from benchmeter.parts.part_kind import InLabel, PartKind
from benchmeter.parts.rating import rate
from benchmeter.quantities.quantity import Quantity
from tests.fakes.refusals import advised, refused, said

SHIPPED = sorted(path.stem for path in resource("parts").glob("*.toml"))

GOOD = """
title = "Coil"
about = "A coil."
example = "24 V, 10 W, coil 9-14 ohm"
hazards = ["live"]
caution = "Switch off first."
dead_between = [["L1", "ground"]]
[[givens]]
name = "volts"
title = "Voltage"
unit = "V"
[[givens]]
name = "power"
title = "Power"
unit = "W"
[[givens]]
name = "coil"
title = "Resistance"
unit = "Ω"
range = true
[[givens]]
name = "tolerance"
title = "Tolerance"
unit = "%"
default = "10 %"
source = "common practice, no source"
[[measures]]
name = "coil"
title = "Coil"
subject = "part"
quantity = "resistance"
unit = "Ω"
leads = ["A1", "A2"]
hazards = []
evidence = ["isolated"]
shorted_below = "1 ohm"
overload = "open"
limits = { by = "of given", given = "coil", tolerance = "tolerance" }
source = "label"
too_low = "Turns are shorted."
too_high = "A joint is failing."
open = "It does not pull in."
shorted = "It burns the fuse."
pass_leaves = "The armature may stick."
[[measures]]
name = "volts"
title = "Volts"
subject = "control"
quantity = "AC voltage"
unit = "V"
leads = ["A1", "A2"]
hazards = ["live"]
caution = "Insulated probes."
evidence = ["load running"]
limits = { by = "share of given", given = "volts", low = "85 %", high = "110 %" }
source = "the label"
too_low = "It chatters."
too_high = "It runs hot."
pass_leaves = "It may sag."
[[conclusions]]
by = "alike"
name = "alike"
of = ["coil", "coil 2"]
most = "5 %"
failure = "One is worn."
subject = "part"
source = "label"
pass_leaves = "Both may be worn."
[[measures]]
name = "coil 2"
title = "Coil 2"
subject = "part"
quantity = "resistance"
unit = "Ω"
leads = ["A1", "A2"]
hazards = []
evidence = []
limits = { by = "between", low = "1 ohm", high = "1 kohm" }
source = "label"
too_low = "Turns are shorted."
too_high = "A joint is failing."
pass_leaves = "The armature may stick."
"""

ALIKE = 'by = "alike"\nname = "alike"\nof = ["coil", "coil 2"]\nmost = "5 %"\nfailure = "One is worn."\n'


def user_file(folders: Folders, name: str, text: str) -> Path:
    folders.parts.mkdir(exist_ok=True)
    path = folders.parts / f"{name}.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_every_kind_of_the_program_can_be_used(folders: Folders) -> None:
    kinds, errors = all_part_kinds(folders)
    assert errors == ()
    assert [kind.name for kind in kinds] == SHIPPED
    assert {  # each part of the trade's list has its kind
        *("run-capacitor", "run-capacitor-under-load", "run-capacitor-dual-under-load"),
        *("start-capacitor", "contactor", "contactor-under-load", "relay", "switch", "fuse"),
        *("compressor-single-phase", "motor-single-phase", "motor-three-phase"),
        *("motor-single-phase-running", "motor-three-phase-running"),
        *("transformer", "transformer-under-load", "sensor-ntc", "sensor-pt100"),
        *("sensor-thermocouple", "heater", "ignitor", "valve-coil", "valve-coil-dc"),
        *("pressure-cut-out", "pressure-cut-out-low"),
        *("temperature-cut-out", "temperature-cut-out-low"),
    } <= set(SHIPPED)


@pytest.mark.parametrize("name", SHIPPED)
def test_each_kind_is_complete_and_its_example_can_be_rated(folders: Folders, name: str) -> None:
    kind = load_part_kind(name, folders)
    rating = rate(kind, kind.example)
    assert rating.kind == name
    for section in rating.sections:
        assert kind.measure_of(section.name)
        if section.low_si is not None and section.high_si is not None:
            assert section.low_si < section.high_si
    for measure in kind.measures:
        assert measure.title and measure.source
        assert all(measure.leads)
        assert measure.how
        for text in (measure.how, measure.caution, measure.pass_leaves):
            assert not text or text.endswith("."), text
        # By a clamp or a voltmeter; a direct current through a meter in series is typed.
        assert measure.live <= (measure.quantity.value.startswith("AC") or measure.typed)
    assert kind.title and kind.about.endswith(".")


@pytest.mark.parametrize("name", SHIPPED)
def test_a_kind_is_the_same_after_the_record(folders: Folders, name: str) -> None:
    kind = load_part_kind(name, folders)
    assert kind_in(kind_text(kind)) == kind


def test_titles_are_all_different(folders: Folders) -> None:
    titles = [kind.title for kind in all_part_kinds(folders)[0]]
    assert len(set(titles)) == len(titles)


def test_what_touches_stored_charge_is_discharged_first(folders: Folders) -> None:
    """45 µF at 523 V hold 6 J: the capacitor is emptied before leads touch it."""
    for kind in all_part_kinds(folders)[0]:
        for measure in kind.measures:
            if isinstance(measure.limits, InLabel):
                assert measure.discharge_first, kind.name


def test_insulation_is_typed_from_an_insulation_tester(folders: Folders) -> None:
    """The few volts of a multimeter's ohms only find a dead short (common practice)."""
    found = [
        measure
        for kind in all_part_kinds(folders)[0]
        for measure in kind.measures
        if measure.name == "to case"
    ]
    assert len(found) >= 4
    for measure in found:
        assert measure.typed and "insulation tester" in measure.how
        assert measure.caution


def test_a_users_file_is_found_beside_the_programs(folders: Folders) -> None:
    user_file(folders, "my-coil", GOOD)
    kind = load_part_kind("my-coil", folders)
    assert (kind.name, len(kind.measures)) == ("my-coil", 3)
    assert "my-coil" in [k.name for k in all_part_kinds(folders)[0]]


def test_a_name_in_the_file_does_not_count(folders: Folders) -> None:
    user_file(folders, "my-coil", 'name = "other"\n' + GOOD)
    assert load_part_kind("my-coil", folders).name == "my-coil"


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('title = "Coil"\nabout', 'title = " "\nabout', "title must not be empty"),
        ('about = "A coil."', 'about = ""', "about must be there, and must not be empty"),
        ('about = "A coil."', "about = 3", "about must be text in quotes"),
        ('about = "A coil."\n', "", "about is missing"),
        ('about = "A coil."', 'about = "A."\nfoo = 1', "foo is not a field of a kind of part"),
        ('example = "24 V', 'example = "24 X', "example: The unit “X” is not known"),
        ('example = "24 V, ', 'example = "', "example: Voltage is missing"),
        ('limits = { by = "b', 'limits = { by = "c', "measures[2].limits.by cannot be"),
        ('quantity = "AC voltage"', 'quantity = "volts"', "measures[1].quantity cannot be"),
        ('unit = "V"\nleads', 'unit = "W"\nleads', "measures[1].unit cannot be “W”: write one of"),
        ('name = "coil 2"', 'name = "Volts"', "measures[1].name: “volts” stands there twice"),
        ('name = "coil 2"', 'name = "c' + "o" * 30 + '"', "measures[2].name must not be longer"),
        ('["A1", "A2"]', '["A1", ""]', "measures[0].leads[1] must not be empty"),
        ('"1 ohm"\noverload', '"1 V"\noverload', "measures[0].shorted_below: “V” is a unit of"),
        ('unit = "V"\nleads', 'shorted_below = "1 ohm"\nunit = "V"\nleads', "resistances only"),
        ('low = "1 ohm", high', 'low = "1 Mohms", high', "measures[2].limits.low must be below"),
        ('low = "1 ohm", high', 'low = "1 kohm", high', "measures[2].limits.low must be below"),
        ('low = "1 ohm", high', 'low = "1 Mohmz", high', "measures[2].limits.low: The unit"),
        ('low = "1 ohm", high', 'low = "1 V", high', "measures[2].limits.low: “V” is a unit"),
        ('low = "1 ohm", high = "1 kohm"', 'low = ""', "measures[2].limits must have low, high"),
        ('given = "coil"', 'given = "foo"', "measures[0].limits.given: there is no given “foo”"),
        ('given = "coil"', 'given = "volts"', "measures[0].limits.given: “volts” must be in a unit"),
        ('"tolerance" }', '"foo" }', "measures[0].limits.tolerance: there is no given “foo”"),
        ('"tolerance" }', '"5 V" }', "measures[0].limits.tolerance: “V” is a unit of voltage"),
        ('"tolerance" }', '"volts" }', "measures[0].limits.tolerance: “volts” must be in a unit"),
        ('"tolerance" }', '"-5 ohm" }', "measures[0].limits.tolerance: “-5 ohm” is no tolerance"),
        ('low = "85 %"', 'low = "85"', "measures[1].limits.low"),
        ('low = "85 %"', 'low = "185 %"', "measures[1].limits.low must be below high"),
        ('name = "volts"\ntitle = "Voltage"', 'name = "2 V"\ntitle = "V"', "givens[0].name must be"),
        ('name = "power"', 'name = "VOLTS"', "stands there twice"),
        ('name = "power"', 'name = "power"\nchoices = ["a"]', "givens[1].unit must be given, or"),
        ('unit = "W"', 'unit = "watts"', "givens[1].unit cannot be “watts”"),
        ('source = "common practice, no source"\n[[m', "[[m", "givens[3].source of the default"),
        ('unit = "%"', 'unit = "%"\nrange = true', "givens[3].range is for values only"),
        ('of = ["coil", "coil 2"]', 'of = ["coil"]', "conclusions[0].of must name at least two"),
        ('of = ["coil", "coil 2"]', 'of = ["coil", "x"]', "conclusions[0].of: there is no measure"),
        ('of = ["coil", "coil 2"]', 'of = ["coil", "volts"]', "measurements of one quantity"),
        ('most = "5 %"', 'most = "5 V"', "conclusions[0].most: “V” is a unit of voltage"),
        ('most = "5 %"', 'most = "much"', "conclusions[0].most must be a share or an amount"),
        ('by = "of given", given = "coil", tolerance = "tolerance"', 'by = "in label"',
         "measures[0].limits: only a capacitance stands in the label"),
        ('by = "of given", given = "coil", tolerance = "tolerance"',
         'by = "from power", volts = "volts", power = "power"',
         "measures[0].limits: volts and power without tolerance give a current"),
        ('by = "of given", given = "coil", tolerance = "tolerance"',
         'by = "from power", volts = "power", power = "power", tolerance = "1 ohm"',
         "measures[0].limits.volts: “power” must be in a unit of voltage"),
        ('by = "of given", given = "coil", tolerance = "tolerance"',
         'by = "range given", given = "volts"', "“volts” may not be written as a range"),
        ('by = "share of given", given = "volts"', 'by = "share of given", given = "coil"',
         "measures[1].limits.given: “coil” must be in a unit of voltage"),
        (ALIKE, 'by = "difference"\nname = "d"\nof = "coil"\nless = "coil"\nunit = "Ω"\n'
         'limits = { by = "between", low = "1 ohm" }\ntoo_low = "x"\n',
         "must be two measurements of one quantity"),
        (ALIKE, 'by = "difference"\nname = "d"\nof = "coil"\nless = "coil 2"\nunit = "V"\n'
         'limits = { by = "between", low = "1 ohm" }\ntoo_low = "x"\n',
         "conclusions[0].unit cannot be “V”"),
        (ALIKE, 'by = "voltage unbalance"\nname = "u"\nof = ["volts", "coil", "volts"]\n'
         'most = "1 V"\nfailure = "x"\n', "conclusions[0].of: “coil” must measure AC voltage"),
        (ALIKE, 'by = "windings"\nname = "w"\npairs = { coil = "C-S" }\nfailure = "x"\n',
         "conclusions[0].pairs must be C-S, C-R and S-R"),
        (ALIKE, 'by = "sensor"\nname = "s"\nreading = "coil"\nprobe = "volts"\nsensor = "volts"\n'
         'failure = "x"\n', "conclusions[0].sensor must name a given with choices"),
        (ALIKE, 'by = "under load"\nname = "s"\nvolts = "volts"\namps = "coil"\n'
         'frequency = "volts"\nsection = "LEFT"\ntoo_low = "x"\ntoo_high = "x"\nopen = "x"\n',
         "conclusions[0].section cannot be 'LEFT'"),
    ],
)  # fmt: skip
def test_each_fault_is_told_with_its_field(folders: Folders, old: str, new: str, says: str) -> None:
    assert old in GOOD
    path = user_file(folders, "my-coil", GOOD.replace(old, new, 1))
    with pytest.raises(DataFileError) as caught:
        read_part_kind(path)
    assert says in said(caught.value)
    assert str(path) in said(caught.value)
    assert advised(caught.value)


FIELDS = {
    "coil": "subject hazards evidence source too_low too_high open shorted pass_leaves",
    "volts": "subject hazards caution evidence source too_low too_high pass_leaves",
    "alike": "subject source failure pass_leaves",
}


@pytest.mark.parametrize(
    ("name", "field"),
    [(name, field) for name, fields in FIELDS.items() for field in fields.split()],
)
def test_a_file_without_a_declaration_is_refused_by_line_and_field(
    folders: Folders, name: str, field: str
) -> None:
    """A verdict, a screen or a report would lack it when it matters."""
    head, table, rest = GOOD.partition(f'\nname = "{name}"\ntitle = "{name.title()}"')
    if not table:
        head, table, rest = GOOD.partition(f'\nname = "{name}"\nof')
    start = rest.index(f"\n{field} = ")
    end = rest.index("\n", start + 1)
    path = user_file(folders, "mine", head + table + rest[:start] + rest[end:])
    with pytest.raises(DataFileError) as caught:
        read_part_kind(path)
    at = {"coil": "measures[0]", "volts": "measures[1]", "alike": "conclusions[0]"}[name]
    assert f"{at}.{field} " in said(caught.value)
    line = head.count("\n") + (0 if name == "alike" else 1)
    assert f"line {line}" in said(caught.value)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('caution = "Switch off first."', "", "caution must be there"),
        ('dead_between = [["L1", "ground"]]', "", "dead_between: pairs of terminals"),
        ('["L1", "ground"]]', '["L1"]]', "dead_between[0]: "),
        ('subject = "part"', 'subject = "motor"', "measures[0].subject cannot be 'motor'"),
        ('["isolated"]', '["warm"]', "measures[0].evidence[0] cannot be 'warm'"),
        ('hazards = []', 'hazards = ["danger"]', "measures[0].hazards[0] cannot be 'danger'"),
        ('high = "110 %"', 'high = ""', "measures[1].too_high must be left out"),
        ('overload = "open"', 'overload = ""', "measures[0].open must be left out"),
        ('shorted_below = "1 ohm"', "", "measures[0].shorted must be left out"),
        ('pass_leaves = "It may sag."', 'pass_leaves = " "', "measures[1].pass_leaves must be there"),
    ],
)  # fmt: skip
def test_a_declaration_fits_the_rest_of_the_file(
    folders: Folders, old: str, new: str, says: str
) -> None:
    assert old in GOOD
    with pytest.raises(DataFileError) as caught:
        read_part_kind(user_file(folders, "mine", GOOD.replace(old, new, 1)))
    assert says in said(caught.value)


def test_something_must_be_of_the_part(folders: Folders) -> None:
    text = GOOD.replace('subject = "part"', 'subject = "supply"')
    with refused(DataFileError, match="must have the subject part"):
        read_part_kind(user_file(folders, "mine", text))


def test_a_capacitors_label_gives_nothing_but_the_frequency(folders: Folders) -> None:
    text = (resource("parts") / "run-capacitor-under-load.toml").read_text(encoding="utf-8")
    path = user_file(folders, "mine", text.replace('unit = "Hz"', 'unit = "V"'))
    with refused(DataFileError, match=r"givens\[0\].unit must be Hz"):
        read_part_kind(path)


def test_under_load_a_kind_takes_the_label_of_a_capacitor(folders: Folders) -> None:
    text = (resource("parts") / "run-capacitor-under-load.toml").read_text(encoding="utf-8")
    path = user_file(folders, "mine", text.replace('label = "capacitor"', 'label = "givens"'))
    with refused(DataFileError, match=r"conclusions\[0\]: label must be"):
        read_part_kind(path)


def test_windings_may_be_measured_by_continuity(folders: Folders) -> None:
    text = (resource("parts") / "compressor-single-phase.toml").read_text(encoding="utf-8")
    path = user_file(folders, "mine", text.replace('"resistance"', '"continuity"', 3))
    assert read_part_kind(path).measures[0].quantity is Quantity.CONTINUITY


def test_a_section_that_no_measurement_gives_is_an_error_of_the_program(folders: Folders) -> None:
    with pytest.raises(ValueError, match="nowhere"):
        load_part_kind("heater", folders).measure_of("nowhere")


def test_an_unknown_sensor_is_told(folders: Folders) -> None:
    text = (resource("parts") / "sensor-ntc.toml").read_text(encoding="utf-8")
    path = user_file(folders, "mine", text.replace('"ntc-10k-3"', '"ntc-5k"'))
    with refused(DataFileError, match=r"conclusions\[0\].sensor: “ntc-5k” is no sensor"):
        read_part_kind(path)


def test_a_kind_without_measurements_is_refused(folders: Folders) -> None:
    path = user_file(folders, "mine", 'title = "A"\nabout = "B"\nexample = "C"\nmeasures = []\n')
    with refused(DataFileError, match="measures must not be empty"):
        read_part_kind(path)


@pytest.mark.parametrize(
    "text",
    [
        *("", "{}", "[]", "null", "{", '{"title": 3}', '"x"', "[" * 5000, "\ud800", "1e999"),
        '{"title": "a", "about": "b", "example": "c", "measures": []}',
        '{"title": "a", "about": "b", "example": "c", "measures": [], "more": 1}',
    ],
)
def test_a_record_that_is_no_kind_is_an_input_error(text: str) -> None:
    with pytest.raises(InputError) as caught:
        kind_in(text)
    assert advised(caught.value)


def test_a_record_with_a_fault_is_an_input_error(folders: Folders) -> None:
    kind = load_part_kind("heater", folders)
    broken: PartKind = msgspec.structs.replace(kind, givens=())
    with refused(InputError, match="there is no given “volts”"):
        kind_in(kind_text(broken))


def test_a_default_that_is_another_given_is_told(folders: Folders) -> None:
    """Volts of the valve's coil are called “coil” as well."""
    kind = load_part_kind("valve-coil", folders)
    givens = tuple(
        msgspec.structs.replace(g, default="24 V", source="x") if g.unit == "Ω" else g
        for g in kind.givens
    )
    broken: PartKind = msgspec.structs.replace(kind, givens=givens)
    with refused(InputError, match=r"givens\[1\].default: “24 V” is no value of coil"):
        kind_in(kind_text(broken))
