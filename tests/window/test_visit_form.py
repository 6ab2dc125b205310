"""The facts of a visit in the window: stated by keys alone, undone, put off without loss."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from benchmeter.session.visit import PartOrigin, Visit
from benchmeter.window.pages.record_page import RecordPage
from benchmeter.window.shell.window import Window
from tests.window.test_screens import _play, _record, _rest, window

__all__ = ["window"]


@pytest.fixture
def page(qtbot: QtBot, window: Window) -> RecordPage:
    """The record page, in front, with a session in it whose form is open."""
    _play(qtbot, window)
    window.show_record()
    _rest(qtbot, window)
    place = _record(window)
    qtbot.keyClick(place.list, Qt.Key.Key_V)
    _rest(qtbot, window)
    assert place.visit.isVisible() and not place.list.isVisible()
    return place


def stored(qtbot: QtBot, page: RecordPage) -> Visit:
    found: list[Visit] = []
    page.controller.ask_store(lambda store: store.visit(store.sessions()[0].id), found.append)
    qtbot.waitUntil(lambda: bool(found))
    return found[0]


def typing(qtbot: QtBot, words: str) -> None:
    """Into whatever has the focus; then on to the next field."""
    field = QApplication.focusWidget()
    assert field is not None
    qtbot.keyClicks(field, words)
    qtbot.keyClick(field, Qt.Key.Key_Tab)


def test_the_facts_are_typed_kept_and_undone_by_keys(
    qtbot: QtBot, window: Window, page: RecordPage
) -> None:
    assert window.next_line.text().startswith("State who measured")
    for words in ("T. E.", "Cold & Co.", "Ann", "Roof", "Maker A", "M-36", "0815", "hums", "Ann"):
        typing(qtbot, words)
    typing(qtbot, "95")  # the window shows °F
    part = QApplication.focusWidget()
    assert part is page.visit.part
    qtbot.keyClick(part, Qt.Key.Key_Tab)
    for words in ("Maker B", "C-77", "2619"):
        typing(qtbot, words)
    qtbot.keyClick(page.visit.fields["date_code"], Qt.Key.Key_Return)
    _rest(qtbot, window)
    assert page.list.isVisible() and not page.visit.isVisible()
    found = stored(qtbot, page)
    assert found == Visit(
        "T. E.", "Cold & Co.", "Ann", "Roof", "Maker A", "M-36", "0815", "hums", "Ann",
        found.ambient_c, (PartOrigin(1, "Maker B", "C-77", "2619"),),
    )  # fmt: skip
    assert found.ambient_c == pytest.approx(35)  # (95 − 32)·5/9
    qtbot.keyClick(page.list, Qt.Key.Key_U)
    _rest(qtbot, window)
    assert stored(qtbot, page) == Visit()


def test_what_was_put_off_is_there_again(qtbot: QtBot, window: Window, page: RecordPage) -> None:
    typing(qtbot, "T. E.")
    field = QApplication.focusWidget()
    assert field is not None
    qtbot.keyClick(field, Qt.Key.Key_Escape)
    assert page.list.isVisible()
    assert stored(qtbot, page) == Visit()
    qtbot.keyClick(page.list, Qt.Key.Key_V)
    _rest(qtbot, window)
    assert page.visit.fields["measured_by"].text() == "T. E."


def test_what_is_not_understood_is_told_and_keeps_the_form_open(
    qtbot: QtBot, window: Window, page: RecordPage
) -> None:
    field = page.visit.fields["ambient"]
    field.setFocus()
    qtbot.keyClicks(field, "350")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert page.visit.isVisible() and field.hasFocus()
    assert "no temperature of the air" in page.visit.fault.text()
    assert stored(qtbot, page) == Visit()
