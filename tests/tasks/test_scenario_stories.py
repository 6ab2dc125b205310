"""What the scenarios tell, through the whole measuring chain: what is true in them comes out."""

from collections.abc import Callable

import pytest

from benchmeter.conformity.verdict import Reason, Verdict
from benchmeter.cooling.recovery import Phase, Recovery, RiseJudgement
from benchmeter.links.instruments.setup import Role
from benchmeter.readings.events import EventKind
from benchmeter.readings.status import Status
from benchmeter.session.outcome import Outcome
from benchmeter.simulator.scenario import load_scenario
from tests.fakes.outcomes import judged_in, recovery_in, safety_in
from tests.fakes.played import Played


def verdicts(outcomes: list[Outcome]) -> dict[str, tuple[Verdict, float]]:
    """By part: its verdict, and when, in seconds."""
    return {
        check.part: (check.verdict.verdict, o.time_ns / 1e9)
        for o in outcomes
        if (check := judged_in(o)) and check.verdict
    }


def last_recovery(outcomes: list[Outcome]) -> Recovery:
    return [found for o in outcomes if (found := recovery_in(o))][-1]


def the_walk_in_cooler_is_found_mended_and_recovers(played: Played) -> None:
    plan = load_scenario("walk-in-cooler", played.folders).plan
    outcomes = played.outcomes
    found = verdicts(outcomes)
    assert {part: word for part, (word, _) in found.items()} == {
        "old part": Verdict.OPEN,
        "replacement 1": Verdict.FAIL,
        "replacement 2": Verdict.PASS,
    }
    assert found["old part"][1] < 45
    volts = [r for o in outcomes for r in o.readings if r.channel == Role.RESIDUAL]
    before_s = found["old part"][1]
    assert max(r.value or 0 for r in volts) > 50  # the charge was there
    safe = [r for r in volts if r.time_ns < 7e9][-1]
    assert safe.value is not None and abs(safe.value) < 5 and safe.time_ns / 1e9 < before_s
    recovery = last_recovery(outcomes)
    assert recovery.phase is Phase.SETTLED
    assert recovery.judgement is RiseJudgement.USUAL
    assert recovery.rise_k is not None
    assert recovery.rise_k.value == pytest.approx(plan.unit.rise_k, abs=0.5)
    power_s, dead_s = 205.0, plan.unit.dead_time_s
    assert recovery.start_ns is not None
    assert recovery.start_ns / 1e9 == pytest.approx(
        power_s + plan.unit.restart_delay_s + dead_s, abs=15
    )


def the_short_visit_ends_with_a_good_part_and_a_rise(played: Played) -> None:
    outcomes = played.outcomes
    assert verdicts(outcomes)["old part"][0] is Verdict.PASS
    assert last_recovery(outcomes).phase is Phase.RISING


def the_handheld_cannot_quite_tell(played: Played) -> None:
    outcomes = played.outcomes
    assert verdicts(outcomes)["old part"][0] is Verdict.CONDITIONAL_PASS
    assert last_recovery(outcomes).phase is Phase.RISING


def troubled_links_never_make_a_wrong_value(played: Played) -> None:
    outcomes = played.outcomes
    judged = [check for o in outcomes if (check := judged_in(o))]
    old, new = (check.verdict for check in judged)
    assert old is not None and old.sections[0].reason is Reason.OVERLOAD
    assert new is not None and new.verdict is Verdict.PASS
    readings = [r for o in outcomes for r in o.readings]
    capacitances = [r for r in readings if r.channel == Role.CAPACITOR and r.value is not None]
    # Nothing but stray picofarads and the part, creeping up from 5 % below.
    assert all(r.value < 0.1e-9 or 23e-6 < r.value < 25.2e-6 for r in capacitances if r.value)
    statuses = {r.status for r in readings}
    assert {Status.OVERLOAD, Status.WRONG_FUNCTION, Status.NO_CONTACT} <= statuses


def the_shelf_is_judged_with_one_meter_whose_knob_is_turned(played: Played) -> None:
    outcomes = played.outcomes
    assert {part: word for part, (word, _) in verdicts(outcomes).items()} == {
        "compressor, bakery": Verdict.PASS,
        "heater, burnt through": Verdict.OPEN,
        "contactor, welded": Verdict.FAIL,
        "capacitor, still charged": Verdict.PASS,
        "sensor, wrong curve": Verdict.FAIL,
    }
    turned = [e.quantity.value for o in outcomes for e in o.events if e.kind is EventKind.FUNCTION]
    ohms, volts, farads = "resistance", "DC voltage", "capacitance"
    assert turned == [farads, ohms, volts, ohms, volts, farads, ohms]
    seen = [s.volts for o in outcomes if (s := safety_in(o)) and s.volts]
    residual = max(volts.residual_v for volts in seen)
    assert residual == pytest.approx(268, abs=3)  # the charge was there, and was drained
    assert not [n for o in outcomes for n in o.notices]


def no_reading_of_the_turned_meter_is_of_the_wrong_quantity(played: Played) -> None:
    most = {"capacitance": 50e-6, "resistance": 60e6, "DC voltage": 300.0}
    least = {"capacitance": 0.0, "resistance": 0.1, "DC voltage": -1.0}
    function = ""
    for outcome in played.outcomes:
        for event in outcome.events:
            if event.kind is EventKind.FUNCTION:
                function = event.quantity.value
        for reading in outcome.readings:
            if reading.channel == Role.METER and reading.value is not None:
                assert least[function] - 1e-9 <= reading.value <= most[function]


def the_carton_has_good_ones_and_a_low_one(played: Played) -> None:
    found = verdicts(played.outcomes)
    assert {part: word for part, (word, _) in found.items()} == {
        "1": Verdict.PASS,
        "2": Verdict.PASS,
        "7": Verdict.FAIL,
    }


STORIES: dict[str, tuple[Callable[[Played], None], ...]] = {
    "walk-in-cooler": (the_walk_in_cooler_is_found_mended_and_recovers,),
    "short-visit": (the_short_visit_ends_with_a_good_part_and_a_rise,),
    "handheld-and-modbus": (the_handheld_cannot_quite_tell,),
    "troubled-links": (troubled_links_never_make_a_wrong_value,),
    "shop-bench": (
        the_shelf_is_judged_with_one_meter_whose_knob_is_turned,
        no_reading_of_the_turned_meter_is_of_the_wrong_quantity,
    ),
    "carton-of-forty": (the_carton_has_good_ones_and_a_low_one,),
}


def test_the_story_comes_out(played: Played) -> None:
    for holds in STORIES[played.scenario]:
        holds(played)
