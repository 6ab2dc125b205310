"""The fold from outcomes to what the window shows. No Qt."""

import math
from decimal import Decimal

from benchmeter.checking.check import begin_check, see_volts
from benchmeter.checking.safety import MadeSafe
from benchmeter.cooling.recovery import Phase
from benchmeter.files.resources import resource
from benchmeter.links.instruments.setup import Role
from benchmeter.parts.catalogue import kind_text, read_part_kind
from benchmeter.readings.events import Event, EventKind
from benchmeter.readings.inputs import BeginCheck
from benchmeter.session.acquisition.channel_state import ChannelStatus
from benchmeter.session.outcome import Notice, Outcome, Severity
from benchmeter.window.control.session_model import BenchView
from tests.fakes import bench_states as made

S = made.SECOND


def _view() -> BenchView:
    return BenchView(made.SETUP)


def test_the_newest_pulse_of_each_channel_is_kept() -> None:
    view = _view()
    view.take([made.bench_outcome(ChannelStatus.MOVING, at_s=1)])
    changes = view.take([made.bench_outcome(ChannelStatus.SETTLED, at_s=2)])
    pulse = view.pulse_of(Role.CAPACITOR)
    assert pulse is not None and pulse.state is ChannelStatus.SETTLED
    assert changes.pulses and view.now_ns == 2 * S


def test_a_verdict_is_told_once_and_the_check_is_kept() -> None:
    view = _view()
    check = made.judged_check(made.FAN_BAD)
    assert view.take([made.bench_outcome(check=check)]).judged == [check]
    assert view.take([Outcome(21 * S)]).judged == []
    assert view.check is check and view.checks == {1: check}


def test_checks_of_further_parts_stand_beside_the_first() -> None:
    view = _view()
    old, new = made.judged_check(made.FAN_BAD), made.new_check(2, "replacement")
    view.take([made.bench_outcome(check=old), made.bench_outcome(check=new)])
    assert view.check is new and list(view.checks) == [1, 2]


def test_temperatures_make_a_trace_and_a_missing_value_is_a_gap() -> None:
    view = _view()
    outcomes = [Outcome(r.time_ns, readings=(r,)) for r in made.temperatures(3)]
    changes = view.take(outcomes)
    assert changes.traces == {"discharge", "outdoor"}
    gap = made.reading("discharge", 3, None)
    assert view.take([Outcome(3 * S, readings=(gap,))]).traces == {"discharge"}
    times, values = view.traces["discharge"].taken()
    assert list(times) == [0, 1, 2, 3]
    assert math.isnan(values[3]) and not math.isnan(values[2])


def test_what_was_taken_from_a_trace_is_neither_kept_nor_given_again() -> None:
    view = _view()
    view.take([Outcome(r.time_ns, readings=(r,)) for r in made.temperatures(3)])
    view.traces["discharge"].taken()
    view.take([Outcome(3 * S, readings=(made.reading("discharge", 3, 300.0),))])
    times, values = view.traces["discharge"].taken()
    assert (list(times), list(values)) == ([3], [300.0])
    assert len(view.traces["discharge"].times_s) == 0


def test_a_gap_event_breaks_the_line() -> None:
    view = _view()
    view.take([Outcome(r.time_ns, readings=(r,)) for r in made.temperatures(2)])
    gap = Event(EventKind.GAP, 5 * S // 2, "discharge", until_ns=9 * S)
    view.take([Outcome(9 * S, events=(gap,))])
    assert math.isnan(view.traces["discharge"].values_k[-1])


def test_a_capacitance_is_no_temperature() -> None:
    view = _view()
    view.take([Outcome(S, readings=(made.reading("capacitor", 1, 44e-6),))])
    assert view.traces == {}


def test_the_residual_voltage_counts_until_power_comes_back() -> None:
    """After power is back the part may be charged again (trade.md, make safe)."""
    view = _view()
    view.take([Outcome(S, made_safe=MadeSafe(S, 0.4, typed=False))])
    assert view.made_safe is not None and view.made_safe.safe
    power = Event(EventKind.POWER_RESTORED, 2 * S)
    changes = view.take([Outcome(2 * S, events=(power,), made_safe=MadeSafe(2 * S, None, False))])
    assert changes.made_safe and view.made_safe is None


def test_leads_that_show_nothing_do_not_take_back_what_was_measured() -> None:
    view = _view()
    view.take([Outcome(S, made_safe=MadeSafe(S, 0.4, typed=False))])
    view.take([Outcome(2 * S, made_safe=MadeSafe(2 * S, None, typed=False))])
    assert view.made_safe is not None and view.made_safe.safe


def test_volts_above_the_limit_bring_the_caution_back() -> None:
    view = _view()
    view.take([Outcome(S, made_safe=MadeSafe(S, 0.4, typed=False))])
    view.take([Outcome(2 * S, made_safe=MadeSafe(2 * S, -61.0, typed=False))])
    assert view.made_safe is not None and not view.made_safe.safe


def test_winding_back_begins_everything_anew_but_keeps_notices() -> None:
    view = _view()
    notice = Notice(Severity.INFO, "probe 2 is connected")
    view.take(made.unit_outcomes(Phase.RISING, 200))
    changes = view.take([Outcome(201 * S, notices=(notice,)), Outcome(S)])
    assert changes.restarted and changes.notices == [notice]
    assert view.traces == {} and view.recovery is None and view.now_ns == S


def test_the_volts_of_the_last_part_are_not_those_of_the_next_one() -> None:
    """Its charge is not known: the caution comes back, and the volts can be typed again."""
    kind = kind_text(read_part_kind(resource("parts") / "start-relay.toml"))
    view = _view()
    for number in (1, 2):
        command = BeginCheck(time_ns=0, part=f"relay {number}", label="", kind=kind)
        check = begin_check(number, command, Decimal(0))
        changes = view.take([Outcome(number * S, check=check)])
        assert changes.made_safe and view.made_safe is None
        safe = MadeSafe(number * S, 0.3, typed=True)
        view.take([Outcome(number * S, check=see_volts(check, safe), made_safe=safe)])
        assert view.made_safe == safe
