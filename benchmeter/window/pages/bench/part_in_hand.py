"""What the bench asks of the part in hand and of its meter."""

from collections.abc import Iterable
from dataclasses import replace

from benchmeter.checking.check import PartCheck, Step
from benchmeter.quantities.quantity import Quantity
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.lead_drawing import LeadPlan, lead_plan
from benchmeter.words.safety import discharge_words

__all__ = [
    "check_line",
    "in_file_name",
    "lead_plan_of",
    "tested_numbers",
]


def lead_plan_of(check: PartCheck) -> LeadPlan | None:
    """Where the leads go; a part that may be charged is for the volts first."""
    plan = lead_plan(check)
    if plan is not None and check.step is Step.MAKE_SAFE:
        return replace(
            plan,
            quantity=Quantity.VOLTAGE_DC,
            how=discharge_words(check.rating, current_theme().presentation),
        )
    return plan


def tested_numbers(checks: Iterable[PartCheck]) -> dict[str, list[str]]:
    """Own numbers by carton."""
    found: dict[str, list[str]] = {}
    for check in checks:
        if check.lot:
            found.setdefault(check.lot, []).append(check.part)
    return found


def in_file_name(part: str) -> str:
    """A part's own name as a piece of a file name."""
    return "".join(sign if sign.isalnum() else "-" for sign in part)[:40]


def check_line(check: PartCheck) -> str:
    """A check in a line of the list."""
    from benchmeter.words.verdicts import verdict_word

    if check.reference is not None:
        from benchmeter.checking.reference_check import word_of

        return f"{check.number}  {check.part}  ·  {word_of(check) or '…'}"
    words = ", ".join(
        f"{s.section.name} {verdict_word(s.taken[-1].verdict.verdict)}"
        for s in check.sections
        if s.taken
    )
    return f"{check.number}  {check.part}  ·  {check.rating.text}  ·  {words or '…'}"
