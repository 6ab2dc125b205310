"""What the pages know of the session at one moment."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from benchmeter.checking.channel_roles import ChannelRoles
from benchmeter.checking.part_check import PartCheck
from benchmeter.checking.safety import PartSafety
from benchmeter.conformity.instrument_bias import MeterBias
from benchmeter.cooling.recovery import Recovery
from benchmeter.links.instruments.setup import BenchSetup
from benchmeter.session.acquisition.channel_state import ChannelState
from benchmeter.words.presentation import Presentation

__all__ = ["Activity", "SessionView"]

_NO_SETUP = BenchSetup(origin="", links=(), channels=())
_NO_ROLES = ChannelRoles(())


class Activity(StrEnum):
    """What goes on."""

    NOTHING = "nothing"  # no session since the start
    LIVE = "live"  # meters are recorded
    HANDS = "hands"  # the simulated bench, in the person's hands
    STORY = "story"  # the simulated bench plays by itself
    REPLAY = "replay"  # a session of the record plays again
    ENDED = "ended"  # what was recorded still stands there


@dataclass(frozen=True, slots=True)
class SessionView:
    """The session as the pages see it.

    Attributes:
        opening: another session is being opened.
        session_id: of the session that is, or was, shown; "" none.
        roles: which channel serves which purpose.
        now_ns: session time.
        states: of the channels, by name.
        check: the part in hand; None before the first one.
        checks: all parts of the session, in the order of their numbers.
        safety: whether the part in hand may be touched, or measured.
        biases: of the meters; hold for checks from now on.
        accuracy: the person's accuracy line of the meter; "" if not known.
        rule: the person's decision rule for the next check.
    """

    presentation: Presentation = field(default_factory=Presentation)
    today: date = date.min
    activity: Activity = Activity.NOTHING
    opening: bool = False
    session_id: str = ""
    setup: BenchSetup = _NO_SETUP
    roles: ChannelRoles = _NO_ROLES
    now_ns: int = 0
    states: Mapping[str, ChannelState] = field(default_factory=dict)
    check: PartCheck | None = None
    checks: tuple[PartCheck, ...] = ()
    recovery: Recovery | None = None
    safety: PartSafety = field(default_factory=PartSafety)
    biases: tuple[MeterBias, ...] = ()
    accuracy: str = ""
    rule: str = "guarded"

    @property
    def acts(self) -> bool:
        """Whether something is recorded, so that something can be done."""
        return self.activity in (Activity.LIVE, Activity.HANDS, Activity.STORY)

    @property
    def simulated(self) -> bool:
        return self.activity in (Activity.HANDS, Activity.STORY)

    @property
    def meter_accuracy(self) -> str:
        """The accuracy lines of the meter at the part; "" if not known."""
        meter = self.roles.part_meter
        return (meter.accuracy if meter is not None else "") or self.accuracy

    @property
    def part_state(self) -> ChannelState | None:
        """The state of what the part's reading comes from; what has ended shows nothing."""
        if self.activity in (Activity.NOTHING, Activity.ENDED):
            return None
        if self.check is not None:
            return self.states.get(self.roles.shown_by(self.check))
        meter = self.roles.part_meter
        return self.states.get(meter.name) if meter is not None else None
