"""Parsers under attack: what people type, and the files and words that they give."""

import contextlib
import io
import json
import math
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

from benchmeter.checking.typed_reading import parse_typed
from benchmeter.commands.main import run
from benchmeter.conformity.accuracy import parse_accuracy
from benchmeter.errors import DataFileError, InputError
from benchmeter.files.folders import Folders
from benchmeter.files.preferences import load_preferences
from benchmeter.files.resources import demo_sessions, resource
from benchmeter.links.instruments.address import parse_address
from benchmeter.links.instruments.building import conversation_for, decoder_for
from benchmeter.links.instruments.profiles import read_profile
from benchmeter.parts.nameplate.label import parse_label
from benchmeter.parts.nameplate.tolerance import parse_tolerance
from benchmeter.quantities.typed_numbers import parse_number
from benchmeter.quantities.units import parse_value, to_si
from benchmeter.simulator.scenario import load_scenario
from benchmeter.simulator.virtual_bench import open_scenario
from tests.fakes.refusals import said
from tests.hostile.mutation import spoiled, spoiled_text

__all__ = ["WRITINGS", "Writing", "shown_by"]


@dataclass(frozen=True, slots=True)
class Writing:
    """Something that is read: `read` may raise InputError and DataFileError only."""

    name: str
    seeds: tuple[str, ...]
    read: Callable[[str], object]
    file: bool = False

    def attack(self, chance: Random) -> bool:
        """One spoiled text. Never a mis-decode: nobody can tell what was meant.

        Raises:
            Exception: whatever the parser lets out besides its own errors.
        """
        text = chance.choice(self.seeds)
        if self.file and chance.random() < 0.5:  # damaged, not mistyped
            data = spoiled(text.encode(), (b"[", b"\xff\xfe", b"'"), chance)
            text = data.decode("utf-8", "surrogateescape")
        else:
            text = spoiled_text(text, self.seeds, chance)
        self.judge(text)
        return False

    def judge(self, text: str) -> None:
        try:
            self.read(text)
        except (InputError, DataFileError) as error:
            assert said(error).strip(), text
            assert len(said(error)) < 2000, text


def _label(text: str) -> None:
    rating = parse_label(text)
    assert rating.sections
    for section in rating.sections:
        assert 0 < section.low_si < section.high_si < 1, text


def _number(text: str) -> None:
    number = parse_number(text)
    assert isinstance(number, Decimal)
    assert number.is_finite(), text


def _value(text: str) -> None:
    assert math.isfinite(to_si(*parse_value(text, "")))


def _typed(text: str) -> None:
    found = parse_typed(text)
    assert (found.value_si is None) == (found.reason is not None), text


_FOLDER = TemporaryDirectory(prefix="hostile-")
_HERE = Path(_FOLDER.name)
_DEEP = _HERE / "commands"
_DEEP.mkdir()


def _bytes(text: str) -> bytes:
    return text.encode("utf-8", "surrogateescape")


def _profile(text: str) -> None:
    path = _HERE / "profile.toml"
    path.write_bytes(_bytes(text))
    profile = read_profile(path)
    decoder = decoder_for(profile)
    decoder.feed(b"1\r\n")
    conversation_for(profile).restarted(0)


def _scenario(text: str) -> None:
    path = _HERE / "scenario.toml"
    path.write_bytes(_bytes(text))
    open_scenario(load_scenario(str(path), Folders(_HERE)), None)


def _settings(text: str) -> None:
    folders = Folders(_HERE)
    folders.settings.write_bytes(_bytes(text))
    found = load_preferences(folders)
    for aside in _HERE.glob("settings.broken-*"):
        aside.unlink()
    if found.problem is not None:
        raise found.problem


def _table(text: str) -> None:
    from benchmeter.commands.compute import read_table

    path = _HERE / "table.csv"
    path.write_bytes(_bytes(text))
    times, values = read_table(path)
    assert len(times) == len(values)
    assert all(map(math.isfinite, times + values))


def _command(text: str) -> None:
    """Arguments, a line each: a status, one sentence or one document, never a traceback.

    What is spoiled may name any folder, and is not to write outside of ours.
    """
    arguments = [_relative(word) for word in text.replace("\0", "").split("\n")]
    with contextlib.chdir(_DEEP):
        status, document, sentence = shown_by(lambda: run(arguments))
    assert status in (0, 1, 2), text
    if status:
        assert sentence.startswith("benchmeter: "), text
    elif document.startswith("{"):
        json.loads(document, parse_constant=_no_constant)


def shown_by(command: Callable[[], int]) -> tuple[int, str, str]:
    """Status, output and messages of a command."""
    told = io.TextIOWrapper(io.BytesIO(), "utf-8", "backslashreplace")
    shown = io.TextIOWrapper(io.BytesIO(), "utf-8", "strict")  # as the system's own
    with contextlib.redirect_stderr(told), contextlib.redirect_stdout(shown):
        try:
            status = command()
        except SystemExit as left:  # --help, --version
            status = 0
            assert left.code == 0, left.code
    return status, _written(shown), _written(told)


def _relative(word: str) -> str:
    """The argument with its path, or that of its option, below the working folder."""
    option, sign, value = word.partition("=") if word.startswith("--") else ("", "", word)
    inside = value.replace("..", "__")
    return option + sign + (f".{inside}" if inside.startswith(("/", "~")) else inside)


def _written(file: io.TextIOWrapper) -> str:
    file.seek(0)
    return file.read()


def _no_constant(name: str) -> None:
    raise AssertionError(f"{name} in a JSON document")


def _texts(*folders: Path) -> tuple[str, ...]:
    return tuple(p.read_text() for folder in folders for p in sorted(folder.glob("*.toml")))


_LABELS = (
    "45/5 uF ±6% 440 V", "88-108 MFD 250VAC", "35+5 µF ±5% 370/440VAC 50/60Hz", "7.5 uF +10/-5 %",
    "HERM 45 FAN 5 MFD +/-6% 440VAC", "30 uF 5 % 450 V", "45 / 7,5 µF ± 6 %", "189-227 µF 125 VAC",
)  # fmt: skip
_READINGS = ("44.1 uF", "44,10", "OL", "open", "short", "0.02uF", "4410 nF", "-0.1 µF", "12 kohm")
_DATA = "--data=empty"
_COMMANDS = tuple(
    "\n".join(words)
    for words in (
        ("judge", "45/5 uF ±6% 440 V", "--read", "HERM=44.1uF", "--read", "FAN=5.02", "--json"),
        ("judge", "7.5 uF 5%", "--read", "OL", "--accuracy", "1.2% + 2 x 0.1uF", "--json"),
        ("judge", "7.5 uF", "--tolerance", "6 %", "--read", "7.4", "--rule", "simple"),
        ("judge", "30 uF ±5%", "--read", "30.1", "--lead-offset", "0.02uF", "--json"),
        ("compute", "under-load", "--current", "6.28A", "--voltage", "370V", "--frequency", "60Hz"),
        ("compute", "--json", "discharge-time", "--capacitance", "45uF", "--voltage", "370V",
         "--resistance", "15kohm", "--to", "50V"),
        ("compute", "step-fit", "nowhere.csv", "--initial", "3", "--json"),
        ("compute", "unbalance", "460V", "467V", "450V", "--json"),
        ("compute", "windings", "C-S=2.6ohm", "C-R=0.8ohm", "S-R=3.4ohm", "--json"),
        ("compute", "sensor", "pt100", "--reading", "109.73ohm", "--json"),
        ("compute", "sensor", "K", "--reading", "3.096mV", "--junction", "25C", "--json"),
        ("sessions", _DATA, "--json"),
        ("show", "nothing", _DATA, "--json"),
        ("recheck", "nothing", _DATA),
        ("report", "nothing", "--to", "nowhere/page.html", _DATA),
        ("record", "--from", "serial:/dev/none", "--for", "1s", _DATA),
        ("record", "--from", "simulated:", "--pace", "0", _DATA),
    )
)  # fmt: skip

WRITINGS = (
    Writing("label", _LABELS, _label),
    Writing("tolerance", ("±6%", "+10/-5 %", "6 %", "-5 +10%", "J", "± 5,0 %"), parse_tolerance),
    Writing("number", ("44.1", "44,10", "-0.5", "1e-6", "−3", ".5", "1,234.5", "0"), _number),
    Writing(
        "value with unit",
        ("45uF", "118psig", "95F", "1200cfm", "15kohm", "10deltaF", "44,1 µF", "-3 °C", "1e3 Hz"),
        _value,
    ),
    Writing("typed reading", _READINGS, _typed),
    Writing(
        "accuracy line",
        ("1.2% + 2 x 0.1uF", "±(0.5 % + 3 counts)", "1 % rdg + 5 dgt", "2%", "3 x 0.01 uF"),
        parse_accuracy,
    ),
    Writing(
        "link text",
        (
            "serial:/dev/ttyUSB0?profile=scpi-meter&channel=capacitor&baud=9600",
            "serial:COM3?profile=modbus-two-probes&channel=discharge,outdoor&device=7",
            "simulated:walk-in-cooler",
        ),
        parse_address,
    ),
    Writing("profile file", _texts(resource("instruments")), _profile, file=True),
    Writing("scenario file", _texts(demo_sessions()), _scenario, file=True),
    Writing(
        "settings file",
        ('palette = "night"\nsound = true\n', 'temperature_unit = "°F"\n', "zoom = 1.25\n"),
        _settings,
        file=True,
    ),
    Writing(
        "table of a step",
        ("seconds,value\n0,23.4\n10,30.1\n20,33\n", "0;23,4\n10;30,1\n", "0\t1\n5\t\n6\t2\n"),
        _table,
        file=True,
    ),
    Writing("command line", _COMMANDS, _command),
)
