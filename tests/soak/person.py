"""Somebody who works with the window, at random but as people do."""

import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from random import Random

from PySide6.QtWidgets import QApplication

from benchmeter.gui.screens.connections import ConnectionsPlace
from benchmeter.gui.screens.record import RecordPlace
from benchmeter.gui.screens.settings import SettingsPlace
from benchmeter.gui.window import Window
from tests.soak.fingers import Fingers, Pauses
from tests.soak.thermometer import Thermometer

__all__ = ["Person"]

_LABELS = (
    "40/6 uF ±5 % 440 V", "55/10 µF ±5 % 440 VAC", "25 µF ±10 %", "12,5 uF 370 VAC", "7.5uF +-6%",
    "35+5 MFD 440", "", "forty", "0 µF ±5 %", "40/6 uF ±5 % 440 V" * 9,
)  # fmt: skip
_READINGS = ("39.2 uF", "39,2 µF", "5.91 uF", "OL", "0.0392 mF", "banana", "-3 uF", "1e99 uF")
_VOLTS = ("0.4 V", "0,2 V", "61 V", "400 mV", "V")
_NAMES = ("Fern & Sons, walk-in", "unit 2", "Ä" * 80, "<b>bold</b>", "'; --", "40\u00a0°")
_SIZES = ((1280, 800), (1280, 800), (1920, 1080), (1024, 700), (800, 600), (1600, 900))
_STORIES = ("short-visit", "troubled-links", "handheld-and-modbus", "walk-in-cooler")
_PLACES = ("F1", "F1", "F1", "F2", "F2", "F3", "F4", "F5", "F6")
_PATIENCE_S = 75.0  # with one session, on average
_NEW = 4
_REPORTS_S = 60.0  # between two of them, at least


@dataclass(frozen=True, slots=True)
class _Act:
    """Something to do: how often, and when there is nothing (n), a recording (r), a replay (p)."""

    weight: float
    when: str
    do: Callable[[], Pauses]


@dataclass(frozen=True, slots=True)
class Marked:
    """A marker that was noted in a recording."""

    session_id: str
    text: str


class Person:
    """Works about three things a second, for ever.

    Attributes:
        doing: the last thing begun.
        begun_s: when, by the monotonic clock.
        done: how many things have been done.
        marked: what must be in the record.
    """

    def __init__(
        self,
        window: Window,
        chance: Random,
        folder: Path,
        thermometer: Thermometer,
        *,
        patience_s: float = _PATIENCE_S,
    ) -> None:
        self.window = window
        self.workplace = window.workplace
        self.chance = chance
        self.fingers = Fingers(window, chance)
        self.doing = "nothing yet"
        self.begun_s = time.monotonic()
        self.done = 0
        self.marked: list[Marked] = []
        self.reports: list[Path] = []
        self._folder = folder
        self._thermometer = thermometer
        self._patience_s = patience_s
        self._next_report_s = 0.0
        self._acts = self._make_acts()

    def _make_acts(self) -> dict[str, _Act]:
        return {
            "take the reading": _Act(14, "r", self._keys("Space")),
            "move the leads": _Act(12, "r", self._one_of("1", "2", "3")),
            "change the part": _Act(3, "r", self._one_of("Alt+1", "Alt+2", "Alt+3")),
            "switch something": _Act(3, "r", self._one_of("Ctrl+1", "Ctrl+2")),
            "take over the label": _Act(5, "r", self._take_label),
            "type a label": _Act(3, "r", self._type_label),
            "next part": _Act(3, "r", self._keys("N")),
            "repeat": _Act(2, "r", self._keys("R")),
            "next section": _Act(3, "r", self._keys("S")),
            "null the leads": _Act(2, "r", self._keys("O")),
            "type a reading": _Act(3, "r", self._type_reading),
            "type the volts": _Act(2, "r", self._type_volts),
            "put a marker": _Act(4, "r", self._mark),
            "fold the hands": _Act(2, "r", self._keys("H")),
            "show the indication": _Act(2, "rp", self._keys("I")),
            "power restored": _Act(3, "r", self._keys("F2", "P")),
            "pull or plug": _Act(1, "rp", self._pull),
            "work at the plot": _Act(6, "rpn", self._plot),
            "go to a place": _Act(8, "rpn", self._one_of(*_PLACES)),
            "dismiss the notice": _Act(3, "rpn", self._keys("F8")),
            "larger or smaller": _Act(2, "rpn", self._one_of("Ctrl++", "Ctrl+-", "Ctrl+0")),
            "other colours": _Act(2, "rpn", self._keys("F9")),
            "change a setting": _Act(3, "rpn", self._setting),
            "undo": _Act(3, "rpn", self._keys("U")),
            "click something": _Act(6, "rpn", self._click),
            "walk with Tab": _Act(3, "rpn", self._walk),
            "turn the wheel": _Act(3, "rpn", self._wheel),
            "type nonsense": _Act(1, "rpn", self._nonsense),
            "resize the window": _Act(1, "rpn", self._resize),
            "rename or remark": _Act(2, "rpn", self._rename),
            "remove a session": _Act(1, "rpn", self._remove),
            "write a report": _Act(2, "rpn", self._report),
            "look on": _Act(3, "rp", self._look_on),
            "pause or go on": _Act(5, "p", self._keys("Space")),
            "step": _Act(6, "p", self._keys(".", ".", ".")),
            "other pace": _Act(6, "p", self._one_of("Ctrl+Up", "Ctrl+Up", "Ctrl+Down")),
            "wind on": _Act(5, "p", self._keys("Ctrl+Right")),
            "wind back": _Act(4, "p", self._keys("Ctrl+Left")),
            "back to the start": _Act(1, "p", self._keys("Ctrl+Home")),
            "point at the slider": _Act(4, "p", self._slider),
            "begin the simulated bench": _Act(14, "n", self._simulate),
            "begin another story": _Act(8, "n", self._story),
            "replay a session": _Act(12, "n", self._replay),
            "connect the thermometer": _Act(6, "n", self._connect),
            "only type readings": _Act(2, "n", self._keys("F1", "K")),
            "begin something at the wrong time": _Act(0.5, "rp", self._begin_twice),
        }

    def life(self) -> Pauses:
        """All that is done, one thing after the other."""
        enough_s = 0.0
        session = None
        tried: set[str] = set()
        while True:
            if self.workplace.session is not session:
                session = self.workplace.session
                enough_s = time.monotonic() + self.chance.expovariate(1 / self._patience_s)
            if session is not None and time.monotonic() > enough_s:
                enough_s = time.monotonic() + self._patience_s
                self._begin("end the session")
                self.fingers.press("Ctrl+E")
                yield self._pause()
                continue
            state = "n" if session is None else "p" if self.workplace.replaying else "r"
            acts = {name: act for name, act in self._acts.items() if state in act.when}
            # What has never been done comes sooner.
            weights = [a.weight * (1 if name in tried else _NEW) for name, a in acts.items()]
            (name,) = self.chance.choices(list(acts), weights)
            tried.add(name)
            self._begin(name)
            if self.fingers.typing() and self.chance.random() < 0.8:
                self.fingers.press("Esc")
                yield self._pause()
            yield from acts[name].do()
            yield self._pause()

    def _begin(self, name: str) -> None:
        self.doing, self.begun_s = name, time.monotonic()
        self.done += 1

    def _pause(self) -> float:
        return min(self.chance.expovariate(5.0), 3.0)

    # --- keys ----------------------------------------------------------------------------------

    def _keys(self, *keys: str) -> Callable[[], Pauses]:
        def act() -> Pauses:
            for key in keys:
                self.fingers.press(key)
                yield self.chance.uniform(0.05, 0.3)

        return act

    def _one_of(self, *keys: str) -> Callable[[], Pauses]:
        def act() -> Pauses:
            self.fingers.press(self.chance.choice(keys))
            yield 0.0

        return act

    # --- a part --------------------------------------------------------------------------------

    def _take_label(self) -> Pauses:
        self.fingers.press("Y")
        yield self.chance.uniform(0.2, 0.8)
        self.fingers.press("Return")

    def _type_label(self) -> Pauses:
        self.fingers.press("F1")
        yield 0.2
        self.fingers.press("N")
        yield 0.3
        yield from self.fingers.write_instead(self.chance.choice(_LABELS))
        self.fingers.press(self.chance.choice(("Return", "Return", "Return", "Tab", "Esc")))

    def _line(self, key: str, text: str) -> Pauses:
        """Ask for the row with a key, type into it, and note it (or put it off)."""
        self.fingers.press(key)
        yield 0.3
        if self.window.entry.isVisible():
            yield from self.fingers.write_instead(text)
            self.fingers.press(self.chance.choice(("Return", "Return", "Return", "Esc")))

    def _type_reading(self) -> Pauses:
        self.fingers.press("F1")
        yield 0.2
        yield from self._line("T", self.chance.choice(_READINGS))

    def _type_volts(self) -> Pauses:
        self.fingers.press("F1")
        yield 0.2
        yield from self._line("V", self.chance.choice(_VOLTS))

    def _mark(self) -> Pauses:
        self.fingers.press(self.chance.choice(("F1", "F2")))
        yield 0.2
        self.fingers.press("M")
        yield 0.3
        entry = self.window.entry
        if not entry.isVisible():
            return
        text = f"noise {self.done} at the fan"
        yield from self.fingers.write_instead(text)
        session = self.workplace.session
        recording = self.workplace.recording and session is not None
        # The row may have been closed, or asked for something else, meanwhile.
        if recording and session is not None and entry.isVisible() and entry.field.hasFocus():
            marker = entry.prompt.text().startswith("Marker")
            if marker and entry.field.text() == text:
                self.marked.append(Marked(session.session_id, text))
        self.fingers.press("Return")

    # --- a session -----------------------------------------------------------------------------

    def _simulate(self) -> Pauses:
        self.fingers.press(self.chance.choice(("F1", "F2", "F4")))
        yield 0.3
        self.fingers.press("B")
        yield 1.0

    def _story(self) -> Pauses:
        self.window.start_simulated(self.chance.choice(_STORIES))
        yield 1.0

    def _begin_twice(self) -> Pauses:
        self.window.start_simulated(self.chance.choice(_STORIES))
        yield 0.1

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
        place = self.window.place(3)
        assert isinstance(place, ConnectionsPlace)
        there = self.chance.random() < 0.8
        path = str(self._thermometer.path) if there else "/dev/nothing-there"
        for _ in range(place.kind.count()):
            profile = place.kind.currentData()
            if profile is None or profile.name == self._thermometer.profile:
                break
            self.fingers.press("Down")
            yield 0.1
        else:
            yield from self.fingers.choose(place.kind)
        edit = place.port.lineEdit()
        assert edit is not None
        self.fingers.click(edit)
        yield from self.fingers.write_instead(path)
        for button in (place.add, place.connect_all):
            self.fingers.click(button)
            yield 0.4
        yield 1.0

    def _pull(self) -> Pauses:
        self._thermometer.pull_or_plug()
        yield 0.0

    # --- looking -------------------------------------------------------------------------------

    def _plot(self) -> Pauses:
        self.fingers.press("F2")
        yield 0.2
        for _ in range(self.chance.randint(1, 5)):
            self.fingers.press(self.chance.choice(("Home", "F", "+", "-", "Left", "Right")))
            yield self.chance.uniform(0.1, 0.4)

    def _look_on(self) -> Pauses:
        yield self.chance.uniform(0.5, 4.0)

    def _click(self) -> Pauses:
        said = self.fingers.click_something()
        self.doing = f"click “{' '.join(said.split())}”"
        yield 0.0

    def _wheel(self) -> Pauses:
        for _ in range(self.chance.randint(1, 6)):
            self.fingers.turn_wheel()
            yield 0.05

    def _walk(self) -> Pauses:
        for _ in range(self.chance.randint(1, 8)):
            self.fingers.press(self.chance.choice(("Tab", "Tab", "Tab", "Shift+Tab")))
            yield 0.1
        self.fingers.press(self.chance.choice(("Return", "Space", "Down", "Esc", "Esc")))

    def _nonsense(self) -> Pauses:
        signs = [chr(self.chance.choice((*range(32, 127), *range(161, 224)))) for _ in range(12)]
        yield from self.fingers.write("".join(signs))

    def _resize(self) -> Pauses:
        self.window.resize(*self.chance.choice(_SIZES))
        yield 0.3

    def _setting(self) -> Pauses:
        self.fingers.press("F5")
        yield 0.3
        place = self.window.place(4)
        assert isinstance(place, SettingsPlace)
        if self.chance.random() < 0.2:
            self.fingers.click(place.accuracy)
            yield from self.fingers.write_instead(
                self.chance.choice(("1 % + 2 x 0.1 uF", "1 %", "x"))
            )
            self.fingers.press("Tab")
        else:
            boxes = (
                place.unit,
                place.unit,
                place.unit,
                place.zoom,
                place.sign,
                place.sound,
                place.rule,
            )
            yield from self.fingers.choose(self.chance.choice(boxes))

    # --- the record ----------------------------------------------------------------------------

    def _choose_session(self) -> Pauses:
        self.fingers.press("F3")
        yield 0.5
        for _ in range(self.chance.randint(0, 4)):
            self.fingers.press(self.chance.choice(("Down", "Down", "Up")))
            yield 0.15

    def _rename(self) -> Pauses:
        yield from self._choose_session()
        yield from self._line(self.chance.choice("ER"), self.chance.choice(_NAMES))

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
        place = self.window.place(2)
        assert isinstance(place, RecordPlace)
        self.fingers.press("W")
        yield 0.3
        entry = self.window.entry
        if not entry.isVisible() or not entry.prompt.text().startswith("Write the report"):
            return
        kind = self.chance.choice(("pdf", "html"))
        path = self._folder / f"report {len(self.reports)}.{kind}"
        yield from self.fingers.write_instead(str(path))
        if QApplication.focusWidget() is entry.field and entry.field.text() == str(path):
            self.reports.append(path)
        self.fingers.press("Return")
