"""The stored form of the facts of a visit."""

import msgspec

from benchmeter.session.visit import PartOrigin, Visit

__all__ = ["visit_in", "visit_text"]

_FORM = 1


class _StoredPart(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    check: int
    maker: str = ""
    serial: str = ""
    date_code: str = ""


class _StoredVisit(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Fields that are not there were not stated. `form`: raised where a meaning changes."""

    form: int
    measured_by: str = ""
    company: str = ""
    customer: str = ""
    place: str = ""
    unit_maker: str = ""
    unit_model: str = ""
    unit_serial: str = ""
    complaint: str = ""
    rule_agreed_with: str = ""
    ambient_c: float | None = None
    parts: tuple[_StoredPart, ...] = ()


_decode = msgspec.json.Decoder(_StoredVisit).decode


def visit_text(visit: Visit) -> str | None:
    """As it is stored; None: nothing was stated."""
    if visit == Visit():
        return None
    told = {name: getattr(visit, name) for name in Visit.__dataclass_fields__ if name != "parts"}
    parts = tuple(
        _StoredPart(check=p.check, maker=p.maker, serial=p.serial, date_code=p.date_code)
        for p in visit.parts
    )
    return msgspec.json.encode(_StoredVisit(form=_FORM, parts=parts, **told)).decode()


def visit_in(text: str | None) -> Visit:
    """The visit that is stored.

    Raises:
        ValueError: it is broken, or of a form that is not known.
    """
    if text is None:
        return Visit()
    stored = _decode(text)
    if stored.form != _FORM:
        raise ValueError(f"a visit of form {stored.form}")
    told = msgspec.structs.asdict(stored)
    del told["form"]
    parts = tuple(PartOrigin(**msgspec.structs.asdict(part)) for part in stored.parts)
    return Visit(**told | {"parts": parts})
