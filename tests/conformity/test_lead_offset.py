"""What test leads alone may read: no more than a tenth of the part, no more than 2 Ω.

Common practice, no source.
"""

from decimal import Decimal

from benchmeter.conformity.lead_offset import (
    LeadOffsets,
    refuse_lead_offset,
    refuse_offset_on,
    refuse_ohm_offset,
)
from benchmeter.parts.nameplate.label import parse_label
from tests.fakes.ends import takes_from_to

UF = Decimal("1e-6")


def test_open_leads_read_at_most_a_tenth_of_the_smallest_capacitor() -> None:
    dual = parse_label("45/5 µF ±6 %").sections
    most = Decimal("0.5") * UF
    takes_from_to(lambda offset: refuse_lead_offset(dual, offset), -most, most)
    takes_from_to(lambda offset: refuse_offset_on(5 * UF, offset), -most, most)


def test_joined_leads_have_from_nothing_to_2_ohm() -> None:
    takes_from_to(refuse_ohm_offset, Decimal(0), Decimal(2))


def test_each_measurement_loses_what_the_leads_read_in_its_own_unit() -> None:
    [single] = parse_label("45 µF ±6 %").sections
    assert LeadOffsets(farad=UF, ohm=Decimal("0.2")).of(single) == UF
