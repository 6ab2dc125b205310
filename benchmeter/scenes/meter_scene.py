"""Part or meter: what parts of known value say about the meter."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from benchmeter.checking.meter_history import ReferenceHistory
from benchmeter.conformity.calibration import Due, due_state
from benchmeter.conformity.reference_part import MeterVerdict
from benchmeter.scenes.meter_actions import MeterAct, meter_actions
from benchmeter.scenes.meter_parts import AskedPart, KnownPart, known_parts
from benchmeter.scenes.offer import Offer, ShapedLine
from benchmeter.scenes.session_view import SessionView
from benchmeter.tasks.known_parts import MeterFound
from benchmeter.words.meters import (
    agreement_why,
    bias_taken_words,
    bias_words,
    chart_words,
    due_words,
    meter_in_words,
    meter_words,
    offer_words,
    reference_words,
)
from benchmeter.words.presentation import Presentation

__all__ = ["METER_TONE", "MeterScene", "MeterSceneState", "meter_icon", "meter_scene"]

_LATE = (Due.SOON, Due.OVERDUE)
METER_TONE = {
    MeterVerdict.AGREES: "good",
    MeterVerdict.DIFFERS: "bad",
    MeterVerdict.CANNOT_TELL: "undecided",
}
"""Purpose in the palettes; word and shape say it first."""


class MeterSceneState(StrEnum):
    """What is known of the meter."""

    LOOKING = "looking"
    NO_PART = "no part"  # of known value is in the list
    NOT_READ = "not read"  # the chosen part, with this meter
    READ = "read"
    WRITING = "writing"  # one more part is being described


@dataclass(frozen=True, slots=True)
class MeterScene:
    """What is shown in place of the part in hand.

    Attributes:
        meter: which meter it is, and until when it is in calibration.
        late: that is soon over, or is over.
        chosen: place of the part that is looked at.
        history: of that part, drawn as a chart; None: it was not read yet.
        offered: what may be taken off, or what is.
        takes_off: something is taken off.
        faults: what of the list cannot be used.
    """

    state: MeterSceneState
    next_step: str
    actions: Mapping[MeterAct, Offer]
    meter: str = ""
    late: bool = False
    answer: str = ""
    why: str = ""
    lines: tuple[ShapedLine, ...] = ()
    chosen: int = 0
    history: ReferenceHistory | None = None
    chart: str = ""
    bias: str = ""
    offered: str = ""
    takes_off: bool = False
    faults: tuple[str, ...] = ()


def meter_icon(word: MeterVerdict) -> str:
    """Name of the shape: a meter with a sign in it, unlike that of any part."""
    return word.value.replace(" ", "-")


def meter_scene(
    view: SessionView, found: MeterFound | None, chosen: int, *, writing: bool = False
) -> MeterScene:
    """What is known of the meter, as it is to be drawn.

    Args:
        found: None: it is still being looked up.
        chosen: place of the part that a person looks at.
        writing: the form for one more part is open.
    """
    tell = view.presentation
    if found is None:
        following = tell.text("page_meter.one_moment")
        return _written(
            MeterScene(MeterSceneState.LOOKING, following, meter_actions(view, None)), view, writing
        )
    meter = view.roles.part_meter
    channel = meter.name if meter is not None else ""
    due = view.setup.calibration_due(channel)
    parts = known_parts(found)
    known = parts[chosen] if 0 <= chosen < len(parts) else None
    asked = None if known is None else AskedPart(view, known, channel)
    scene = MeterScene(
        MeterSceneState.NO_PART,
        tell.text("page_meter.adds_part_whose_value"),
        meter_actions(view, asked),
        meter=_meter_line(found, due, view),
        late=due_state(due, view.today) in _LATE,
        answer=tell.text("page_meter.part_or_meter"),
        why=tell.text("page_meter.read_part_whose_value", path=str(found.path)) + _EXAMPLE,
        faults=tuple(str(tell.tell(fault)) for fault in found.broken),
    )
    if asked is not None:
        lines = tuple(_line(known, view) for known in parts)
        scene = replace(_of_part(scene, asked), lines=lines, chosen=chosen)
    return _written(scene, view, writing)


def _written(scene: MeterScene, view: SessionView, writing: bool) -> MeterScene:
    if not writing:
        return scene
    following = view.presentation.text("page_meter.type_what_certificate_says")
    return replace(scene, state=MeterSceneState.WRITING, next_step=following)


def _meter_line(found: MeterFound, due: date | None, view: SessionView) -> str:
    tell = view.presentation
    who = meter_words(found.record.meter, tell) if found.record is not None else ""
    return " · ".join(filter(None, (who, due_words(due, view.today, tell))))


def _line(known: KnownPart, view: SessionView) -> ShapedLine:
    tell, part = view.presentation, known.part
    words = [reference_words(part, tell)]
    if due_state(part.due, view.today) in _LATE:
        words.append(due_words(part.due, view.today, tell))
    if not known.listed:
        words.append(tell.text("page_meter.list_no_more"))
    shape, tone = "verdict-none", "faint_ink"
    if known.history is not None:
        word = known.history.comparisons[-1].compatibility.verdict
        shape, tone = meter_icon(word), METER_TONE[word]
    return ShapedLine("\n".join(words), shape, tone)


def _of_part(scene: MeterScene, asked: AskedPart) -> MeterScene:
    tell, part, history = asked.tell, asked.known.part, asked.known.history
    following = _following(asked)
    offered, takes_off = _offered(asked)
    if history is None:
        return replace(
            scene,
            state=MeterSceneState.NOT_READ,
            next_step=following,
            answer=tell.text("page_meter.not_read_meter_yet"),
            why=tell.text("page_meter.read_part_if_were", part=part.name),
            offered=offered,
            takes_off=takes_off,
        )
    last = history.comparisons[-1]
    why = agreement_why(last.compatibility, last.resolution_si, tell)
    return replace(
        scene,
        state=MeterSceneState.READ,
        next_step=following,
        answer=meter_in_words(last.compatibility.verdict, tell),
        why=f"{last.compatibility.read_on}: {why}",
        history=history,
        chart=_chart_words(history, tell),
        bias=tell.text("page_meter.bias_words", words=bias_words(history, tell)),
        offered=offered,
        takes_off=takes_off,
    )


def _following(asked: AskedPart) -> str:
    name = asked.known.part.name
    can_read = asked.view.acts and asked.known.listed
    if can_read and asked.can_take_off:
        return asked.tell.text("page_meter.x_takes_bias_off", part=name)
    if can_read:
        return asked.tell.text("page_meter.return_reads_part_have", part=name)
    return asked.tell.text("page_meter.choose_part_arrow_keys")


def _offered(asked: AskedPart) -> tuple[str, bool]:
    """What is said of a bias, and whether one is taken off."""
    if asked.taken is not None:
        return bias_taken_words(asked.taken, asked.tell), True
    return (offer_words(asked.offered, asked.tell) if asked.offered is not None else ""), False


def _chart_words(history: ReferenceHistory, tell: Presentation) -> str:
    count = len(history.chart.points)
    one, many = "page_meter.n1_reading", "page_meter.n_readings"
    read = tell.text(one) if count == 1 else tell.text(many, n=count)
    return tell.text("page_meter.read_limits_words", read=read, words=chart_words(history, tell))


_EXAMPLE = """

[[part]]
name = "R45"
value = "45.02 µF"
uncertainty = "0.09 µF"
date = 2026-01-10
from = "certificate 4711 of the calibration laboratory"
due = 2027-01-10"""
