"""Notices: put away with a key, and all of them in one list."""

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from benchmeter.session.outcome import Severity
from benchmeter.window.pages.notices import NoticesPage
from benchmeter.window.shell.window import Window
from benchmeter.words.notice_words import ToldNotice
from tests.fakes.window_acts import press, rest

pytestmark = [pytest.mark.gui, pytest.mark.qt_log_ignore("propagateSizeHints")]

GAP = ToldNotice(Severity.WARNING, "Probe 2 has stopped sending.", "Check the plug.")
FULL = ToldNotice(Severity.ERROR, "The disk is full: recording has stopped.", "Make room.")


def test_a_notice_is_put_away_with_its_key(qtbot: QtBot, window: Window) -> None:
    for notice in (FULL, GAP):
        window.controller.noticed.emit(notice)
    assert window.notices.dismiss_button.title() == "Next (1)"
    press(qtbot, window, Qt.Key.Key_F8)
    assert window.notices.dismiss_button.title() == "Dismiss"
    press(qtbot, window, Qt.Key.Key_F8)
    assert window.notices.isHidden()


def test_the_key_works_while_something_is_being_typed(qtbot: QtBot, window: Window) -> None:
    window.controller.start_live(())
    rest(qtbot, window)
    window.notices.dismiss()
    window.controller.noticed.emit(GAP)
    press(qtbot, window, Qt.Key.Key_N)
    assert window.bench.stage.form.label_field.hasFocus()
    press(qtbot, window, Qt.Key.Key_F8)
    assert window.notices.isHidden()


def test_every_notice_stays_in_the_list_the_latest_first(qtbot: QtBot, window: Window) -> None:
    for notice in (GAP, FULL, GAP):
        window.controller.noticed.emit(notice)
        window.notices.dismiss()
    press(qtbot, window, Qt.Key.Key_F6)
    place = window.place(5)
    assert isinstance(place, NoticesPage) and place.list.hasFocus()
    lines = [place.list.item(row).text() for row in range(place.list.count())]
    assert len(lines) == 2
    assert "Probe 2" in lines[0] and "×2" in lines[0] and "Check the plug." in lines[0]
    assert "disk is full" in lines[1] and "to do" in lines[1]
    window.controller.noticed.emit(ToldNotice(Severity.INFO, "Probe 2 sends again."))
    assert "sends again" in place.list.item(0).text()


def test_an_empty_list_says_so(qtbot: QtBot, window: Window) -> None:
    press(qtbot, window, Qt.Key.Key_F6)
    place = window.place(5)
    assert isinstance(place, NoticesPage)
    assert place.list.count() == 0 and "Nothing" in place.about.text()
