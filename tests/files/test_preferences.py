"""Preferences: kept, found again, and never in the way of starting."""

import pytest

from benchmeter.errors import StoreReadOnly
from benchmeter.files.folders import Folders
from benchmeter.files.preferences import (
    LABELS_KEPT,
    Preferences,
    load_preferences,
    save_preferences,
)
from tests.fakes.refusals import advised


def test_without_a_file_the_defaults_hold(folders: Folders) -> None:
    loaded = load_preferences(folders)
    assert loaded.preferences == Preferences()
    assert loaded.problem is None


def test_what_was_saved_is_loaded_again(folders: Folders) -> None:
    wanted = Preferences(
        palette="sunlight",
        zoom=150,
        temperature_unit="°C",
        decimal_sign=",",
        sound=False,
        accuracy="1.2 % + 2 x 0.1 µF",
        labels=("45/5 µF ±6 % 440 V", 'odd " label \\'),
        decision_rule="simple",
    )
    save_preferences(folders, wanted)
    assert load_preferences(folders).preferences == wanted


@pytest.mark.parametrize(
    "text",
    ["palette = ", 'palette = "neon"', "zoom = 500", "zoom = true", "\x00", 'labels = "45 uF"'],
)
def test_a_broken_file_is_kept_aside_and_told(folders: Folders, text: str) -> None:
    folders.settings.write_text(text)
    loaded = load_preferences(folders)
    assert loaded.preferences == Preferences()
    assert loaded.problem is not None
    aside = folders.data / "settings.broken-1.toml"
    assert aside.read_text() == text
    assert aside.name in advised(loaded.problem)


def test_a_file_that_is_not_text_is_kept_aside(folders: Folders) -> None:
    folders.settings.write_bytes(b'palette = "\xff\xfe"')
    assert load_preferences(folders).problem is not None
    assert (folders.data / "settings.broken-1.toml").exists()


def test_a_second_broken_file_does_not_take_the_place_of_the_first(folders: Folders) -> None:
    for text in ("one =", "two ="):
        folders.settings.write_text(text)
        load_preferences(folders)
    assert (folders.data / "settings.broken-1.toml").read_text() == "one ="
    assert (folders.data / "settings.broken-2.toml").read_text() == "two ="


def test_options_of_a_newer_version_do_no_harm(folders: Folders) -> None:
    folders.settings.write_text('palette = "night"\nnew_option = 3\n')
    loaded = load_preferences(folders)
    assert loaded.problem is None
    assert loaded.preferences.palette == "night"


def test_a_folder_that_cannot_be_written_is_told(folders: Folders) -> None:
    folders.settings.mkdir()  # a folder stands where the file should be
    (folders.settings / "x").touch()
    with pytest.raises(StoreReadOnly) as told:
        save_preferences(folders, Preferences())
    assert str(folders.data) in advised(told.value)


def test_each_label_is_remembered_once_and_the_newest_first() -> None:
    preferences = Preferences()
    for number in range(LABELS_KEPT + 3):
        preferences = preferences.with_label(f"{number} µF")
    preferences = preferences.with_label("5 µF")
    assert preferences.labels[0] == "5 µF"
    assert len(preferences.labels) == LABELS_KEPT
    assert preferences.labels.count("5 µF") == 1
