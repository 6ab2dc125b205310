"""Checks of parts of other kinds, typed in; the readings are invented."""

from decimal import Decimal
from functools import cache
from pathlib import Path

from benchmeter.checking.check import PartCheck, begin_check, typed
from benchmeter.checking.commands import BeginCheck
from benchmeter.conformity.lead_offset import LeadOffsets
from benchmeter.files.folders import Folders
from benchmeter.parts.kind_catalogue import load_part_kind
from benchmeter.parts.part_kind import PartKind

S = 10**9


@cache
def kind_named(name: str) -> PartKind:
    return load_part_kind(name, Folders(Path("/nowhere")))


def kind_check(kind: str, label: str, *readings: str, number=1, part="", accuracy="", ohm="0"):
    """A check whose readings were typed ten seconds apart, in the order of the kind."""
    begun = BeginCheck(
        time_ns=0, part=part or f"old {kind}", label=label, kind=kind_named(kind),
        accuracy=accuracy, channel="meter",
    )  # fmt: skip
    leads, number_si = LeadOffsets(), Decimal(ohm)
    if number_si:  # as it is typed, to its last digit
        digit = Decimal(1).scaleb(int(number_si.as_tuple().exponent))
        leads = LeadOffsets(ohm=number_si, ohm_u=float(digit) / 12**0.5)
    made: PartCheck = begin_check(
        number, begun, Decimal(0), lead_offset_ohm=leads.ohm, lead_offset_u=leads
    )
    for place, text in enumerate(readings, 1):
        made = typed(made, (20 + 10 * place) * S, text)
    return made


METER = "resistance 0.5 % + 2 x 0.1ohm; AC voltage 1 % + 3 x 0.1 V"


def contactor(**options):
    return kind_check(
        "contactor", "coil 9-14 ohm", "12.0", "OL", "0.3 ohm", "OL", "1.9 ohm",
        **{"accuracy": METER, "ohm": "0.2", **options},
    )  # fmt: skip


def heater(**options):
    return kind_check("heater", "240 V, 1500 W, tester 500 V", "38.5", "OL", **options)


def compressor(**options):
    """2.6 + 0.8 is 3.4: a sound winding by the sum (common practice, no source)."""
    return kind_check(
        "compressor-single-phase", "tester 500 V", "2.60", "0.80", "3.40", "80 Mohm",
        **{"accuracy": "resistance 0.5 % + 2 x 0.01 ohm", **options},
    )  # fmt: skip
