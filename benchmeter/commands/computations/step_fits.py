"""`compute step-fit`: where a temperature in a file settles, and how fast."""

import argparse
from pathlib import Path
from typing import Any

from benchmeter.commands.computations.answer import Answer, answer_with, quantity
from benchmeter.commands.computations.input_table import told_together
from benchmeter.commands.parsing import Parser
from benchmeter.errors import InputError, Message
from benchmeter.files.input_file import read_input
from benchmeter.quantities.typed_numbers import parse_number
from benchmeter.words.presentation import Presentation

__all__ = ["add_computations", "read_table"]

_SHOWN_BAD_LINES = 3


def add_computations(what: Any, common: Parser, say: Presentation) -> None:
    """Add `step-fit`."""
    fit = what.add_parser(
        "step-fit",
        parents=[common],
        say=say,
        help=say.text("computations.step_fit"),
    )
    fit.option("file", type=Path, metavar="FILE.csv", help="computations.help_step_file")
    fit.option("--initial", metavar="VALUE", help="computations.help_initial")
    answer_with(fit, _step_fit)


def _step_fit(args: argparse.Namespace) -> Answer:
    from benchmeter.cooling.recovery import FitFailure
    from benchmeter.cooling.step_fit import fit_step
    from benchmeter.errors import WorldError

    held = None if args.initial is None else float(parse_number(args.initial))
    times, values = read_table(args.file)
    found = fit_step(times, values, initial=held)
    if isinstance(found, FitFailure):
        raise WorldError(f"recovery.failure_{found.name.lower()}")
    results = {
        name: quantity(e.value, unit, low=e.low, high=e.high)
        for name, e, unit in (
            ("initial", found.initial, ""),
            ("final", found.final, ""),
            ("time_constant", found.time_constant_s, "s"),
        )
    }
    results["residual"] = quantity(found.residual, "")
    results["count"] = quantity(found.count, "")
    say: Presentation = args.say
    return Answer(
        results,
        say.text("computations.step_source"),
        say.text("computations.step_assumes"),
    )


def read_table(path: Path) -> tuple[list[float], list[float]]:
    """Seconds and values of a text file of two columns.

    Comma and decimal point, or semicolon (or tab) and either decimal sign; the first line may be a
    header; an empty value is a gap and left out.

    Raises:
        InputError: cannot be read, or bad lines, named by their numbers.
    """
    lines = _lines(path)
    filled = [(i, line) for i, line in enumerate(lines, 1) if line.strip()]
    separator = next((s for s in ";\t" if any(s in line for _, line in filled)), ",")
    times: list[float] = []
    values: list[float] = []
    bad: list[Message] = []
    bad_lines = 0
    for place, (number, line) in enumerate(filled):
        fields = [field.strip().strip('"') for field in line.split(separator)]
        if place == 0 and not any(sign.isdigit() for sign in fields[0]):
            continue  # header
        try:
            row = _row(fields, separator)
        except InputError as error:
            bad_lines += 1
            if bad_lines <= _SHOWN_BAD_LINES:
                bad.append(Message("computations.line", {"line": number, "why": error.message}))
            continue
        if row is not None:
            times.append(row[0])
            values.append(row[1])
    if bad:
        said, more = told_together(bad), bad_lines - len(bad)
        if more > 0:
            raise InputError("computations.many_bad_steps", file=path.name, lines=said, more=more)
        raise InputError("computations.bad_steps", file=path.name, lines=said)
    if times and min(times) > max(times) - min(times):
        raise InputError("computations.late_times", file=path.name, seconds=min(times))
    return times, values


def _lines(path: Path) -> list[str]:
    try:
        return read_input(path, InputError).decode("utf-8-sig").splitlines()
    except UnicodeDecodeError:
        raise InputError("computations.no_text_file", file=path.name) from None


def _row(fields: list[str], separator: str) -> tuple[float, float] | None:
    if len(fields) != 2:
        raise InputError("computations.not_two_fields", count=len(fields))
    if separator != ",":  # the comma can only be a decimal sign here
        fields = [field.replace(",", ".") for field in fields]
    time = float(parse_number(fields[0]))
    if not fields[1]:
        return None
    value = float(parse_number(fields[1]))
    if max(abs(time), abs(value)) > 1e12:
        raise InputError("computations.number_out_of_range")
    return time, value
