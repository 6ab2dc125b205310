"""Scenario files: each loads, each mistake is told with file and field."""

from collections.abc import Callable
from pathlib import Path

import pytest

from benchmeter.checking.commands import BeginCheck, Command
from benchmeter.conformity.accuracy import parse_accuracy
from benchmeter.errors import DataFileError, InputError
from benchmeter.files.folders import Folders
from benchmeter.links.instruments.profile import LineSettings
from benchmeter.links.instruments.setup import Role
from benchmeter.parts.kind_catalogue import all_part_kinds
from benchmeter.parts.nameplate.label import parse_label
from benchmeter.parts.rating import rate
from benchmeter.readings.inputs import Chunk, LinkChange
from benchmeter.simulator.scenario import load_scenario, scenarios
from benchmeter.simulator.virtual_bench import byte_ns, open_scenario, world_of
from tests.fakes.refusals import advised, refused, said

WHOLE = """
title = "A bench"
about = "For a test."
place = "Workshop"
seed = 1
length_s = 20.0
start = 2026-01-02T03:04:05Z

[[parts]]
name = "one"
label = "30.5 µF ±5 % 440 VAC"
sections.single.true_uf = 30.0

[[parts]]
name = "two"
label = "21/4 µF ±5 % 440 VAC"
sections.HERM.true_uf = 21.0
sections.FAN.open = true

[[instruments]]
name = "meter"
profile = "scpi-meter"
virtual = { kind = "scpi meter", measures = "capacitance" }
channels = [{ name = "capacitor", accuracy = "1 % + 2 x 0.01 uF" }]

[[instruments]]
name = "thermometer"
profile = "text-two-probes"
channels = [{ name = "discharge", field = "T1" }, { name = "outdoor", field = "T2" }]

[instruments.virtual]
kind = "text probes"
probes.T1 = { air = "discharge" }
probes.T2 = { air = "outdoor" }

[unit]
outdoor_c = 20.0
rise_k = 12.0
time_constant_s = 100.0

[[faults]]
instrument = "meter"
kind = "unplugged"
from_s = 5.0
until_s = 6.0

[[story]]
at_s = 1.0
do = "hands"
act = "leads: single"

[[story]]
at_s = 2.0
do = "begin check"
part = "one"

[[story]]
at_s = 3.0
do = "hands"
act = "part: two"

[[story]]
at_s = 4.0
do = "hands"
act = "leads: FAN"

[[story]]
at_s = 9.0
do = "take reading"
"""


@pytest.fixture
def write(tmp_path: Path) -> Callable[[str], str]:
    def written(text: str) -> str:
        path = tmp_path / "mine.toml"
        path.write_text(text, encoding="utf-8")
        return str(path)

    return written


def test_the_scenarios_of_the_program_are_there() -> None:
    assert set(scenarios()) >= {
        "walk-in-cooler",
        "short-visit",
        "handheld-and-modbus",
        "troubled-links",
        "shop-bench",
        "carton-of-forty",
    }


@pytest.mark.parametrize("name", scenarios())
def test_every_scenario_loads_and_its_labels_and_accuracies_can_be_read(
    name: str, folders: Folders
) -> None:
    scenario = load_scenario(name, folders)
    assert scenario.name == name
    assert scenario.title and scenario.plan.about and scenario.plan.place
    for part in scenario.plan.parts:
        if part.kind:
            rate(scenario.kinds[part.kind], part.label, part.tolerance)
        else:
            rating = parse_label(part.label, part.tolerance)
            assert {section.name for section in rating.sections} == set(part.sections)
    for instrument in scenario.plan.instruments:
        for channel in instrument.channels:
            if channel.accuracy:
                parse_accuracy(channel.accuracy, "")


def test_every_kind_of_part_of_the_program_lies_on_the_shelf(folders: Folders) -> None:
    kinds, errors = all_part_kinds(folders)
    assert not errors
    parts = load_scenario("shop-bench", folders).plan.parts
    assert {part.kind for part in parts} == {kind.name for kind in kinds}


def test_a_carton_is_a_table_of_its_parts(folders: Folders) -> None:
    plan = load_scenario("carton-of-forty", folders).plan
    numbered = [part for part in plan.parts if part.lot]
    assert [part.name for part in numbered] == [str(n) for n in range(1, 41)]
    assert {part.lot for part in numbered} == {"carton 45/5"}
    assert numbered[11].sections["HERM"].open
    assert numbered[30].sections["FAN"].shorted
    assert numbered[0].sections["HERM"].true_uf == 45.62
    begun = [
        item
        for item in open_scenario(load_scenario("carton-of-forty", folders), None)[1].inputs()
        if isinstance(item, BeginCheck)
    ]
    assert [(b.part, b.lot, b.channel) for b in begun][:1] == [("1", "carton 45/5", "meter")]


@pytest.mark.parametrize("name", scenarios())
def test_every_story_can_be_done_by_hands_at_its_times(name: str, folders: Folders) -> None:
    scenario = load_scenario(name, folders)
    world = world_of(scenario)
    for step in scenario.plan.story:
        act = getattr(step, "act", "")
        if act:
            world.do(act, round(step.at_s * 1e9))  # raises what cannot be done


@pytest.mark.parametrize("name", ["short-visit", "troubled-links"])
def test_the_same_scenario_gives_the_same_stream(name: str, folders: Folders) -> None:
    first, again = (
        list(open_scenario(load_scenario(name, folders), None)[1].inputs()) for _ in "ab"
    )
    assert first == again
    assert len([i for i in first if isinstance(i, Chunk) and i.data]) > 500


def test_a_scenario_may_be_any_file(write: Callable[[str], str], folders: Folders) -> None:
    scenario = load_scenario(write(WHOLE), folders)
    setup, source = open_scenario(scenario, None)
    assert scenario.name == "mine"
    items = list(source.inputs())
    (begun,) = [i for i in items if isinstance(i, BeginCheck)]
    assert (begun.label, begun.accuracy) == ("30.5 µF ±5 % 440 VAC", "1 % + 2 x 0.01 uF")
    assert [i.up for i in items if isinstance(i, LinkChange) and i.link == "meter"] == [1, 0, 1]
    assert [c.role for c in setup.channels] == [Role.CAPACITOR, Role.DISCHARGE, Role.OUTDOOR]
    assert setup.origin == "simulated"
    assert setup.channels[0].accuracy == "1 % + 2 x 0.01 uF"
    assert {link.address for link in setup.links} == {"simulated:mine"}


def test_without_its_story_a_scenario_waits_for_hands(
    write: Callable[[str], str], folders: Folders
) -> None:
    _, source = open_scenario(load_scenario(write(WHOLE), folders), None, story=False)
    assert not source.story_plays()
    for item in source.inputs():
        assert not isinstance(item, Command)
        if item.time_ns > 25_000_000_000:
            source.close()


def test_a_name_that_is_no_scenario_is_told_with_those_that_are(folders: Folders) -> None:
    with pytest.raises(InputError) as told:
        load_scenario("walk-in-freezer", folders)
    assert "walk-in-freezer" in said(told.value)
    assert "walk-in-cooler" in advised(told.value)


BENCH = """
title = "Only a bench"
about = "For a test."
place = "Workshop"
seed = 1
length_s = 20.0
start = 2026-01-02T03:04:05Z

[[parts]]
name = "coil"
kind = "valve-coil"
label = "coil 10-16 ohm"
truths.coil = { ohm = 12.0 }

[[cartons]]
name = "carton"
label = "30 µF ±5 % 440 VAC"
sections = ["single"]
rows = [[30.1], ["open"]]

[[instruments]]
name = "meter"
profile = "scpi-meter"
virtual = { kind = "scpi meter", measures = "any function", knob = "resistance" }
channels = [{ name = "meter" }]

[[story]]
at_s = 1.0
do = "begin check"
part = "coil"

[[story]]
at_s = 2.0
do = "hands"
act = "leads: coil"

[[story]]
at_s = 3.0
do = "hands"
act = "knob: DC voltage"

[[story]]
at_s = 4.0
do = "take volts"
"""


def test_a_bench_needs_no_unit(write: Callable[[str], str], folders: Folders) -> None:
    scenario = load_scenario(write(BENCH), folders)
    setup, source = open_scenario(scenario, None)
    groups = {choice.group for choice in source.choices()}
    assert groups == {"leads", "part", "knob"}
    (begun,) = [i for i in source.inputs() if isinstance(i, BeginCheck)]
    assert begun.kind == scenario.kinds["valve-coil"]
    assert (begun.channel, setup.channels[0].role) == ("meter", Role.METER)
    coil = next(c for c in source.choices() if c.name == "part: coil")
    assert (coil.label, coil.kind) == ("coil 10-16 ohm", "valve-coil")


@pytest.mark.parametrize(
    ("old", "new", "field", "what"),
    [
        ('kind = "valve-coil"', 'kind = "flux-coil"', "parts[0].kind", "flux-coil"),
        ("truths.coil", "truths.winding", "parts[0].truths", "“coil” is missing"),
        ("{ ohm = 12.0 }", "{ ohm = 12.0 }\ntruths.b = { ohm = 1.0 }", "truths.b", "nothing of"),
        ("{ ohm = 12.0 }", "{ ohm = 12.0, open = true }", "truths.coil", "say either"),
        ("{ ohm = 12.0 }", "{ }", "truths.coil", "say either"),
        ("{ ohm = 12.0 }", "{ ohm = 12.0, stored_v = 9.0 }", "stored_v", "only a capacitor"),
        ("{ ohm = 12.0 }", '{ same_as = "x" }', "truths.coil.same_as", "“x”"),
        ('name = "coil"', 'name = "next"', "parts[0].name", "next"),
        ('rows = [[30.1], ["open"]]', "rows = [[30.1, 5.0]]", "cartons[0].rows[0]", "a value for"),
        ('["open"]', '["lost"]', "cartons", "lost"),
        ('name = "coil"', 'name = "2"', "parts[0].name", "two parts"),
        ('knob = "resistance"', 'knob = "frequency"', "virtual.knob", "frequency"),
        ('act = "knob: DC voltage"', 'act = "knob: luck"', "story[2].act", "luck"),
        ('act = "knob: DC voltage"', 'act = "power: on"', "story[2].act", "power"),
        ('act = "knob: DC voltage"', 'act = "resistor: on"', "story[2].act", "resistor"),
    ],
)
def test_a_mistake_on_a_bench_is_told_with_file_and_field(
    old: str, new: str, field: str, what: str, write: Callable[[str], str], folders: Folders
) -> None:
    assert old in BENCH
    with pytest.raises(DataFileError) as told:
        load_scenario(write(BENCH.replace(old, new)), folders)
    assert "mine.toml" in said(told.value)
    assert field in said(told.value)
    assert what in said(told.value)


def test_two_knobs_or_no_part_or_air_without_a_unit_are_refused(
    write: Callable[[str], str], folders: Folders
) -> None:
    meter = BENCH[BENCH.index("[[instruments]]") : BENCH.index("[[story]]")]
    second = meter.replace('name = "meter"', 'name = "meter 2"')
    for text, what in [
        (BENCH.replace(meter, meter + second), "one knob"),
        (BENCH[: BENCH.index("[[parts]]")] + meter, "at least one part"),
        (WHOLE[: WHOLE.index("[unit]")] + WHOLE[WHOLE.index("[[faults]]") :], "no unit"),
    ]:
        with refused(DataFileError, match=what):
            load_scenario(write(text), folders)


@pytest.mark.parametrize(
    ("old", "new", "field", "what"),
    [
        ('title = "A bench"\n', "", "", "title"),
        ("seed = 1", "sead = 1", "", "sead"),
        ("seed = 1", 'seed = "1"', "seed", "whole number"),
        ("length_s = 20.0", "length_s = 0.0", "length_s", "greater than 0"),
        ("length_s = 20.0", "length_s = [", "", "TOML"),
        ("start = 2026-01-02T03:04:05Z", "start = 2026-01-02T03:04:05", "start", "timezone"),
        ('name = "two"', 'name = "one"', "parts[0].name", "two parts"),
        ("single.true_uf = 30.0", "single.true_uf = -30.0", "parts[0].sections", "0.0 or more"),
        ("single.true_uf = 30.0", "single.true_uf = 0.0", "parts[0].sections.single", "one of"),
        ("FAN.open = true", "FAN.broken = true", "parts[1].sections", "broken"),
        ('profile = "scpi-meter"', 'profile = "none"', "instruments[0].profile", "none"),
        ('profile = "scpi-meter"', 'profile = "lcd-handheld"', "instruments[0].virtual.kind", ""),
        (
            'measures = "capacitance"',
            'measures = "luck"',
            "instruments[0].virtual.measures",
            "luck",
        ),
        ('kind = "scpi meter"', 'kind = "oracle"', "instruments[0].virtual", "oracle"),
        ('name = "thermometer"', 'name = "meter"', "instruments[1].name", "two instruments"),
        ('name = "outdoor"', 'name = "discharge"', "channels[1].name", "two channels"),
        ('field = "T2"', 'field = "T3"', "instruments[1].channels[1].field", "T3"),
        ('probes.T2 = { air = "outdoor" }', "", "instruments[1].virtual.probes", "T2"),
        ('air = "outdoor"', 'air = "supply"', "probes[...].air", "supply"),
        ("rise_k = 12.0\n", "", "unit", "rise_k"),
        (
            "time_constant_s = 100.0",
            "time_constant_s = 0.0",
            "unit.time_constant_s",
            "greater than 0",
        ),
        ('instrument = "meter"', 'instrument = "metre"', "faults[0].instrument", "metre"),
        ('kind = "unplugged"', 'kind = "haunted"', "faults[0].kind", "haunted"),
        ('kind = "unplugged"', 'kind = "open probe"', "faults[0].kind", "probes"),
        ("until_s = 6.0", "until_s = 5.0", "faults[0].until_s", "later"),
        ("until_s = 6.0", 'until_s = 6.0\nfield = "T1"', "faults[0].field", "T1"),
        ("at_s = 2.0", "at_s = 0.5", "story[1].at_s", "before"),
        ("at_s = 9.0", "at_s = 21.0", "story[4].at_s", "after"),
        ('act = "leads: single"', 'act = "leads: HERM"', "story[0].act", "leads: HERM"),
        ('act = "part: two"', 'act = "part: three"', "story[2].act", "part: three"),
        ('do = "take reading"', 'do = "take tea"', "story[4]", "take tea"),
        ('do = "take reading"', 'do = "take reading"\ntext = "x"', "story[4]", "text"),
        ('part = "one"', 'part = "three"', "story[1].part", "three"),
        ('part = "one"', 'part = "one"\nchannel = "x"', "story[1].channel", "x"),
    ],
)
def test_a_mistake_is_told_with_file_and_field(
    old: str,
    new: str,
    field: str,
    what: str,
    write: Callable[[str], str],
    folders: Folders,
) -> None:
    assert old in WHOLE
    with pytest.raises(DataFileError) as told:
        load_scenario(write(WHOLE.replace(old, new)), folders)
    text = said(told.value)
    assert "mine.toml" in text
    assert field in text
    assert what in text
    assert advised(told.value)


def test_a_file_that_is_no_text_is_told(tmp_path: Path, folders: Folders) -> None:
    path = tmp_path / "odd.toml"
    path.write_bytes(b"\xff\xfe\x00")
    with refused(DataFileError, match="odd"):
        load_scenario(str(path), folders)


def test_a_byte_takes_its_start_parity_and_stop_bits() -> None:
    # 10 bits at 2400 bit/s = 4.1667 ms; 11 bits (even parity) at 9600 = 1.1458 ms (arithmetic;
    # Modbus serial line guide V1.02 counts 11 bits a character).
    assert byte_ns(LineSettings(baud=2400)) == pytest.approx(4_166_667, abs=1)
    assert byte_ns(LineSettings(baud=9600, parity="even")) == pytest.approx(1_145_833, abs=1)
