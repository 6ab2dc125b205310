"""A good and a bad part of each kind, by keyboard alone in the window: its word is the command
line's.

One window and one simulated bench, quicker than real; its shelf is written by the test.
"""

import contextlib
import io
import json
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from benchmeter.checking.check import PartCheck
from benchmeter.commands.main import run
from benchmeter.conformity.verdict import Measurement
from benchmeter.files.folders import Folders
from benchmeter.parts.by_label import said_by_label
from benchmeter.parts.kind_catalogue import all_part_kinds
from benchmeter.parts.part_kind import PartKind
from benchmeter.parts.rating import rate
from benchmeter.quantities.units import UNITS
from benchmeter.record.store import Store
from benchmeter.scenes.bench_action_scene import Act
from benchmeter.simulator.scenario_plan import PartPlan
from benchmeter.tasks.opening import open_simulated
from benchmeter.tasks.running import Publish, RunningSession
from benchmeter.window.control.services import Services
from benchmeter.window.control.session_controller import SessionController
from benchmeter.window.shell.window import Window
from benchmeter.window.widgets.keys import KeyButton
from tests.parity.accuracies import ACCURACY
from tests.parity.cases import Deed
from tests.parity.good_and_bad import deeds_of_part, part_plan

pytestmark = [pytest.mark.gui, pytest.mark.qt_log_ignore("propagateSizeHints")]

Key = Qt.Key
PACE = 40.0
KINDS = all_part_kinds(Folders(Path("nowhere")))[0]
CASES = [(kind, good) for kind in KINDS for good in (True, False)]


def case_name(kind: PartKind, good: bool) -> str:
    return f"{kind.name}, {'good' if good else 'bad'}"


def deeds(kind: PartKind, good: bool) -> dict[str, Deed]:
    return deeds_of_part(kind, rate(kind, kind.example), good=good)


def shelf() -> str:
    """A scenario file with a part for each case."""
    text = f'''
title = "Every kind"
about = ""
place = ""
seed = 1
length_s = 86400.0
start = 2026-01-01T00:00:00Z

[[instruments]]
name = "bench meter"
profile = "scpi-meter"
virtual = {{ kind = "scpi meter", measures = "any function", gain = 1.0, noise_counts = 0.0 }}
channels = [{{ name = "meter", accuracy = "{ACCURACY}" }}]
'''
    for kind, good in CASES:
        rating = rate(kind, kind.example)
        plan = part_plan(case_name(kind, good), kind, rating, kind.example, deeds(kind, good))
        text += _table(plan)
    return text


def _table(part: PartPlan) -> str:
    quoted = {name: json.dumps(getattr(part, name), ensure_ascii=False) for name in ("name", "kind", "label")}  # fmt: skip
    lines = ["", "[[parts]]", *(f"{name} = {text}" for name, text in quoted.items())]
    for name, section in part.sections.items():
        lines.append(f"sections.{name} = {{ true_uf = {section.true_uf} }}")
    for name, truth in part.truths.items():
        given = {
            field: getattr(truth, field)
            for field in ("ohm", "volts_ac", "volts_dc", "amps_ac")
            if getattr(truth, field)
        }
        lines.append(
            f"truths.{json.dumps(name)} = {{ "
            + ", ".join(f"{field} = {value}" for field, value in given.items())
            + " }"
        )
    return "\n".join(lines) + "\n"


class ShelfEntrances(Services):
    """The simulated bench has this shelf, and is quicker."""

    def open_simulated(self, store: Store, scenario: str, publish: Publish) -> RunningSession:
        path = str(self.folders.data / "shelf.toml")
        return open_simulated(self.folders, store, path, publish, pace=PACE, story=False)


class Person:
    """Presses keys, and looks at the window."""

    def __init__(self, window: Window) -> None:
        self.window = window

    @property
    def view(self) -> Any:
        return self.window.controller.view

    @property
    def check(self) -> PartCheck:
        assert self.view.check is not None
        return self.view.check  # type: ignore[no-any-return]

    def until(self, true: Callable[[], bool], seconds: float = 6) -> None:
        end = time.monotonic() + seconds
        while not true():
            assert time.monotonic() < end, f"{self.window.next_line.text()} {self.lies()}"
            QTest.qWait(5)

    def key(self, which: Key, modifier: Any = Qt.KeyboardModifier.NoModifier) -> None:
        QTest.keyClick(QApplication.focusWidget() or self.window, which, modifier)

    def text(self, words: str) -> None:
        # As most keyboards have it.
        QTest.keyClicks(QApplication.focusWidget(), words.replace("Ω", "ohm"))

    def button(self, button: KeyButton) -> None:
        """By the key that is drawn on it."""
        combination = button.key[0]
        assert combination.key() != Key.Key_unknown
        self.key(combination.key(), combination.keyboardModifiers())

    def hand(self, name: str) -> None:
        def shown() -> list[KeyButton]:
            found = self.window.hands.findChildren(KeyButton, name)
            return [b for b in found if b.isVisible()]

        self.until(lambda: bool(shown()))
        self.button(shown()[0])
        if not name.startswith("part: "):
            self.until(lambda: name in self.lies())

    def lies(self) -> list[str]:
        hands = self.window.controller.session.hands  # type: ignore[union-attr]
        return [c.name for c in hands.choices() if c.active]  # type: ignore[union-attr]

    def take_part(self, name: str) -> None:
        """The part lies under the hands: along the shelf, one by one."""
        for _ in range(len(CASES)):
            if f"part: {name}" in self.lies():
                break
            before = self.lies()
            self.hand("part: next")
            self.until(lambda before=before: self.lies() != before)  # type: ignore[misc]
        self.window.hands.refresh()

    def begin(self, kind: PartKind, label: str) -> None:
        """Kind and label are typed into the form."""
        form = self.window.bench.stage.form
        if not form.isVisible():
            self.button(self.window.bench.stage.buttons.of[Act.PART])
        self.until(form.isVisible)
        while QApplication.focusWidget() not in (form.kind_box, form.kind_box.field):
            self.key(Key.Key_Backtab)
        box = form.kind_box
        wanted = 0 if said_by_label(kind) else box.findText(kind.title)
        while box.currentIndex() != wanted:
            self.key(Key.Key_Down if box.currentIndex() < wanted else Key.Key_Up)
        self.key(Key.Key_Tab)
        while QApplication.focusWidget() not in (form.label_box, form.label_field):
            self.key(Key.Key_Tab)
        form.label_field.selectAll()
        self.text(label)
        number = len(self.view.checks)
        self.key(Key.Key_Return)
        self.until(lambda: len(self.view.checks) == number + 1)

    def type(self, text: str) -> None:
        self.button(self.window.bench.stage.buttons.of[Act.TYPING])
        self.until(self.window.entry.isVisible)
        self.text(text)
        self.key(Key.Key_Return)

    def measure(self, section: Measurement, deed: Deed) -> None:
        def taken() -> bool:
            return any(s.taken for s in self.check.sections if s.section.name == section.name)

        if deed.typed:
            self.type(deed.typed)
        else:
            self.until(lambda: self.check.lifted)
            self.hand(f"knob: {section.quantity.value}")
            self.until(lambda: self.view.pulses["meter"].quantity is section.quantity)
            self.hand(f"leads: {section.name}")
            self.until(taken)
            self.hand("leads: air")
        self.until(taken)


@pytest.fixture(scope="module")
def person(qapp: QApplication, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Person]:
    folders = Folders(tmp_path_factory.mktemp("shelf") / "data")
    folders.make()
    (folders.data / "shelf.toml").write_text(shelf(), encoding="utf-8")
    window = Window(SessionController(ShelfEntrances(folders)))
    window.controller.prefer(sound=False)
    window.resize(1280, 900)
    window.show()
    window.activateWindow()
    made = Person(window)
    made.until(lambda: window._completed and window.controller.background.idle())
    made.key(Key.Key_B)
    made.until(lambda: window.controller.recording and bool(made.view.pulses))
    yield made
    window.close()
    window.deleteLater()
    QApplication.processEvents()


def told(check: PartCheck, kind: PartKind, label: str, data: Path) -> str:
    """The command line's word on the very digits."""
    reads: list[str] = []
    for section in check.sections:
        last, unit = section.taken[-1], UNITS[section.section.unit]
        digit = last.verdict.resolution_si
        typed = [last.text] if last.by_hand else []
        texts = typed or [
            f"{(value / unit.scale).quantize((digit / unit.scale).normalize()):f} {unit.symbol}"
            for value in last.verdict.readings_si
            if digit is not None
        ]
        reads += [w for text in texts for w in ("--read", f"{section.section.name}={text}")]
    out = io.StringIO()
    arguments = ["judge", label, "--kind", kind.name, "--accuracy", ACCURACY, *reads]
    with contextlib.redirect_stdout(out):
        assert run([*arguments, "--json", "--data", str(data)]) == 0
    return str(json.loads(out.getvalue())["verdict"])


@pytest.mark.parametrize(("kind", "good"), CASES, ids=[case_name(*case) for case in CASES])
def test_the_word_on_the_plate_is_the_one_of_the_command_line(
    person: Person, kind: PartKind, good: bool, tmp_path: Path
) -> None:
    person.take_part(case_name(kind, good))
    person.begin(kind, kind.example)
    if person.check.safety.to_be_made_safe:
        person.button(person.window.safety.button)
        person.until(person.window.entry.isVisible)
        person.text("0.3 V")
        person.key(Key.Key_Return)
    done = deeds(kind, good)
    for section in rate(kind, kind.example).sections:
        person.measure(section, done[section.name])
    person.until(lambda: person.check.verdict is not None)
    person.until(person.window.bench.stage.answer.isVisible)
    word = person.window.bench.stage.answer._text.word
    assert word == ("Pass" if good else "Fail")
    assert word.lower() == told(person.check, kind, kind.example, tmp_path)
