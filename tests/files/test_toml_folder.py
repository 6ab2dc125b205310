"""Folders of data files: which file counts, and what is said of a field that is wrong."""

from collections.abc import Iterator
from pathlib import Path
from typing import Annotated

import msgspec
import pytest

from benchmeter.errors import DataFileError, InputError, Message
from benchmeter.files.folders import Folders
from benchmeter.files.toml_folder import TomlFolder
from tests.fakes.refusals import advised, in_english, refused, said


class Thing(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    title: Annotated[str, msgspec.Meta(pattern=r"\S", max_length=8)]
    count: Annotated[int, msgspec.Meta(ge=1, le=9)] = 1
    share: Annotated[float, msgspec.Meta(gt=0, lt=1)] = 0.5
    ends: Annotated[tuple[str, ...], msgspec.Meta(min_length=2)] = ("a", "b")
    one: Annotated[tuple[str, ...], msgspec.Meta(min_length=1)] = ("a",)
    either: int | str = 1
    name: str = ""


def _named(thing: Thing, name: str) -> Thing:
    return msgspec.structs.replace(thing, name=name)


def _faults(thing: Thing) -> Iterator[Message]:
    for word in ("title", "count"):
        if thing.title == "odd":
            yield Message("parts.no_limit", {"field": word})


THINGS: TomlFolder[Thing] = TomlFolder("sensors", Thing, Message("files.sensor"), _named, _faults)


@pytest.fixture
def folders(tmp_path: Path) -> Folders:
    (tmp_path / "sensors").mkdir()
    return Folders(tmp_path)


def write(folders: Folders, text: str, name: str = "mine") -> Path:
    path = folders.data / "sensors" / f"{name}.toml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("count = 2", "title is missing"),
        ("title = ' '", "line 1, title must not be empty"),
        ("title = 'far too long'", "title must not be longer than 8 characters"),
        ("title = 'a'\ncount = 0", "line 2, count must be 1 or more"),
        ("title = 'a'\ncount = 10", "count must be 9 or less"),
        ("title = 'a'\nshare = 0.0", "share must be greater than 0"),
        ("title = 'a'\nshare = 1.0", "share must be less than 1"),
        ("title = 'a'\nends = ['a']", "ends must have 2 or more"),
        ("title = 'a'\none = []", "one must not be empty"),
        ("title = 'a'\neither = 1.5", "either must be a whole number or text in quotes"),
        ("title = 'a'\nmore = 1", "more is not a field of a sensor"),
        ("title = ", "it is no TOML: "),
        ("title = 'odd'\ncount = 2", "line 1, title must have .*; line 2, count must have"),
    ],
)
def test_a_wrong_field_is_told_with_its_line(folders: Folders, text: str, told: str) -> None:
    path = write(folders, text)
    with refused(DataFileError, match=told) as caught:
        THINGS.read(path)
    assert str(path) in said(caught.value)
    assert advised(caught.value).startswith("Correct the file; until then this sensor")


def test_what_is_no_text_file_is_told(folders: Folders) -> None:
    path = write(folders, "")
    path.write_bytes(b"title = '\xff'")
    with refused(DataFileError, match="not UTF-8"):
        THINGS.read(path)
    with refused(DataFileError, match="cannot be read"):
        THINGS.read(folders.data / "sensors")
    for nobody_writes in ("a = " + "[" * 20_000, f"a = {'9' * 10_000}"):
        with refused(DataFileError, match="no TOML"):
            THINGS.read(write(folders, nobody_writes))
    path.write_bytes(b"\xef\xbb\xbftitle = 'a'")  # some editors put a byte order mark before it
    assert THINGS.read(path).title == "a"


def test_the_users_file_wins_even_when_it_is_broken(folders: Folders) -> None:
    assert "pt100" in THINGS.files(None)
    write(folders, "title = ", "pt100")
    with refused(DataFileError, match="pt100.toml"):
        THINGS.load("pt100", folders)
    write(folders, "title = 'mine'", "pt100")
    assert THINGS.load("pt100", folders) == Thing(title="mine", name="pt100")
    found, errors = THINGS.all(folders)
    assert [thing.name for thing in found] == ["pt100"]  # the program's are no such things
    assert len(errors) == len(THINGS.files(folders)) - 1


@pytest.mark.parametrize("name", ["nothing", "", "../sensors/pt100", "PT100", "x" * 100])
def test_what_is_not_there_is_told_with_what_is(folders: Folders, name: str) -> None:
    with refused(InputError, match="There is no sensor “.*pt100") as caught:
        THINGS.load(name, folders)
    told = in_english(caught.value)
    assert str(folders.data / "sensors") in told
