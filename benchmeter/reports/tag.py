"""What stands on the tags to stick on the parts that were judged."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from benchmeter.checking.part_check import PartCheck
from benchmeter.conformity.judgement import low_limit_si
from benchmeter.conformity.verdict import MeasurementVerdict, Rule, Verdict
from benchmeter.errors import InputError
from benchmeter.parts.conclusion import Conclusion, PartVerdict
from benchmeter.readings.events import EventKind
from benchmeter.reports.session_record import Record
from benchmeter.reports.tag_code import tag_code
from benchmeter.words.conclusion_words import conclusion_value
from benchmeter.words.meters import bias_notes
from benchmeter.words.parts import conclusion_limits, part_label, part_why
from benchmeter.words.plain_text import plain
from benchmeter.words.presentation import PLAIN, Presentation, capitalized
from benchmeter.words.verdicts import (
    limits_text,
    reading_words,
    verdict_in_words,
    verdict_word,
)

__all__ = ["Tag", "TagRow", "tags_of"]


@dataclass(frozen=True, slots=True)
class TagRow:
    """One section: what was read, and the limits; or what several say together.

    Attributes:
        name: "HERM"; "" where the part has one section only.
        reading: "44.10 ±0.63 µF", or the verdict's word where there is no value.
        limits: "42.3 to 47.7 µF", "at least 1 MΩ"; "" without any.
        in_full: the limits where there is room for the word: "limits 42.3 to 47.7 µF".
    """

    verdict: Verdict
    name: str
    reading: str
    limits: str
    in_full: str


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
        meter_short: the same, where that has no room: true forms, each shorter than the last.
        accuracy: what the meter's readings are worth, and how they were judged.
        record: where it is kept, for a person: the end of the session's id.
        code: the same for a machine, with the check; see `tag_code`.
        left_out: what is said where one, two, three … rows have no room.
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
    meter_short: tuple[str, ...]
    accuracy: str
    record: str
    code: str
    left_out: tuple[str, ...]


def tags_of(
    record: Record, *, check: int | None = None, presentation: Presentation = PLAIN
) -> tuple[Tag, ...]:
    """A tag for each judged part of a session, in the order of the checks.

    Args:
        check: number of the only check that is wanted.

    Raises:
        InputError: nothing was judged, or not this check.
    """
    checks = record.part_checks()
    tags = tuple(
        _tag(record, c, c.verdict, presentation)
        for c in checks
        if c.verdict and check in (None, c.number)
    )
    if tags:
        return tags
    judged = [str(c.number) for c in checks if c.verdict]
    if judged:
        raise InputError("tag.no_verdict", check=check or 0, judged=judged)
    raise InputError("tag.nothing_judged")


def _tag(record: Record, check: PartCheck, verdict: PartVerdict, presentation: Presentation) -> Tag:
    text, rating, session = presentation.text, verdict.rating, record.summary.id
    word = verdict_word(verdict.verdict, presentation)
    label = _one_line(part_label(rating, check.kind))
    if rating.tolerance_from == "user" and rating.tolerance not in rating.text:
        label = text("tag.label_and_tolerance", label=label, tolerance=rating.tolerance)
    rows = (
        *(_row(s, len(verdict.sections), presentation) for s in verdict.sections),
        *(_concluded(c, presentation) for c in verdict.conclusions),
    )
    last_ns = max(s.taken[-1].time_ns for s in check.sections if s.taken)
    tied = replace(presentation, unit_space="\u00a0")  # the sentence is broken into lines
    means = verdict_in_words(verdict.verdict, presentation)
    meter, *meter_short = _meter(record, check, presentation)
    return Tag(
        number=check.number,
        verdict=verdict.verdict,
        word=capitalized(word),
        sentence=f"{means} {part_why(verdict, check.kind, tied)}",
        part=_one_line(check.part),
        label=label,
        rows=rows,
        when=f"{record.clock(last_ns):%Y-%m-%d %H:%M}",
        meter=meter,
        meter_short=tuple(meter_short),
        accuracy=_accuracy(check, presentation),
        record=text("tag.record", number=session[-8:]),
        code=tag_code(session, check.number),
        left_out=tuple(text("tag.more", count=count) for count in range(1, len(rows))),
    )


def _row(section: MeasurementVerdict, of: int, presentation: Presentation) -> TagRow:
    reading = reading_words(section, presentation)
    if section.reading_si is None and section.verdict is not Verdict.PASS:
        reading = verdict_word(section.verdict, presentation)
    name = section.section.name if of > 1 else ""
    both = low_limit_si(section.section) is not None and section.section.high_si is not None
    limits = limits_text(section.section, presentation)
    full = presentation.text("tag.limits", limits=limits) if both else limits
    return TagRow(section.verdict, name, reading, limits, full)


def _concluded(conclusion: Conclusion, presentation: Presentation) -> TagRow:
    value = conclusion_value(conclusion, presentation) or verdict_word(
        conclusion.word, presentation
    )
    limits = conclusion_limits(conclusion, presentation)
    both = conclusion.low_si is not None and conclusion.high_si is not None
    full = presentation.text("tag.limits", limits=limits) if both and limits else limits
    return TagRow(conclusion.word, conclusion.name, value, limits, full)


def _meter(record: Record, check: PartCheck, presentation: Presentation) -> Iterator[str]:
    """The meter by the title of its profile; then by its serial number; then where it stands."""
    text = presentation.text
    by_hand = {e.time_ns for e in record.events if e.kind is EventKind.TYPED}
    typed = [s.taken[-1].time_ns in by_hand for s in check.sections if s.taken]
    links = {c.name: c.link for c in record.setup.channels}
    profile = next(
        (k.profile for k in record.setup.links if k.name == links.get(check.channel)), None
    )
    names = [profile.title if profile is not None else text("tag.no_meter")]
    if profile is not None:
        names += [text("tag.serial", serial=profile.serial)] if profile.serial else []
        names.append(text("tag.see_record"))
    if all(typed):
        names = [text("tag.by_hand")]
    elif any(typed):
        names = [text("tag.partly_by_hand", meter=name) for name in names]
    if record.summary.origin == "simulated":
        names = [text("tag.simulated", meter=name) for name in names]
    return map(_one_line, names)


def _accuracy(check: PartCheck, presentation: Presentation) -> str:
    text = presentation.text
    known = _one_line(check.accuracy.text) if check.accuracy else text("tag.accuracy_unknown")
    said = [known]
    if check.rule is Rule.SIMPLE:
        said.append(text("tag.simple_rule"))
    if bias_notes(check):
        said.append(text("tag.bias"))
    return ", ".join(said)


def _one_line(text: str) -> str:
    return " ".join(plain(text).split())
