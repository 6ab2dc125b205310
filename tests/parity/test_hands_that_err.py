"""What hands do wrong at the bench leads to no verdict by itself, on whatever kind of part.

All that counts here is common practice, no source: nobody watches leads and knob all the time.
"""

from collections.abc import Iterator

import pytest

from benchmeter.checking.part_check import Step
from benchmeter.files.folders import Folders
from benchmeter.parts.kind_catalogue import load_part_kind
from benchmeter.parts.part_kind import PartKind
from benchmeter.simulator.scenario_plan import PartPlan, SectionPlan, TruthPlan
from tests.parity.simulated import SimulatedBench, scenario_with

OHM, FARAD, VOLT, DC = (
    "knob: resistance",
    "knob: capacitance",
    "knob: AC voltage",
    "knob: DC voltage",
)


class Bench(SimulatedBench):
    """With parts of one kind."""

    def __init__(self, kind: PartKind, folders: Folders, *parts: PartPlan, probe: bool = False):
        super().__init__(scenario_with(parts, {kind.name: kind}, folders, probe=probe))
        self.kind, self.parts = kind, parts

    def start(self, number: int = 0) -> None:
        self.begin(self.parts[number], self.kind)

    def later(self, seconds: float = 12.0) -> None:
        self.wait(lambda: False, seconds)

    def words(self) -> dict[str, list[str]]:
        """Each taking of each section."""
        return {
            s.section.name: [t.verdict.verdict.value for t in s.taken]
            for s in self.check.sections
            if s.taken
        }


@pytest.fixture
def bench(folders: Folders) -> Iterator:
    made: list[Bench] = []

    def make(name: str, label: str, *parts: dict, **more) -> Bench:
        kind = load_part_kind(name, folders)
        plans = [
            PartPlan(name=f"part {n}", kind=name, label=label, **p) for n, p in enumerate(parts)
        ]
        made.append(Bench(kind, folders, *plans, **more))
        return made[-1]

    yield make
    for one in made:
        one.close()


def ohms(**by_name: float | str) -> dict:
    """Truths; a text says open or shorted."""
    return {
        "truths": {
            name.replace("_", " "): TruthPlan(**{v: True})
            if isinstance(v, str)
            else TruthPlan(ohm=v)
            for name, v in by_name.items()
        }
    }


def dual(herm: float, fan: float) -> dict:
    return {"sections": {"HERM": SectionPlan(true_uf=herm), "FAN": SectionPlan(true_uf=fan)}}


def test_an_overload_of_another_function_is_no_good_insulation(bench) -> None:
    """In farads the meter overloads on a weld; in ohms that would be good insulation."""
    it = bench("switch", "", ohms(closed=0.1, open="shorted"))
    it.start()
    it.hands(OHM, "leads: closed")
    it.later()
    it.hands("leads: air")
    it.later(2)
    it.hands(FARAD, "leads: open")
    it.later()
    assert it.check.step is Step.SET_FUNCTION
    it.take()
    assert it.words() == {"closed": ["pass"], "open": ["no reading"]}
    it.hands(OHM)
    it.later()
    assert it.words() == {"closed": ["pass"], "open": ["no reading", "fail"]}


def test_leads_left_on_the_last_part_are_never_read_for_the_next_one(bench) -> None:
    """The check of the next part begins, and the last one still hangs on the leads."""
    it = bench("fuse", "", ohms(fuse=0.1), ohms(fuse="open"))
    it.start()
    it.hands(OHM, "leads: fuse")
    it.later()
    assert it.words() == {"fuse": ["pass"]}
    it.begin(it.parts[0], it.kind)  # the hands have not changed the part
    it.later()
    assert (it.check.step, it.words()) == (Step.LIFT_LEADS, {})


def test_a_knob_that_is_turned_away_and_back_does_not_lift_the_leads(bench) -> None:
    """HERM is taken; while FAN is waited for, the leads still are on HERM."""
    it = bench("run-capacitor", "10/10 µF ±6 %", dual(10.0, 4.0))
    it.start()
    it.hands(FARAD, "leads: HERM")
    it.later()
    it.hands(VOLT)
    it.later(3)
    it.hands(FARAD)
    it.later()
    assert (it.check.step, it.words()) == (Step.LIFT_LEADS, {"HERM": ["pass"]})
    it.hands("leads: air")
    it.later(3)
    it.hands("leads: FAN")
    it.later()
    assert it.words() == {"HERM": ["pass"], "FAN": ["fail"]}


def test_a_knob_that_is_turned_away_and_back_does_not_operate_a_switch(bench) -> None:
    """Both readings are taken on the same terminals: only its state is another."""
    it = bench("switch", "", ohms(closed=0.1, open="open"))
    it.start()
    it.hands(OHM, "leads: closed")
    it.later()
    it.hands(VOLT)
    it.later(3)
    it.hands(OHM)
    it.later()
    assert it.words() == {"closed": ["pass"]}


@pytest.mark.parametrize("away", ["knob: AC current", "knob: resistance", "knob: DC voltage"])
def test_what_other_functions_show_of_a_live_line_does_not_lift_the_leads(bench, away: str) -> None:
    """An empty clamp shows 0 A, ohms on live terminals overload, DC volts of AC are 0 V."""
    truths = {n: TruthPlan(volts_ac=v) for n, v in (("L1-L2", 461), ("L2-L3", 380), ("L1-L3", 460))}
    amps = {f"amps L{n}": TruthPlan(amps_ac=7.0) for n in (1, 2, 3)}
    it = bench("motor-three-phase-running", "460 V, 7.6 A", {"truths": truths | amps})
    it.start()
    it.hands(VOLT, "leads: L1-L2")
    it.later()
    it.hands("leads: L1-L2", away)
    it.later(4)
    it.hands(VOLT)
    it.later()
    assert it.words() == {"L1-L2": ["pass"]}
    it.hands("leads: air")
    it.later(2)
    it.hands("leads: L2-L3")
    it.later()
    assert it.words() == {"L1-L2": ["pass"], "L2-L3": ["fail"]}


def test_on_the_same_terminals_the_knob_alone_is_turned(bench) -> None:
    """Capacitance, then the bleed resistor."""
    it = bench(
        "start-capacitor",
        "88-108 µF",
        {
            "sections": {"single": SectionPlan(true_uf=98)},
            "truths": {"bleed": TruthPlan(ohm=15e3)},
        },
    )
    it.start()
    it.hands(FARAD, "leads: single")
    it.later()
    it.hands(OHM)
    it.hands("leads: bleed")
    it.later()
    assert it.words() == {"single": ["pass"], "bleed": ["pass"]}


@pytest.mark.parametrize(("herm", "fan"), [(45.0, 5.0), (45.0, 3.9), (38.0, 5.0)])
def test_the_other_section_is_never_read_by_itself(bench, herm: float, fan: float) -> None:
    """FAN where HERM is expected, then HERM where FAN is."""
    it = bench("run-capacitor", "45/5 µF ±6 %", dual(herm, fan))
    it.start()
    it.hands(FARAD, "leads: FAN")
    it.later()
    if fan == 5.0:
        assert (it.check.step, it.words()) == (Step.LOOKS_LIKE_OTHER_SECTION, {})
    it = bench("run-capacitor", "45/5 µF ±6 %", dual(herm, fan))
    it.start()
    it.hands(FARAD, "leads: HERM")
    it.later()
    it.hands("leads: air")
    it.later(3)
    it.hands("leads: HERM")
    it.later()
    assert it.check.step is Step.LOOKS_LIKE_OTHER_SECTION
    assert set(it.words()) == {"HERM"}


def test_what_a_probe_shows_of_the_room_is_no_point_of_a_switch(bench) -> None:
    it = bench("temperature-cut-out", "opens 160 °F, closes 130 °F", ohms(contact=0.1), probe=True)
    it.later(25)
    it.start()
    it.hands(OHM, "leads: contact")
    it.later(40)
    assert (it.check.step, it.words()) == (Step.TYPE_IT, {"contact": ["pass"]})
    it.type("158 F")
    it.type("131 F")
    assert it.words() == {"contact": ["pass"], "opens": ["pass"], "closes": ["pass"]}


def test_one_probe_is_not_at_two_places_of_a_thermocouple_at_once(bench) -> None:
    it = bench(
        "sensor-thermocouple",
        "type K, class 1",
        {"truths": {"emf": TruthPlan(volts_dc=-0.0008)}, "celsius": 0.0},
        probe=True,
    )
    it.later(25)
    it.start()
    it.hands(DC, "leads: emf")
    it.later(40)
    assert (it.check.step, list(it.words())) == (Step.TYPE_IT, ["emf"])


def test_a_winding_that_was_not_measured_leaves_the_three_pairs_open(bench) -> None:
    it = bench("compressor-single-phase", "", {"truths": {
        "C-S": TruthPlan(ohm=3.1), "C-R": TruthPlan(ohm=0.9), "S-R": TruthPlan(ohm=4.0)}})  # fmt: skip
    it.start()
    for place in ("C-S", "C-R"):
        it.hands(OHM, f"leads: {place}")
        it.later()
        it.hands("leads: air")
        it.later(2)
    it.type("none")
    it.type("80 Mohm")
    verdict = it.check.verdict
    assert verdict is not None
    assert [c.word.value for c in verdict.conclusions] == ["no reading"]
    assert verdict.verdict.value == "no reading"
