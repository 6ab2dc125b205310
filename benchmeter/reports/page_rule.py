"""By which rule the verdicts were given, and what each word of it risks.

ISO/IEC 17025:2017, 7.8.6; ILAC-G8:09/2019, 4.2 and table 1; both from memory but for 4.2.3.
"""

from collections.abc import Iterator

from benchmeter.conformity.uncertainty import COVERAGE_FACTOR
from benchmeter.conformity.verdict import Rule, Verdict
from benchmeter.reports.page_blocks import Sentences
from benchmeter.reports.session_record import Record
from benchmeter.words.presentation import Presentation, capitalized
from benchmeter.words.verdicts import verdict_word

__all__ = ["rule_block"]

_GRADED = (Verdict.PASS, Verdict.CONDITIONAL_PASS, Verdict.CONDITIONAL_FAIL, Verdict.FAIL)


def rule_block(record: Record, presentation: Presentation) -> Sentences | None:
    """The rule, whether it was agreed, coverage and risks; None where no part was judged."""
    text = presentation.text
    judged = [check for check in record.part_checks() if check.verdict is not None]
    if not judged:
        return None
    rules = [rule for rule in Rule if any(check.rule is rule for check in judged)]
    agreed = record.visit.rule_agreed_with or text("visit.not_stated")
    sentences = (
        *(text(f"report.ruled_{rule.name.lower()}") for rule in rules),
        text("report.agreed_with", who=agreed),
        text("report.coverage", k=COVERAGE_FACTOR),
        *_risks(record, presentation),
        text("report.bounds_of_risk"),
    )
    return Sentences(text("report.decision_rule"), sentences)


def _risks(record: Record, presentation: Presentation) -> Iterator[str]:
    """Of each word that was given, in the order of the rule."""
    text = presentation.text
    given, bare = set(), False
    for verdict in (check.verdict for check in record.part_checks() if check.verdict):
        given |= {conclusion.word for conclusion in verdict.conclusions}
        for section in verdict.sections:
            graded = section.verdict in _GRADED and section.reading_si is not None
            if graded and not section.guard_band_si:
                bare = True
            else:
                given.add(section.verdict)
    for word in Verdict:
        if word in given:
            named = capitalized(verdict_word(word, presentation))
            yield f"{named}: {text(f'report.risk_{word.name.lower()}')}"
    if bare:
        yield text("report.risks_without_u")
