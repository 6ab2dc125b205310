"""Part or meter and replacement without a mouse, on the real rooms below.

The simulated bench's old part is rated 55/10 µF ±5 % 440 V (the scenario's own description).
"""

from collections.abc import Callable, Iterator

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from benchmeter.conformity.verdict import Verdict
from benchmeter.files.folders import Folders
from benchmeter.window.pages.bench.meter_panel import MeterPanel
from benchmeter.window.shell.window import Window
from tests.fakes.real_windows import real_window
from tests.fakes.window_acts import press, rest

pytestmark = [pytest.mark.gui, pytest.mark.qt_log_ignore("propagateSizeHints")]

Key = Qt.Key
ALT = Qt.KeyboardModifier.AltModifier

REFERENCE = """[[part]]
name = "R55"
value = "55 µF"
uncertainty = "0.01 µF"
date = 2026-01-10
"""
STOCK = "label,count,place,own number\n55/10 µF ±5 % 440 V,1,shelf,K 7\n35 µF ±5 % 440 V,4,shelf,\n"


@pytest.fixture
def window(qtbot: QtBot, folders: Folders) -> Iterator[Window]:
    folders.reference_parts.write_text(REFERENCE, encoding="utf-8")
    folders.stock.write_text(STOCK, encoding="utf-8")
    with real_window(qtbot, folders) as made:
        yield made


class Hands:
    """The technician's hands: keys, and waiting."""

    def __init__(self, qtbot: QtBot, window: Window) -> None:
        self.qtbot, self.window = qtbot, window

    def key(self, which: Key, modifier: object = None) -> None:
        press(self.qtbot, self.window, which, modifier)

    def until(self, true: Callable[[], bool]) -> None:
        self.qtbot.waitUntil(true, timeout=20_000)

    def simulate(self) -> None:
        """The simulated bench, its story ours, the leads apart, no charge left."""
        self.key(Key.Key_B)
        controller = self.window.controller
        self.until(lambda: controller.recording and bool(controller.view.safety.charge_gone))  # type: ignore[union-attr]
        self.key(Key.Key_H)
        self.key(Key.Key_1)

    def judged(self) -> Verdict | None:
        check = self.window.controller.view.check  # type: ignore[union-attr]
        return check.verdict.verdict if check and check.verdict else None


@pytest.fixture
def hands(qtbot: QtBot, window: Window) -> Hands:
    return Hands(qtbot, window)


def test_a_part_of_known_value_is_read_and_kept_in_the_meters_history(
    qtbot: QtBot, window: Window, hands: Hands
) -> None:
    hands.simulate()
    hands.key(Key.Key_2, ALT)  # another part lies there
    hands.key(Key.Key_E)
    rest(qtbot, window)
    hands.key(Key.Key_Return)
    check = lambda: window.controller.view.check  # type: ignore[union-attr]  # noqa: E731
    hands.until(lambda: check() is not None and check().reference is not None)  # type: ignore[union-attr]
    hands.until(lambda: "Lift" not in window.next_line.text())
    hands.key(Key.Key_3)  # C and HERM
    hands.until(lambda: hands.judged() is Verdict.MEASURED)
    assert window.bench.stage.answer.isVisible()
    assert window.bench.stage.answer.accessibleDescription().startswith(("Meter ", "Cannot tell"))
    hands.key(Key.Key_E)
    rest(qtbot, window)
    desk = window.bench.panels.shown()
    assert isinstance(desk, MeterPanel)
    assert desk.view.chart.isVisible() and desk.view.chart_text.text().startswith("1 reading;")
    assert "One reading is too few" in desk.view.offer_text.text()
    hands.key(Key.Key_X)
    assert window.controller.view.biases == ()  # type: ignore[union-attr]


def test_the_replacement_of_a_bad_part_is_measured_before_it_is_offered(
    qtbot: QtBot, window: Window, hands: Hands
) -> None:
    """Its replacement 2 is good by that label (the scenario's own description)."""
    hands.simulate()
    form = window.bench.stage.form
    hands.key(Key.Key_N)
    form.label_field.setText("55/10 µF ±5 % 440 V")
    form.accuracy_field.setText("0.5 % + 2 x 0.01 uF")
    hands.key(Key.Key_Return)
    view = window.controller.view
    assert view is not None
    hands.until(lambda: len(view.checks) == 1)
    for section in ("HERM", "FAN"):
        hands.until(lambda n=section: view.check.expected == n)  # type: ignore[union-attr,misc]
        hands.key(Key.Key_T)
        qtbot.keyClicks(window.entry.field, "8.00 uF")
        hands.key(Key.Key_Return)
    hands.until(lambda: hands.judged() is Verdict.FAIL)
    hands.key(Key.Key_P)
    rest(qtbot, window)
    answer = window.bench.panels.shown().answer  # type: ignore[union-attr]
    assert answer.text() == "1 part of the list may fit"
    hands.key(Key.Key_3, ALT)  # replacement 2 lies there now
    hands.key(Key.Key_Return)
    hands.until(lambda: len(view.checks) == 2)
    assert view.check is not None and view.check.part == "K 7"
    hands.until(lambda: "Lift" not in window.next_line.text())
    hands.key(Key.Key_3)
    hands.until(lambda: view.check.expected == "FAN")  # type: ignore[union-attr]
    hands.key(Key.Key_1)
    hands.until(lambda: "C and FAN" in window.next_line.text())
    hands.key(Key.Key_4)
    hands.until(lambda: hands.judged() is not None)
    assert hands.judged() is Verdict.PASS
    hands.key(Key.Key_P)
    rest(qtbot, window)
    assert answer.text() == "K 7 may go in"
