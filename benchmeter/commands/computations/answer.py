"""What all computations share: a quantity of an option, and an answer that is printed."""

import argparse
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from benchmeter.commands.parsing import print_json
from benchmeter.errors import InputError
from benchmeter.quantities.compound_units import parse_compound
from benchmeter.quantities.units import Unit, to_si
from benchmeter.words.presentation import Presentation

__all__ = ["Answer", "Compute", "aligned", "answer_with", "quantity", "value_of", "written"]


@dataclass(frozen=True, slots=True)
class Answer:
    """Results by name, with where they come from.

    Attributes:
        results: `quantity(...)`, or a word, a list or a table of words.
        source: formula, standard and clause.
        assumes: what is taken for granted.
        text: the results for people, where a line for each would not do.
    """

    results: dict[str, Any]
    source: str
    assumes: str
    text: tuple[str, ...] = ()


Compute = Callable[[argparse.Namespace], Answer]


def answer_with(parser: argparse.ArgumentParser, compute: Compute) -> None:
    """Make `parser` run a computation and print its answer."""

    def run(args: argparse.Namespace) -> int:
        answer = compute(args)
        if args.json:
            print_json({**answer.results, "source": answer.source, "assumes": answer.assumes})
        else:
            print("\n".join(_lines(answer, args.say)))
        return 0

    parser.set_defaults(run=run)


def aligned(rows: Sequence[Sequence[str]]) -> list[str]:
    """Rows of equally many cells as indented lines, one column under the other."""
    widths = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    return [
        "  " + "   ".join(cell.ljust(w) for cell, w in zip(row, widths, strict=True)).rstrip()
        for row in rows
    ]


def quantity(value: float | None, unit: str, **more: float) -> dict[str, Any]:
    """One result: plain number and unit; more for `low` and `high`. None: there is none."""
    return {"value": value, **more, "unit": unit}


def written(text: str, kind: str, option: str, default_unit: str = "") -> tuple[Decimal, Unit]:
    """Number and unit of an option, as written.

    Raises:
        InputError: no quantity of that kind; the option is named.
    """
    try:
        return parse_compound(text, kind, default_unit)
    except InputError as error:
        raise InputError("quantities.at", where=option, why=error) from None


def value_of(text: str, kind: str, option: str, default_unit: str = "") -> float:
    """SI value of an option.

    Raises:
        InputError: no quantity of that kind; the option is named.
    """
    return to_si(*written(text, kind, option, default_unit))


def _lines(answer: Answer, say: Presentation) -> list[str]:
    shown = [
        f"{name.replace('_', ' ')}: {_shown(result, say)}"
        for name, result in answer.results.items()
    ]
    return [
        *(answer.text or shown),
        say.text("computations.source", source=answer.source),
        say.text("computations.assumes", assumes=answer.assumes),
    ]


def _shown(result: Any, say: Presentation) -> str:
    if isinstance(result, dict) and "unit" in result:
        if result["value"] is None:
            return say.text("computations.none")
        unit = f" {result['unit']}" if result["unit"] else ""
        value = f"{result['value']:.6g}{unit}"
        if "low" not in result:
            return value
        low, high = f"{result['low']:.6g}", f"{result['high']:.6g}{unit}"
        return say.text("computations.with_interval", value=value, low=low, high=high)
    if isinstance(result, dict):
        return ", ".join(f"{key} = {_shown(value, say)}" for key, value in result.items())
    if isinstance(result, list):
        return ", ".join(_shown(v, say) for v in result) or say.text("computations.none")
    return say.text("computations.unknown") if result is None else str(result)
