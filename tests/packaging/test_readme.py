"""What the README says can be typed, and what it shows is there."""

import os
import re
import shlex
import subprocess
import sys
import textwrap
import tomllib
from pathlib import Path

import msgspec
import pytest

from benchmeter.checking.reference_parts import read_reference_parts
from benchmeter.commands.main import COMMANDS, run
from benchmeter.links.instruments.formats.modbus_format import ModbusFormat, Register
from benchmeter.links.instruments.formats.scpi_format import ScpiFormat
from benchmeter.links.instruments.profile import ChannelOfProfile, LineSettings, Profile
from benchmeter.links.instruments.profiles import read_profile
from benchmeter.parts.kind_catalogue import read_part_kind
from benchmeter.parts.rating import rate

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
LARGEST_PICTURE_BYTES = 200_000


def examples() -> list[list[str]]:
    """The lines of the `sh` blocks that begin with benchmeter, as the shell would cut them."""
    blocks = re.findall(r"^```(?:sh|console)\n(.*?)^```", README, re.DOTALL | re.MULTILINE)
    lines = [line for block in blocks for line in block.splitlines()]
    return [shlex.split(line) for line in lines if line.startswith("benchmeter")]


def tables() -> dict[str, str]:
    """The `csv` blocks by the name of the file that was last named before each."""
    found = re.findall(
        r"`(\w+\.csv)`(?:(?!`\w+\.csv`).)*?^ *```csv\n(.*?)^ *```",
        DEVELOPERS,
        re.DOTALL | re.MULTILINE,
    )
    return {name: textwrap.dedent(text) for name, text in found}


def own_files() -> dict[str, str]:
    """The `toml` blocks by the name of the file that was last named before each."""
    found = re.findall(
        r"`([\w-]+\.toml)`(?:(?!`[\w-]+\.toml`).)*?^```toml\n(.*?)^```",
        DEVELOPERS,
        re.DOTALL | re.MULTILINE,
    )
    return dict(found)


@pytest.mark.gui  # the report is drawn by Qt
def test_every_example_runs_in_the_order_of_the_readme(tmp_path: Path) -> None:
    without_display = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    environment = {k: v for k, v in os.environ.items() if k not in without_display}
    environment |= {
        "PYTHONPATH": str(ROOT),
        "PYTHONUTF8": "1",
        # The user's data folder, as each system looks for it.
        **dict.fromkeys(("HOME", "XDG_DATA_HOME", "LOCALAPPDATA"), str(tmp_path)),
    }
    assert len(examples()) >= 8
    for name, text in tables().items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    for place in ("benchmeter", "Library/Application Support/benchmeter"):
        parts = tmp_path / place / "parts"
        parts.mkdir(parents=True)
        kind = own_files()["crankcase-heater.toml"]
        (parts / "crankcase-heater.toml").write_text(kind, encoding="utf-8")
    for command in examples():
        done = subprocess.run(
            [sys.executable, "-m", "benchmeter", *command[1:]],
            cwd=tmp_path,
            env=environment,
            capture_output=True,
            text=True,
            encoding="utf-8",
        )
        assert done.returncode == 0, f"{shlex.join(command)}\n{done.stderr}"
        assert done.stdout
    assert (tmp_path / "front-shop.pdf").read_bytes().startswith(b"%PDF-")


def test_the_files_of_a_person_are_understood(tmp_path: Path) -> None:
    """The kind with its limits: 240² V² / 40 W = 1440 Ω, ±10 % (CALC)."""
    for name, text in own_files().items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    kind = read_part_kind(tmp_path / "crankcase-heater.toml")
    element, case = rate(kind, kind.example).sections
    assert (element.low_si, element.high_si, case.low_si) == (1296, 1584, 1_000_000)
    (known,), faults = read_reference_parts(tmp_path / "reference-parts.toml")
    assert (known.name, faults) == ("R45", ())


def test_each_computation_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        run(["compute", "--help"])
    offered = re.findall(r"^    (\S+)", capsys.readouterr().out, re.MULTILINE)
    assert "under-load" in offered
    row = next(line for line in README.splitlines() if line.startswith("| `benchmeter compute"))
    assert set(re.findall("`([a-z-]+)`", row)) == set(offered)


def test_each_command_has_its_row_and_its_example() -> None:
    rows = set(re.findall(r"^\| `benchmeter (\w+)", README, re.MULTILINE))
    assert rows == set(COMMANDS)
    assert {command[1] for command in examples()} == set(COMMANDS)


@pytest.mark.parametrize("text", [README, DEVELOPERS], ids=["README", "DEVELOPERS"])
def test_what_is_linked_or_named_is_there(text: str) -> None:
    linked = re.findall(r"\]\((?!https?:)([^)#]+)\)", text)
    folders = "packaging|resources|demo_sessions|tests|benchmeter"
    named = re.findall(rf"`((?:{folders})/[\w./-]+)`", text)
    placeholder = re.compile("NAME|_reason")
    named = [name for name in named if not placeholder.search(name)]
    missing = [name for name in [*linked, *named] if not (ROOT / name).exists()]
    assert not missing


def test_the_profile_of_the_developers_guide_is_a_profile_with_every_field(
    tmp_path: Path,
) -> None:
    chapter = DEVELOPERS[DEVELOPERS.index("## Add an instrument") :]
    text, modbus = re.findall(r"^```toml\n(.*?)^```", chapter, re.DOTALL | re.MULTILINE)[:2]
    path = tmp_path / "workshop.toml"
    path.write_text(text, encoding="utf-8")

    profile = read_profile(path)

    assert profile.name == "workshop"
    for table, shown in (
        (Profile, tomllib.loads(text)),
        (LineSettings, tomllib.loads(text)["line"]),
        (ScpiFormat, tomllib.loads(text)["format"]),
        (ChannelOfProfile, tomllib.loads(text)["channels"][0]),
    ):
        fields = {field.name for field in msgspec.structs.fields(table)}
        assert fields - set(shown) - {"name"} == set(), table.__name__

    channel = '[[channels]]\nfield = "T1"\nquantity = "temperature"\nunit = "°C"\n'
    path.write_text(f'title = "Module"\n{modbus}{channel}', encoding="utf-8")
    (register,) = tomllib.loads(modbus)["format"]["registers"]
    assert isinstance(read_profile(path).format, ModbusFormat)
    assert {field.name for field in msgspec.structs.fields(Register)} == set(register)


def test_each_picture_is_small_and_shown() -> None:
    pictures = sorted((ROOT / "resources" / "pictures").glob("*.png"))
    assert pictures
    for picture in pictures:
        assert picture.stat().st_size < LARGEST_PICTURE_BYTES, picture
        assert f"resources/pictures/{picture.name}" in README, picture


def test_each_profile_and_scenario_of_the_program_is_named() -> None:
    for folder in ("resources/instruments", "demo_sessions"):
        for path in (ROOT / folder).glob("*.toml"):
            named = f"`{path.stem}`" in README + DEVELOPERS or path.stem == "walk-in-cooler"
            assert named, path


def test_the_readme_is_read_in_one_sitting() -> None:
    assert len(README.splitlines()) <= 200
