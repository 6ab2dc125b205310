"""Checks of parts of other kinds, for tests and pictures: typed readings, really judged."""

from dataclasses import replace
from pathlib import Path
from tempfile import gettempdir

from benchmeter.checking.part_check import MeasurementCheck, PartCheck, Step, TakenReading
from benchmeter.checking.typed_reading import parse_typed
from benchmeter.conformity.accuracy import parse_accuracy
from benchmeter.conformity.judgement import (
    judge_measurement,
    without_value,
)
from benchmeter.conformity.verdict import Accuracy, Measurement, MeasurementVerdict, Rule
from benchmeter.files.folders import Folders
from benchmeter.parts.kind_catalogue import load_part_kind
from benchmeter.parts.part_verdict import verdict_on_part
from benchmeter.parts.rating import rate
from tests.fakes.bench_states import SECOND, new_check

METER = (
    "capacitance 1.2 % + 2 x 0.01 uF; resistance 0.5 % + 2 x 0.1 ohm; AC voltage 1 % + 3 x 0.1 V; "
    "AC current 2 % + 5 x 0.01 A"
)


def kind_named(name: str):
    return load_part_kind(name, Folders(Path(gettempdir()) / "none"))


def kind_check(
    name: str, label: str, readings: dict[str, str], *, step: Step = Step.CLIP_ON, number: int = 1
) -> PartCheck:
    """A check of that kind in which these readings have been taken, by name of the measurement.

    It is judged if none is missing. Temperatures and pressures are typed with their unit.
    """
    kind, accuracy = kind_named(name), parse_accuracy(METER, "")
    rating = rate(kind, label)
    sections = tuple(
        MeasurementCheck(section, _taken(section, place, readings.get(section.name), accuracy))
        for place, section in enumerate(rating.sections, 1)
    )
    missing = [s.section.name for s in sections if not s.taken]
    verdict = None
    if not missing:
        found = [s.taken[-1].verdict for s in sections]
        verdict = verdict_on_part(kind, rating, found, accuracy, rule=Rule.GUARDED)
    return replace(
        new_check(number, "old part"),
        kind=kind,
        rating=rating,
        accuracy=accuracy,
        sections=sections,
        expected=missing[0] if missing else None,
        step=step if missing else Step.DONE,
        verdict=verdict,
    )


def _taken(
    section: Measurement, place: int, text: str | None, accuracy: Accuracy
) -> tuple[TakenReading, ...]:
    if text is None:
        return ()
    return (TakenReading(4 * place * SECOND, False, _judged(section, text, accuracy), text),)


def _judged(section: Measurement, text: str, accuracy: Accuracy) -> MeasurementVerdict:
    typed = parse_typed(text, section)
    if typed.reason is not None or typed.value_si is None:
        assert typed.reason is not None
        return without_value(section, typed.reason)
    return judge_measurement(
        section,
        [typed.value_si],
        resolution_si=typed.resolution_si,
        accuracy=accuracy,
        rule=Rule.GUARDED,
    )
