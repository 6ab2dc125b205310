"""The check of one part, section by section, as the readings come in.

A fold: each function takes a check and gives the next one. A section is taken by itself when its
reading has settled, is not on its way to a limit, looks like that section, and the leads have been
seen lifted since the section before; everything else is taken by hand only.
"""

from dataclasses import replace
from decimal import Decimal

from benchmeter.checking.commands import BeginCheck
from benchmeter.checking.leads import (
    armed,
    watch_leads,
)
from benchmeter.checking.meter_state import MeterState
from benchmeter.checking.next_step import (
    by_probe,
    may_reach_limit,
    next_step,
    other_function,
    readings_of,
)
from benchmeter.checking.part_check import MeasurementCheck, PartCheck, Step, TakenReading
from benchmeter.checking.reference_check import rate_reference, reference_kind
from benchmeter.checking.safety import PartSafety
from benchmeter.checking.typed_reading import parse_typed
from benchmeter.conformity.accuracy import parse_accuracy
from benchmeter.conformity.instrument_bias import MeterBias, bias_for
from benchmeter.conformity.judgement import judge_measurement, mean_si, without_value
from benchmeter.conformity.lead_offset import LeadOffsets, refuse_lead_offset, refuse_ohm_offset
from benchmeter.conformity.verdict import (
    Budget,
    Measurement,
    MeasurementVerdict,
    Reason,
    Rule,
    Verdict,
)
from benchmeter.errors import InputError
from benchmeter.parts.by_label import rate_label, told_by_label
from benchmeter.parts.conclusion import (
    PartVerdict,
)
from benchmeter.parts.part_verdict import decides, verdict_on_part
from benchmeter.parts.rating import rate
from benchmeter.parts.seen import seen_in
from benchmeter.readings.channel_status import ChannelStatus

__all__ = [
    "MeasurementCheck",
    "MeterState",
    "PartCheck",
    "Step",
    "TakenReading",
    "begin_check",
    "follow",
    "left",
    "repeat",
    "see_safety",
    "select",
    "take_by_hand",
    "typed",
    "why_not_taken",
]

_REASON_OF_STATE = {
    ChannelStatus.WAITING: Reason.STALE,
    ChannelStatus.STALE: Reason.STALE,
    ChannelStatus.LOST: Reason.STALE,
    ChannelStatus.WRONG_FUNCTION: Reason.WRONG_FUNCTION,
    ChannelStatus.OVERLOAD: Reason.OVERLOAD,
    ChannelStatus.NO_CONTACT: Reason.NO_CONTACT,
    ChannelStatus.NO_VALUE: Reason.NO_VALUE,
    ChannelStatus.MOVING: Reason.STILL_MOVING,
}


_BAD = (Verdict.CONDITIONAL_FAIL, Verdict.FAIL, Verdict.OPEN, Verdict.SHORTED)

_NO_OFFSETS = LeadOffsets()


def begin_check(
    number: int,
    command: BeginCheck,
    lead_offset_si: Decimal,
    before: PartCheck | None = None,
    lead_offset_ohm: Decimal = Decimal(0),
    biases: tuple[MeterBias, ...] = (),
    lead_offset_u: LeadOffsets = _NO_OFFSETS,
) -> PartCheck:
    """A new check.

    Args:
        lead_offset_si: reading of the open leads, subtracted from every capacitance.
        lead_offset_ohm: reading of the joined leads, subtracted from every resistance.
        lead_offset_u: that holds the uncertainty of both.
        biases: of the meter, accepted. Of a reference part's reading none is taken off.
        before: the check that it follows. Unless the leads were seen lifted since its last
            taking, they may still be on that part: its readings never count for the new one.
            A check after the first one whose predecessor is not given waits for it too.

    Raises:
        ToleranceMissing: neither label nor command give a tolerance.
        InputError: label, tolerance, accuracy, rule, reference part or what is seen are not
            understood, or the lead offset is no reading of open leads.
    """
    reference = command.reference
    if reference is not None:
        kind, rating = reference_kind(reference), rate_reference(reference)
    elif command.kind is not None:
        kind = command.kind
        rating = rate(kind, command.label, command.tolerance)
    else:
        kind, rating = rate_label(command.label, command.tolerance)
    unit_kind = "capacitance" if told_by_label(kind) else ""
    accuracy = parse_accuracy(command.accuracy, unit_kind) if command.accuracy.strip() else None
    refuse_lead_offset(rating.sections, lead_offset_si)
    refuse_ohm_offset(lead_offset_ohm)
    whole = command.budget is Budget.WHOLE
    lifted = number == 1 if before is None else before.lifted or before.channel != command.channel
    check = PartCheck(
        number=number,
        part=command.part.strip() or f"part {number}",
        channel=command.channel,
        rating=rating,
        accuracy=accuracy,
        rule=_rule(command.rule),
        lead_offset_si=lead_offset_si,
        sections=tuple(MeasurementCheck(s) for s in rating.sections),
        expected=rating.sections[0].name,
        step=Step.CLIP_ON if lifted else Step.LIFT_LEADS,
        kind=kind,
        lot=command.lot.strip(),
        lead_offset_ohm=lead_offset_ohm,
        reference=reference,
        biases=() if reference is not None else biases,
        moved=lifted,
        lifted=lifted,
        seen=seen_in(command.seen, command.photo),
        budget=command.budget,
        lead_offset_u_si=lead_offset_u.farad_u if whole else 0.0,
        lead_offset_u_ohm=lead_offset_u.ohm_u if whole else 0.0,
    )
    if check.seen is None:
        return check
    return replace(check, expected=None, step=Step.DONE, verdict=_judged_so_far(check))


def follow(check: PartCheck, meter: MeterState) -> PartCheck:
    """Take in what the meter shows now; the same object if nothing has changed."""
    section = check.section
    if section is None or not by_probe(section):
        check = watch_leads(check, meter)
    if section is None:
        return check
    step = next_step(check, section, meter)
    if step is None:
        verdict = _judged(check, section, meter)
        if verdict.verdict is not Verdict.NO_READING:
            return _take(check, meter.time_ns, verdict, meter.text, False)
        step = Step.UNLIKELY  # below zero: else it would be taken again with each reading
    return check if step is check.step else replace(check, step=step)


def see_safety(check: PartCheck, seen: PartSafety) -> PartCheck:
    """What is known of the charge on the part has changed."""
    return replace(check, residual=seen.volts, supply=seen.supply)


def take_by_hand(check: PartCheck, meter: MeterState) -> PartCheck:
    """Take what the meter shows now for the expected section, whatever it is.

    A settled or suspect value is judged as it stands; anything else is a finding "no reading"
    with its reason.

    Raises:
        InputError: every section has been taken, or the part is charged: what a meter shows of it
            then is no finding.
    """
    check = watch_leads(check, meter)
    section = _section_to_take(check)
    _refuse_charged(check, section)
    return _take(check, meter.time_ns, _judged(check, section, meter), meter.text, True)


def why_not_taken(check: PartCheck) -> InputError | None:
    """What `take_by_hand` refuses the expected section for; None: it takes it."""
    try:
        _refuse_charged(check, _section_to_take(check))
    except InputError as refused:
        return refused
    return None


def typed(check: PartCheck, time_ns: int, text: str) -> PartCheck:
    """Take a reading that was typed in for the expected section.

    Raises:
        InputError: not a reading, every section has been taken, or the part is charged.
    """
    section = _section_to_take(check)
    _refuse_charged(check, section)
    reading = parse_typed(text, section)
    if reading.reason is not None or reading.value_si is None:
        verdict = without_value(section, reading.reason or Reason.NOT_MEASURED)
    else:
        # Read off whatever meter: a bias of this channel's says nothing about it.
        nobody = replace(check, biases=())
        verdict = _judge(nobody, section, (reading.value_si,), reading.resolution_si)
    # What was typed need not come from the meter of this channel: where the leads are is unknown.
    return replace(_take(check, time_ns, verdict, text.strip(), True), held_si=None)


def left(check: PartCheck) -> PartCheck:
    """The check when nobody measures on; the same object if that changes nothing.

    A part with a bad section is bad whatever the others are: that is its verdict. So is that of one
    of which all was measured that decides it. Of one whose sections were good so far nothing can be
    said.
    """
    if check.verdict is not None or not any(s.taken for s in check.sections):
        return check
    found = _judged_so_far(check)
    deciding = (s for s in check.sections if decides(check.kind, s.section))
    settled = found.verdict in _BAD or all(s.taken for s in deciding)
    return replace(check, verdict=found) if settled else check


def select(check: PartCheck, section: str) -> PartCheck:
    """Measure this section next; what was taken of it stays in the record and counts until then.

    Raises:
        InputError: the part has no such section.
    """
    names = {s.section.name.upper(): s.section.name for s in check.sections}
    name = names.get(section.strip().upper())
    if name is None:
        raise InputError("checking.no_such_section", section=section, sections=_names(check))
    chosen = replace(check, expected=name)
    return replace(chosen, step=Step.CLIP_ON if armed(chosen) else Step.LIFT_LEADS)


def repeat(check: PartCheck, section: str) -> PartCheck:
    """Measure this section again; as `select`."""
    return select(check, section)


def _rule(text: str) -> Rule:
    try:
        return Rule(text.strip().lower())
    except ValueError:
        rules = tuple(rule.value for rule in Rule)
        raise InputError("checking.no_rule", text=text, rules=rules) from None


def _names(check: PartCheck) -> tuple[str, ...]:
    return tuple(s.section.name for s in check.sections)


def _section_to_take(check: PartCheck) -> Measurement:
    section = check.section
    if section is None:
        raise InputError("checking.all_taken", sections=_names(check))
    return section


def _refuse_charged(check: PartCheck, section: Measurement) -> None:
    if not check.safety.seen_unsafe or not check.discharge_first(section):
        return
    if check.safety.live:
        raise InputError("checking.live")
    left = check.residual
    if left is None or left.residual_v is None:
        raise InputError("checking.unknown_volts_left")
    raise InputError("checking.volts_left", volts=left.residual_v)


def _judged(check: PartCheck, section: Measurement, meter: MeterState) -> MeasurementVerdict:
    reason = _REASON_OF_STATE.get(meter.state)
    if other_function(section, meter):
        reason = Reason.WRONG_FUNCTION
    elif may_reach_limit(check, section, meter):
        reason = Reason.STILL_MOVING
    if reason is not None or not readings_of(meter):
        return without_value(section, reason or Reason.NO_VALUE)
    return _judge(check, section, readings_of(meter), meter.resolution_si)


def _judge(
    check: PartCheck,
    section: Measurement,
    readings_si: tuple[Decimal, ...],
    resolution_si: Decimal | None,
) -> MeasurementVerdict:
    return judge_measurement(
        section,
        readings_si,
        resolution_si=resolution_si,
        accuracy=check.accuracy,
        rule=check.rule,
        lead_offset_si=check.offset_of(section),
        lead_offset_u_si=check.offset_u_of(section),
        budget=check.budget,
        bias=bias_for(check.biases, check.channel, section, mean_si(readings_si)),
    )


def _take(
    check: PartCheck, time_ns: int, verdict: MeasurementVerdict, text: str, by_hand: bool
) -> PartCheck:
    taken = TakenReading(time_ns, by_hand, verdict, text)
    sections = tuple(
        replace(s, taken=(*s.taken, taken)) if s.section == verdict.section else s
        for s in check.sections
    )
    here = next(s for s in sections if s.section == verdict.section)
    waiting = [here] if not here.finished else [s for s in sections if not s.finished]
    expected = waiting[0].section.name if waiting else None
    complete = all(s.taken for s in sections)
    after = replace(check, sections=sections, expected=expected)
    judged = _judged_so_far(after) if complete or check.seen is not None else None
    after = replace(after, verdict=judged)
    if not here.finished:
        return after
    return replace(
        after,
        step=Step.DONE if expected is None else Step.LIFT_LEADS,
        held_si=verdict.reading_si,
        moved=False,
        lifted=False,
        nothing_since=None,
    )


def _judged_so_far(check: PartCheck) -> PartVerdict:
    """The verdict over the last takings; what was not taken was not measured."""
    last = [
        s.taken[-1].verdict if s.taken else without_value(s.section, Reason.NOT_MEASURED)
        for s in check.sections
    ]
    return verdict_on_part(
        check.kind, check.rating, last, check.accuracy, rule=check.rule, seen=check.seen
    )
