"""The unit: is it fixed?"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from benchmeter.checking.commands import PowerRestored
from benchmeter.cooling.recovery import Phase, Recovery
from benchmeter.links.instruments.setup import Role
from benchmeter.scenes.offer import Offer, marker_line
from benchmeter.scenes.session_view import Activity, SessionView
from benchmeter.words.durations import duration_text
from benchmeter.words.presentation import Presentation
from benchmeter.words.recovery_words import estimate_text, judgement_words, phase_told
from benchmeter.words.temperatures import difference_text, temperature_text

__all__ = ["Figure", "UnitAct", "UnitScene", "UnitState", "unit_scene"]

NOTHING = "–"
_LONG = 80  # characters that fit into the line above


class UnitState(StrEnum):
    """What the unit's page shows."""

    FIRST_STEPS = "first steps"  # nothing has begun
    NO_PROBE = "no probe"  # none is in the discharge air
    WAITING = "waiting"  # for the first readings
    FOLLOWED = "followed"  # the recovery is told


class Figure(StrEnum):
    """The figures, in their order."""

    SETTLED = "settled"
    DISCHARGE = "discharge"
    LEFT = "left"
    RISE = "rise"
    OUTDOOR = "outdoor"


class UnitAct(StrEnum):
    POWER = "power"
    MARKER = "marker"


@dataclass(frozen=True, slots=True)
class UnitScene:
    """What the unit's page shows; the plot holds the session's temperatures.

    Attributes:
        details: beneath the figures: what does not fit into the line above.
        figures: in words; "–" where nothing is known.
    """

    state: UnitState
    next_step: str
    actions: Mapping[UnitAct, Offer]
    details: str = ""
    figures: Mapping[Figure, str] = field(default_factory=lambda: dict.fromkeys(Figure, NOTHING))
    ways_to_begin: bool = False


def unit_scene(view: SessionView) -> UnitScene:
    """The unit as it is to be drawn."""
    tell, recovery = view.presentation, view.recovery
    actions = {
        UnitAct.POWER: Offer(
            tell.text("page_unit.power_restored"),
            view.acts,
            primary=True,
            command=PowerRestored(time_ns=0),
        ),
        UnitAct.MARKER: Offer(tell.text("page_unit.marker"), view.acts, ask=marker_line(tell)),
    }
    if view.activity is Activity.NOTHING:
        following = tell.text("page_unit.connect_probe_or_press")
        return UnitScene(UnitState.FIRST_STEPS, following, actions)
    ended = view.activity is Activity.ENDED
    if recovery is not None:
        following, details = _told(recovery, tell)
        figures = _figures(recovery, tell)
        return UnitScene(UnitState.FOLLOWED, following, actions, details, figures, ended)
    if view.roles.first(Role.DISCHARGE) is None:
        return UnitScene(
            UnitState.NO_PROBE,
            tell.text("page_unit.connect_probe_discharge_air"),
            actions,
            tell.text("page_unit.connect_temperature_probe_discharge"),
            ways_to_begin=ended,
        )
    following = tell.text("page_unit.put_probes_into_air")
    return UnitScene(UnitState.WAITING, following, actions, ways_to_begin=ended)


def _told(recovery: Recovery, tell: Presentation) -> tuple[str, str]:
    """Where it stands: as much as one line holds, and the rest with the judgement of the rise."""
    told, judged = phase_told(recovery, tell), judgement_words(recovery, tell)
    if len(str(told)) <= _LONG:
        return str(told), judged
    if recovery.phase is Phase.SETTLED:  # that says the judgement itself
        return told.text, told.advice
    return told.text, f"{told.advice} {judged}".strip()


def _figures(recovery: Recovery, tell: Presentation) -> Mapping[Figure, str]:
    found = dict.fromkeys(Figure, NOTHING)
    if recovery.settled_k is not None:
        found[Figure.SETTLED] = estimate_text(recovery.settled_k, tell)
    if recovery.discharge_k is not None:
        found[Figure.DISCHARGE] = temperature_text(recovery.discharge_k, tell)
    if recovery.outdoor_k is not None:
        found[Figure.OUTDOOR] = temperature_text(recovery.outdoor_k, tell)
    if recovery.rise_k is not None:
        found[Figure.RISE] = difference_text(recovery.rise_k.value, tell)
    if recovery.time_left_s is not None:
        found[Figure.LEFT] = duration_text(recovery.time_left_s.value, tell)
    return found
