"""Somebody who works with the window, at random but as people do."""

import time
from pathlib import Path
from random import Random

from benchmeter.window.shell.window import Window
from tests.soak.bench_deeds import BenchDeeds
from tests.soak.fingers import Fingers, Pauses
from tests.soak.looking_deeds import LookingDeeds
from tests.soak.session_deeds import SessionDeeds
from tests.soak.thermometer import Thermometer

__all__ = ["Person"]

_NEW = 4  # times as likely: what has never been done
_WITS = 0.8  # how often a person leaves a text before pressing a letter that means something else


class Person:
    """Presses or clicks about three times a second, for ever.

    Args:
        folder: for reports.
        patience_s: with one session, on average.

    Attributes:
        begun_s: when the last thing was begun, by the monotonic clock.
        done: how many things have been done.
    """

    def __init__(
        self,
        window: Window,
        chance: Random,
        folder: Path,
        thermometer: Thermometer,
        patience_s: float,
    ) -> None:
        self.fingers = Fingers(window, chance)
        self.bench = BenchDeeds(window, self.fingers, chance)
        self.sessions = SessionDeeds(window, self.fingers, chance, folder, thermometer)
        looking = LookingDeeds(window, self.fingers, chance)
        self.begun_s = time.monotonic()
        self.done = 0
        self._doing = "nothing yet"
        self._controller = window.controller
        self._chance = chance
        self._patience_s = patience_s
        self._deeds = {**self.bench.deeds(), **self.sessions.deeds(), **looking.deeds()}

    @property
    def doing(self) -> str:
        """The last thing begun."""
        return f"{self._doing} ({self.fingers.clicked})" if self.fingers.clicked else self._doing

    def begin(self, name: str) -> None:
        """From now on it is this that is done."""
        self._doing, self.begun_s, self.fingers.clicked = name, time.monotonic(), ""
        self.done += 1

    def life(self) -> Pauses:
        """All that is done, one thing after the other."""
        enough_s = 0.0
        session = None
        tried: set[str] = set()
        while True:
            if self._controller.session is not session:
                session = self._controller.session
                enough_s = time.monotonic() + self._chance.expovariate(1 / self._patience_s)
            if session is not None and time.monotonic() > enough_s:
                enough_s = time.monotonic() + self._patience_s
                self.begin("end the session")
                self.fingers.press("Ctrl+E")
                yield self._pause()
                continue
            state = "n" if session is None else "p" if self._controller.replaying else "r"
            deeds = {name: deed for name, deed in self._deeds.items() if state in deed.when}
            weights = [d.weight * (1 if name in tried else _NEW) for name, d in deeds.items()]
            (name,) = self._chance.choices(list(deeds), weights)
            tried.add(name)
            self.begin(name)
            if self.fingers.typing() and self._chance.random() < _WITS:
                self.fingers.press("Esc")
                yield self._pause()
            yield from deeds[name].do()
            yield self._pause()

    def _pause(self) -> float:
        return min(self._chance.expovariate(5.0), 3.0)
