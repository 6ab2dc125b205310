"""`compute recovery`: what a logged recovery let one say, minute by minute."""

import argparse
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from benchmeter.commands.computations.answer import Answer, aligned, answer_with
from benchmeter.commands.parsing import Parser
from benchmeter.errors import InputError
from benchmeter.quantities.temperature import ZERO_CELSIUS_K
from benchmeter.quantities.typed_numbers import parse_number
from benchmeter.words.presentation import Presentation

if TYPE_CHECKING:
    from benchmeter.commands.computations.input_table import Cells
    from benchmeter.cooling.recovery import Recovery
    from benchmeter.cooling.replay import AirReading

__all__ = ["add_computations"]

_EXAMPLE = "seconds,discharge,outdoor"
_AIRS = ("discharge", "outdoor")
_IN_F = {"discharge_f": "discharge", "outdoor_f": "outdoor"}
_MODES = ("cooling", "heating", "defrost", "refrigeration")
_LEAST = {"amps": 0.5, "power": 50.0}  # our own choice: a control draws less, a fan draws more
_COLDEST_C, _HOTTEST_C = -100.0, 300.0


def add_computations(what: Any, common: Parser, say: Presentation) -> None:
    """Add `recovery`."""
    recovery = what.add_parser(
        "recovery", parents=[common], say=say, help=say.text("computations.recovery")
    )
    recovery.option("file", type=Path, metavar="FILE.csv", help="computations.help_recovery_file")
    recovery.option(
        "--mode", choices=_MODES, default=_MODES[0], help="computations.help_recovery_mode"
    )
    answer_with(recovery, _recovery)


def _recovery(args: argparse.Namespace) -> Answer:
    from benchmeter.cooling.replay import Mode, follow

    stated, happened = follow(_read(args.file), Mode(args.mode))
    statements = [
        {
            "time_s": time_s,
            "phase": state.phase.value,
            "settled": _settled(state),
            "time_left_s": None,  # no law is known that tells it
        }
        for time_s, state in stated
    ]
    events = [{"kind": h.change.value, "time_s": round(h.time_s, 1)} for h in happened]
    say: Presentation = args.say
    return Answer(
        {"statements": statements, "events": events},
        say.text("computations.recovery_source"),
        say.text("computations.recovery_assumes"),
        tuple(_told(statements, events, say)),
    )


def _settled(state: "Recovery") -> dict[str, Any] | None:
    from benchmeter.cooling.recovery import Phase

    held = state.settled_k
    if held is None or state.phase is not Phase.SETTLED:
        return None
    low, value, high = (round(k - ZERO_CELSIUS_K, 2) for k in (held.low, held.value, held.high))
    return {"low": low, "value": value, "high": high, "unit": "°C"}


def _told(
    statements: list[dict[str, Any]], events: list[dict[str, Any]], say: Presentation
) -> list[str]:
    rows = []
    for stated in statements:
        held = stated["settled"]
        told = ""
        if held is not None:
            low, high = f"{held['low']:.1f}", f"{held['high']:.1f}"
            told = say.text("computations.recovery_held", low=low, high=high)
        rows.append((f"{stated['time_s']:g} s", say.text(_phase(stated["phase"])), told))
    rows += [(f"{e['time_s']:g} s", say.text(_event(e["kind"])), "") for e in events]
    return aligned(rows) if rows else [say.text("computations.recovery_too_short")]


def _phase(phase: str) -> str:
    return f"computations.phase_{phase.replace(' ', '_')}"


def _event(event: str) -> str:
    return f"computations.event_{event}"


def _read(path: Path) -> "list[AirReading]":
    """The readings of a file; times must not run back.

    Raises:
        InputError: it cannot be used, or some lines cannot, which are named by number.
    """
    from benchmeter.commands.computations.input_table import read_lines
    from benchmeter.cooling.replay import AirReading

    last: float | None = None

    def row(cells: "Cells") -> tuple[AirReading, dict[str, float]]:
        nonlocal last
        time = _number(cells, "seconds", cells.filled("seconds"))
        if last is not None and time < last:
            raise InputError("computations.time_runs_back", seconds=time, before=last)
        last = time
        discharge, outdoor = (_kelvin(cells, air) for air in _AIRS)
        currents = {
            name: _number(cells, name, cells.text(name)) for name in _LEAST if cells.text(name)
        }
        return AirReading(time, discharge, outdoor), currents

    optional = (*_AIRS, *_IN_F, *_LEAST)
    rows = read_lines(path, ("seconds",), optional, _EXAMPLE, row, kind="")
    if all(reading.discharge_k is None for reading, _ in rows):
        raise InputError("computations.no_discharge", file=path.name, example=_EXAMPLE)
    return _with_currents(rows)


def _with_currents(rows: "list[tuple[AirReading, dict[str, float]]]") -> "list[AirReading]":
    """Whether the machine draws current: both columns, where there are two, must say so.

    A column of 0 and 1 is a flag; else a tenth of the highest is needed, or the least that counts.
    """
    least = {}
    for name, lowest in _LEAST.items():
        seen = [currents[name] for _, currents in rows if name in currents]
        if seen:
            flag = set(seen) == {0.0, 1.0} or set(seen) == {1.0}
            least[name] = 0.5 if flag else max(lowest, max(seen) / 10)
    return [
        replace(reading, running=all(value >= least[name] for name, value in currents.items()))
        if currents
        else reading
        for reading, currents in rows
    ]


def _kelvin(cells: "Cells", air: str) -> float | None:
    for column in (air, f"{air}_f"):
        if text := cells.text(column):
            fahrenheit = column in _IN_F or cells.unit(column) == "°F"
            celsius = _number(cells, column, text)
            celsius = (celsius - 32) / 1.8 if fahrenheit else celsius
            if not _COLDEST_C <= celsius <= _HOTTEST_C:
                raise InputError("computations.no_air_so_hot", column=column, text=text)
            return celsius + ZERO_CELSIUS_K
    return None


def _number(cells: "Cells", column: str, text: str) -> float:
    """A plain number.

    Raises:
        InputError: it is none; the column is named.
    """
    try:
        value = float(parse_number(cells.pointed(text)))
    except InputError as error:
        raise InputError("quantities.at", where=column, why=error) from None
    if abs(value) > 1e12:
        raise InputError("computations.number_out_of_range")
    return value
