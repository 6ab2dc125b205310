"""What stands on the tags to stick on the parts that were judged."""

from dataclasses import dataclass

from benchmeter.checking.part_check import PartCheck
from benchmeter.conformity.verdict import (
    MeasurementVerdict,
    Rule,
    Verdict,
)
from benchmeter.errors import InputError
from benchmeter.parts.conclusion import (
    Conclusion,
)
from benchmeter.readings.events import EventKind
from benchmeter.reports.session_record import Record
from benchmeter.reports.tag_code import tag_code
from benchmeter.words.conclusions import conclusion_value
from benchmeter.words.meters import bias_notes
from benchmeter.words.parts import conclusion_limits, part_label, part_why
from benchmeter.words.presentation import Presentation
from benchmeter.words.verdicts import (
    limits_text,
    reading_words,
    verdict_in_words,
    verdict_word,
)

__all__ = ["Tag", "TagRow", "tags_of"]

_TIED = Presentation(unit_space="\u00a0")  # the sentence is broken into lines


@dataclass(frozen=True, slots=True)
class TagRow:
    """One section: what was read, and the limits; or what several say together.

    Attributes:
        name: "HERM"; "" where the part has one section only.
        reading: "44.10 ±0.63 µF", or the verdict's word where there is no value.
        limits: "42.3 to 47.7 µF", "at least 1 MΩ"; "" without any.
    """

    verdict: Verdict
    name: str
    reading: str
    limits: str


@dataclass(frozen=True, slots=True)
class Tag:
    """What stands on a tag.

    Attributes:
        number: of the check.
        word: the verdict, never shortened.
        sentence: the verdict as a technician says it, and its reason.
        part: own name of the part.
        label: what the part's label says.
        when: date and time at the place of recording.
        meter: what it was measured with.
        accuracy: what the meter's readings are worth, and how they were judged.
        record: where it is kept, for a person: the end of the session's id.
        code: the same for a machine, with the check; see `tag_code`.
    """

    number: int
    verdict: Verdict
    word: str
    sentence: str
    part: str
    label: str
    rows: tuple[TagRow, ...]
    when: str
    meter: str
    accuracy: str
    record: str
    code: str


def tags_of(record: Record, *, check: int | None = None) -> tuple[Tag, ...]:
    """A tag for each judged part of a session, in the order of the checks.

    Args:
        check: number of the only check that is wanted.

    Raises:
        InputError: nothing was judged, or not this check.
    """
    checks = record.part_checks()
    tags = tuple(_tag(record, c) for c in checks if c.verdict and check in (None, c.number))
    if tags:
        return tags
    judged = ", ".join(str(c.number) for c in checks if c.verdict)
    if judged:
        raise InputError(
            f"Check {check} of this session has no verdict.", f"There is one on: {judged}."
        )
    raise InputError(
        "No part was judged in this session, so there is nothing to write on a tag.",
        "Choose a session with a verdict (benchmeter sessions).",
    )


def _tag(record: Record, check: PartCheck) -> Tag:
    verdict = check.verdict
    assert verdict is not None
    word = verdict_word(verdict.verdict)
    rating = verdict.rating
    aside = rating.tolerance_from == "user" and rating.tolerance not in rating.text
    added = f", {rating.tolerance} (not on the label)" if aside else ""
    session = record.summary.id
    last_ns = max(s.taken[-1].time_ns for s in check.sections)
    return Tag(
        number=check.number,
        verdict=verdict.verdict,
        word=word[:1].upper() + word[1:],
        sentence=f"{verdict_in_words(verdict.verdict)} {part_why(verdict, check.kind, _TIED)}",
        part=_one_line(check.part),
        label=_one_line(part_label(rating, check.kind)) + added,
        rows=(
            *(_row(s, len(verdict.sections)) for s in verdict.sections),
            *(_concluded(c) for c in verdict.conclusions),
        ),
        when=f"{record.clock(last_ns):%Y-%m-%d %H:%M}",
        meter=_meter(record, check),
        accuracy=_accuracy(check),
        record=f"record {session[-8:]}",
        code=tag_code(session, check.number),
    )


def _row(section: MeasurementVerdict, of: int) -> TagRow:
    reading = reading_words(section)
    if section.reading_si is None and section.verdict is not Verdict.PASS:
        reading = verdict_word(section.verdict)
    return TagRow(
        section.verdict,
        section.section.name if of > 1 else "",
        reading,
        limits_text(section.section),
    )


def _concluded(conclusion: Conclusion) -> TagRow:
    return TagRow(
        conclusion.word,
        conclusion.name,
        conclusion_value(conclusion) or verdict_word(conclusion.word),
        conclusion_limits(conclusion),
    )


def _meter(record: Record, check: PartCheck) -> str:
    """The meter by the title of its profile."""
    by_hand = {e.time_ns for e in record.events if e.kind is EventKind.TYPED}
    typed = [s.taken[-1].time_ns in by_hand for s in check.sections]
    links = {c.name: c.link for c in record.setup.channels}
    titles = {link.name: link.profile.title for link in record.setup.links}
    title = titles.get(links.get(check.channel, ""), "meter not recorded")
    if all(typed):
        title = "typed in by hand"
    elif any(typed):
        title += " and typed in by hand"
    return _one_line(f"simulated: {title}" if record.summary.origin == "simulated" else title)


def _accuracy(check: PartCheck) -> str:
    known = _one_line(check.accuracy.text) if check.accuracy else "accuracy not known"
    rule = ", simple rule" if check.rule is Rule.SIMPLE else ""
    return known + rule + (", bias taken off" if bias_notes(check) else "")


def _one_line(text: str) -> str:
    return " ".join(text.split())
