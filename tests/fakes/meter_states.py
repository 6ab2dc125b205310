"""A meter and what parts of known value have said of it, for tests and pictures. All invented."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

from msgspec import structs

from benchmeter.checking.check import begin_check, typed
from benchmeter.checking.meter_history import Comparison, meter_history
from benchmeter.checking.part_check import PartCheck
from benchmeter.checking.reference_check import reference_command
from benchmeter.conformity.accuracy import parse_accuracy
from benchmeter.conformity.instrument_bias import MeterBias
from benchmeter.conformity.reference_part import ReferencePart, compare_with_reference
from benchmeter.links.instruments.meter_identity import Meter
from benchmeter.links.instruments.setup import BenchSetup
from benchmeter.reports.meter_record import MeterRecord
from tests.fakes.bench_states import SECOND, SETUP

MICRO = Decimal("1e-6")
TODAY = date(2026, 11, 25)
ACCURACY = "0.5 % + 2 x 0.01 µF"
METER = Meter("0403:6001:A1", "bench", "", "Bench meter")

R45 = ReferencePart(
    "R45",
    45 * MICRO,
    Decimal("0.05") * MICRO,
    date(2026, 1, 10),
    valued_by="certificate 4711",
    due=date(2027, 1, 10),
)

R45_LIST = """
[[part]]
name = "R45"
value = "45 µF"
uncertainty = "0.05 µF"
date = 2026-01-10
from = "certificate 4711"
due = 2027-01-10

[[part]]
name = "R7.5"
value = "7.502 µF"
uncertainty = "0.2 %"
date = 2025-06-01
from = "the shop's bridge"
due = 2026-06-01
"""

STEADY = ("45.49", "45.51", "45.50", "45.50", "45.52", "45.49", "45.50", "45.51", "45.50")
"""Half a microfarad too much, each time."""
AGREEING = ("45.02", "45.05", "45.03", "45.01", "45.04", "45.02", "45.03", "45.02", "45.05")
JUMPED = (*AGREEING[:7], "45.32", "45.03", "45.02")
"""One reading that chance does not explain."""


def record(shown: Sequence[str] = STEADY, part: ReferencePart = R45) -> MeterRecord:
    """The record of a meter that showed this, in µF, month by month until now."""
    comparisons = [
        Comparison(
            compare_with_reference(
                part,
                [Decimal(text) * MICRO],
                TODAY - timedelta(days=30 * (len(shown) - 1 - place)),
                resolution_si=Decimal("0.01") * MICRO,
                accuracy=parse_accuracy(ACCURACY),
            ),
            Decimal("0.01") * MICRO,
        )
        for place, text in enumerate(shown)
    ]
    return MeterRecord(METER, meter_history(comparisons), 0)


def reference_check(
    shown: str = "", *, part: ReferencePart = R45, accuracy: str = ACCURACY, number: int = 1
) -> PartCheck:
    """A check of a part of known value; `shown`: what the meter reads, "" nothing yet."""
    command = reference_command(part, TODAY, accuracy=accuracy, channel="capacitor")
    check = begin_check(number, command, Decimal(0))
    return typed(check, 20 * SECOND, shown) if shown else check


def bias(much_uf: str = "0.5") -> MeterBias:
    """What was accepted for the meter by `R45`."""
    return MeterBias("capacitor", Decimal(much_uf) * MICRO, Decimal("0.05") * MICRO, R45)


def due_setup(due: date) -> BenchSetup:
    """The bench, its meter in calibration until then."""
    (link,) = SETUP.links
    profile = structs.replace(link.profile, calibration_due=due)
    return structs.replace(SETUP, links=(structs.replace(link, profile=profile),))


def with_bias(check: PartCheck, much_uf: str = "0.5") -> PartCheck:
    """A check that was begun after the bias was accepted."""
    return replace(check, biases=(bias(much_uf),))


# --- the stock list ----------------------------------------------------------------------------

STOCK = """label,shape,count,place,own number
40/6 µF ±5 % 440 V,round,3,van shelf 2,
40/6 µF ±6 % 440 V,oval,1,van shelf 2,
40/6 µF ±5 % 440 V,round,1,workshop,K 7
40/6 µF ±5 % 440 V,oval,0,workshop,
40/6 µF ±5 % 370 V,round,2,van shelf 3,
45/5 µF ±6 % 440 V,round,4,van shelf 3,
,round,2,van shelf 9,
35 µF 440 V,round,2,van shelf 9,
"""
"""Against 40/6 µF ±5 % 440 V; its two last lines cannot be used."""
