"""A part on the page: the verdict's plate, and the figures of each section."""

import base64
from html import escape

from benchmeter.checking.part_check import MeasurementCheck, PartCheck
from benchmeter.conformity.verdict import Conclusion, MeasurementVerdict, Rule, Verdict
from benchmeter.reports.session_record import Record
from benchmeter.reports.shapes import tone_colour, verdict_svg
from benchmeter.words.conclusions import conclusion_value, conclusion_why
from benchmeter.words.kinds import cautions, taken_for_granted
from benchmeter.words.meters import bias_notes
from benchmeter.words.parts import conclusion_limits, part_why
from benchmeter.words.presentation import Presentation, capitalized
from benchmeter.words.verdicts import (
    limits_text,
    probability_words,
    reading_words,
    verdict_in_words,
    verdict_word,
    why,
)

__all__ = ["part_block"]

_PAPER = "#ffffff"
_HEAD = {  # and the part of the width
    "section": 10,
    "rated": 9,
    "limits": 20,
    "reading ±U": 20,
    "chance inside": 12,
    "taken": 13,
    "verdict": 16,
}
_HEAD_OF_KIND = {
    "measured": 20,
    "limits": 20,
    "reading ±U": 20,
    "chance inside": 11,
    "taken": 12,
    "verdict": 17,
}
_HEAD_OF_CONCLUSIONS = {"together": 20, "limits": 20, "value ±U": 20, "verdict": 40}
_RULE = {
    Rule.GUARDED: "guarded, guard band w = U (ILAC-G8:09/2019)",
    Rule.SIMPLE: "simple, the meter's uncertainty is left aside (ILAC-G8:09/2019)",
}


def part_block(check: PartCheck, record: Record, presentation: Presentation) -> str:
    """The plate, then a row a section, then what the verdict rests on. "" without a verdict."""
    verdict = check.verdict
    if verdict is None:
        return ""
    tone = tone_colour(verdict.verdict)
    reason = part_why(verdict, check.kind, presentation)
    sentence = f"{verdict_in_words(verdict.verdict, presentation)} {reason}"
    kind = f"<p>{escape(check.kind.title)}</p>" if check.kind is not None else ""
    plate = (
        "<table class='plate' role='presentation' width='100%' cellspacing='0'><tr>"
        f"<td class='shape' bgcolor='{tone}' width='68' align='center' valign='middle'>"
        f"{_shape(verdict.verdict, _PAPER, tone, 48)}</td>"
        f"<td class='beside'><h3>{escape(check.part)}</h3>{kind}"
        f"<p><span style='color:{tone}; font-size:16pt; font-weight:bold'>"
        f"{_word(verdict.verdict)}</span></p><p>{escape(sentence)}</p></td></tr></table>"
    )
    takings = {each.section.name: each for each in check.sections}
    head = _HEAD if check.kind is None else _HEAD_OF_KIND
    rows = [
        _row(one, takings.get(one.section.name), check, record, presentation)
        for one in verdict.sections
    ]
    concluded = [_concluded(conclusion, presentation) for conclusion in verdict.conclusions]
    return "".join(
        (
            plate,
            _table(head, rows),
            _table(_HEAD_OF_CONCLUSIONS, concluded) if concluded else "",
            f"<p class='small'>{' '.join(_notes(check, presentation))}</p>",
            "".join(
                f"<p class='small'><b>{escape(said)}</b></p>"
                for said in _cautions(check, presentation)
            ),
        )
    )


def _row(
    verdict: MeasurementVerdict,
    taking: MeasurementCheck | None,
    check: PartCheck,
    record: Record,
    presentation: Presentation,
) -> tuple[tuple[str, ...], Verdict]:
    section = verdict.section
    chance = verdict.conformance_probability
    last = taking.taken[-1] if taking is not None and taking.taken else None
    taken = "–"
    if last is not None:
        taken = f"{record.clock(last.time_ns):%H:%M:%S}" + (
            ", by\u00a0hand" if last.by_hand else ""
        )
    rated = "range"
    if section.rated_si is not None:
        rated = presentation.exact(section.rated_si, section.unit)
    cells = (
        "both terminals" if section.name == "single" else section.name,
        *((rated,) if check.kind is None else ()),
        limits_text(section, presentation) or "–",
        reading_words(verdict, presentation),
        probability_words(chance, presentation) if chance is not None else "–",
        taken,
    )
    return cells, verdict.verdict


def _concluded(
    conclusion: Conclusion, presentation: Presentation
) -> tuple[tuple[str, ...], Verdict]:
    value = conclusion_value(conclusion, presentation)
    limits = conclusion_limits(conclusion, presentation)
    return (conclusion.name, limits or "–", value or "–"), conclusion.word


def _table(head: dict[str, int], rows: list[tuple[tuple[str, ...], Verdict]]) -> str:
    """A row each: cells, then shape and word of the verdict."""
    names = "".join(f"<th scope='col' width='{part}%'>{name}</th>" for name, part in head.items())
    shown = "".join(
        f"<tr>{''.join(_cell(escape(cell)) for cell in cells)}"
        f"{_cell(f'{_shape(word, tone_colour(word), _PAPER, 16)} {_word(word)}')}</tr>"
        for cells, word in rows
    )
    return f"<table width='100%'><tr>{names}</tr>{shown}</table>"


def _cell(content: str) -> str:
    return f"<td class='figure'>{content}</td>"


def _notes(check: PartCheck, presentation: Presentation) -> list[str]:
    notes = [*_of_the_label(check, presentation)]
    meter = escape(check.accuracy.text) if check.accuracy else "not known"
    notes.append(f"Accuracy of the meter: {meter}. U: expanded uncertainty, k = 2.")
    notes.append(f"Decision rule: {_RULE[check.rule]}.")
    for offset_si, unit, leads in (
        (check.lead_offset_si, "µF", "open"),
        (check.lead_offset_ohm, "Ω", "joined"),
    ):
        used = any(check.offset_of(each.section) for each in check.sections)
        if offset_si and used:
            offset = presentation.exact(offset_si, unit)
            notes.append(f"The {leads} leads read {offset}, which was taken off.")
    notes += [escape(said) for said in bias_notes(check, presentation)]
    notes += [escape(said) for said in _not_plainly_good(check, presentation)]
    for each in check.sections:
        if len(each.taken) > 1:
            earlier = ", ".join(reading_words(t.verdict, presentation) for t in each.taken[:-1])
            notes.append(escape(f"{each.section.name} was taken {len(each.taken)} times; the last "
                                f"one counts. Earlier: {earlier}."))  # fmt: skip
    return notes


def _cautions(check: PartCheck, presentation: Presentation) -> list[str]:
    return cautions(check.kind, presentation) if check.kind is not None else []


def _of_the_label(check: PartCheck, presentation: Presentation) -> list[str]:
    rating = check.rating
    label = (
        f"Label: {escape(rating.text)}." if rating.text.strip() else "Label: nothing was needed."
    )
    if check.kind is not None:
        granted = taken_for_granted(check.kind, rating, presentation)
        return [label, *(f"{escape(capitalized(said))}." for said in granted)]
    source = "from the label" if rating.tolerance_from == "label" else "told by the user"
    return [label, f"Tolerance: {escape(rating.tolerance)}, {source}."]


def _not_plainly_good(check: PartCheck, presentation: Presentation) -> list[str]:
    """What decides stands on the plate; what is plainly good, or only measured, needs no reason."""
    verdict = check.verdict
    if verdict is None:
        return []
    told = part_why(verdict, check.kind, presentation)
    plain = (verdict.verdict, Verdict.PASS, Verdict.MEASURED)
    found = [
        f"{s.section.name}: {why(s, presentation)}"
        for s in verdict.sections
        if s.verdict not in plain
    ]
    rules = {rule.name: rule for rule in check.kind.conclusions} if check.kind is not None else {}
    for c in verdict.conclusions:
        said = conclusion_why(c, rules[c.name], presentation) if c.name in rules else ""
        if said and not told.startswith(said):
            found.append(f"{c.name}: {said}")
    return found


def _word(word: Verdict) -> str:
    return escape(verdict_word(word).capitalize())


def _shape(word: Verdict, ink: str, ground: str, size: int) -> str:
    code = base64.b64encode(verdict_svg(word, ink, ground).encode()).decode("ascii")
    source = f"data:image/svg+xml;base64,{code}"
    return (
        f"<img alt='' style='vertical-align:middle' width='{size}' height='{size}' src='{source}'>"
    )
