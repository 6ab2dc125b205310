"""The tolerance of a rating: ±6 %, 0/+10 %, letter codes."""

import re
from dataclasses import dataclass
from decimal import Decimal

from benchmeter.errors import InputError
from benchmeter.quantities.label_text import EXACTLY, NUMBER, in_plain_signs
from benchmeter.quantities.typed_numbers import parse_number

__all__ = ["LETTERS", "UNSYMMETRICAL", "Tolerance", "parse_tolerance", "symmetrical", "two_sided"]

UNSYMMETRICAL = (
    rf"(?P<first>[+-]? ?{NUMBER}) ?%? ?(?:/|,|;|\.\.\.)? ?"
    rf"(?P<second>[+-] ?{NUMBER}|(?<=/)0|(?<=/ )0) ?%"
)
"""Pattern of a tolerance with two sides; use with re.ASCII."""


@dataclass(frozen=True, slots=True)
class Tolerance:
    """Limits of a capacitance around its rated value.

    Attributes:
        below, above: percent of the rated value, neither negative.
    """

    below: Decimal
    above: Decimal

    def limits(self, rated_si: Decimal) -> tuple[Decimal, Decimal]:
        """Lowest and highest permitted value, farad, exact."""
        low = EXACTLY.multiply(rated_si, EXACTLY.subtract(Decimal(100), self.below))
        high = EXACTLY.multiply(rated_si, EXACTLY.add(Decimal(100), self.above))
        return low.scaleb(-2, EXACTLY), high.scaleb(-2, EXACTLY)

    @property
    def text(self) -> str:
        """As printed on labels: "±6 %", "0/+10 %"."""
        if self.below == self.above:
            return f"±{_plain(self.below)} %"
        below = f"-{_plain(self.below)}" if self.below else "0"
        above = f"+{_plain(self.above)}" if self.above else "0"
        return f"{below}/{above} %"


LETTERS = {
    "J": Tolerance(Decimal(5), Decimal(5)),
    "K": Tolerance(Decimal(10), Decimal(10)),
    "M": Tolerance(Decimal(20), Decimal(20)),
    "R": Tolerance(Decimal(0), Decimal(10)),
}
"""Letter codes: J, K, M of IEC 60062; R as data sheets of motor-run capacitors use it."""


def symmetrical(number: str) -> Tolerance:
    """± `number` percent.

    Raises:
        InputError: no number, zero, or 100 % and more.
    """
    return _checked(Tolerance(parse_number(number), parse_number(number)))


def two_sided(first: str, second: str) -> Tolerance:
    """From two signed numbers in either order: "-5" and "+10", "0" and "+10".

    Raises:
        InputError: both on one side, a side without sign, zero width, or 100 % and more.
    """
    sides = [_signed(first), _signed(second)]
    below = [n for sign, n in sides if sign == "-" or n == 0]
    above = [n for sign, n in sides if sign == "+" or n == 0]
    if any(not sign and n for sign, n in sides) or not below or not above:
        raise InputError("nameplate.sides_of_tolerance", text=f"{first}/{second} %")
    return _checked(Tolerance(max(below), max(above)))


def parse_tolerance(text: str) -> Tolerance:
    """A tolerance that stands alone: "6 %", "±6", "K", "-5/+10 %".

    Raises:
        InputError: not understood or absurd.
    """
    plain = in_plain_signs(text)
    if plain.upper() in LETTERS:
        return LETTERS[plain.upper()]
    even = re.fullmatch(rf"±? ?({NUMBER}) ?(%?)", plain, re.ASCII)
    if even:
        found = symmetrical(even[1])
        if not even[2] and found.above < 1:
            raise InputError("nameplate.fraction_or_percent", text=text)
        return found
    uneven = re.fullmatch(UNSYMMETRICAL, plain if plain.endswith("%") else plain + "%", re.ASCII)
    if uneven:
        return two_sided(uneven["first"], uneven["second"])
    raise InputError("nameplate.tolerance_not_understood", text=text)


def _signed(text: str) -> tuple[str, Decimal]:
    sign = text[0] if text[0] in "+-" else ""
    number = parse_number(text.removeprefix(sign).strip())
    return sign, number


def _checked(tolerance: Tolerance) -> Tolerance:
    widest = max(tolerance.below, tolerance.above)
    if widest == 0:
        raise InputError("nameplate.tolerance_of_zero")
    if widest >= 100:
        raise InputError("nameplate.tolerance_too_wide")
    return tolerance


def _plain(number: Decimal) -> str:
    return f"{number.normalize(EXACTLY):f}"
