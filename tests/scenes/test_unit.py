"""The unit's page without a window."""

from dataclasses import replace

import pytest

from benchmeter.checking.channel_roles import ChannelRoles
from benchmeter.checking.commands import PowerRestored
from benchmeter.cooling.recovery import Phase
from benchmeter.links.instruments.setup import BenchSetup
from benchmeter.scenes.session_view import Activity, SessionView
from benchmeter.scenes.unit import NOTHING, Figure, UnitAct, UnitState, unit_scene
from benchmeter.words.presentation import Presentation
from benchmeter.words.recovery_words import judgement_words, phase_words
from tests.fakes import bench_states as made

ROLES = ChannelRoles(made.SETUP.channels)

LIVE = SessionView(activity=Activity.LIVE, setup=made.SETUP, roles=ROLES)
NO_PROBES = replace(
    LIVE, setup=BenchSetup(origin="serial", links=(), channels=()), roles=ChannelRoles(())
)
FAHRENHEIT = Presentation(temperature_unit="°F", decimal_sign=",")


@pytest.mark.parametrize(
    ("view", "state", "said", "details"),
    [
        (SessionView(), UnitState.FIRST_STEPS, "Connect a probe, or press B", ""),
        (NO_PROBES, UnitState.NO_PROBE, "Connect a probe in the discharge air", "as “discharge”"),
        (LIVE, UnitState.WAITING, "Put the probes into the air and wait", ""),
    ],
)
def test_what_is_said_before_there_is_a_recovery(
    view: SessionView, state: UnitState, said: str, details: str
) -> None:
    shown = unit_scene(view)
    assert shown.state is state and shown.next_step.startswith(said)
    assert details in shown.details and set(shown.figures.values()) == {NOTHING}


@pytest.mark.parametrize("phase", Phase)
@pytest.mark.parametrize("tell", [Presentation(), FAHRENHEIT])
def test_line_and_details_say_all_of_the_phase_once(phase: Phase, tell: Presentation) -> None:
    recovery = made.recovery(phase, 600)
    shown = unit_scene(replace(LIVE, recovery=recovery, presentation=tell))
    whole, judged = phase_words(recovery, tell), judgement_words(recovery, tell)
    said = f"{shown.next_step} {shown.details}".strip()
    assert shown.state is UnitState.FOLLOWED
    assert said.startswith(whole) and said.removeprefix(whole).strip() in ("", judged)
    assert shown.details == "" or len(whole) > 80 or shown.details == judged


def test_the_figures_are_in_the_persons_units() -> None:
    settled = unit_scene(
        replace(LIVE, recovery=made.recovery(Phase.SETTLED, 600), presentation=FAHRENHEIT)
    ).figures
    # 307.6 K are 94.0 °F, 295.37 K are 72.0 °F; the difference of 12.23 K is 22.0 °F.
    assert settled[Figure.SETTLED].startswith("94,0 °F")
    assert settled[Figure.OUTDOOR].startswith("72,0")
    assert settled[Figure.RISE].startswith("22")
    assert settled[Figure.LEFT] == NOTHING
    rising = unit_scene(replace(LIVE, recovery=made.recovery(Phase.RISING, 320))).figures
    assert "min" in rising[Figure.LEFT] and rising[Figure.DISCHARGE].endswith("°C")


@pytest.mark.parametrize("activity", Activity)
def test_what_can_be_done(activity: Activity) -> None:
    shown = unit_scene(replace(LIVE, activity=activity))
    acts = activity in (Activity.LIVE, Activity.HANDS, Activity.STORY)
    assert all(offer.offered is acts for offer in shown.actions.values())
    assert shown.actions[UnitAct.POWER].command == PowerRestored(time_ns=0)
    assert shown.ways_to_begin is (activity is Activity.ENDED)
