"""What is told beside the verdict on a part: faults of supply, control, accessory; remarks."""

from dataclasses import dataclass
from decimal import Decimal

from benchmeter.conformity.verdict import MeasurementVerdict, Verdict
from benchmeter.parts.conclusion import Conclusion, PartVerdict
from benchmeter.parts.nameplate.nameplate import parse_givens
from benchmeter.parts.part_kind import MeasurementSpec, PartKind, Rule, Subject

__all__ = ["Beside", "beside"]

_BAD = (Verdict.SHORTED, Verdict.OPEN, Verdict.FAIL, Verdict.CONDITIONAL_FAIL)


@dataclass(frozen=True, slots=True)
class Beside:
    """A finding that does not decide the part.

    Attributes:
        subject: what it is about.
        said: of the kind.
        found: the verdict by itself, or the conclusion.
        above_si: a given that it exceeds, which is no limit: amps above the rated ones; None: it is
            bad by its own limits.
    """

    subject: Subject
    said: MeasurementSpec | Rule
    found: MeasurementVerdict | Conclusion
    above_si: Decimal | None = None


def beside(kind: PartKind, verdict: PartVerdict) -> tuple[Beside, ...]:
    """The findings beside the verdict, in the order of measuring."""
    givens = (
        parse_givens(kind, verdict.rating.text)
        if any(m.remark_above for m in kind.measures)
        else {}
    )
    found: list[Beside] = []
    for section in verdict.sections:
        spec = kind.measure_of(section.section.name)
        if spec.subject is not Subject.PART and section.verdict in _BAD:
            found.append(Beside(spec.subject, spec, section))
        rated = givens.get(spec.remark_above)
        if rated is None or rated.value_si is None or section.reading_si is None:
            continue
        if section.verdict not in _BAD and section.reading_si > rated.value_si:
            found.append(Beside(spec.subject, spec, section, rated.value_si))
    rules = {rule.name: rule for rule in kind.conclusions}
    for conclusion in verdict.conclusions:
        rule = rules.get(conclusion.name)
        if rule is not None and rule.subject is not Subject.PART and conclusion.word in _BAD:
            found.append(Beside(rule.subject, rule, conclusion))
    return tuple(found)
