"""`compute step-fit`: where a temperature in a file settles, and how fast."""

import argparse
from pathlib import Path
from typing import Any

from benchmeter.commands.computations.answer import Answer, answer_with, quantity
from benchmeter.errors import InputError
from benchmeter.quantities.typed_numbers import parse_number
from benchmeter.words.presentation import PLAIN

__all__ = ["add_computations", "read_table"]

_SHOWN_BAD_LINES = 3


def add_computations(what: Any, common: argparse.ArgumentParser) -> None:
    """Add `step-fit`."""
    fit = what.add_parser(
        "step-fit", parents=[common], help="where a temperature settles, and how fast"
    )
    fit.add_argument("file", type=Path, metavar="FILE.csv", help="seconds since the step, value")
    fit.add_argument("--initial", metavar="VALUE", help="holds the initial value fixed")
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
    return Answer(
        results,
        "y = final + (initial - final) exp(-t / time constant), least squares",
        "seconds count from the step; readings scatter independently; "
        "95 % intervals by Student's t from the linearised covariance; "
        "residual: standard deviation, in the unit of the file",
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
    bad: list[str] = []
    for place, (number, line) in enumerate(filled):
        fields = [field.strip().strip('"') for field in line.split(separator)]
        if place == 0 and not any(sign.isdigit() for sign in fields[0]):
            continue  # header
        try:
            row = _row(fields, separator)
        except InputError as error:
            bad.append(f"line {number}: {PLAIN.tell(error).text}")
            continue
        if row is not None:
            times.append(row[0])
            values.append(row[1])
    if bad:
        more = f" And {len(bad) - _SHOWN_BAD_LINES} more." if len(bad) > _SHOWN_BAD_LINES else ""
        raise InputError(
            f"{path.name}, {' '.join(bad[:_SHOWN_BAD_LINES])}{more}",
            "Each line holds seconds and a value: 12.5,23.4 or 12,5;23,4.",
        )
    if times and min(times) > max(times) - min(times):
        raise InputError(
            f"{path.name}: the times begin at {min(times):g} s, longer after the step than they "
            "last.",
            "Count the seconds from the step.",
        )
    return times, values


def _lines(path: Path) -> list[str]:
    try:
        return path.read_text(encoding="utf-8-sig").splitlines()
    except UnicodeDecodeError:
        raise InputError(
            f"{path.name} is not a text file in UTF-8.", "Save it as CSV in UTF-8."
        ) from None
    except OSError as error:
        raise InputError(
            f"{path} cannot be read: {error.strerror or error}.", "Check name and folder."
        ) from None


def _row(fields: list[str], separator: str) -> tuple[float, float] | None:
    if len(fields) != 2:
        raise InputError(f"{len(fields)} fields, not 2.")
    if separator != ",":  # the comma can only be a decimal sign here
        fields = [field.replace(",", ".") for field in fields]
    time = float(parse_number(fields[0]))
    if not fields[1]:
        return None
    value = float(parse_number(fields[1]))
    if max(abs(time), abs(value)) > 1e12:
        raise InputError("the number is out of range.")
    return time, value
