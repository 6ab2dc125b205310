"""What stands on the plate of a judged part: word, shape, sentence, numbers."""

from dataclasses import dataclass, replace

from PySide6.QtCore import QCoreApplication

from benchmeter.checking.part_check import PartCheck
from benchmeter.conformity.verdict import (
    MeasurementVerdict,
    Reason,
    Verdict,
)
from benchmeter.parts.conclusion import (
    Conclusion,
    PartVerdict,
)
from benchmeter.parts.part_kind import PartKind
from benchmeter.reports.shapes import VERDICT_TONE
from benchmeter.window.theme.icons import verdict_icon
from benchmeter.words.parts import beside_words, part_why
from benchmeter.words.presentation import PLAIN, Presentation, capitalized
from benchmeter.words.verdicts import (
    limits_text,
    probability_words,
    reading_words,
    verdict_in_words,
    verdict_word,
)

__all__ = ["ConclusionText", "PlateText", "check_plate_text", "plate_text"]

_TELLS_CHANCE = (Reason.NEAR_LIMIT_INSIDE, Reason.NEAR_LIMIT_OUTSIDE)  # why it reads so tells it


@dataclass(frozen=True, slots=True)
class ConclusionText:
    """A line about what several sections say together: shape, tone, words."""

    icon: str
    tone: str
    words: str


@dataclass(frozen=True, slots=True)
class PlateText:
    """What stands on a plate. `tone`: a purpose of the palette."""

    icon: str
    tone: str
    word: str
    sentence: str
    numbers: tuple[str, ...] = ()
    judged: bool = True
    conclusions: tuple[ConclusionText, ...] = ()


def plate_text(
    verdict: PartVerdict, kind: PartKind, presentation: Presentation = PLAIN
) -> PlateText:
    """The words and figures of a judged part of that kind."""
    word = verdict_word(verdict.verdict, presentation)
    means = verdict_in_words(verdict.verdict, presentation)
    sentence = f"{means} {part_why(verdict, kind, presentation)}"
    return PlateText(
        verdict_icon(verdict.verdict),
        VERDICT_TONE[verdict.verdict],
        capitalized(word),
        sentence,
        tuple(_numbers(verdict, presentation)),
        conclusions=(
            *(
                ConclusionText(
                    verdict_icon(found.word),
                    VERDICT_TONE[found.word],
                    _concluded(found, kind, sentence, presentation),
                )
                for found in verdict.conclusions
            ),
            *(
                ConclusionText(
                    verdict_icon(Verdict.MEASURED),
                    VERDICT_TONE[Verdict.MEASURED],
                    f"{name}: {said}",
                )
                for name, said in beside_words(verdict, kind, presentation)
            ),
        ),
    )


def _numbers(verdict: PartVerdict, presentation: Presentation) -> list[str]:
    """A line a section; those without limits of their own share one."""
    lines = [
        _figures(s, presentation) for s in verdict.sections if s.verdict is not Verdict.MEASURED
    ]
    plain = [_figures(s, presentation) for s in verdict.sections if s.verdict is Verdict.MEASURED]
    return ["; ".join(plain), *lines] if plain else lines


def _concluded(
    conclusion: Conclusion, kind: PartKind, sentence: str, presentation: Presentation
) -> str:
    """Its value, and why, unless the plate's sentence says that."""
    from benchmeter.words.conclusion_words import conclusion_value, conclusion_why

    rule = next((r for r in kind.conclusions if r.name == conclusion.name), None)
    parts = [conclusion_value(conclusion, presentation)]
    reason = "" if rule is None else conclusion_why(conclusion, rule, presentation)
    if reason not in sentence:
        parts.append(reason)
    words = ". ".join(filter(None, parts)) or verdict_word(conclusion.word, presentation)
    return f"{conclusion.name}: {words}"


def _figures(verdict: MeasurementVerdict, presentation: Presentation) -> str:
    section = verdict.section
    name = "" if section.name == "single" else f"{section.name}: "
    reading = verdict_word(verdict.verdict, presentation)
    if verdict.reading_si is not None:
        reading = reading_words(verdict, presentation)
    parts = [reading]
    if limits := limits_text(section, presentation):
        shown = QCoreApplication.translate("VerdictPlate", "widgets.limits_limits")
        parts.append(shown.format(limits=limits))
    if verdict.conformance_probability is not None and verdict.reason not in _TELLS_CHANCE:
        chance = QCoreApplication.translate("VerdictPlate", "widgets.percent_chance_inside")
        percent = probability_words(verdict.conformance_probability, presentation)
        parts.append(chance.format(percent=percent))
    return name + ", ".join(parts)


def check_plate_text(
    check: PartCheck, verdict: PartVerdict, presentation: Presentation = PLAIN
) -> PlateText:
    """As `plate_text`, with what was taken off the readings of a check."""
    text = plate_text(verdict, check.kind, presentation)
    if not check.biases:
        return text
    from benchmeter.words.meters import bias_notes

    return replace(text, numbers=(*text.numbers, *bias_notes(check, presentation)))
