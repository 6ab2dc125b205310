"""The check of another part by the label and the terms of the one in hand."""

from benchmeter.checking.commands import BeginCheck
from benchmeter.checking.part_check import PartCheck

__all__ = ["next_part"]


def next_part(check: PartCheck, number: str) -> BeginCheck:
    """What begins the check of another part of the same carton, or of the same part again."""
    return BeginCheck(
        time_ns=0,
        part=number,
        label=check.rating.text,
        kind=check.kind if check.kind_named else None,
        lot=check.lot,
        reference=check.reference,
        tolerance=check.rating.tolerance if check.rating.tolerance_from == "user" else "",
        accuracy="" if check.accuracy is None else check.accuracy.text,
        rule=check.rule.value,
        channel=check.channel,
    )
