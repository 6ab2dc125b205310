"""The stream's stored form: what was taken in comes back, and what is broken is refused."""

from datetime import date
from decimal import Decimal

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmeter.checking.commands import AcceptBias, BeginCheck
from benchmeter.conformity.reference_part import ReferencePart
from benchmeter.quantities.quantity import Quantity
from benchmeter.record.structs.stored_inputs import restored_input, stored_input
from tests.fakes.kind_checks import kind_named

R45 = ReferencePart("R45", Decimal("45.02e-6"), Decimal("9e-8"), date(2026, 1, 10))


def begun(**fields: object) -> BeginCheck:
    return BeginCheck(time_ns=7, part="x", label="24 V", kind=kind_named("contactor"), **fields)


def biased(reference: ReferencePart = R45) -> AcceptBias:
    return AcceptBias(
        time_ns=7, channel="meter", bias_si=Decimal("5e-7"), uncertainty_si=Decimal(0),
        reference=reference,
    )  # fmt: skip


@given(
    st.decimals("1e-9", "1e-2", allow_nan=False),
    st.sampled_from(
        [
            (Quantity.CAPACITANCE, "µF"),
            (Quantity.RESISTANCE, "kΩ"),
            (Quantity.VOLTAGE_DC, "mV"),
        ]
    ),
    st.text(max_size=5),
)
def test_kind_and_reference_part_come_back_whole(
    value: Decimal, told: tuple[Quantity, str], by: str
) -> None:
    part = ReferencePart("R", value, value / 100, R45.valued_on, *told, by, None)
    for taken in (begun(reference=part), biased(part)):
        assert restored_input(stored_input(taken)) == taken


@pytest.mark.parametrize(
    ("taken", "field", "old", "new"),
    [
        (biased(), "reference", "0.00004502", "-0.00004502"),
        (biased(), "reference", "0.00004502", "NaN"),
        (biased(), "reference", "µF", "Ω"),
        (biased(), "reference", "{", ""),
        (begun(reference=R45), "reference", "}", ""),
        (begun(), "kind", "}", ""),
        (begun(), "kind", '"measures":', '"measured":'),
        (begun(), "kind", '"Ω"', '"X"'),
    ],
)
def test_what_is_none_is_refused(
    taken: BeginCheck | AcceptBias, field: str, old: str, new: str
) -> None:
    stored = stored_input(taken)
    text = getattr(stored, field)
    assert old in text
    with pytest.raises(ValueError):
        restored_input(msgspec.structs.replace(stored, **{field: text.replace(old, new)}))
