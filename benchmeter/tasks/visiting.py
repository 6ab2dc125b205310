"""State the facts of a visit: what a person typed, understood."""

from collections.abc import Mapping
from dataclasses import replace

from benchmeter.checking.part_check import PartCheck
from benchmeter.errors import InputError
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.units import find_unit, to_si
from benchmeter.readings.gate import admit_written
from benchmeter.record.store import Store
from benchmeter.session.visit import PartFact, Visit, VisitFact

__all__ = ["AMBIENT", "LONGEST", "checked_parts", "describe", "stated"]

AMBIENT = "ambient"
"""Name of the one fact that is no text."""

LONGEST = 300
"""Of a fact, in characters: it stands in a line or two of a page."""

_LOWEST_C, _HIGHEST_C = -60.0, 70.0  # of air in which people work (common practice, no source)
_ZERO_C_IN_K = 273.15


def checked_parts(store: Store, session: str) -> dict[int, str]:
    """Names of the parts that were checked, by the number of their check."""
    checks = {
        v.finding.number: v.finding.part
        for v in store.verdicts(session)
        if isinstance(v.finding, PartCheck) and v.finding.reference is None
    }
    return dict(sorted(checks.items()))


def describe(
    store: Store, session: str, typed: Mapping[str, str], *, check: int | None = None
) -> None:
    """State facts of a stored session; arguments and errors as those of `stated`.

    Raises:
        InputError: there is no such check.
    """
    if check is not None:
        known = [str(number) for number in checked_parts(store, session)]
        if not known:
            raise InputError("visit.no_check")
        if str(check) not in known:
            raise InputError("visit.no_such_check", check=check, known=known)
    store.describe(session, stated(store.visit(session), typed, check=check))


def stated(
    visit: Visit, typed: Mapping[str, str], *, check: int | None = None, degrees: str = ""
) -> Visit:
    """The visit with what was typed; "" takes a fact back.

    Args:
        typed: by the names of `VisitFact` and `PartFact`, and `AMBIENT`.
        check: of the part that the `PartFact`s are of.
        degrees: "°C" or "°F", of a temperature without its unit; "": it must have one.

    Raises:
        InputError: it is too long, or no temperature of air.
    """
    facts = {fact.value: _line(typed[fact]) for fact in VisitFact if fact in typed}
    found = replace(visit, **facts)  # type: ignore[arg-type]
    if AMBIENT in typed:
        found = replace(found, ambient_c=_ambient_c(typed[AMBIENT].strip(), degrees))
    of_part = {fact.value: _line(typed[fact]) for fact in PartFact if fact in typed}
    if of_part:
        if check is None:
            raise InputError("visit.which_part")
        found = found.with_part(replace(visit.part(check), **of_part))  # type: ignore[arg-type]
    return found


def _line(text: str) -> str:
    line = " ".join(text.split())
    if len(line) > LONGEST:
        raise InputError("visit.too_long", text=line, most=LONGEST)
    return line


def _ambient_c(text: str, degrees: str) -> float | None:
    if not text:
        return None
    unit = find_unit(degrees, Quantity.TEMPERATURE.kind) if degrees else None
    celsius = round(
        float(to_si(*admit_written(text, Quantity.TEMPERATURE, unit))) - _ZERO_C_IN_K, 9
    )
    if not _LOWEST_C <= celsius <= _HIGHEST_C:
        raise InputError("visit.no_ambient", text=text, lowest=_LOWEST_C, highest=_HIGHEST_C)
    return celsius
