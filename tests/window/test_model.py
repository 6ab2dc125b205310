"""The fold from outcomes to what the window shows. No Qt."""

import math

from benchmeter.cooling.recovery import Phase
from benchmeter.errors import Message
from benchmeter.links.instruments.setup import Role
from benchmeter.readings.events import Event, EventKind
from benchmeter.session.acquisition.channel_state import ChannelStatus
from benchmeter.session.outcome import Notice, Outcome, Severity
from benchmeter.window.control.session_model import BenchView
from tests.fakes import bench_states as made
from tests.fakes.charge import left
from tests.fakes.outcomes import outcome

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


def test_what_is_known_of_the_charge_is_kept_until_it_changes() -> None:
    view = _view()
    for volts in (0.4, -61.0, None):
        changes = view.take([outcome(S, safety=left(volts))])
        assert changes.safety and view.safety == left(volts)
    assert not view.take([Outcome(2 * S)]).safety and view.safety == left(None)


def test_winding_back_begins_everything_anew_but_keeps_notices() -> None:
    view = _view()
    notice = Notice(Severity.INFO, Message("tasks.session_over"))
    view.take(made.unit_outcomes(Phase.RISING, 200))
    changes = view.take([Outcome(201 * S, notices=(notice,)), Outcome(S)])
    assert changes.restarted and changes.notices == [notice]
    assert view.traces == {} and view.recovery is None and view.now_ns == S
