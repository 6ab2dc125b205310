"""`benchmeter compute WHAT …`: one computation; each result with its unit and its source."""

import argparse
from pathlib import Path
from typing import Any

from benchmeter.cli.parsing import print_json
from benchmeter.errors import InputError
from benchmeter.readings.numbers import parse_number
from benchmeter.readings.units import parse_value, to_si

__all__ = ["add_parser", "read_table"]

_SHOWN_BAD_LINES = 3


def add_parser(commands: Any, name: str, **options: Any) -> None:
    parser = commands.add_parser(name, **options)
    # The options of every command, here too: they may stand before and after WHAT.
    common = argparse.ArgumentParser(add_help=False)
    common.add_argument("--data", metavar="DIR", default=argparse.SUPPRESS, help=argparse.SUPPRESS)
    common.add_argument(
        "--json", action="store_true", default=argparse.SUPPRESS, help="one JSON document"
    )
    what = parser.add_subparsers(metavar="WHAT", required=True, parser_class=type(parser))

    load = what.add_parser(
        "under-load", parents=[common], help="capacitance from volts across and amps through it"
    )
    load.add_argument("--current", required=True, metavar="6.28A")
    load.add_argument("--voltage", required=True, metavar="370V", help="across the capacitor, RMS")
    load.add_argument("--frequency", required=True, metavar="60Hz")
    load.set_defaults(run=_run, compute=_under_load)

    time = what.add_parser(
        "discharge-time", parents=[common], help="how long a charged capacitor takes to be safe"
    )
    time.add_argument("--capacitance", required=True, metavar="45uF")
    time.add_argument("--voltage", required=True, metavar="370V", help="RMS")
    time.add_argument("--resistance", required=True, metavar="15kohm")
    time.add_argument("--to", default="50V", metavar="50V", help="final voltage (50 V)")
    time.set_defaults(run=_run, compute=_discharge_time)

    fit = what.add_parser(
        "step-fit", parents=[common], help="where a temperature settles, and how fast"
    )
    fit.add_argument("file", type=Path, metavar="FILE.csv", help="seconds since the step, value")
    fit.add_argument("--initial", metavar="VALUE", help="holds the initial value fixed")
    fit.set_defaults(run=_run, compute=_step_fit)


def _run(args: argparse.Namespace) -> int:
    results, source, assumes = args.compute(args)
    if args.json:
        print_json({**results, "source": source, "assumes": assumes})
        return 0
    for name, result in results.items():
        unit = f" {result['unit']}" if result["unit"] else ""
        interval = (
            f"   ({result['low']:.6g} … {result['high']:.6g}{unit}, 95 %)"
            if "low" in result
            else ""
        )
        print(f"{name.replace('_', ' ')}: {result['value']:.6g}{unit}{interval}")
    print(f"Source: {source}")
    print(f"Assumes: {assumes}")
    return 0


_Answer = tuple[dict[str, dict[str, Any]], str, str]


def _value(text: str, kind: str, option: str) -> float:
    try:
        number, unit = parse_value(text, kind)
    except InputError as error:
        raise InputError(f"{option}: {error.user_text()}", error.advice()) from None
    return to_si(number, unit)


def _under_load(args: argparse.Namespace) -> _Answer:
    from benchmeter.conformity.computations import under_load

    farad = under_load(
        _value(args.current, "current", "--current"),
        _value(args.voltage, "voltage", "--voltage"),
        _value(args.frequency, "frequency", "--frequency"),
    )
    return (
        {"capacitance": {"value": farad * 1e6, "unit": "µF"}},
        "C = I / (2 pi f V)",
        "sine wave, RMS values; the voltage is that across the capacitor with the motor running",
    )


def _discharge_time(args: argparse.Namespace) -> _Answer:
    from benchmeter.conformity.computations import discharge

    found = discharge(
        _value(args.capacitance, "capacitance", "--capacitance"),
        _value(args.voltage, "voltage", "--voltage"),
        _value(args.resistance, "resistance", "--resistance"),
        _value(args.to, "voltage", "--to"),
    )
    return (
        {
            "time": {"value": found.time_s, "unit": "s"},
            "energy": {"value": found.energy_j, "unit": "J"},
            "peak": {"value": found.peak_v, "unit": "V"},
        },
        "t = R C ln(V0 / V), E = C V0² / 2, V0 = √2 V; 50 V: NEC 460.6(A)",
        "switched off at the crest of the voltage; verify with a meter set to DC volts",
    )


def _step_fit(args: argparse.Namespace) -> _Answer:
    from benchmeter.cooling.recovery import FitFailure
    from benchmeter.cooling.step_fit import fit_step
    from benchmeter.errors import WorldError
    from benchmeter.reporting.wording_recovery import fit_failure_words

    held = None if args.initial is None else float(parse_number(args.initial))
    times, values = read_table(args.file)
    found = fit_step(times, values, initial=held)
    if isinstance(found, FitFailure):
        raise WorldError(*fit_failure_words(found))
    results: dict[str, dict[str, Any]] = {
        name: {"value": e.value, "low": e.low, "high": e.high, "unit": unit}
        for name, e, unit in (
            ("initial", found.initial, ""),
            ("final", found.final, ""),
            ("time_constant", found.time_constant_s, "s"),
        )
    }
    results["residual"] = {"value": found.residual, "unit": ""}
    results["count"] = {"value": found.count, "unit": ""}
    return (
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
            bad.append(f"line {number}: {error.user_text()}")
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
