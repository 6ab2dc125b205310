"""The session as the scenes see it: one frozen value out of fold, session and preferences."""

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from benchmeter.scenes.session_view import Activity, SessionView
from benchmeter.words.presentation import Presentation

if TYPE_CHECKING:
    from benchmeter.files.preferences import Preferences
    from benchmeter.tasks.running import RunningSession
    from benchmeter.window.control.session_model import BenchView

__all__ = ["SessionSeen"]


class SessionSeen:
    """Makes the view."""

    def __init__(self) -> None:
        self._preferences: Preferences | None = None
        self._presentation = Presentation()

    def of(
        self,
        fold: "BenchView | None",
        session: "RunningSession | None",
        preferences: "Preferences",
        *,
        today: date,
        opening: bool,
        session_id: str,
    ) -> SessionView:
        """What there is to be seen now.

        Args:
            fold: what has been published; None: no session yet.
            session: the one that runs; None: it has ended.
            session_id: of the session that the fold is of.
        """
        if preferences is not self._preferences:
            self._preferences = preferences
            self._presentation = Presentation.of(preferences)
        around = SessionView(
            presentation=self._presentation,
            today=today,
            activity=_activity(session, ended=fold is not None),
            opening=opening,
            accuracy=preferences.accuracy,
            rule=preferences.decision_rule,
        )
        if fold is None:
            return around
        return replace(
            around,
            session_id=session_id,
            setup=fold.setup,
            roles=fold.roles,
            now_ns=fold.now_ns,
            states=dict(fold.pulses),
            check=fold.check,
            checks=fold.in_order,
            recovery=fold.recovery,
            safety=fold.safety,
            biases=fold.biases,
        )


def _activity(session: "RunningSession | None", *, ended: bool) -> Activity:
    if session is None:
        return Activity.ENDED if ended else Activity.NOTHING
    if session.replay is not None:
        return Activity.REPLAY
    if session.hands is None:
        return Activity.LIVE
    return Activity.STORY if session.hands.story_plays() else Activity.HANDS
