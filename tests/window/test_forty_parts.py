"""A carton of forty by keyboard alone: each verdict is on disk before the next part is begun.

The simulated bench runs quicker than real, its meter and the fold that takes its readings do not:
they see every reading of the simulated time.
"""

import contextlib
import io
import json
import time
from collections import Counter
from collections.abc import Callable, Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from benchmeter.checking.check import PartCheck
from benchmeter.commands.main import run
from benchmeter.files.folders import Folders
from benchmeter.record.store import Store
from benchmeter.simulator.scenario import load_scenario
from benchmeter.window.shell.window import Window
from benchmeter.window.widgets.keys import KeyButton
from tests.fakes.real_windows import real_window
from tests.fakes.window_acts import press

pytestmark = [pytest.mark.gui, pytest.mark.qt_log_ignore("propagateSizeHints")]

Key = Qt.Key
ALT = Qt.KeyboardModifier.AltModifier
PACE = 24.0
ON_DISK_S = 1.0
"""A verdict is looked for at once; this is how long a slow disk of a test machine may need."""


@pytest.fixture
def window(qtbot: QtBot, folders: Folders) -> Iterator[Window]:
    with real_window(qtbot, folders, pace=PACE, story=False) as made:
        yield made


class Person:
    """Presses keys, and looks at the window and at nothing else."""

    def __init__(self, qtbot: QtBot, window: Window) -> None:
        self._qtbot, self._window = qtbot, window
        self.pressed: Counter[str] = Counter()

    def key(self, which: Key, modifier: object = None, of: str = "program") -> None:
        self.pressed[of] += 1
        press(self._qtbot, self._window, which, modifier)

    def text(self, words: str) -> None:
        field = QApplication.focusWidget()
        assert field is not None
        self.pressed["program"] += len(words)
        self._qtbot.keyClicks(field, words)

    def until(self, true: Callable[[], bool]) -> None:
        self._qtbot.waitUntil(true, timeout=20_000)

    def hand(self, name: str) -> None:
        """By the key that is drawn on the button of the hands."""

        def shown() -> list[KeyButton]:
            found = self._window.hands.findChildren(KeyButton, name)
            return [button for button in found if button.isVisible()]

        self.until(lambda: bool(shown()))
        button = shown()[0]
        combination = button.key[0]
        assert combination.key() != Key.Key_unknown
        modifier = combination.keyboardModifiers()
        self.key(combination.key(), modifier, of="hands of the simulated bench")

    def lift(self) -> None:
        """The leads hang in the air, and the meter shows it."""
        self.hand("leads: air")
        self.until(lambda: (shown := self.shown_uf()) is not None and shown < 0.5)

    def shown_uf(self) -> float | None:
        state = self._window.controller.view.pulses.get(self.check.channel)  # type: ignore[union-attr]
        reading = state.reading if state else None
        return None if reading is None or reading.value is None else reading.value * 1e6

    @property
    def check(self) -> PartCheck:
        found = self._window.controller.view.check  # type: ignore[union-attr]
        assert found is not None
        return found

    def now_ns(self) -> int:
        return self._window.controller.view.now_ns  # type: ignore[union-attr]

    def in_hand(self) -> list[str]:
        """What lies on the simulated bench, and where leads and knob are."""
        hands = self._window.controller.session.hands  # type: ignore[union-attr]
        return [c.name for c in hands.choices() if c.active]  # type: ignore[union-attr]

    def later(self, seconds: float) -> None:
        end_ns = self.now_ns() + round(seconds * 1e9)
        self.until(lambda: self.now_ns() >= end_ns)


def told(check: PartCheck, folders: Folders) -> str:
    """The command line's word on the digits that were taken."""
    reads: list[str] = []
    for section in check.sections:
        last = section.taken[-1].verdict
        digit = last.resolution_si  # a last digit that is 0 is shown as well
        texts = [f"{v.quantize(digit).scaleb(6):f}uF" for v in last.readings_si if digit] or ["OL"]
        reads += [w for text in texts for w in ("--read", f"{section.section.name}={text}")]
    out = io.StringIO()
    accuracy = ["--accuracy", "capacitance 1.0 % + 3 counts"]
    with contextlib.redirect_stdout(out):
        status = run(
            ["judge", check.rating.text, *accuracy, *reads, "--json", "--data", str(folders.data)]
        )
    assert status == 0
    return str(json.loads(out.getvalue())["verdict"])


def test_forty_parts_by_keyboard_each_on_disk_before_the_next(
    qtbot: QtBot, window: Window, folders: Folders, record_property: Callable[[str, object], None]
) -> None:
    """45/5 µF ±6 %: 42.3 to 47.7 and 4.7 to 5.3 µF (CALC); what the parts are worth stands in the
    scenario's file."""
    truths = {
        p.name: dict(p.sections)
        for p in load_scenario("carton-of-forty", folders).plan.parts
        if p.lot
    }
    assert len(truths) == 40
    person = Person(qtbot, window)
    carton = next(
        b
        for b in window.bench.first_steps.ways.story_buttons
        if b.objectName() == "carton-of-forty"
    )
    person.key(carton.key[0].key())
    person.until(lambda: window.controller.recording and bool(window.controller.view.pulses))  # type: ignore[union-attr]
    for lies in ("reference 5", "1"):  # past the two reference parts
        person.hand("part: next")
        person.until(lambda lies=lies: f"part: {lies}" in person.in_hand())  # type: ignore[misc]
    window.hands.refresh()
    person.key(Key.Key_Y)
    while QApplication.focusWidget() is not window.bench.stage.form.lot_field:
        person.key(Key.Key_Tab)
    person.text("carton 45/5")
    person.key(Key.Key_Return)
    person.key(Key.Key_Return)  # number 1 is offered
    first = Counter(person.pressed)
    slowest_s = 0.0
    words: dict[str, str] = {}
    with Store.open(folders, write=False) as outside:
        session = window.controller.session
        assert session is not None
        for number, (name, sections) in enumerate(truths.items(), 1):
            person.until(lambda n=number: len(window.controller.view.checks) == n)  # type: ignore[union-attr,misc]
            check = person.check
            assert f"part: {name}" in person.in_hand()
            assert (check.part, check.lot) == (name, "carton 45/5")
            for place in ("HERM", "FAN"):
                person.until(lambda: "Lift" not in window.next_line.text())
                person.hand(f"leads: {place}")
                if sections[place].open or sections[place].shorted:
                    person.later(3)
                    assert person.check.expected == place, "nothing takes that by itself"
                    person.key(Key.Key_Space)
                person.until(
                    lambda place=place: any(  # type: ignore[misc]
                        s.taken for s in person.check.sections if s.section.name == place
                    )
                )
                person.lift()
            person.until(lambda: person.check.verdict is not None)
            # On disk, seen by somebody else, before the next key is pressed.
            began = time.monotonic()
            while True:
                found = [
                    v.finding
                    for v in outside.verdicts(session.session_id)
                    if isinstance(v.finding, PartCheck) and v.finding.part == name
                ]
                waited_s = time.monotonic() - began
                if found or waited_s > ON_DISK_S:
                    break
            assert found, f"part {name} is judged, and not on disk after {waited_s:.1f} s"
            slowest_s = max(slowest_s, waited_s)
            verdict = person.check.verdict
            assert verdict is not None and found[-1].verdict is not None
            assert found[-1].verdict.verdict is verdict.verdict
            assert window.bench.stage.answer.isVisible()
            words[name] = verdict.verdict.value
            assert words[name] == told(person.check, folders), name
            if number < len(truths):
                person.hand("part: next")
                person.key(Key.Key_Space)
        parts = [
            v for v in outside.verdicts(session.session_id) if isinstance(v.finding, PartCheck)
        ]
        assert [v.finding.part for v in parts] == list(truths)  # type: ignore[union-attr]
    for name, sections in truths.items():
        herm, fan = sections["HERM"].true_uf, sections["FAN"].true_uf
        if sections["HERM"].open:
            assert words[name] == "open"
        elif sections["FAN"].shorted:
            assert words[name] == "no reading"  # overload; ohms would tell
        elif 43 < herm < 47 and 4.8 < fan < 5.2:
            assert words[name] == "pass", name
        elif herm < 41.5 or fan < 4.6:
            assert words[name] == "fail", name
    after = person.pressed - first
    # One key begins the next part, and one more takes what the meter shows as OL or nothing.
    by_hand = sum(s.open or s.shorted for sections in truths.values() for s in sections.values())
    assert after["program"] == len(truths) - 1 + by_hand
    for of, count in after.items():
        record_property(f"keys a part, {of}", round(count / len(truths), 2))
    record_property("slowest on disk, s", round(slowest_s, 3))
