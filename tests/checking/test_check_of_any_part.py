"""The fold of a check of other parts: the knob, ohms, charge, what is typed, conclusions.

What a good part reads is common practice, no source, unless it is said at the check.
"""

from decimal import Decimal

import pytest
from msgspec.structs import replace

from benchmeter.checking.check import (
    MeterState,
    PartCheck,
    Step,
    begin_check,
    follow,
    see_safety,
    select,
    take_by_hand,
    typed,
)
from benchmeter.checking.commands import BeginCheck
from benchmeter.conformity.lead_offset import LeadOffsets
from benchmeter.conformity.verdict import Budget, Reason, Verdict
from benchmeter.errors import InputError
from benchmeter.files.resources import resource
from benchmeter.parts.kind_catalogue import read_part_kind
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.channel_status import ChannelStatus
from tests.fakes.charge import left
from tests.fakes.refusals import refused

OHMS = Quantity.RESISTANCE
SAFE = left(0.2)


def begin(kind: str, label: str = "", number: int = 1, **more) -> PartCheck:
    before = more.pop("before", None)
    ohm = Decimal(more.pop("lead_offset_ohm", "0"))
    read = read_part_kind(resource("parts") / f"{kind}.toml")
    command = BeginCheck(time_ns=0, part="x", label=label, kind=read, **more)
    return begin_check(number, command, Decimal(0), before, ohm)


def shows(
    value: str | None,
    quantity: Quantity = OHMS,
    state: ChannelStatus = ChannelStatus.SETTLED,
    resolution: str = "0.01",
) -> MeterState:
    shown = None if value is None else Decimal(value)
    window = (shown,) * 5 if shown is not None and state is ChannelStatus.SETTLED else ()
    return MeterState(7, state, shown, Decimal(resolution), str(value), window, quantity)


OL = shows(None, state=ChannelStatus.OVERLOAD)


def see(check: PartCheck, *sights: MeterState | str) -> PartCheck:
    for s in sights:
        check = follow(check, shows(s) if isinstance(s, str) else s)
    return check


def compressor(**more) -> PartCheck:
    return see_safety(begin("compressor-single-phase", label="tester 500 V", **more), SAFE)


def test_the_pairs_of_a_winding_are_taken_by_themselves_with_the_leads_lifted_between():
    check = see(compressor(), OL, "2.60")
    assert (check.expected, check.step) == ("C-R", Step.LIFT_LEADS)
    check = see(check, "2.60", "2.61")
    assert check.sections[1].taken == ()
    check = see(check, OL, "0.80", OL, "3.40")
    assert [bool(s.taken) for s in check.sections] == [True, True, True, False]
    assert (check.expected, check.step) == ("to case", Step.LIFT_LEADS)
    check = typed(see(check, OL), 9, "20 Mohm")
    assert check.verdict is not None
    assert check.verdict.verdict is Verdict.PASS
    assert check.verdict.conclusions[0].word is Verdict.PASS


def test_pairs_that_do_not_add_up_fail_the_part():
    check = see(compressor(accuracy="0.5 % + 2 x 0.01 ohm"), OL, "2.60", OL, "0.80", OL, "5.00")
    check = typed(check, 9, "20 Mohm")
    assert check.verdict is not None
    assert check.verdict.verdict is Verdict.FAIL
    assert {s.verdict for s in check.verdict.sections} == {Verdict.MEASURED, Verdict.PASS}


def test_an_open_winding_is_taken_by_hand_only():
    check = see(compressor(), OL, OL)
    assert check.step is Step.NOTHING_BETWEEN_LEADS
    assert check.sections[0].taken == ()
    check = take_by_hand(check, OL)
    taken = check.sections[0].taken[0].verdict
    assert (taken.verdict, taken.reason) == (Verdict.OPEN, Reason.OVERLOAD)


def test_overload_to_case_is_good_insulation():
    check = typed(select(compressor(), "to case"), 3, "OL")
    assert check.sections[3].taken[0].verdict.verdict is Verdict.PASS


def test_what_no_meter_shows_is_never_taken_from_the_meter():
    check = see(select(compressor(), "to case"), OL, "20000000")
    assert check.step is Step.TYPE_IT
    assert check.sections[3].taken == ()


def test_a_knob_at_another_function_is_noticed_and_its_value_never_taken():
    check = see(compressor(), shows("2.60e-6", Quantity.CAPACITANCE))
    assert check.step is Step.SET_FUNCTION
    check = take_by_hand(check, shows("2.60e-6", Quantity.CAPACITANCE))
    taken = check.sections[0].taken[0].verdict
    assert (taken.verdict, taken.reason) == (Verdict.NO_READING, Reason.WRONG_FUNCTION)
    assert check.expected == "C-S"


def test_the_beeper_of_the_ohms_is_no_other_function():
    check = see(compressor(), OL, shows("2.60", Quantity.CONTINUITY))
    assert check.sections[0].taken


def test_nothing_is_taken_by_itself_before_the_volts_left_are_known():
    check = begin("compressor-single-phase")
    check = see(check, OL, "2.60", "2.60")
    assert check.step is Step.MAKE_SAFE
    assert check.sections[0].taken == ()
    check = see(see_safety(check, SAFE), OL, "2.60")
    assert check.sections[0].taken


def test_a_charged_part_is_not_measured_by_itself_even_in_a_carton():
    check = begin("run-capacitor", "45 µF ±6 % 440 V", lot="box 7")
    assert see(check, shows("4.5e-5", Quantity.CAPACITANCE, resolution="1e-8")).sections[0].taken
    charged = see_safety(check, left(310.0))
    charged = see(charged, shows("4.5e-5", Quantity.CAPACITANCE, resolution="1e-8"))
    assert (charged.step, charged.sections[0].taken) == (Step.MAKE_SAFE, ())


def test_nothing_is_taken_by_hand_of_a_part_that_shows_volts():
    check = see_safety(begin("compressor-single-phase"), left(310.0))
    with refused(InputError, match=r"310.0 volts are left"):
        take_by_hand(check, OL)
    assert take_by_hand(see_safety(check, SAFE), OL).sections[0].taken


def test_of_a_label_alone_a_charge_counts_once_it_is_seen():
    told = begin_check(1, BeginCheck(time_ns=0, part="", label="45 µF ±6 %"), Decimal(0))
    named = begin("run-capacitor", "45 µF ±6 %")
    assert (told.kind.name, told.kind_named) == (named.kind.name, False)
    assert (told.safety.proof_needed, named.safety.proof_needed) == (False, True)
    charged = see_safety(told, left(310.0))
    shown = see(charged, shows("4.5e-5", Quantity.CAPACITANCE, resolution="1e-8"))
    assert (shown.step, shown.sections[0].taken) == (Step.MAKE_SAFE, ())
    with refused(InputError, match=r"310.0 volts are left"):
        take_by_hand(charged, OL)


def test_a_new_part_does_not_inherit_the_volts_of_the_last_one():
    first = see(compressor(), OL, "2.60", OL, "0.80", OL, "3.40")
    second = begin("compressor-single-phase", number=2, before=typed(first, 9, "20 Mohm"))
    assert second.residual is None
    assert second.safety.to_be_made_safe


def test_the_joined_leads_are_taken_off_every_resistance():
    check = see(compressor(lead_offset_ohm="0.20"), OL, "2.80")
    assert check.sections[0].taken[0].verdict.reading_si == Decimal("2.60")


@pytest.mark.parametrize("offset", ["-0.1", "2.5"])
def test_leads_that_no_leads_have_are_refused(offset: str):
    with refused(InputError, match="Test leads"):
        compressor(lead_offset_ohm=offset)


def test_poles_of_a_contactor_are_judged_open_and_closed():
    check = see(begin("contactor", "coil 9-14 ohm"), OL, "11.5")
    assert check.sections[0].taken[0].verdict.verdict is Verdict.PASS
    for expected in ("L1-T1", "L2-T2"):
        assert check.expected == f"{expected} at rest"
        check = take_by_hand(see(check, OL), OL)
        assert check.expected == f"{expected} closed"
        check = see(check, OL, "0.12")
    assert check.verdict is not None
    assert check.verdict.verdict is Verdict.PASS


def test_a_welded_pole_fails_the_contactor():
    check = see(begin("contactor", "coil 9-14 ohm"), OL, "11.5", OL, "0.10")
    welded = check.sections[1].taken[0].verdict
    assert (welded.verdict, welded.reason) == (Verdict.FAIL, Reason.BELOW_ACCURACY_UNKNOWN)


def test_a_shorted_coil_is_a_finding_of_its_own():
    check = see(begin("contactor", "coil 9-14 ohm"), OL, "0.30")
    assert check.sections[0].taken[0].verdict.verdict is Verdict.SHORTED


# 240 V, 1500 W: 57 600 / 1500 = 38.4 ohm, ±10 % (Ohm's law): 34.56 to 42.24.
@pytest.mark.parametrize(
    ("ohm", "word"),
    [
        ("34.55", Verdict.FAIL),
        ("34.56", Verdict.PASS),
        ("42.24", Verdict.PASS),
        ("42.25", Verdict.FAIL),
    ],
)
def test_a_heater_is_judged_by_its_volts_and_watts(ohm: str, word: Verdict):
    check = see(begin("heater", "240 V, 1500 W"), OL, ohm)
    assert check.sections[0].taken[0].verdict.verdict is word


def test_a_probe_is_taken_by_hand_for_only_a_person_knows_where_it_is():
    check = begin("sensor-pt100", "pt100 class B")
    ohms = next(s for s in check.sections if s.section.quantity is OHMS)
    probe = next(s for s in check.sections if s.section.quantity is Quantity.TEMPERATURE)
    check = see(select(check, ohms.section.name), OL, "109.73")
    check = select(check, probe.section.name)
    at_25_c = shows("298.15", Quantity.TEMPERATURE)
    check = see(check, at_25_c, at_25_c)
    assert (check.step, check.verdict) == (Step.TYPE_IT, None)
    check = take_by_hand(check, at_25_c)
    # IEC 60751:2022 table 1: 109.73 ohm at 25 °C.
    assert check.verdict is not None
    assert check.verdict.verdict in (Verdict.PASS, Verdict.CONDITIONAL_PASS)


@pytest.mark.parametrize(
    ("kind", "label", "section"),
    [
        ("temperature-cut-out", "opens 160 °F, closes 130 °F", "opens"),
        ("temperature-cut-out", "opens 160 °F, closes 130 °F", "closes"),
        ("sensor-thermocouple", "type K, class 1", "terminals"),
        ("sensor-thermocouple", "type K, class 1", "probe"),
    ],
)
def test_a_probe_that_must_be_somewhere_else_first_is_never_read_by_itself(kind, label, section):
    check = see(select(begin(kind, label), section), shows("295.15", Quantity.TEMPERATURE))
    assert check.step is Step.TYPE_IT
    assert not any(s.taken for s in check.sections)
    check = take_by_hand(check, shows("295.15", Quantity.TEMPERATURE))
    assert [bool(s.taken) for s in check.sections if s.section.name == section] == [True]


def test_the_kind_that_was_checked_is_kept_with_the_check():
    assert compressor().kind == read_part_kind(resource("parts") / "compressor-single-phase.toml")


def test_an_accuracy_for_another_function_says_nothing_of_this_one():
    check = see(compressor(accuracy="capacitance 1 % + 2 counts"), OL, "2.60")
    assert check.sections[0].taken[0].verdict.expanded_uncertainty_si is None


def test_ohms_below_zero_are_taken_by_hand_only():
    """0.0 Ω less the 0.2 Ω of the leads: they were joined otherwise when they were nulled."""
    check = see(begin("contactor", "24 V", lead_offset_ohm="0.2"), OL)
    check = see(select(check, "L1-T1 closed"), "0.0", "0.0", "0.0")
    assert check.step is Step.UNLIKELY
    assert all(not s.taken for s in check.sections)
    check = take_by_hand(check, shows("0.0"))
    taken = next(s.taken for s in check.sections if s.section.name == "L1-T1 closed")
    assert [t.verdict.reason for t in taken] == [Reason.BELOW_ZERO]


def test_a_short_that_reads_as_the_leads_alone_is_not_taken_twice_from_leads_that_stay():
    """0.2 Ω less the 0.2 Ω of the leads is nothing, and the last digit of a meter never rests."""
    label = "primary 240 V, secondary 24 V, 40 VA"
    check = see_safety(begin("transformer", label, lead_offset_ohm="0.2"), SAFE)
    check = see(select(check, "windings apart"), OL, shows("0.20002", resolution="0"))
    assert [s.section.name for s in check.sections if s.taken] == ["windings apart"]
    check = see(select(check, "core"), shows("0.20000", resolution="0"))
    assert check.step is Step.LIFT_LEADS
    assert [s.section.name for s in check.sections if s.taken] == ["windings apart"]


def test_a_record_of_the_first_budget_takes_the_leads_as_exact():
    """As it was judged then."""
    leads = LeadOffsets(farad_u=2e-9, ohm_u=0.03)
    begun = BeginCheck(time_ns=0, part="a", label="45 µF ±6 %")
    for budget, known in ((Budget.FIRST, (0.0, 0.0)), (Budget.WHOLE, (2e-9, 0.03))):
        check = begin_check(1, replace(begun, budget=budget), Decimal(0), lead_offset_u=leads)
        assert (check.lead_offset_u_si, check.lead_offset_u_ohm) == known
