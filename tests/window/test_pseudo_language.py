"""Every state of every screen in the pseudo-language: all is translated, nothing is cut off."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication, QLabel, QPushButton, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from benchmeter.files.folders import Folders
from benchmeter.files.preferences import Preferences, save_preferences
from benchmeter.window.theme import palette as palettes
from benchmeter.window.theme.language import speak
from benchmeter.words.catalogue import PSEUDO
from benchmeter.words.presentation import Presentation
from tests.window.pseudo import cut_off, data, outside, untranslated
from tests.window.render_sheet import STATES, Scene

pytestmark = [pytest.mark.gui, pytest.mark.qt_log_ignore("propagateSizeHints")]


@pytest.fixture
def pseudo(qapp: QApplication) -> Iterator[None]:
    speak(qapp, PSEUDO)
    day = palettes.palette("day")
    palettes.apply(qapp, day, presentation=Presentation(language=PSEUDO))
    yield
    speak(qapp)
    palettes.apply(qapp, day)


@pytest.fixture(scope="module")
def known() -> re.Pattern[str]:
    return data()


@pytest.mark.parametrize("name", STATES)
def test_each_state_is_translated_and_has_room(
    pseudo: None, known: re.Pattern[str], tmp_path: Path, name: str
) -> None:
    folders = Folders(tmp_path)
    save_preferences(folders, Preferences(language=PSEUDO, sound=False))
    scene = Scene(folders)
    try:
        scene.window.show()
        scene.window.resize(1280, 800)
        scene.settle()
        STATES[name](scene)
        scene.settle()
        assert list(untranslated(scene.window, known)) == []
        assert list(cut_off(scene.window)) == []
    finally:
        scene.close()


def test_what_is_not_translated_or_has_no_room_is_found(
    qtbot: QtBot, known: re.Pattern[str]
) -> None:
    box = QWidget()
    qtbot.addWidget(box)
    rows = QVBoxLayout(box)
    for text in ("[Métér·]", "µF 44.10", "[Púsh [thé bútton·]·]", "Nobody translated this"):
        rows.addWidget(QLabel(text))
    small = QPushButton("[Á lóng téxt that has no room··········]", box)
    rows.addWidget(small)
    box.show()
    found = list(untranslated(box, known))
    assert {text.split("'")[1] for text in found} == {"Nobody", "translated", "this"}
    assert list(cut_off(box)) == []
    small.setFixedWidth(20)
    assert len(list(cut_off(box))) == 1
    assert outside("a [b [c] d] e").split() == ["a", "e"]
