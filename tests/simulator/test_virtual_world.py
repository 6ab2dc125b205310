"""The world of the simulated bench: air, stored charge, leads, power."""

import math

import pytest

from benchmeter.errors import InputError
from benchmeter.quantities.quantity import Quantity
from benchmeter.simulator.air import Air, RiseSegment, first_order, rise_at
from benchmeter.simulator.contact import KNOB, Lead
from benchmeter.simulator.virtual_parts import Part, Truth
from benchmeter.simulator.world import OutdoorUnit, World
from tests.fakes.refusals import refused

SECOND = 1_000_000_000

PARTS = [
    Part("old", "60 µF ±5 % 440 VAC", {"single": Truth(60e-6, open=True)}),
    Part("new", "50/7 µF ±5 % 440 VAC", {"HERM": Truth(50e-6), "FAN": Truth(7e-6)}),
    Part("dead", "50 µF ±5 % 440 VAC", {"single": Truth(0.0, shorted=True)}),
]


def unit(**changes: float) -> OutdoorUnit:
    values = {
        "restart_delay_s": 200.0,
        "dead_time_s": 10.0,
        "time_constant_s": 150.0,
        "cool_down_s": 100.0,
        "rise_k": 12.0,
        "stored_v": 60.0,
        "stored_f": 20e-6,
        "resistor_ohm": 18e3,
    }
    return OutdoorUnit(air=Air(20.0, 0.0, sway_k=0.0), **{**values, **changes})


def world(**changes: float) -> World:
    return World(PARTS, unit(**changes))


@pytest.mark.parametrize(
    ("taus", "done"),
    # 1 - exp(-n): mathematics.
    [(1, 0.632121), (2, 0.864665), (3, 0.950213), (4, 0.981684), (5, 0.993262)],
)
def test_the_first_order_curve_has_done_63_2_percent_after_one_time_constant(
    taus: int, done: float
) -> None:
    assert first_order(10.0, 20.0, 150.0, taus * 150.0) == pytest.approx(10 + 10 * done, abs=1e-5)


def test_the_rise_starts_after_delay_and_dead_time_and_follows_the_curve() -> None:
    it = world()
    it.do("power: on", 5 * SECOND)
    assert it.discharge_k(215 * SECOND) == it.outdoor_k(215 * SECOND)
    assert it.discharge_k(216 * SECOND) > it.outdoor_k(216 * SECOND)
    # 1 - exp(-1) of 12 K (mathematics).
    rise = it.discharge_k((215 + 150) * SECOND) - it.outdoor_k((215 + 150) * SECOND)
    assert rise == pytest.approx(12 * (1 - math.exp(-1)))


def test_power_off_cools_from_where_the_air_was_and_forgets_a_start_that_was_to_come() -> None:
    it = world()
    it.do("power: on", 0)
    it.do("power: off", 100 * SECOND)
    assert it.discharge_k(10_000 * SECOND) == pytest.approx(it.outdoor_k(0))
    it.do("power: on", 200 * SECOND)
    it.do("power: off", 10_000 * SECOND)
    warm = it.discharge_k(10_000 * SECOND) - it.outdoor_k(0)
    assert warm == pytest.approx(12.0)
    cooled = it.discharge_k(10_100 * SECOND) - it.outdoor_k(0)
    assert cooled == pytest.approx(12 * math.exp(-1))  # one time constant of 100 s


def test_the_rise_is_continuous_over_a_change_of_mind() -> None:
    segments = (RiseSegment(0, 10.0, 5.0), RiseSegment(7 * SECOND, 0.0, 9.0))
    before, after = rise_at(segments, 7 * SECOND), rise_at(segments, 7 * SECOND + 1)
    assert after == pytest.approx(before, abs=1e-6)


def test_outdoor_air_drifts() -> None:
    air = Air(20.0, 0.6, sway_k=0.0)
    assert air.outdoor_k(3600 * SECOND) - air.outdoor_k(0) == pytest.approx(0.6)


def test_stored_charge_drains_through_the_resistor_by_its_time_constant() -> None:
    it = world()
    # U = U0·exp(-t/RC), RC = 18 kΩ × 20 µF = 0.36 s (physics).
    it.do("resistor: on", SECOND)
    start = it.terminal_volts(SECOND)
    assert start == pytest.approx(60.0, abs=0.5)
    assert it.terminal_volts(SECOND + 360_000_000) == pytest.approx(start / math.e)
    assert it.terminal_volts(4 * SECOND) < 5


def test_without_a_resistor_the_charge_stays() -> None:
    assert world().terminal_volts(60 * SECOND) > 40


def test_power_charges_the_terminals_again() -> None:
    it = world()
    it.do("resistor: on", 0)
    it.do("power: on", 10 * SECOND)
    it.do("resistor: off", 11 * SECOND)
    it.do("power: off", 20 * SECOND)
    assert it.terminal_volts(20 * SECOND) == pytest.approx(60.0)


def test_what_is_between_the_leads_follows_the_hands() -> None:
    it = world()
    assert it.contact().lead is Lead.AIR
    it.do("leads: single", SECOND)
    assert (it.contact().lead, it.contact().between.open) == (Lead.PART, True)
    assert it.contact().since_ns == SECOND
    it.do("part: new", 2 * SECOND)
    assert (it.contact().lead, it.contact().since_ns) == (Lead.AIR, 2 * SECOND)
    it.do("leads: FAN", 3 * SECOND)
    assert (it.contact().lead, it.contact().between) == (Lead.PART, Truth(7e-6))
    it.do("part: dead", 4 * SECOND)
    it.do("leads: single", 5 * SECOND)
    assert it.contact().between.shorted


def test_doing_what_is_done_changes_nothing() -> None:
    it = world()
    it.do("part: new", 0)
    it.do("leads: HERM", SECOND)
    it.do("leads: HERM", 2 * SECOND)
    it.do("part: new", 3 * SECOND)
    assert it.contact().since_ns == SECOND


def test_only_sections_of_the_part_in_hand_are_offered() -> None:
    it = world()
    with refused(InputError, match="leads: HERM"):
        it.do("leads: HERM", 0)
    it.do("part: new", 0)
    assert {c.name for c in it.choices() if c.group == "leads"} == {
        "leads: air",
        "leads: terminals",
        "leads: HERM",
        "leads: FAN",
    }


def test_live_terminals_are_not_for_leads() -> None:
    it = world()
    it.do("leads: terminals", 0)
    it.do("power: on", SECOND)
    assert it.contact().lead is Lead.AIR
    with pytest.raises(InputError):
        it.do("leads: terminals", 2 * SECOND)


def test_one_choice_of_each_group_is_active_and_parts_show_their_label() -> None:
    choices = world().choices()
    for group in {choice.group for choice in choices}:
        assert sum(c.active for c in choices if c.group == group) == 1
    assert {c.label for c in choices if c.group == "part"} == {part.label for part in PARTS}
    assert all(c.title for c in choices)


def bench(count: int = 3, knob: Quantity | None = Quantity.RESISTANCE) -> World:
    parts = [Part(f"part {n}", "", {"coil": Truth(ohm=10.0 + n)}) for n in range(1, count + 1)]
    return World(parts, None, knob=knob, room_c=20.0)


def in_group(it: World, group: str) -> list[str]:
    return [c.name for c in it.choices() if c.group == group]


def test_without_a_unit_there_is_no_power_and_without_a_charge_no_resistor() -> None:
    assert {c.group for c in bench().choices()} == {"leads", "part", "knob"}
    charged = World([Part("p", "", {"single": Truth(1e-6, stored_v=9.0)})], None)
    assert {c.group for c in charged.choices()} == {"leads", "part", "resistor"}


def test_the_knob_is_offered_where_there_is_one_and_the_tips_can_be_held_together() -> None:
    it = bench()
    assert in_group(it, "knob") == [f"knob: {q.value}" for q in KNOB]
    it.do("knob: AC voltage", SECOND)
    assert it.knob() is Quantity.VOLTAGE_AC
    assert it.contact().since_ns == SECOND  # the meter sees anew
    it.do("leads: together", 2 * SECOND)
    assert it.contact().lead is Lead.TOGETHER
    assert in_group(bench(knob=None), "knob") == []
    assert "leads: together" not in in_group(bench(knob=None), "leads")


def test_a_long_shelf_can_be_gone_through_part_by_part_and_round() -> None:
    assert in_group(bench(9), "part") == [f"part: part {n}" for n in range(1, 10)]
    it = bench(40)
    assert in_group(it, "part")[:3] == ["part: next", "part: previous", "part: part 1"]

    def in_hand() -> str:
        return next(c.title for c in it.choices() if c.group == "part" and c.active)

    it.do("leads: coil", 0)
    it.do("part: next", SECOND)
    assert (in_hand(), it.contact().lead) == ("part 2", Lead.AIR)
    it.do("part: next", SECOND)
    it.do("part: previous", SECOND)
    it.do("part: previous", SECOND)
    it.do("part: previous", SECOND)
    assert in_hand() == "part 40"
    it.do("part: next", SECOND)
    assert in_hand() == "part 1"


def test_a_part_has_the_temperature_of_the_room_or_its_own() -> None:
    it = World(
        [Part("a", "", {"s": Truth(ohm=1.0)}), Part("b", "", {"s": Truth(ohm=1.0)}, celsius=0.0)],
        None,
        room_c=20.0,
    )
    assert it.part_k(0) == it.room_k(0) == pytest.approx(293.15)
    it.do("part: b", SECOND)
    assert it.part_k(SECOND) == pytest.approx(273.15)
