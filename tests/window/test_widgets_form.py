"""The form for the next part: its kind, what its label gives, its carton and own number."""

from decimal import Decimal

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QUndoStack
from PySide6.QtWidgets import QApplication

from benchmeter.checking.commands import BeginCheck
from benchmeter.files.folders import Folders
from benchmeter.parts.kind_catalogue import all_part_kinds
from benchmeter.parts.rating import rate
from benchmeter.scenes.bench import FormOffer
from benchmeter.window.pages.bench.part_form import PartForm
from benchmeter.window.theme import palette as palettes

pytestmark = [pytest.mark.gui, pytest.mark.qt_log_ignore("This plugin does not support")]

Key = Qt.Key
TESTED = {"B12": ("A-007", "A-008")}


@pytest.fixture(scope="module")
def kinds(tmp_path_factory):
    return all_part_kinds(Folders(tmp_path_factory.mktemp("data")))[0]


@pytest.fixture
def form(qtbot, qapp, kinds):
    palettes.apply(qapp, palettes.palette("day"))
    made = PartForm(QUndoStack())
    qtbot.addWidget(made)
    made.set_kinds(kinds)
    made.prepare([], FormOffer("old part", "", "", TESTED, False))
    with qtbot.waitExposed(made):
        made.show()
    made.activateWindow()
    made.focus()
    return made


@pytest.fixture
def begun(form):
    commands: list[BeginCheck] = []
    form.begin.connect(commands.append)
    return commands


def press(qtbot, key):
    qtbot.keyClick(QApplication.focusWidget(), key)


def test_the_capacitor_comes_first_and_needs_no_kind(qtbot, form, begun):
    assert form.kind_box.currentText() == "Run capacitor"
    qtbot.keyClicks(form.label_field, "45/5 uF ±6 %")
    press(qtbot, Key.Key_Return)
    assert [(c.kind, c.lot, c.part, c.label) for c in begun] == [
        (None, "", "old part", "45/5 uF ±6 %")
    ]


@pytest.mark.parametrize("keys", [[Key.Key_Tab], [Key.Key_Down, Key.Key_Return]])
def test_a_kind_is_found_by_typing_a_part_of_its_name(qtbot, form, begun, keys):
    form.kind_box.setFocus()
    form.kind_box.field.selectAll()
    qtbot.keyClicks(form.kind_box.field, "ignit")
    popup = form.kind_box.completer().popup()
    assert popup.isVisible()
    for key in keys:
        qtbot.keyClick(popup, key)
    form.label_field.setFocus()
    assert form.kind_box.currentText() == "Ignitor, hot surface"
    assert form.label_field.placeholderText() == form.kind_box.kind().example
    qtbot.keyClicks(form.label_field, "40-90 ohm")
    press(qtbot, Key.Key_Return)
    (command,) = begun
    kind = command.kind
    assert kind.name == "ignitor"
    # The range that was typed: 40 to 90 Ω.
    (section,) = rate(kind, command.label).sections
    assert (section.low_si, section.high_si) == (Decimal(40), Decimal(90))


def test_a_kind_that_is_not_told_apart_is_asked_for(qtbot, form, begun):
    qtbot.keyClicks(form.label_field, "24 V")
    form.kind_box.field.setText("contactor")
    form.start.click()
    assert begun == []
    assert "choose one" in form.fault.text()


def test_what_a_kind_needs_is_told_and_asked_for(qtbot, form, begun):
    form.kind_box.choose("sensor-pt100")
    assert form.needs.text().startswith("Needed: tolerance class (AA, A, B, C).")
    form.start.click()
    assert begun == []
    assert form.kind_box.kind().example in form.fault.text() and form.label_field.hasFocus()


def test_each_kind_keeps_its_own_label(form):
    form.label_field.setText("45/5 µF ±6 %")
    form.kind_box.choose("ignitor")
    assert form.label_field.text() == ""
    form.label_field.setText("40-90 ohm")
    form.kind_box.choose("")
    assert form.label_field.text() == "45/5 µF ±6 %"
    form.kind_box.choose("ignitor")
    assert form.label_field.text() == "40-90 ohm"


# --- cartons -----------------------------------------------------------------------------------


def in_carton(form, lot="B12", label="45/5 µF ±6 %"):
    form.label_field.setText(label)
    form.prepare([], FormOffer("", "", lot, TESTED, True))
    form.focus()


def test_in_a_carton_only_the_number_is_missing(qtbot, form, begun):
    in_carton(form)
    assert form.number_field.hasFocus()
    assert not form.part_field.isVisible()
    qtbot.keyClicks(form.number_field, "A-020")
    press(qtbot, Key.Key_Return)
    assert [(c.lot, c.part, c.label) for c in begun] == [("B12", "A-020", "45/5 µF ±6 %")]


def test_an_empty_number_is_counted_on(qtbot, form, begun):
    lot, number = "B12", "A-009"
    in_carton(form, lot)
    assert number in form.number_field.placeholderText()
    form.number_field.setFocus()
    press(qtbot, Key.Key_Return)
    assert [(c.lot, c.part) for c in begun] == [(lot, number)]


def test_a_number_that_comes_again_is_told_first(qtbot, form, begun):
    in_carton(form)
    qtbot.keyClicks(form.number_field, "A-007")
    press(qtbot, Key.Key_Return)
    assert begun == []
    assert "tested before" in form.fault.text()
    assert form.number_field.text() == "A-007"
    press(qtbot, Key.Key_Return)
    assert [c.part for c in begun] == ["A-007"]


@pytest.mark.parametrize("end", [Key.Key_Return, Key.Key_Tab])
def test_a_scanned_code_is_whole_but_for_what_cannot_be_seen(qtbot, form, begun, end):
    """Scanners send the separator of two-dimensional codes as Ctrl+] (common practice, no
    source); leading zeros and small letters belong to the code."""
    in_carton(form)
    told = []
    form.left_out.connect(told.append)
    for sign in "0104a":
        qtbot.keyClick(form.number_field, sign)
    qtbot.keyClick(form.number_field, Key.Key_BracketRight, Qt.KeyboardModifier.ControlModifier)
    QApplication.sendEvent(form.number_field, _separator())
    for sign in "21x":
        qtbot.keyClick(form.number_field, sign)
    press(qtbot, end)
    assert [c.part for c in begun] == ["0104a21x"]
    assert told == [1]
    assert "cannot be seen" in form.note.text()


def _separator():
    from PySide6.QtCore import QEvent
    from PySide6.QtGui import QKeyEvent

    modifier = Qt.KeyboardModifier.ControlModifier
    return QKeyEvent(QEvent.Type.KeyPress, Key.Key_BracketRight, modifier, "\x1d")


def test_a_scanned_carton_leads_on_to_the_number(qtbot, form, begun):
    form.label_field.setText("45/5 µF ±6 %")
    form.lot_field.setFocus()
    qtbot.keyClicks(form.lot_field, "box 9")
    press(qtbot, Key.Key_Return)
    assert begun == []
    assert form.number_field.hasFocus()
    press(qtbot, Key.Key_Return)
    assert [(c.lot, c.part) for c in begun] == [("box 9", "1")]


def test_a_part_by_itself_has_a_name_and_no_number(form):
    assert form.part_field.isVisible() and not form.number_field.isVisible()
    form.lot_field.setText("B")
    assert not form.part_field.isVisible() and form.number_field.isVisible()
    form.lot_field.setText("")
    assert form.part_field.isVisible() and not form.number_field.isVisible()
