"""A part on the page: the verdict's plate, and the figures of each section."""

import base64
import re
from html import escape

from benchmeter.conformity.part_check import PartCheck, SectionCheck
from benchmeter.conformity.verdict import Rule, SectionVerdict, Word
from benchmeter.reporting.numbers import exact_text, with_sign
from benchmeter.reporting.record import Record
from benchmeter.reporting.shapes import tone_colour, verdict_svg
from benchmeter.reporting.wording_verdict import (
    limits_text,
    part_why,
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
_BELONGS = re.compile(r" (?=[µ%±]|hand)")  # a number stays with its unit
_RULE = {
    Rule.GUARDED: "guarded, guard band w = U (ILAC-G8:09/2019)",
    Rule.SIMPLE: "simple, the meter's uncertainty is left aside (ILAC-G8:09/2019)",
}


def part_block(check: PartCheck, record: Record, sign: str) -> str:
    """The plate, then a row a section, then what the verdict rests on. "" without a verdict."""
    verdict = check.verdict
    if verdict is None:
        return ""
    tone = tone_colour(verdict.verdict)
    sentence = with_sign(
        f"{verdict_in_words(verdict.verdict)} {part_why(verdict, check.kind)}", sign
    )
    plate = (
        "<table class='plate' role='presentation' width='100%' cellspacing='0'><tr>"
        f"<td class='shape' bgcolor='{tone}' width='68' align='center' valign='middle'>"
        f"{_shape(verdict.verdict, _PAPER, tone, 48)}</td>"
        f"<td class='beside'><h3>{escape(check.part)}</h3>"
        f"<p><span style='color:{tone}; font-size:16pt; font-weight:bold'>"
        f"{_word(verdict.verdict)}</span></p><p>{escape(sentence)}</p></td></tr></table>"
    )
    head = "".join(f"<th scope='col' width='{part}%'>{name}</th>" for name, part in _HEAD.items())
    takings = {each.section.name: each for each in check.sections}
    rows = "".join(
        _row(one, takings.get(one.section.name), record, sign) for one in verdict.sections
    )
    notes = " ".join(_notes(check, sign))
    return f"{plate}<table width='100%'><tr>{head}</tr>{rows}</table><p class='small'>{notes}</p>"


def _row(verdict: SectionVerdict, taking: SectionCheck | None, record: Record, sign: str) -> str:
    section = verdict.section
    chance = verdict.conformance_probability
    last = taking.taken[-1] if taking is not None and taking.taken else None
    taken = "–"
    if last is not None:
        taken = f"{record.clock(last.time_ns):%H:%M:%S}" + (", by hand" if last.by_hand else "")
    cells = (
        "both terminals" if section.name == "single" else section.name,
        f"{exact_text(section.rated_si, section.unit)} {section.unit}"
        if section.rated_si is not None
        else "range",
        limits_text(section) or "–",
        reading_words(verdict),
        probability_words(chance) if chance is not None else "–",
    )
    shown = "".join(_cell(escape(with_sign(cell, sign))) for cell in (*cells, taken))
    shape = _shape(verdict.verdict, tone_colour(verdict.verdict), _PAPER, 16)
    return f"<tr>{shown}{_cell(f'{shape} {_word(verdict.verdict)}')}</tr>"


def _cell(content: str) -> str:
    return f"<td class='figure'>{_BELONGS.sub('&nbsp;', content)}</td>"


def _notes(check: PartCheck, sign: str) -> list[str]:
    rating = check.rating
    source = "from the label" if rating.tolerance_from == "label" else "told by the user"
    notes = [f"Label: {escape(rating.text)}."]
    notes.append(f"Tolerance: {escape(with_sign(rating.tolerance, sign))}, {source}.")
    meter = escape(check.accuracy.text) if check.accuracy else "not known"
    notes.append(f"Accuracy of the meter: {meter}. U: expanded uncertainty, k = 2.")
    notes.append(f"Decision rule: {_RULE[check.rule]}.")
    if check.lead_offset_si:
        offset = with_sign(exact_text(check.lead_offset_si, "µF"), sign)
        notes.append(f"The open leads read {offset} µF, which was taken off.")
    decided = check.verdict.verdict if check.verdict is not None else None
    for one in check.verdict.sections if check.verdict is not None else ():
        # What decides stands on the plate; what is plainly good needs no reason.
        if one.verdict not in (decided, Word.PASS):
            notes.append(escape(f"{one.section.name}: {with_sign(why(one), sign)}"))
    for each in check.sections:
        if len(each.taken) > 1:
            earlier = ", ".join(with_sign(reading_words(t.verdict), sign) for t in each.taken[:-1])
            notes.append(escape(f"{each.section.name} was taken {len(each.taken)} times; the last "
                                f"one counts. Earlier: {earlier}."))  # fmt: skip
    return notes


def _word(word: Word) -> str:
    return escape(verdict_word(word).capitalize())


def _shape(word: Word, ink: str, ground: str, size: int) -> str:
    code = base64.b64encode(verdict_svg(word, ink, ground).encode()).decode("ascii")
    source = f"data:image/svg+xml;base64,{code}"
    return (
        f"<img alt='' style='vertical-align:middle' width='{size}' height='{size}' src='{source}'>"
    )
