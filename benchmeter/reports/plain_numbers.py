"""Values as plain numbers in the unit that people use, for JSON and tables."""

from decimal import Decimal

from benchmeter.quantities.units import UNITS
from benchmeter.words.numbers import in_unit, span_in_unit

__all__ = ["unit_number", "unit_span"]


def unit_number(value_si: Decimal | float | None, unit: str) -> float | None:
    """In that unit. A decimal keeps its digits: 4.7, not 4.699999999999999."""
    if value_si is None:
        return None
    return float(in_unit(_decimal(value_si), unit) if unit in UNITS else value_si)


def unit_span(width_si: Decimal | float | None, unit: str) -> float | None:
    """A width, such as an uncertainty, in that unit: without its zero point."""
    if width_si is None:
        return None
    return float(span_in_unit(_decimal(width_si), unit) if unit in UNITS else width_si)


def _decimal(value: Decimal | float) -> Decimal:
    return value if isinstance(value, Decimal) else Decimal(repr(float(value)))
