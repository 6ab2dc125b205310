"""The bench: is this part good?"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from benchmeter.checking.commands import BeginCheck
from benchmeter.checking.part_check import PartCheck
from benchmeter.checking.reference_check import word_of
from benchmeter.conformity.instrument_bias import MeterBias
from benchmeter.conformity.judgement import WORST_FIRST
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.channel_status import ChannelStatus
from benchmeter.scenes.bench_action_scene import Act, bench_actions
from benchmeter.scenes.bench_next import bench_next
from benchmeter.scenes.bench_state import BenchOpened, BenchState, bench_state, state_beneath
from benchmeter.scenes.carton import CartonScene, carton_scene
from benchmeter.scenes.lead_plan import LeadPlan, lead_plan_of
from benchmeter.scenes.offer import Offer
from benchmeter.scenes.session_view import Activity, SessionView
from benchmeter.session.acquisition.channel_state import ChannelState
from benchmeter.words.kinds import cautions_of_step
from benchmeter.words.meters import bias_taken_words
from benchmeter.words.presentation import Presentation
from benchmeter.words.verdicts import verdict_word

__all__ = ["BenchScene", "FormOffer", "LiveReading", "begun_by_form", "bench_scene", "live_reading"]

_LIVE = (ChannelStatus.MOVING, ChannelStatus.SETTLED)
_MOST_RULERS = 2


@dataclass(frozen=True, slots=True)
class FormOffer:
    """What the form for the next part begins with.

    Attributes:
        part: a name for it.
        accuracy: the meter's lines; "" if not known.
        lot: the carton that is open; "" none.
        tested: own numbers of the parts that were tested, by carton.
        can_go_back: there is a check to go back to.
    """

    part: str
    accuracy: str
    lot: str
    tested: Mapping[str, tuple[str, ...]]
    can_go_back: bool


@dataclass(frozen=True, slots=True)
class LiveReading:
    """The reading of the moment.

    Attributes:
        state: of the channel that the part is measured by; None: nothing is connected.
        quantity: what is expected of it.
        ruler_si: the value on the ruler of the expected section; None where what is shown is
            none of it: old, or of another quantity.
    """

    state: ChannelState | None
    quantity: Quantity
    ruler_si: float | None


@dataclass(frozen=True, slots=True)
class BenchScene:
    """What the bench shows.

    Attributes:
        state: the one state that it is in.
        beneath: the state that Esc comes back to from what stands in its place.
        check: the part in hand.
        plate_on: the day of the verdict's words; `date.min`: of a record, whenever that was.
        bias_note: that less is judged than the meter shows; "" nothing is taken off.
        cautions: what can hurt at the measurement that comes next.
        leads: where they go; None: nothing is drawn.
        rulers: the sections whose rulers are shown.
        done: the parts of the session, the latest first; empty: not shown.
        carton: the one that is open; None: none, or nothing can be done.
        keys_to_form: a person who comes to the bench types into the form at once.
    """

    state: BenchState
    beneath: BenchState
    next_step: str
    actions: Mapping[Act, Offer]
    check: PartCheck | None = None
    plate_on: date = date.min
    bias_note: str = ""
    cautions: tuple[str, ...] = ()
    leads: LeadPlan | None = None
    rulers: frozenset[str] = frozenset()
    done: tuple[str, ...] = ()
    carton: CartonScene | None = None
    ways_to_begin: bool = False
    keys_to_form: bool = False

    @property
    def part(self) -> int:
        """Number of the part in hand; 0 none."""
        return self.check.number if self.check is not None else 0


def bench_scene(view: SessionView, opened: BenchOpened, aside_next: str = "") -> BenchScene:
    """The bench as it is to be drawn.

    Args:
        aside_next: what to do next at what stands in place of the part in hand.
    """
    beneath = state_beneath(view, opened)
    state = bench_state(view, opened)
    carton_open = opened.carton_open(view.check)
    check = view.check
    return BenchScene(
        state=state,
        beneath=beneath,
        next_step=aside_next if state.aside else bench_next(view, opened, beneath),
        actions=bench_actions(view, opened, beneath),
        check=check,
        plate_on=date.min if view.activity is Activity.REPLAY else view.today,
        bias_note=_bias_note(view),
        cautions=_cautions(check, beneath, view.presentation),
        leads=_leads(check, beneath, view.presentation),
        rulers=_rulers(check),
        done=() if carton_open else _done(view),
        carton=carton_scene(view, opened.place) if carton_open and view.acts else None,
        ways_to_begin=view.activity is Activity.ENDED,
        keys_to_form=beneath is BenchState.FORM and view.activity is Activity.LIVE,
    )


def live_reading(view: SessionView) -> LiveReading:
    """The reading of the moment; cheap, for each batch of readings."""
    state, check = view.part_state, view.check
    told = state.quantity if state is not None else None
    section = check.section if check is not None else None
    ruler_si = None
    if state is not None and state.reading is not None and state.state in _LIVE:
        wanted = section.quantity if section is not None else told
        ruler_si = state.reading.value if told in (None, wanted) else None
    return LiveReading(state, told or Quantity.CAPACITANCE, ruler_si)


def form_offer(view: SessionView, opened: BenchOpened) -> FormOffer:
    """What the form begins with when it is opened."""
    number, tell = len(view.checks) + 1, view.presentation
    tested: dict[str, tuple[str, ...]] = {}
    for check in view.checks:
        if check.lot:
            tested[check.lot] = (*tested.get(check.lot, ()), check.part)
    in_carton = opened.carton_open(view.check)
    return FormOffer(
        part=tell.text("page_bench.old_part")
        if number == 1
        else tell.text("page_bench.part_number", number=number),
        accuracy=view.meter_accuracy,
        lot=view.check.lot if view.check is not None and in_carton else "",
        tested=tested,
        can_go_back=view.check is not None,
    )


def begun_by_form(view: SessionView, typed: BeginCheck) -> BeginCheck:
    """What a filled form sends: by the person's rule, with the bench's meter."""
    from msgspec.structs import replace

    return replace(typed, rule=view.rule, channel=view.roles.part_channel)


def _bias_note(view: SessionView) -> str:
    biases: tuple[MeterBias, ...] = view.biases if view.check is None else view.check.biases
    return " ".join(bias_taken_words(bias, view.presentation) for bias in biases)


def _cautions(check: PartCheck | None, beneath: BenchState, tell: Presentation) -> tuple[str, ...]:
    if check is None or check.section is None or beneath.answered:
        return ()
    return cautions_of_step(check.kind, check.measure(check.section), tell)


def _leads(check: PartCheck | None, beneath: BenchState, tell: Presentation) -> LeadPlan | None:
    """The label alone needs no drawing; nor does what is judged."""
    if check is None or not check.kind_named or beneath.answered:
        return None
    return lead_plan_of(check, tell)


def _rulers(check: PartCheck | None) -> frozenset[str]:
    """Of many sections the one that is measured; once judged, the worst with limits."""
    if check is None:
        return frozenset()
    names = [s.section.name for s in check.sections]
    if len(names) <= _MOST_RULERS:
        return frozenset(names)
    if check.verdict is None:
        return frozenset(name for name in names if name == check.expected)
    limited = [s for s in check.verdict.sections if s.section.low_si or s.section.high_si]
    limited.sort(key=lambda s: WORST_FIRST.index(s.verdict))
    room = _MOST_RULERS - bool(check.verdict.conclusions)  # each has its line on the plate
    return frozenset(s.section.name for s in limited[:room])


def _done(view: SessionView) -> tuple[str, ...]:
    """The parts in a line each; one part alone needs no list."""
    if len(view.checks) < 2:
        return ()
    return tuple(_line(check, view.presentation) for check in reversed(view.checks))


def _line(check: PartCheck, presentation: Presentation) -> str:
    if check.reference is not None:
        return f"{check.number}  {check.part}  ·  {word_of(check) or '…'}"
    words = ", ".join(
        f"{s.section.name} {verdict_word(s.taken[-1].verdict.verdict, presentation)}"
        for s in check.sections
        if s.taken
    )
    return f"{check.number}  {check.part}  ·  {check.rating.text}  ·  {words or '…'}"
