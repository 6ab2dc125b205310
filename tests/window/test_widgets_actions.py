"""The foot switch takes the reading as Space does."""

import pytest
from PySide6.QtCore import Qt

from benchmeter.scenes.bench_action_scene import Act
from benchmeter.scenes.offer import Offer
from benchmeter.window.pages.bench.bench_actions import BenchActions

pytestmark = [pytest.mark.gui, pytest.mark.qt_log_ignore("propagateSizeHints")]


@pytest.mark.parametrize("key", [Qt.Key.Key_Space, Qt.Key.Key_PageDown])
def test_a_key_of_the_foot_switch_takes_the_reading_once(qtbot, key):
    """Most foot switches type a key, as a keyboard does (common practice, no source)."""
    actions = BenchActions()
    qtbot.addWidget(actions)
    pressed = []
    actions.wanted.connect(pressed.append)
    with qtbot.waitExposed(actions):
        actions.show()
    actions.activateWindow()
    actions.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
    actions.setFocus()
    actions.show_offers({Act.TAKE: Offer("Take it", why_not="Every section has been taken.")})
    qtbot.keyClick(actions, key)
    assert pressed == []  # nothing is waited for
    assert "has been taken" in actions.of[Act.TAKE].accessibleDescription()
    actions.show_offers({Act.TAKE: Offer("Take it")})
    qtbot.keyClick(actions, key)
    assert pressed == [Act.TAKE]
