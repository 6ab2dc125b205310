"""The foot switch takes the reading as Space does."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QUndoStack

from benchmeter.window.pages.bench.bench_actions import BenchActions
from tests.fakes import bench_states as made

pytestmark = [pytest.mark.gui, pytest.mark.qt_log_ignore("propagateSizeHints")]


@pytest.mark.parametrize("key", [Qt.Key.Key_Space, Qt.Key.Key_PageDown])
def test_a_key_of_the_foot_switch_takes_the_reading_once(qtbot, key):
    """Most foot switches type a key, as a keyboard does (common practice, no source)."""
    actions = BenchActions(QUndoStack())
    qtbot.addWidget(actions)
    pressed = []
    actions.take.clicked.connect(lambda: pressed.append(key))
    with qtbot.waitExposed(actions):
        actions.show()
    actions.activateWindow()
    actions.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
    actions.setFocus()
    actions.show_check(made.judged_check(made.FAN_GOOD), story=False, carton=False)
    qtbot.keyClick(actions, key)
    assert pressed == []  # nothing is waited for
    actions.show_check(made.half_check(), story=False, carton=False)
    qtbot.keyClick(actions, key)
    assert pressed == [key]
