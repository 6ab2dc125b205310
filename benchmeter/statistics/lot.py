"""The verdicts on a whole lot at once: one reading a part, every part of the same rating.

The rule of `judge_measurement`, operation by operation, on arrays: the very same words.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import TYPE_CHECKING

from benchmeter.conformity.decision import SLACK
from benchmeter.conformity.judgement import judge_measurement, open_below_si
from benchmeter.conformity.uncertainty import COVERAGE_FACTOR
from benchmeter.conformity.verdict import Accuracy, Measurement, Rule, Verdict
from benchmeter.quantities.quantity import Quantity

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Counts = NDArray[np.int64]
    Flags = NDArray[np.bool_]
    Codes = NDArray[np.uint8]

__all__ = ["WORDS", "judge_lot", "words_of"]

WORDS = tuple(Verdict)
"""What a code means: its place here."""

_CODE = {word: code for code, word in enumerate(WORDS)}
_EXACT = 2**53  # integers below are exact floats, and so are powers of ten up to 22
_STRETCH = 8192  # parts at a time: what is worked on stays in the cache


def judge_lot(
    section: Measurement,
    counts: "Counts",
    *,
    resolution_si: Decimal,
    accuracy: Accuracy | None,
    rule: Rule,
    lead_offset_si: Decimal = Decimal(0),
) -> "Codes":
    """Codes of the verdicts, see WORDS; shape (n,).

    Args:
        counts: what the meter showed of each part, in steps of its resolution: 4410 for
            44.10 µF; shape (n,).
        resolution_si: worth of a count, farad, above zero.
        accuracy, rule, lead_offset_si: as for `judge_measurement`.
    """
    import numpy as np

    codes = np.empty(len(counts), np.uint8)
    scale = _Scale.of(section, counts, resolution_si, lead_offset_si)
    line = _Line.of(accuracy, rule, resolution_si)
    limits = _limits(section)
    if scale is None or line is None or limits is None:
        for place, count in enumerate(counts.tolist()):
            found = judge_measurement(
                section,
                [count * resolution_si],
                resolution_si=resolution_si,
                accuracy=accuracy,
                rule=rule,
                lead_offset_si=lead_offset_si,
            )
            codes[place] = _CODE[found.verdict]
        return codes
    for first in range(0, len(counts), _STRETCH):
        stretch = slice(first, first + _STRETCH)
        codes[stretch] = _judge(limits, counts[stretch], scale, line)
    return codes


def words_of(codes: "Codes") -> Iterator[Verdict]:
    """The verdicts in words."""
    return (WORDS[code] for code in codes)


@dataclass(frozen=True, slots=True)
class _Scale:
    """Whole numbers for decimals: a farad is `power` of them."""

    power: float
    step: int  # of a count
    offset: int  # of the leads
    open_most: int  # what an open section reads at most
    least: int  # below it, it is not a capacitance

    @classmethod
    def of(
        cls, section: Measurement, counts: "Counts", resolution_si: Decimal, lead_offset_si: Decimal
    ) -> "_Scale | None":
        """None if the numbers have too many digits."""
        digits = max(0, _digits(resolution_si), _digits(lead_offset_si))
        step, offset = (int(n.scaleb(digits)) for n in (resolution_si, lead_offset_si))
        largest = max(abs(int(counts.max(initial=0))), abs(int(counts.min(initial=0))))
        if digits > 22 or largest * step + abs(offset) >= _EXACT:
            return None
        limit = (open_below_si(section) or Decimal(0)).scaleb(digits)
        return cls(
            power=10.0**digits,
            step=step,
            offset=offset,
            open_most=int(limit.to_integral_value(ROUND_FLOOR)),
            least=int((-limit).to_integral_value(ROUND_CEILING)),
        )


@dataclass(frozen=True, slots=True)
class _Line:
    """The accuracy line as floats. `known`: whether there is one."""

    known: bool
    guarded: bool
    percent: float
    fixed: float

    @classmethod
    def of(cls, accuracy: Accuracy | None, rule: Rule, resolution_si: Decimal) -> "_Line | None":
        """None if nothing says what a count is worth, or ranges have lines of their own."""
        if accuracy is None:
            return cls(False, False, 0.0, 0.0)
        plain = accuracy.holds_for in ("", Quantity.CAPACITANCE.value)
        if accuracy.more or accuracy.up_to_si is not None or not plain:
            return None
        count_si = accuracy.count_si if accuracy.count_si is not None else resolution_si
        if accuracy.counts and not count_si:
            return None
        fixed = float(accuracy.counts) * float(count_si)
        return cls(True, rule is Rule.GUARDED, float(accuracy.percent), fixed)

    def guard(self, shown: "Floats") -> "Floats":
        """w = U of what is shown, farad; 0 for the simple rule."""
        import numpy as np

        if not self.guarded:
            return np.zeros(len(shown))
        half = np.abs(shown) * self.percent / 100 + self.fixed
        return COVERAGE_FACTOR * (half / math.sqrt(3))


def _limits(section: Measurement) -> tuple[float, float] | None:
    """Both limits of a capacitance; None where a section is judged otherwise."""
    low, high = section.low_si, section.high_si
    usual = section.quantity is Quantity.CAPACITANCE and section.shorted_below_si is None
    return (float(low), float(high)) if usual and low is not None and high is not None else None


def _digits(number: Decimal) -> int:
    exponent = number.as_tuple().exponent
    return -exponent if isinstance(exponent, int) else 99


def _judge(limits: tuple[float, float], counts: "Counts", scale: _Scale, line: _Line) -> "Codes":
    import numpy as np

    low, high = limits
    shown = counts * scale.step
    exact = shown - scale.offset
    y = exact / scale.power
    size = np.abs(y)
    inside = _at_least(y, low, np.maximum(size, abs(low)))
    inside &= _at_least(high, y, np.maximum(size, abs(high)))
    is_open = exact <= scale.open_most
    codes = np.full(len(counts), _CODE[Verdict.PASS], np.uint8)

    def name(word: Verdict, where: "Flags") -> None:
        np.copyto(codes, np.uint8(_CODE[word]), where=where)

    if line.known:
        guard = line.guard(shown / scale.power)
        well_inside = _above(y, size, low + guard) & _below(y, size, high - guard)
        not_below, not_above = _above(y, size, low - guard), _below(y, size, high + guard)
        twice = 2 * guard
        fits = _at_least(high - low, twice, np.maximum(twice, abs(high - low)))
        name(Verdict.CONDITIONAL_PASS, ~well_inside)
        name(Verdict.CONDITIONAL_FAIL, ~inside)
        name(Verdict.UNDECIDABLE, ~fits)
        name(Verdict.FAIL, ~(not_below & not_above))
        is_open &= ~not_below
    else:
        name(Verdict.FAIL, ~inside)
    name(Verdict.OPEN, is_open)
    name(Verdict.NO_READING, exact < scale.least)
    return codes


def _above(y: "Floats", size: "Floats", limit: "Floats") -> "Flags":
    import numpy as np

    return _at_least(y, limit, np.maximum(size, np.abs(limit)))


def _below(y: "Floats", size: "Floats", limit: "Floats") -> "Flags":
    import numpy as np

    return _at_least(limit, y, np.maximum(size, np.abs(limit)))


def _at_least(a: "Floats | float", b: "Floats | float", larger: "Floats") -> "Flags":
    """As `decision.at_least`; `larger` is the larger of |a| and |b|, and is used up."""
    larger *= SLACK
    flags: Flags = a >= b - larger
    return flags
