"""A part on the page: the verdict's plate, and the figures of each section."""

from collections.abc import Iterator

from benchmeter.checking.part_check import MeasurementCheck, PartCheck
from benchmeter.conformity.verdict import (
    MeasurementVerdict,
    Verdict,
)
from benchmeter.parts.conclusion import (
    Conclusion,
    PartVerdict,
)
from benchmeter.reports.accuracy_used import lines_used
from benchmeter.reports.page_blocks import Note, PartBlock, VerdictRow, VerdictTable
from benchmeter.reports.session_record import Record
from benchmeter.words.conclusion_words import conclusion_value, conclusion_why
from benchmeter.words.kinds import (
    cautions,
    kind_in_full,
    limit_sources,
    pass_leaves,
    taken_for_granted,
)
from benchmeter.words.meters import bias_notes
from benchmeter.words.parts import (
    beside_words,
    conclusion_limits,
    part_why,
    section_words,
)
from benchmeter.words.presentation import Presentation, capitalized
from benchmeter.words.safety_words import volts_words
from benchmeter.words.verdicts import (
    limits_text,
    probability_words,
    reading_words,
    verdict_in_words,
    verdict_word,
    why,
)
from benchmeter.words.visit_words import origin_words

__all__ = ["part_block"]

_NONE = "–"


def part_block(check: PartCheck, record: Record, presentation: Presentation) -> PartBlock | None:
    """The plate, then a row a section, then what the verdict rests on; None without a verdict."""
    verdict = check.verdict
    if verdict is None:
        return None
    means = verdict_in_words(verdict.verdict, presentation)
    return PartBlock(
        heading="",
        part=check.part,
        kind=check.kind.title if check.kind_named else "",
        origin=capitalized(origin_words(record.visit.part(check.number), presentation)),
        verdict=verdict.verdict,
        word=_word(verdict.verdict, presentation),
        sentence=f"{means} {part_why(verdict, check.kind, presentation)}",
        tables=tuple(_tables(check, verdict, record, presentation)),
        notes=tuple(_notes(check, verdict, record, presentation)),
        cautions=tuple(cautions(kind_in_full(check.kind), presentation)),
    )


def _tables(
    check: PartCheck, verdict: PartVerdict, record: Record, presentation: Presentation
) -> Iterator[VerdictTable]:
    text = presentation.text
    takings = {each.section.name: each for each in check.sections}
    first: tuple[tuple[str, int], ...]
    if not check.kind_named:
        first = ((text("report.section"), 10), (text("report.rated"), 9))
        widths = (20, 20, 12, 13, 16)
    else:
        first = ((text("report.measured"), 20),)
        widths = (20, 20, 11, 12, 17)
    names = (
        text("report.limits"),
        text("report.reading"),
        text("report.chance"),
        text("report.taken"),
        text("report.verdict"),
    )
    yield VerdictTable(
        (*first, *zip(names, widths, strict=True)),
        tuple(
            _row(one, takings.get(one.section.name), check, record, presentation)
            for one in verdict.sections
        ),
    )
    if verdict.conclusions:
        heads = (
            (text("report.together"), 20),
            (text("report.limits"), 20),
            (text("report.value"), 20),
            (text("report.verdict"), 40),
        )
        yield VerdictTable(heads, tuple(_concluded(c, presentation) for c in verdict.conclusions))


def _row(
    verdict: MeasurementVerdict,
    taking: MeasurementCheck | None,
    check: PartCheck,
    record: Record,
    presentation: Presentation,
) -> VerdictRow:
    text, section = presentation.text, verdict.section
    chance = verdict.conformance_probability
    last = taking.taken[-1] if taking is not None and taking.taken else None
    taken = _NONE if last is None else f"{record.clock(last.time_ns):%H:%M:%S}"
    if last is not None and last.by_hand:
        taken = text("report.by_hand", clock=taken)
    reading = reading_words(verdict, presentation)
    if verdict.reading_si is not None and verdict.expanded_uncertainty_si is None:
        reading = text("report.without_u", reading=reading)
    rated = text("report.range")
    if section.rated_si is not None:
        rated = presentation.exact(section.rated_si, section.unit)
    cells = (
        section_words(section.name, presentation),
        *(() if check.kind_named else (rated,)),
        limits_text(section, presentation) or _NONE,
        reading,
        _NONE if chance is None else probability_words(chance, presentation),
        taken,
    )
    return VerdictRow(cells, verdict.verdict, _word(verdict.verdict, presentation))


def _concluded(conclusion: Conclusion, presentation: Presentation) -> VerdictRow:
    value = conclusion_value(conclusion, presentation) or _NONE
    limits = conclusion_limits(conclusion, presentation) or _NONE
    return VerdictRow(
        (conclusion.name, limits, value), conclusion.word, _word(conclusion.word, presentation)
    )


def _notes(
    check: PartCheck, verdict: PartVerdict, record: Record, presentation: Presentation
) -> Iterator[Note]:
    text = presentation.text
    told = (
        ("report.why", _reasons(check, verdict, presentation)),
        ("report.leaves_open", pass_leaves(verdict, check.kind, presentation)),
        ("report.limits_from", _sources(check, presentation)),
        ("report.rests_on", _rests_on(check, verdict, presentation)),
        ("report.volts_seen", _volts_left(check, record, presentation)),
    )
    for title, sentences in told:
        if found := tuple(sentences):
            yield Note(text(title), found)


def _reasons(check: PartCheck, verdict: PartVerdict, presentation: Presentation) -> Iterator[str]:
    yield from (f"{name}: {said}" for name, said in beside_words(verdict, check.kind, presentation))
    yield from _not_plainly_good(check, verdict, presentation)
    for each in check.sections:
        if len(each.taken) > 1:
            earlier = (reading_words(t.verdict, presentation) for t in each.taken[:-1])
            yield presentation.text(
                "report.repeated",
                section=section_words(each.section.name, presentation),
                count=len(each.taken),
                earlier=", ".join(earlier),
            )


def _sources(check: PartCheck, presentation: Presentation) -> Iterator[str]:
    """Where the limits come from; of a capacitor by its label that is the label."""
    found = limit_sources(check.kind, check.rating, presentation)
    if not check.kind_named:
        by_user = check.rating.tolerance_from == "user"
        found = [presentation.text("report.by_label_and_user" if by_user else "report.by_label")]
    return (f"{capitalized(said)}." for said in found)


def _rests_on(check: PartCheck, verdict: PartVerdict, presentation: Presentation) -> Iterator[str]:
    text = presentation.text
    yield from _of_the_label(check, presentation)
    if lines := lines_used(check, verdict):
        yield text("report.accuracy", text="; ".join(lines))
    else:
        yield text("report.accuracy_unknown")
    yield text(f"report.rule_{check.rule.name.lower()}")
    used = any(check.offset_of(each.section) for each in check.sections)
    if used and check.lead_offset_si:
        yield text("report.leads_open", offset=presentation.exact(check.lead_offset_si, "µF"))
    if used and check.lead_offset_ohm:
        yield text("report.leads_joined", offset=presentation.exact(check.lead_offset_ohm, "Ω"))
    yield from bias_notes(check, presentation)


def _of_the_label(check: PartCheck, presentation: Presentation) -> Iterator[str]:
    text, rating = presentation.text, check.rating
    if rating.text.strip():
        yield text("report.label", text=rating.text)
    else:
        yield text("report.no_label")
    if check.kind_named:
        sources = limit_sources(check.kind, rating, presentation)
        for said in taken_for_granted(check.kind, rating, presentation):
            if said not in sources:
                yield f"{capitalized(said)}."
    elif rating.tolerance_from == "label":
        yield text("report.tolerance_from_label", tolerance=rating.tolerance)
    else:
        yield text("report.tolerance_from_user", tolerance=rating.tolerance)


def _volts_left(check: PartCheck, record: Record, presentation: Presentation) -> Iterator[str]:
    """DC and AC, as the session's safety knew them when it was measured last."""
    for code, seen in (("report.dc_volts", check.residual), ("report.ac_volts", check.supply)):
        if seen is None:
            said = presentation.text("report.no_volts")
        else:
            at = f"{record.clock(seen.time_ns):%H:%M:%S}"
            said = presentation.text(
                "report.volts_typed" if seen.typed else "report.volts_at",
                volts=volts_words(seen, presentation) or presentation.text("report.volts_unknown"),
                clock=at,
            )
        yield presentation.text(code, said=said)


def _not_plainly_good(
    check: PartCheck, verdict: PartVerdict, presentation: Presentation
) -> Iterator[str]:
    """What decides stands on the plate; what is plainly good, or only measured, needs no reason."""
    told = part_why(verdict, check.kind, presentation)
    plain = (verdict.verdict, Verdict.PASS, Verdict.MEASURED)
    for section in verdict.sections:
        if section.verdict not in plain:
            name = section_words(section.section.name, presentation)
            yield f"{name}: {why(section, presentation)}"
    rules = {rule.name: rule for rule in check.kind.conclusions}
    for conclusion in verdict.conclusions:
        rule = rules.get(conclusion.name)
        said = "" if rule is None else conclusion_why(conclusion, rule, presentation)
        if said and not told.startswith(said):
            yield f"{conclusion.name}: {said}"


def _word(word: Verdict, presentation: Presentation) -> str:
    return capitalized(verdict_word(word, presentation))
