"""What the definitions file says that each unit is worth, exact, without loading pint.

`resources/units/units.txt` is the one owner. Pint reads it too, for units that people compose
(`registry`); a library of 0.3 s is not for the first window nor for a reading on the wire.
"""

import ast
import operator
from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import NamedTuple

from benchmeter.files.resources import resource

__all__ = ["DEFINITIONS", "Definitions", "Worth", "read_definitions"]

DEFINITIONS = resource("units/units.txt")

_OPERATORS: dict[type[ast.operator], Callable[[Fraction, Fraction], Fraction]] = {
    ast.Add: operator.add,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
}


class Worth(NamedTuple):
    """What a unit is worth: SI = number × scale + offset."""

    scale: Fraction
    offset: Fraction


class Definitions(NamedTuple):
    """Units and prefixes by their full names."""

    units: Mapping[str, Worth]
    prefixes: Mapping[str, Fraction]

    def worth(self, name: str) -> Worth:
        """Of a unit, with or without a prefix; `delta_` before it: of a difference.

        Raises:
            KeyError: it is not defined.
        """
        if name.startswith("delta_"):
            return Worth(self.units[name.removeprefix("delta_")].scale, Fraction(0))
        if name in self.units:
            return self.units[name]
        for prefix, size in self.prefixes.items():
            if name.startswith(prefix) and (unit := self.units.get(name.removeprefix(prefix))):
                return Worth(size * unit.scale, unit.offset)
        raise KeyError(name)


def read_definitions(text: str) -> Definitions:
    """What a definitions file says.

    Raises:
        ValueError: an expression that is none, or names what is not defined before it.
    """
    prefixes: dict[str, Fraction] = {}
    units: dict[str, Worth] = {}
    scales: dict[str, Fraction] = {}
    for line in text.splitlines():
        name, equals, rest = (part.strip() for part in line.partition("="))
        if not equals or name.startswith("#"):
            continue
        scale, _, offset = (part.strip() for part in rest.split("=")[0].partition("; offset:"))
        if name.endswith("-"):
            prefixes[name[:-1]] = _value(scale, {})
            continue
        scales[name] = Fraction(1) if scale.startswith("[") else _value(scale, scales)
        units[name] = Worth(scales[name], _value(offset or "0", {}))
    return Definitions(units, prefixes)


def _value(text: str, known: Mapping[str, Fraction]) -> Fraction:
    """An expression of numbers and names, each number as it is written."""

    def of(node: ast.expr) -> Fraction:
        match node:
            case ast.Name(id=name) if name in known:
                return known[name]
            case ast.Constant():
                return Fraction(text[node.col_offset : node.end_col_offset])
            case ast.BinOp(left, operation, right) if type(operation) in _OPERATORS:
                return _OPERATORS[type(operation)](of(left), of(right))
        raise ValueError(f"{text!r} in the definitions of units")

    return of(ast.parse(text, mode="eval").body)
