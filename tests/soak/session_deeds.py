"""Beginning, replaying and keeping sessions."""

import time
from pathlib import Path
from random import Random

from benchmeter.scenes.connections import ConnectionsAct
from benchmeter.window.pages.connections_page import ConnectionsPage
from benchmeter.window.shell.window import Window
from tests.soak.deeds import Deed, Deeds
from tests.soak.fingers import Fingers, Pauses
from tests.soak.thermometer import Thermometer

__all__ = ["SessionDeeds"]

_NAMES = ("Fern & Sons, walk-in", "unit 2", "Ä" * 80, "<b>bold</b>", "'; --", "40\u00a0°")
_STORIES = (
    "short-visit",
    "troubled-links",
    "handheld-and-modbus",
    "walk-in-cooler",
    "shop-bench",
    "carton-of-forty",
)
_CONNECTIONS = 3
_REPORTS_S = 60.0  # between two of them, at least


class SessionDeeds(Deeds):
    """Everything that has to do with whole sessions.

    Attributes:
        reports: files that must be there in the end.
    """

    def __init__(
        self,
        window: Window,
        fingers: Fingers,
        chance: Random,
        folder: Path,
        thermometer: Thermometer,
    ) -> None:
        super().__init__(window, fingers, chance)
        self.reports: list[Path] = []
        self._folder = folder
        self._thermometer = thermometer
        self._next_report_s = 0.0

    def deeds(self) -> dict[str, Deed]:
        return {
            "begin the simulated bench": Deed(14, "n", self._simulate),
            "begin another story": Deed(8, "n", self._story),
            "replay a session": Deed(12, "n", self._replay),
            "connect the thermometer": Deed(6, "n", self._connect),
            "only type readings": Deed(2, "n", self.keys("F1", "K")),
            "begin something at the wrong time": Deed(0.5, "rp", self._story),
            "pull or plug": Deed(1, "rp", self._pull),
            "pause or go on": Deed(5, "p", self.keys("Space")),
            "step": Deed(6, "p", self.keys(".", ".", ".")),
            "other pace": Deed(6, "p", self.one_of("Ctrl+Up", "Ctrl+Up", "Ctrl+Down")),
            "wind on": Deed(5, "p", self.keys("Ctrl+Right")),
            "wind back": Deed(4, "p", self.keys("Ctrl+Left")),
            "back to the start": Deed(1, "p", self.keys("Ctrl+Home")),
            "point at the slider": Deed(4, "p", self._slider),
            "rename or remark": Deed(2, "rpn", self._rename),
            "remove a session": Deed(1, "rpn", self._remove),
            "write a report": Deed(2, "rpn", self._report),
        }

    def _simulate(self) -> Pauses:
        self.fingers.press(self.chance.choice(("F1", "F2", "F4")))
        yield 0.3
        self.fingers.press("B")
        yield 1.0

    def _story(self) -> Pauses:
        self.window.start_simulated(self.chance.choice(_STORIES))
        yield 1.0

    def _replay(self) -> Pauses:
        yield from self._choose_session()
        self.fingers.press("O")
        yield 1.0
        for _ in range(self.chance.randint(0, 4)):
            self.fingers.press("Ctrl+Up")
            yield 0.1

    def _slider(self) -> Pauses:
        self.fingers.click(self.window.replay.slider)
        yield 0.1
        self.fingers.press(self.chance.choice(("Right", "Left", "PgUp", "PgDown", "End")))

    def _connect(self) -> Pauses:
        self.fingers.press("F4")
        yield 0.8
        place = self.window.place(_CONNECTIONS)
        assert isinstance(place, ConnectionsPage)
        there = self.chance.random() < 0.8
        path = str(self._thermometer.path) if there else "/dev/nothing-there"
        for _ in range(place.kind.count()):
            profile = place.kind.currentData()
            if profile is None or profile.name == self._thermometer.profile:
                break
            self.fingers.press("Down")
            yield 0.1
        edit = place.port.lineEdit()
        assert edit is not None
        self.fingers.click(edit)
        yield from self.fingers.write_instead(path)
        for act in (ConnectionsAct.ADD, ConnectionsAct.CONNECT):
            self.fingers.click(place.buttons[act])
            yield 0.4
        yield 1.0

    def _pull(self) -> Pauses:
        self._thermometer.pull_or_plug()
        yield 0.0

    # --- the record ----------------------------------------------------------------------------

    def _choose_session(self) -> Pauses:
        self.fingers.press("F3")
        yield 0.5
        for _ in range(self.chance.randint(0, 4)):
            self.fingers.press(self.chance.choice(("Down", "Down", "Up")))
            yield 0.15

    def _rename(self) -> Pauses:
        yield from self._choose_session()
        yield from self.line(self.chance.choice("ER"), self.chance.choice(_NAMES))

    def _remove(self) -> Pauses:
        yield from self._choose_session()
        self.fingers.press("Del")
        yield self.chance.uniform(0.2, 1.0)
        if self.chance.random() < 0.7:
            self.fingers.press("U")

    def _report(self) -> Pauses:
        if time.monotonic() < self._next_report_s:
            return
        self._next_report_s = time.monotonic() + _REPORTS_S
        yield from self._choose_session()
        self.fingers.press("W")
        yield 0.3
        if not self.window.entry.isVisible():
            return
        kind = self.chance.choice(("pdf", "html"))
        path = self._folder / f"report {len(self.reports)}.{kind}"
        yield from self.fingers.write_instead(str(path))
        if self.asked("Write the report", str(path)):
            self.reports.append(path)
        self.fingers.press("Return")
