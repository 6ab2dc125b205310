"""Outcomes made from what analyses found, and what they found taken out of outcomes."""

from benchmeter.checking.part_check import PartCheck
from benchmeter.checking.safety import PartSafety
from benchmeter.conformity.instrument_bias import MeterBias
from benchmeter.cooling.recovery import Recovery
from benchmeter.readings.events import reported
from benchmeter.session.analyzers.part_check_analyzer import PartFinding
from benchmeter.session.analyzers.recovery_analyzer import RecoveryFinding
from benchmeter.session.analyzers.safety_analyzer import SafetyFinding
from benchmeter.session.outcome import Notice, Outcome
from benchmeter.words.notice_words import ToldNotice, tell_notice


def outcome(
    time_ns: int,
    *,
    check: PartCheck | None = None,
    recovery: Recovery | None = None,
    safety: PartSafety | None = None,
    biases: tuple[MeterBias, ...] | None = None,
    **more,
) -> Outcome:
    """A check with a verdict has just come to it."""
    findings = [SafetyFinding(safety)] * (safety is not None)
    if check is not None or biases is not None:
        findings.append(
            PartFinding(check, check is not None and check.verdict is not None, biases or ())
        )
    if recovery is not None:
        findings.append(RecoveryFinding(recovery))
    return Outcome(time_ns, findings=tuple(findings), **more)


def check_in(outcome: Outcome) -> PartCheck | None:
    """The check of the part in hand, where it has changed."""
    found = outcome.of(PartFinding)
    return None if found is None else found.check


def judged_in(outcome: Outcome) -> PartCheck | None:
    """The check that has just come to a verdict."""
    found = outcome.of(PartFinding)
    return found.check if found is not None and found.judged else None


def recovery_in(outcome: Outcome) -> Recovery | None:
    found = outcome.of(RecoveryFinding)
    return None if found is None else found.recovery


def safety_in(outcome: Outcome) -> PartSafety | None:
    found = outcome.of(SafetyFinding)
    return None if found is None else found.part


def as_fact(told: ToldNotice) -> Notice:
    """The notice of a session that is told so."""
    return Notice(told.severity, reported(told.text, told.advice))


def notices_in(outcome: Outcome) -> list[str]:
    """What its notices say, each in one line."""
    told = (tell_notice(notice) for notice in outcome.notices)
    return [f"{one.text} {one.advice}".strip() for one in told]
