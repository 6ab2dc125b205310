"""A meter's bias: when it may be taken off, where it holds, and when a calibration is due."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest

from benchmeter.checking.bias_offer import OfferReason, accept, bias_in, offer
from benchmeter.checking.meter_history import Comparison, ReferenceHistory, meter_history
from benchmeter.checking.reference_check import (
    rate_reference,
    reference_command,
)
from benchmeter.conformity.accuracy import parse_accuracy
from benchmeter.conformity.calibration import Due, due_state
from benchmeter.conformity.instrument_bias import MeterBias, bias_for, with_bias
from benchmeter.conformity.reference_part import ReferencePart, compare_with_reference
from benchmeter.conformity.verdict import Measurement
from benchmeter.errors import InputError
from benchmeter.quantities.quantity import Quantity
from benchmeter.words.meters import (
    agreement_why,
    bias_taken_words,
    due_words,
    offer_words,
    reference_words,
)
from tests.fakes.refusals import refused

U = Decimal("1e-6")
START = date(2026, 3, 1)
R45 = ReferencePart("R45", 45 * U, Decimal("0.05") * U, date(2026, 1, 10), valued_by="laboratory")
R100 = ReferencePart(
    "R100", Decimal(100), Decimal("0.02"), None, quantity=Quantity.RESISTANCE, unit="Ω"
)


def history(*readings: str, reference: ReferencePart = R45, scale: Decimal = U) -> ReferenceHistory:
    (found,) = meter_history(
        Comparison(
            compare_with_reference(
                reference,
                [Decimal(text) * scale],
                START + timedelta(days=day),
                resolution_si=Decimal("0.01") * scale,
                accuracy=parse_accuracy("1 % + 2 counts"),
            ),
            Decimal("0.01") * scale,
        )
        for day, text in enumerate(readings)
    )
    return found


def test_a_steady_bias_that_is_clearly_not_zero_is_offered() -> None:
    """CALC: +0.50 eight times: no scatter, so U is √(0.05² + (0.01/√3)²) = 0.05033 (JCGM 100
    cl. 5.1.2 and F.2.2.1), far below 0.50."""
    found = offer(history(*["45.50"] * 8))
    assert found.reason is OfferReason.CLEAR
    assert found.bias_si == Decimal("0.5") * U
    assert float(found.expanded_uncertainty_si) * 1e6 == pytest.approx(0.05033, abs=1e-5)
    assert "you can take it off" in offer_words(found)


@pytest.mark.parametrize(
    ("readings", "reason"),
    [
        (["45.50"], OfferReason.TOO_FEW),
        (["45.03"] * 8, OfferReason.NOT_CLEAR),  # 0.03 against U of 0.05
        (["45.00"] * 8, OfferReason.NOT_CLEAR),
        (["50.00"] * 8, OfferReason.TOO_LARGE),  # 5 of 45 is more than a tenth
        (["45.50"] * 8 + ["47.00"], OfferReason.UNSTEADY),
    ],
)
def test_another_bias_is_told_and_not_offered(readings: list[str], reason: OfferReason) -> None:
    found = offer(history(*readings))
    assert found.reason is reason
    assert offer_words(found)
    with refused(InputError, match="cannot be taken off"):
        accept(found, channel="capacitor")


def test_what_is_offered_is_rounded_to_a_tenth_of_the_last_digit() -> None:
    found = offer(history("45.50", "45.51", "45.51", "45.50", "45.52", "45.50", "45.51", "45.50"))
    assert found.bias_si == Decimal("0.506") * U  # CALC: mean 0.50625, half to even at 0.001


def test_an_accepted_bias_comes_back_whole_from_its_command() -> None:
    command = accept(offer(history(*["45.50"] * 8)), channel="meter", text="cable changed")
    assert (command.time_ns, command.text) == (0, "cable changed")  # the engine stamps it
    bias = bias_in(command)
    assert (bias.channel, bias.bias_si, bias.reference) == ("meter", Decimal("0.5") * U, R45)
    assert "0.50" in bias_taken_words(bias) and "too much near 45" in bias_taken_words(bias)


def test_a_command_that_is_no_bias_is_refused() -> None:
    command = accept(offer(history(*["45.50"] * 8)), channel="meter")
    import msgspec

    def change(**fields: object):
        return msgspec.structs.replace(command, **fields)

    for broken in (
        change(bias_si=Decimal("NaN")),
        change(uncertainty_si=Decimal(-1)),
        change(bias_si=5 * U),
    ):
        with pytest.raises(InputError):
            bias_in(broken)


def bias(value: str, at: ReferencePart = R45, channel: str = "meter") -> MeterBias:
    return MeterBias(channel, Decimal(value) * U, Decimal("0.05") * U, at)


def section(quantity: Quantity = Quantity.CAPACITANCE) -> Measurement:
    return Measurement("single", 45 * U, None, None, quantity=quantity)


@pytest.mark.parametrize(
    ("shown", "holds"),
    [("45", True), ("22.5", True), ("90", True), ("22.4", False), ("90.1", False), ("5", False),
     ("0", False)],
)  # fmt: skip
def test_a_bias_holds_between_half_and_twice_its_reference(shown: str, holds: bool) -> None:
    """Common practice, no source: the error of a meter grows with the value."""
    found = bias_for([bias("0.5")], "meter", section(), Decimal(shown) * U)
    assert (found is not None) is holds


def test_a_bias_holds_for_its_channel_and_its_quantity_alone() -> None:
    assert bias_for([bias("0.5")], "other", section(), 45 * U) is None
    assert bias_for([bias("0.5")], "meter", section(Quantity.RESISTANCE), 45 * U) is None


def test_of_several_the_nearest_counts_and_the_last_of_one_reference() -> None:
    r40 = replace(R45, name="R40", value_si=40 * U)
    biases = with_bias(with_bias((), bias("0.5")), bias("0.3", r40))
    assert bias_for(biases, "meter", section(), 44 * U) == bias("0.5")
    assert bias_for(biases, "meter", section(), 41 * U) == bias("0.3", r40)
    biases = with_bias(biases, bias("0.6"))
    assert bias_for(biases, "meter", section(), 44 * U) == bias("0.6")
    assert with_bias(biases, bias("0")) == (bias("0.3", r40),)


def test_a_reference_resistor_has_a_bias_too() -> None:
    found = offer(history(*["100.50"] * 8, reference=R100, scale=Decimal(1)))
    assert (found.reason, found.bias_si) == (OfferReason.CLEAR, Decimal("0.5"))
    assert "0.50" in bias_taken_words(bias_in(accept(found, channel="meter")))


def test_a_name_that_passed_to_another_quantity_begins_another_history() -> None:
    one, other = (
        history("45.1"),
        history("100.1", reference=replace(R100, name="R45"), scale=Decimal(1)),
    )
    both = meter_history([*one.comparisons, *other.comparisons])
    assert [h.reference.unit for h in both] == ["µF", "Ω"]


def test_a_value_of_tomorrow_cannot_be_used_today() -> None:
    assert reference_command(R45, START, accuracy="", channel="meter").reference
    with refused(InputError, match="2026-01-10"):
        reference_command(R45, date(2026, 1, 9), accuracy="", channel="meter")


def test_a_reference_part_has_a_value_and_no_limits() -> None:
    (only,) = rate_reference(R100).sections
    assert (only.rated_si, only.low_si, only.high_si) == (Decimal(100), None, None)
    assert (only.quantity, only.unit) == (Quantity.RESISTANCE, "Ω")


@pytest.mark.parametrize(
    ("due", "state", "says"),
    [
        (None, Due.NOT_TOLD, ""),
        (date(2026, 4, 1), Due.GOOD, "good until 2026-04-01"),  # 31 days
        (date(2026, 3, 31), Due.SOON, "runs out in 30 days"),
        (date(2026, 3, 2), Due.SOON, "in 1 day,"),
        (date(2026, 3, 1), Due.SOON, "today"),
        (date(2026, 2, 28), Due.OVERDUE, "1 day ago"),
    ],
)
def test_a_calibration_is_warned_of_30_days_before(due, state, says) -> None:
    """Common practice, no source."""
    assert due_state(due, START) is state
    assert says in due_words(due, START)


def test_the_words_name_both_values() -> None:
    """CALC: 1 % of 45.50 + 0.02 is 0.475, U 0.5485, with 0.05 of the reference 0.5508."""
    found = history("45.50").comparisons[0].compatibility
    assert agreement_why(found) == (
        "The meter reads 45.50 µF, R45 is 45 µF: +0.50 µF, within ±0.55 µF of both uncertainties."
    )
    assert reference_words(R45) == "R45, 45 µF ±0.05 µF (k = 2), of 2026-01-10, laboratory"
