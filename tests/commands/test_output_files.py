"""What a command writes: whole or not at all, never over a file that nobody gave up.

No source: common practice of programs that write what they are told to.
"""

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from benchmeter.errors import InputError, WorldError
from benchmeter.files import output_file
from benchmeter.files.folders import Folders
from benchmeter.files.output_file import OutputFile, writing_whole
from tests.commands.calls import Call, call
from tests.fakes.refusals import refused

Run = Callable[..., Call]


@pytest.fixture
def lot(tmp_path: Path) -> Run:
    """`judge --lot … --out PATH`: the writer that needs neither record nor Qt."""
    readings = tmp_path / "lot.csv"
    readings.write_text("part,HERM,FAN\n1,44.1,4.98\n")

    def judge(out: Path, *more: str) -> Call:
        arguments = ("judge", "45/5 uF ±6% 440 V", "--lot", str(readings), "--out", str(out))
        return call(*arguments, "--data", str(tmp_path / "data"), *more)

    return judge


def test_a_file_that_is_there_gives_way_to_replace_alone(lot: Run, tmp_path: Path) -> None:
    out = tmp_path / "out.csv"
    out.write_text("precious")
    done = lot(out)
    assert (done.status, done.err.count("\n"), out.read_text()) == (2, 1, "precious")
    assert "--replace" in done.err
    assert lot(out, "--replace").status == 0
    assert out.read_text().startswith("part,")


@pytest.mark.parametrize("more", [(), ("--replace",)])
def test_the_data_folder_takes_no_output_by_whatever_way(
    lot: Run, more: tuple[str, ...], tmp_path: Path
) -> None:
    data = tmp_path / "data"
    (data / "parts").mkdir(parents=True)
    (data / "benchmeter.sqlite").write_bytes(b"the record")
    (tmp_path / "way").symlink_to(data)
    (tmp_path / "deep").symlink_to(data / "parts")
    (tmp_path / "direct.csv").symlink_to(data / "benchmeter.sqlite")
    (tmp_path / "new.csv").symlink_to(data / "new.csv")
    os.link(data / "benchmeter.sqlite", tmp_path / "twin.csv")
    for path in ("data/new.csv", "way/new.csv", "deep/x.csv", "deep/../benchmeter.sqlite",
                 "direct.csv", "new.csv", "data/parts/../new.csv"):  # fmt: skip
        assert lot(tmp_path / path, *more).status == 2, path
    lot(tmp_path / "twin.csv", *more)  # another name of the record: at most that name is given up
    assert (data / "benchmeter.sqlite").read_bytes() == b"the record"
    assert sorted(p.name for p in data.iterdir()) == ["benchmeter.sqlite", "parts"]
    assert not any((data / "parts").iterdir())


def test_the_folder_of_the_user_takes_none_either(tmp_path: Path, monkeypatch) -> None:
    """The command may work on another data folder."""
    monkeypatch.setattr(Folders, "of_user", lambda: Folders(tmp_path / "mine"))
    (tmp_path / "mine").mkdir()
    to = OutputFile.beside(Folders(tmp_path / "other"), tmp_path / "mine" / "a.csv")
    with refused(InputError, match="data folder"):
        to.check()


@pytest.mark.parametrize("more", [(), ("--replace",)])
@pytest.mark.parametrize("kind", ["pipe", "device", "folder", "link"])
def test_only_an_ordinary_file_is_replaced(
    lot: Run, kind: str, more: tuple[str, ...], tmp_path: Path
) -> None:
    out, other = tmp_path / "out.csv", tmp_path / "other.csv"
    other.write_text("precious")
    match kind:
        case "pipe":
            os.mkfifo(out)
        case "device":
            out = Path(os.devnull)
        case "folder":
            out.mkdir()
        case _:
            out.symlink_to(other)
    before = out.lstat().st_ino
    assert lot(out, *more).status == 2
    assert (out.lstat().st_ino, other.read_text()) == (before, "precious")


@pytest.mark.parametrize("sign", ["\x1b[31m", "\n", "\x9b", "\u202e", "\x7f", "\u2028"])
def test_a_name_with_signs_that_steer_is_refused(lot: Run, sign: str, tmp_path: Path) -> None:
    done = lot(tmp_path / f"out{sign}.csv")
    assert (done.status, done.err.count("\n")) == (2, 1)
    assert sign not in done.err.rstrip("\n")
    assert [p.name for p in tmp_path.iterdir()] == ["lot.csv"]


def test_a_fault_leaves_what_was_there_and_nothing_else(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"before")
    path.chmod(0o640)
    with pytest.raises(ValueError), writing_whole(path) as file:
        file.write(b"half")
        raise ValueError
    assert path.read_bytes() == b"before"
    with writing_whole(path) as file:
        file.write(b"after")
    assert path.read_bytes() == b"after"
    assert path.stat().st_mode & 0o777 == 0o640
    assert [p.name for p in tmp_path.iterdir()] == ["a"]


def test_a_folder_that_is_not_there_is_an_error_of_the_world(tmp_path: Path) -> None:
    to = OutputFile(tmp_path / "none" / "a.pdf")
    with refused(WorldError, match="No such file"), to.writing():
        pass


@pytest.mark.parametrize("links", [True, False], ids=["hard links", "a memory card"])
def test_a_file_that_appears_meanwhile_stays(links: bool, tmp_path: Path, monkeypatch) -> None:
    def none(*_: object) -> None:
        raise PermissionError

    if not links:
        monkeypatch.setattr(Path, "hardlink_to", none)
    with pytest.raises(FileExistsError), writing_whole(tmp_path / "a", replace=False) as file:
        file.write(b"ours")
        (tmp_path / "a").write_bytes(b"theirs")
    assert (tmp_path / "a").read_bytes() == b"theirs"
    with writing_whole(tmp_path / "b", replace=False) as file:
        file.write(b"ours")
    assert (tmp_path / "b").read_bytes() == b"ours"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["a", "b"]


def test_nothing_else_writes_files() -> None:
    """One owner: the rest of the program opens files to read them, or hands them to a library."""
    package = Path(output_file.__file__).parents[1]
    ways = ("write_text(", "write_bytes(", '"wb"', '"w")', 'open("x"', '"ab"', ".save(str(")
    found = {
        (str(path.relative_to(package)), way)
        for path in package.rglob("*.py")
        for way in ways
        if way in path.read_text(encoding="utf-8")
    }
    assert found == {
        ("files/output_file.py", '"wb"'),
        ("commands/output.py", '"w")'),  # the null device
        ("commands/record.py", '"w")'),  # likewise
        ("window/plot/recovery_plot.py", ".save(str("),  # into a folder of its own
    }
