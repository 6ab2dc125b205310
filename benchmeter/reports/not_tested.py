"""What a session leaves open: said on the page, so that silence is never taken for "good"."""

import math
from decimal import Decimal

from benchmeter.checking.check import PartCheck, begin_check
from benchmeter.checking.commands import BeginCheck
from benchmeter.conformity.verdict import Verdict
from benchmeter.errors import InputError
from benchmeter.links.instruments.setup import Role
from benchmeter.parts.part_kind import Subject
from benchmeter.readings.events import EventKind
from benchmeter.record.store import Store
from benchmeter.reports.session_record import ChannelRecord, Record
from benchmeter.words.parts import part_label
from benchmeter.words.presentation import PLAIN, Presentation
from benchmeter.words.verdicts import why

__all__ = ["not_tested", "unjudged_parts"]

_TESTED_BY = {
    "not_tested.capacitors": {
        *("run-capacitor", "run-capacitor-under-load", "run-capacitor-dual-under-load"),
        "start-capacitor",
    },
    "not_tested.compressor": {"compressor-single-phase", "compressor-three-phase"},
    "not_tested.motors": {
        *("motor-single-phase", "motor-single-phase-running"),
        *("motor-three-phase", "motor-three-phase-running"),
        *("motor-electronic", "motor-electronic-running", "evaporator-fan", "inducer"),
    },
    "not_tested.contactors": {
        *("contactor", "contactor-one-pole", "contactor-three-pole", "relay"),
        *("contactor-under-load", "contactor-one-pole-under-load"),
        "contactor-three-pole-under-load",
    },
    "not_tested.controls": {"control-circuit"},
    "not_tested.sensors": {"sensor-ntc", "sensor-pt100", "sensor-thermocouple"},
    "not_tested.cut_outs": {
        *("pressure-cut-out", "pressure-cut-out-low", "pressure-switch-draft", "switch"),
        *("temperature-cut-out", "temperature-cut-out-low"),
    },
}
"""Parts of a unit, and the kinds that are such parts; no other kind says anything of them."""

_NEVER_TESTED = (
    *("not_tested.charge", "not_tested.tightness", "not_tested.airflow"),
    *("not_tested.capacity", "not_tested.earthing"),
)


def not_tested(record: Record, presentation: Presentation = PLAIN) -> tuple[str, ...]:
    """What was not measured, a sentence each; the last one bounds the whole page."""
    text = presentation.text
    sentences = [s for check in record.part_checks() for s in _of_part(check, presentation)]
    of_a_part = any(check.residual is not None for check in record.part_checks())
    if not (of_a_part or _measured(record, Role.RESIDUAL)):
        sentences.append(text("not_tested.residual"))
    if not _measured(record, Role.DISCHARGE):
        sentences.append(text("not_tested.discharge"))
    elif not _measured(record, Role.OUTDOOR):
        sentences.append(text("not_tested.outdoor"))
    sentences.append(text("not_tested.of_the_unit", names=_of_the_unit(record, presentation)))
    sentences.append(text("not_tested.nothing_else"))
    return tuple(sentences)


def unjudged_parts(
    store: Store, record: Record, presentation: Presentation = PLAIN
) -> tuple[str, ...]:
    """Parts that were begun and got no verdict, a sentence each. Reads the whole stream."""
    checks = record.part_checks()
    numbers = {check.number for check in checks}
    known = {(check.part, check.rating.kind, check.rating.text) for check in checks}
    sentences: list[str] = []
    number = 1
    for item in store.inputs(record.summary.id):
        if not isinstance(item, BeginCheck):
            continue
        try:
            begun = begin_check(number, item, Decimal(0))
        except InputError:  # it was refused on the day, too: no check began
            continue
        number += 1
        if begun.reference is not None:  # it asked the meter
            continue
        named = bool(item.part.strip())
        judged = (
            (begun.part, begun.rating.kind, begun.rating.text) in known
            if named
            else begun.number in numbers
        )
        if not judged:
            label = part_label(begun.rating, begun.kind)
            sentences.append(presentation.text("not_tested.part", part=begun.part, label=label))
    return tuple(dict.fromkeys(sentences))


def _of_the_unit(record: Record, presentation: Presentation) -> list[str]:
    """What of a unit nothing here says anything of, by name."""
    judged = [check.kind for check in record.part_checks() if check.verdict is not None]
    names = {kind.name for kind in judged}
    left = [code for code, kinds in _TESTED_BY.items() if not names & kinds]
    measured = (
        kind.measure_of(section.section.name)
        for check in record.part_checks()
        for kind in [check.kind]
        for section in check.sections
        if section.taken
    )
    if not any(m.subject is Subject.SUPPLY for m in measured):
        left.append("not_tested.supply")
    return [presentation.text(code) for code in (*left, *_NEVER_TESTED)]


def _of_part(check: PartCheck, presentation: Presentation) -> list[str]:
    """Sections without a value that says something of the part."""
    sentences = []
    for each in check.sections:
        single = each.section.name == "single"
        what = check.part if single else f"{check.part}, {each.section.name}"
        if not each.taken:
            sentences.append(presentation.text("not_tested.section", what=what))
        elif (last := each.taken[-1].verdict).verdict is Verdict.NO_READING:
            said = why(last, presentation)
            sentences.append(presentation.text("not_tested.no_reading", what=what, why=said))
    return sentences


def _measured(record: Record, role: Role) -> bool:
    typed = any(e.kind is EventKind.TYPED and e.subject == role.value for e in record.events)
    return typed or any(_has_value(c) for c in record.channels if c.role is role)


def _has_value(channel: ChannelRecord) -> bool:
    return any(math.isfinite(value) for value in channel.samples.value)
