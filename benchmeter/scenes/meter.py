"""Part or meter: what parts of known value say about the meter."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from benchmeter.checking.bias_offer import BiasOffer, OfferReason, accept, offer
from benchmeter.checking.meter_history import ReferenceHistory
from benchmeter.checking.reference_check import reference_command, reference_text
from benchmeter.conformity.calibration import Due, due_state
from benchmeter.conformity.instrument_bias import MeterBias
from benchmeter.conformity.reference_part import MeterVerdict, ReferencePart
from benchmeter.errors import InputError, Message
from benchmeter.readings.inputs import AcceptBias
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

__all__ = [
    "METER_TONE",
    "KnownPart",
    "MeterAct",
    "MeterScene",
    "MeterState",
    "kept_part",
    "known_parts",
    "meter_icon",
    "meter_scene",
]

_LATE = (Due.SOON, Due.OVERDUE)
METER_TONE = {
    MeterVerdict.AGREES: "good",
    MeterVerdict.DIFFERS: "bad",
    MeterVerdict.CANNOT_TELL: "undecided",
}
"""Purpose in the palettes; word and shape say it first."""


class MeterState(StrEnum):
    """What is known of the meter."""

    LOOKING = "looking"
    NO_PART = "no part"  # of known value is in the list
    NOT_READ = "not read"  # the chosen part, with this meter
    READ = "read"
    WRITING = "writing"  # one more part is being described


class MeterAct(StrEnum):
    """The actions, in the order of their buttons."""

    READ = "read"
    BIAS = "bias"
    ADD = "add"
    BACK = "back"


@dataclass(frozen=True, slots=True)
class KnownPart:
    """A part of known value, its history with this meter, and whether it is in the list."""

    part: ReferencePart
    history: ReferenceHistory | None
    listed: bool = True


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

    state: MeterState
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


@dataclass(frozen=True, slots=True)
class _Asked:
    """A part that is looked at, and what is asked about it."""

    view: SessionView
    known: KnownPart
    channel: str

    @property
    def tell(self) -> Presentation:
        return self.view.presentation

    @property
    def taken(self) -> MeterBias | None:
        """What is taken off this meter's readings by this part."""
        part = self.known.part
        mine = (b for b in self.view.biases if b.channel == self.channel)
        named = (b for b in mine if b.reference.name == part.name)
        return next((b for b in named if b.reference.quantity is part.quantity), None)

    @property
    def offered(self) -> BiasOffer | None:
        """What may be taken off, or why nothing; None before the first reading."""
        return offer(self.known.history) if self.known.history is not None else None

    @property
    def can_take_off(self) -> bool:
        offered = self.offered
        clear = offered is not None and offered.reason is OfferReason.CLEAR
        return clear and self.taken is None


def meter_icon(word: MeterVerdict) -> str:
    """Name of the shape: a meter with a sign in it, unlike that of any part."""
    return word.value.replace(" ", "-")


def known_parts(found: MeterFound) -> tuple[KnownPart, ...]:
    """The parts of the list, then those that were read once and are in it no more."""
    histories = list(found.record.histories) if found.record is not None else []

    def of(part: ReferencePart) -> ReferenceHistory | None:
        mine = (h for h in histories if h.name == part.name)
        return next((h for h in mine if h.reference.quantity is part.quantity), None)

    listed = tuple(KnownPart(part, of(part)) for part in found.parts)
    shown = [known.history for known in listed]
    gone = (KnownPart(h.reference, h, listed=False) for h in histories if h not in shown)
    return (*listed, *gone)


def kept_part(found: MeterFound, name: str) -> int:
    """Place of the part of that name; 0 where there is none."""
    names = [known.part.name for known in known_parts(found)]
    return names.index(name) if name in names else 0


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
            MeterScene(MeterState.LOOKING, following, _actions(view, None)), view, writing
        )
    meter = view.roles.part_meter
    channel = meter.name if meter is not None else ""
    due = view.setup.calibration_due(channel)
    parts = known_parts(found)
    known = parts[chosen] if 0 <= chosen < len(parts) else None
    asked = None if known is None else _Asked(view, known, channel)
    scene = MeterScene(
        MeterState.NO_PART,
        tell.text("page_meter.adds_part_whose_value"),
        _actions(view, asked),
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
    return replace(scene, state=MeterState.WRITING, next_step=following)


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


def _of_part(scene: MeterScene, asked: _Asked) -> MeterScene:
    tell, part, history = asked.tell, asked.known.part, asked.known.history
    following = _following(asked)
    offered, takes_off = _offered(asked)
    if history is None:
        return replace(
            scene,
            state=MeterState.NOT_READ,
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
        state=MeterState.READ,
        next_step=following,
        answer=meter_in_words(last.compatibility.verdict, tell),
        why=f"{last.compatibility.read_on}: {why}",
        history=history,
        chart=_chart_words(history, tell),
        bias=tell.text("page_meter.bias_words", words=bias_words(history, tell)),
        offered=offered,
        takes_off=takes_off,
    )


def _following(asked: _Asked) -> str:
    name = asked.known.part.name
    can_read = asked.view.acts and asked.known.listed
    if can_read and asked.can_take_off:
        return asked.tell.text("page_meter.x_takes_bias_off", part=name)
    if can_read:
        return asked.tell.text("page_meter.return_reads_part_have", part=name)
    return asked.tell.text("page_meter.choose_part_arrow_keys")


def _offered(asked: _Asked) -> tuple[str, bool]:
    """What is said of a bias, and whether one is taken off."""
    if asked.taken is not None:
        return bias_taken_words(asked.taken, asked.tell), True
    return (offer_words(asked.offered, asked.tell) if asked.offered is not None else ""), False


def _chart_words(history: ReferenceHistory, tell: Presentation) -> str:
    count = len(history.chart.points)
    one, many = "page_meter.n1_reading", "page_meter.n_readings"
    read = tell.text(one) if count == 1 else tell.text(many, n=count)
    return tell.text("page_meter.read_limits_words", read=read, words=chart_words(history, tell))


# --- actions -----------------------------------------------------------------------------------


def _actions(view: SessionView, asked: _Asked | None) -> Mapping[MeterAct, Offer]:
    text = view.presentation.text
    return {
        MeterAct.READ: _read(view, asked),
        MeterAct.BIAS: _bias(view, asked),
        MeterAct.ADD: Offer(text("page_meter.another_known_part"), primary=asked is None),
        MeterAct.BACK: Offer(text("page_meter.back_part")),
    }


def _read(view: SessionView, asked: _Asked | None) -> Offer:
    text = view.presentation.text
    read = Offer(text("page_meter.read_part"), primary=asked is not None)
    if asked is None:
        return replace(read, why_not=text("page_meter.adds_part_whose_value"))
    if not view.acts:
        return replace(read, why_not=text("window.nothing_being_recorded_so"))
    if not asked.known.listed:
        return replace(read, why_not=text("page_meter.list_no_more"))
    try:
        command = reference_command(
            asked.known.part, view.today, accuracy=view.meter_accuracy, channel=asked.channel
        )
    except InputError as refused:
        return replace(read, notice=view.presentation.tell(refused))
    return replace(read, command=command)


def _bias(view: SessionView, asked: _Asked | None) -> Offer:
    tell = view.presentation
    taken = asked.taken if asked is not None else None
    take, put_back = "page_meter.take_bias_off", "page_meter.take_nothing_off_any"
    bias = Offer(tell.text(take if taken is None else put_back))
    if not view.acts:
        return replace(bias, why_not=tell.text("window.nothing_being_recorded_so"))
    if taken is not None:
        told = tell.tell(Message("page_meter.from_next_part_nothing"))
        return replace(bias, command=_put_back(taken), notice=told)
    if asked is None or asked.offered is None or not asked.can_take_off:
        return replace(bias, why_not=tell.text("page_meter.nothing_to_take_off"))
    told = tell.tell(Message("page_meter.from_next_part_bias"))
    return replace(bias, command=accept(asked.offered, channel=asked.channel), notice=told)


def _put_back(taken: MeterBias) -> AcceptBias:
    """A bias of 0 takes an earlier one back."""
    return AcceptBias(
        time_ns=0,
        channel=taken.channel,
        bias_si=taken.bias_si * 0,
        uncertainty_si=taken.expanded_uncertainty_si * 0,
        reference=reference_text(taken.reference),
    )


_EXAMPLE = """

[[part]]
name = "R45"
value = "45.02 µF"
uncertainty = "0.09 µF"
date = 2026-01-10
from = "certificate 4711 of the calibration laboratory"
due = 2027-01-10"""
