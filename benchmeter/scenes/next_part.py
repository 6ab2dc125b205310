"""The check of another part by the label and the terms of the one in hand."""

from benchmeter.checking.part_check import PartCheck
from benchmeter.checking.reference_check import reference_text
from benchmeter.parts.catalogue import kind_text
from benchmeter.readings.inputs import BeginCheck

__all__ = ["next_part"]


def next_part(check: PartCheck, number: str) -> BeginCheck:
    """What begins the check of another part of the same carton, or of the same part again."""
    return BeginCheck(
        time_ns=0,
        part=number,
        label=check.rating.text,
        kind=kind_text(check.kind) if check.kind_named else "",
        lot=check.lot,
        reference="" if check.reference is None else reference_text(check.reference),
        tolerance=check.rating.tolerance if check.rating.tolerance_from == "user" else "",
        accuracy="" if check.accuracy is None else check.accuracy.text,
        rule=check.rule.value,
        channel=check.channel,
    )
