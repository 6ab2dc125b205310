"""Work at the bench and at the unit."""

import itertools
from dataclasses import dataclass
from random import Random

from benchmeter.window.shell.window import Window
from tests.soak.deeds import Deed, Deeds
from tests.soak.fingers import Fingers, Pauses

__all__ = ["BenchDeeds", "Marked"]

_LABELS = (
    "40/6 uF ±5 % 440 V", "55/10 µF ±5 % 440 VAC", "25 µF ±10 %", "12,5 uF 370 VAC", "7.5uF +-6%",
    "35+5 MFD 440", "", "forty", "0 µF ±5 %", "40/6 uF ±5 % 440 V" * 9,
)  # fmt: skip
_READINGS = ("39.2 uF", "39,2 µF", "5.91 uF", "OL", "0.0392 mF", "banana", "-3 uF", "1e99 uF")
_VOLTS = ("0.4 V", "0,2 V", "61 V", "400 mV", "V")


@dataclass(frozen=True, slots=True)
class Marked:
    """A marker that was noted in a recording."""

    session_id: str
    text: str


class BenchDeeds(Deeds):
    """Leads, parts, readings, markers.

    Attributes:
        marked: what must be in the record.
    """

    def __init__(self, window: Window, fingers: Fingers, chance: Random) -> None:
        super().__init__(window, fingers, chance)
        self.marked: list[Marked] = []
        self._numbers = itertools.count(1)

    def deeds(self) -> dict[str, Deed]:
        return {
            "take the reading": Deed(14, "r", self.keys("Space")),
            "move the leads": Deed(12, "r", self.one_of("1", "2", "3", "4", "5")),
            "change the part": Deed(3, "r", self.one_of("Alt+1", "Alt+2", "Alt+3")),
            "switch something": Deed(3, "r", self.one_of("Ctrl+1", "Ctrl+2", "Ctrl+3")),
            "take over the label": Deed(5, "r", self._take_label),
            "type a label": Deed(3, "r", self._type_label),
            "next part": Deed(3, "r", self.keys("N")),
            "repeat": Deed(2, "r", self.keys("R")),
            "next section": Deed(3, "r", self.keys("S")),
            "null the leads": Deed(2, "r", self.keys("O")),
            "type a reading": Deed(3, "r", self._type_reading),
            "type the volts": Deed(2, "r", self._type_volts),
            "put a marker": Deed(4, "r", self._mark),
            "fold the hands": Deed(2, "r", self.keys("H")),
            "show the indication": Deed(2, "rp", self.keys("I")),
            "take the volts": Deed(2, "r", self.keys("F1", "V")),
            "test the part again": Deed(2, "r", self.keys("F1", "Shift+R")),
            "open a carton": Deed(2, "r", self._open_carton),
            "another part of the carton": Deed(2, "r", self._another_of_carton),
            "look at all parts": Deed(2, "rp", self._all_parts),
            "power restored": Deed(3, "r", self.keys("F2", "P")),
        }

    def _take_label(self) -> Pauses:
        self.fingers.press("Y")
        yield self.chance.uniform(0.2, 0.8)
        self.fingers.press("Return")

    def _type_label(self) -> Pauses:
        for key in ("F1", "N"):
            self.fingers.press(key)
            yield 0.3
        yield from self.fingers.write_instead(self.chance.choice(_LABELS))
        self.fingers.press(self.chance.choice(("Return", "Return", "Return", "Tab", "Esc")))

    def _open_carton(self) -> Pauses:
        for key in ("F1", "N"):
            self.fingers.press(key)
            yield 0.3
        form = self.window.bench.stage.form
        if self.fingers.click(form.lot_field):
            yield from self.fingers.write_instead(f"box {next(self._numbers)}")
            self.fingers.press(self.chance.choice(("Return", "Tab")))
            yield 0.2
            self.fingers.press("Return")

    def _another_of_carton(self) -> Pauses:
        strip = self.window.bench.stage.carton
        if not self.fingers.click(strip.field):
            return
        if self.chance.random() < 0.5:
            yield from self.fingers.write_instead(f"No {next(self._numbers)}")
        self.fingers.press(self.chance.choice(("Return", "Return", "Tab", "Alt+Up", "Alt+C")))

    def _all_parts(self) -> Pauses:
        self.fingers.press("F1")
        yield 0.2
        self.fingers.press("L")
        yield self.chance.uniform(0.3, 1.5)
        self.fingers.press("Esc")

    def _type_reading(self) -> Pauses:
        self.fingers.press("F1")
        yield 0.2
        yield from self.line("T", self.chance.choice(_READINGS))

    def _type_volts(self) -> Pauses:
        self.fingers.press("F1")
        yield 0.2
        yield from self.line("V", self.chance.choice(_VOLTS))

    def _mark(self) -> Pauses:
        self.fingers.press(self.chance.choice(("F1", "F2")))
        yield 0.2
        self.fingers.press("M")
        yield 0.3
        if not self.window.entry.isVisible():
            return
        text = f"noise {next(self._numbers)} at the fan"
        yield from self.fingers.write_instead(text)
        session = self.controller.session
        if session is not None and self.controller.recording and self.asked("Marker", text):
            self.marked.append(Marked(session.session_id, text))
        self.fingers.press("Return")
