"""The facts of a visit that no instrument tells: who measured, for whom, where, which unit."""

from dataclasses import dataclass, replace
from enum import StrEnum

__all__ = ["PartFact", "PartOrigin", "Visit", "VisitFact"]


class VisitFact(StrEnum):
    """Facts in words, in the order in which they are asked for and told; fields of `Visit`."""

    MEASURED_BY = "measured_by"
    COMPANY = "company"
    CUSTOMER = "customer"
    PLACE = "place"
    UNIT_MAKER = "unit_maker"
    UNIT_MODEL = "unit_model"
    UNIT_SERIAL = "unit_serial"
    COMPLAINT = "complaint"
    RULE_AGREED_WITH = "rule_agreed_with"


class PartFact(StrEnum):
    """Facts of one part; fields of `PartOrigin`."""

    MAKER = "maker"
    SERIAL = "serial"
    DATE_CODE = "date_code"


@dataclass(frozen=True, slots=True)
class PartOrigin:
    """Where a part comes from, as it is written on it; "" not stated.

    `check`: number of the check that it was judged in.
    """

    check: int
    maker: str = ""
    serial: str = ""
    date_code: str = ""

    @property
    def stated(self) -> bool:
        return any((self.maker, self.serial, self.date_code))


@dataclass(frozen=True, slots=True)
class Visit:
    """What a person stated of a visit; "" or None: not stated.

    Attributes:
        measured_by: the technician.
        company: whose technician it is, with its address.
        customer: for whom, and how to reach them.
        place: where it was measured.
        complaint: as the customer tells it.
        rule_agreed_with: with whom the decision rule was agreed beforehand.
        ambient_c: temperature of the air around the meter, °C.
        parts: those of which something is stated, in the order of their checks.
    """

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
    parts: tuple[PartOrigin, ...] = ()

    def part(self, check: int) -> PartOrigin:
        """What is stated of the part of a check."""
        return next((part for part in self.parts if part.check == check), PartOrigin(check))

    def with_part(self, part: PartOrigin) -> "Visit":
        """The visit with this in place of what was stated of the part."""
        others = [other for other in self.parts if other.check != part.check]
        kept = [*others, part] if part.stated else others
        return replace(self, parts=tuple(sorted(kept, key=lambda one: one.check)))
