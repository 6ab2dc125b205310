"""Temperatures and their differences in the degrees of a person."""

from decimal import Decimal

from benchmeter.words.numbers import NOTHING, decimal, in_unit, number_text
from benchmeter.words.presentation import Presentation

__all__ = ["difference_text", "temperature_text"]


def temperature_text(
    kelvin: float,
    presentation: Presentation,
    *,
    decimals: int | None = None,
    uncertainty_k: float | None = None,
    most_decimals: int = 3,
) -> str:
    """A temperature: "34.2 °C", "93.6 °F ± 1.1".

    Args:
        decimals: of the text; else as the uncertainty supports; else one.
        uncertainty_k: expanded uncertainty or half of an interval, a difference.
        most_decimals: never more; an uncertainty that would vanish stands as one of the last digit.
    """
    value = in_unit(decimal(kelvin), presentation.temperature_unit)
    return _with_uncertainty(value, uncertainty_k, presentation, decimals, most_decimals)


def difference_text(
    kelvin: float,
    presentation: Presentation,
    *,
    decimals: int | None = None,
    uncertainty_k: float | None = None,
) -> str:
    """A difference of temperatures, in degrees of the person's scale: 10 K is "18.0 °F"."""
    value = in_unit(decimal(kelvin), f"Δ{presentation.temperature_unit}")
    return _with_uncertainty(value, uncertainty_k, presentation, decimals)


def _with_uncertainty(
    value: Decimal,
    uncertainty_k: float | None,
    presentation: Presentation,
    decimals: int | None,
    most: int = 3,
) -> str:
    if not value.is_finite():
        return NOTHING
    unit = presentation.temperature_unit
    spread = None if uncertainty_k is None else in_unit(decimal(uncertainty_k), f"Δ{unit}")
    if spread is None or not spread.is_finite() or spread <= 0:
        return presentation.amount(number_text(value, 1 if decimals is None else decimals), unit)
    spread = max(spread, Decimal(1).scaleb(-most))
    digits = min(_supported(spread), most)
    shown = digits if decimals is None else decimals
    told = presentation.amount(number_text(value, shown), unit)
    space, half = presentation.unit_space, number_text(spread, max(shown, digits))
    return f"{told}{space}± {presentation.number(half)}"


def _supported(spread: Decimal) -> int:
    """Decimals that leave one digit of an uncertainty, two if it begins with 1 (GUM 7.2.6)."""
    leading = spread.adjusted()
    first = int(spread.scaleb(-leading))
    return min(max(-leading + (first == 1), 0), 3)
