"""A whole visit without a mouse: from the first start to the report, on the real rooms below."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from benchmeter.conformity.verdict import Verdict
from benchmeter.files.folders import Folders
from benchmeter.window.shell.window import Window
from benchmeter.window.widgets.keys import KeyButton
from tests.fakes.real_windows import real_window
from tests.fakes.window_acts import press, rest

pytestmark = [pytest.mark.gui, pytest.mark.qt_log_ignore("propagateSizeHints")]

Key = Qt.Key
ALT, CONTROL = Qt.KeyboardModifier.AltModifier, Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def window(qtbot: QtBot, folders: Folders) -> Iterator[Window]:
    with real_window(qtbot, folders) as made:
        yield made


def test_from_the_first_start_to_the_report_without_a_mouse(
    qtbot: QtBot, window: Window, tmp_path: Path
) -> None:
    """Label 55/10 µF ±5 %: 52.25 to 57.75 and 9.5 to 10.5 µF; the scenario's replacement 1 is too
    small at FAN, replacement 2 is good (the scenario's own description)."""

    def key(which: Key, modifier: object = None) -> None:
        press(qtbot, window, which, modifier)

    def text(words: str) -> None:
        field = QApplication.focusWidget()
        assert field is not None
        qtbot.keyClicks(field, words)

    def until(true: Callable[[], bool]) -> None:
        qtbot.waitUntil(true, timeout=20_000)

    def taken(name: str) -> Callable[[], bool]:
        def true() -> bool:
            check = window.controller.view.check  # type: ignore[union-attr]
            return any(s.taken for s in check.sections if s.section.name == name)  # type: ignore[union-attr]

        return true

    def verdict() -> Verdict | None:
        check = window.controller.view.check  # type: ignore[union-attr]
        return check.verdict.verdict if check and check.verdict else None

    key(Key.Key_F9)  # night
    key(Key.Key_Plus, CONTROL)
    key(Key.Key_0, CONTROL)
    key(Key.Key_B)
    until(lambda: window.controller.recording and bool(window.controller.view.pulses))  # type: ignore[union-attr]
    key(Key.Key_F8)  # what only informs
    key(Key.Key_H)
    key(Key.Key_2)  # leads on the terminals; the story is ours
    if not window.hands.findChild(KeyButton, "resistor: on").isChecked():
        key(Key.Key_1, CONTROL)
    until(lambda: "V DC left on the part, measured" in window.safety.words)

    for number, second in ((2, Verdict.FAIL), (3, Verdict.PASS)):
        key(Key.Key_1)  # leads apart
        key((Key.Key_2, Key.Key_3)[number - 2], ALT)
        key(Key.Key_Y)
        key(Key.Key_Return)
        until(lambda n=number: len(window.controller.view.checks) == n - 1)  # type: ignore[union-attr,misc]
        until(lambda: "Lift" not in window.next_line.text() and "HERM" in window.next_line.text())
        key(Key.Key_3)
        until(taken("HERM"))
        key(Key.Key_1)
        until(lambda: "C and FAN" in window.next_line.text())
        key(Key.Key_4)
        until(lambda: verdict() is not None)
        assert verdict() is second
        assert window.bench.stage.answer.isVisible()
    key(Key.Key_M)
    text("replacement 2 is in")
    key(Key.Key_Return)
    key(Key.Key_I)
    key(Key.Key_1)  # leads off, before the power comes back
    key(Key.Key_F2)
    key(Key.Key_2, CONTROL)  # power on
    key(Key.Key_P)
    until(lambda: window.controller.view.recovery is not None)  # type: ignore[union-attr]
    key(Key.Key_F6)
    key(Key.Key_F4)
    key(Key.Key_F5)
    key(Key.Key_D)  # day
    key(Key.Key_E, CONTROL)
    until(lambda: window.controller.session is None)
    key(Key.Key_F3)
    rest(qtbot, window)
    key(Key.Key_E)
    text("Florist")
    key(Key.Key_Return)
    rest(qtbot, window)
    key(Key.Key_W)
    key(Key.Key_A, CONTROL)
    report = tmp_path / "visit.html"
    text(str(report))
    key(Key.Key_Return)
    until(report.exists)
    rest(qtbot, window)
    words = report.read_text(encoding="utf-8")
    assert "replacement 2 is in" in words and "Florist" in words
