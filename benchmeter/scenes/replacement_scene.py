"""What may replace the part in hand: the stock list against it, best first."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum

from benchmeter.checking.commands import BeginCheck
from benchmeter.checking.part_check import PartCheck
from benchmeter.checking.replacement import (
    Fit,
    Rank,
    Ranked,
    Standing,
    StockItem,
    replacement_name,
    shape_on,
)
from benchmeter.checking.stock import EXAMPLE, EXAMPLE_PART
from benchmeter.scenes.offer import Offer, ShapedLine
from benchmeter.scenes.session_view import SessionView
from benchmeter.tasks.replacing import ForPart, StockFound
from benchmeter.words.presentation import Presentation
from benchmeter.words.replacement_words import fit_words, item_words, reason_words, standing_words

__all__ = [
    "ReplacementAct",
    "ReplacementScene",
    "ReplacementState",
    "kept_row",
    "replacement_scene",
]

_MOST_FAULTS = 3
_MOST_LINES = 60  # nobody walks farther by arrow key
_TO_MEASURE = (Rank.MEASURE_FIRST, Rank.LOOK_AND_MEASURE_FIRST)
_NOT_TO_MEASURE = (Rank.NONE_LEFT, Rank.DOES_NOT_FIT)
_NOT_THERE = (Standing.NOT_MEASURED, Standing.OTHER_LABEL, Standing.OTHER_RULE)
_LOOKS: Mapping[Rank, tuple[str, str, str]] = {
    Rank.GOOD: ("verdict-pass", "good", "page_replacements.good_may_go"),
    Rank.GOOD_LOOK_FIRST: (
        "verdict-conditional-pass",
        "caution",
        "page_replacements.good_look_then_fit",
    ),
    Rank.MEASURE_FIRST: ("verdict-none", "ink", "page_replacements.measure_first"),
    Rank.LOOK_AND_MEASURE_FIRST: (
        "warning",
        "caution",
        "page_replacements.look_then_measure_first",
    ),
    Rank.NONE_LEFT: ("pulse-no-value", "faint_ink", "page_replacements.none_left"),
    Rank.BAD: ("verdict-fail", "bad", "page_replacements.measured_bad"),
    Rank.DOES_NOT_FIT: ("pulse-no-contact", "faint_ink", "page_replacements.does_not_fit"),
}
"""Shape, tone and word of a line."""


class ReplacementState(StrEnum):
    """What there is to be chosen from."""

    LOOKING = "looking"
    NO_CAPACITOR = "no capacitor"  # nothing else is looked up
    NO_LIST = "no list"
    UNREADABLE = "unreadable"
    EMPTY = "empty"  # a list without a part that can be used
    CHOICES = "choices"


class ReplacementAct(StrEnum):
    """The actions, in the order of their buttons."""

    MEASURE = "measure"
    EXAMPLE = "example"
    AGAIN = "again"
    BACK = "back"


@dataclass(frozen=True, slots=True)
class ReplacementScene:
    """What is shown in place of the part in hand.

    Attributes:
        subject: which part is to be replaced.
        chosen: place of the line that is looked at.
        faults: what of the list cannot be used.
    """

    state: ReplacementState
    next_step: str
    actions: Mapping[ReplacementAct, Offer]
    subject: str = ""
    answer: str = ""
    why: str = ""
    lines: tuple[ShapedLine, ...] = ()
    chosen: int = 0
    faults: tuple[str, ...] = field(default=())


def replacement_scene(view: SessionView, looked: ForPart | None, chosen: int) -> ReplacementScene:
    """The stock list as it is to be drawn.

    Args:
        looked: None: it is still being looked through.
        chosen: place of the line that a person looks at.
    """
    tell = view.presentation
    if looked is None or looked.old is None:
        actions = _actions(view, None, None)
        following = tell.text("page_replacements.one_moment")
        return ReplacementScene(ReplacementState.LOOKING, following, actions)
    state = _state(looked)
    line = looked.lines[chosen] if 0 <= chosen < len(looked.lines) else None
    answer, why, following = _answer(looked, state, tell)
    return ReplacementScene(
        state,
        following,
        _actions(view, looked, line),
        tell.text(
            "page_replacements.replaced_part_label",
            part=looked.old.part,
            label=looked.old.rating.text,
        ),
        answer,
        why,
        tuple(_line(line, looked.old, tell) for line in looked.lines[:_MOST_LINES]),
        chosen,
        _faults(looked, tell),
    )


def kept_row(looked: ForPart, before: Ranked | None) -> int:
    """Place of the line that was looked at before; where a part may go in, that is the first."""
    if before is None or any(line.offered for line in looked.lines):
        return 0
    lines = [line.candidate.item.line for line in looked.lines[:_MOST_LINES]]
    again = before.candidate.item.line
    return lines.index(again) if again in lines else 0


def _state(looked: ForPart) -> ReplacementState:
    if not looked.fitting:
        return ReplacementState.NO_CAPACITOR
    if looked.lines:
        return ReplacementState.CHOICES
    if looked.found.fault is not None:
        return ReplacementState.UNREADABLE
    return ReplacementState.NO_LIST if looked.found.stock is None else ReplacementState.EMPTY


def _line(line: Ranked, old: PartCheck, tell: Presentation) -> ShapedLine:
    shape, tone, word = _LOOKS[line.rank]
    if line.standing is Standing.UNDECIDED and line.rank in _TO_MEASURE:
        shape, tone = "verdict-undecidable", "undecided"
        word = "page_replacements.not_decided"
    candidate, rating = line.candidate, old.rating
    told = [
        reason_words(reason, candidate.item, rating, shape_on(rating.text), tell)
        for reason in candidate.reasons
    ]
    if candidate.fit is not Fit.DOES_NOT_FIT:
        told.insert(0, fit_words(candidate.fit, tell))
        if line.standing is not Standing.NOT_MEASURED:
            told.append(standing_words(line.standing, tell))
    words = f"{tell.text(word)} · {item_words(candidate.item, tell)}\n{' '.join(told)}"
    return ShapedLine(words, shape, tone)


def _answer(looked: ForPart, state: ReplacementState, tell: Presentation) -> tuple[str, str, str]:
    """The answer, the reason, what to do next."""
    text = tell.text
    match state:
        case ReplacementState.CHOICES:
            return _best(looked, tell)
        case ReplacementState.NO_CAPACITOR:
            return (
                text("page_replacements.only_capacitors_looked_up"),
                text("page_replacements.what_fits_place_part"),
                text("page_replacements.esc_goes_back_part"),
            )
    unreadable, none = (
        "page_replacements.stock_list_cannot_read",
        "page_replacements.no_part_stock_list",
    )
    begin, write = "page_replacements.x_begins_list_or", "page_replacements.write_your_parts_into"
    where = text("page_replacements.list_table_any_spreadsheet", path=str(looked.found.path))
    return (
        text(unreadable if state is ReplacementState.UNREADABLE else none),
        f"{where}\n\n{EXAMPLE}\n{EXAMPLE_PART}",
        text(begin if state is ReplacementState.NO_LIST else write),
    )


def _best(looked: ForPart, tell: Presentation) -> tuple[str, str, str]:
    text, best = tell.text, looked.lines[0]
    item = best.candidate.item
    name = item.own_number or item.rating.text
    if best.offered:
        return (
            text("page_replacements.part_may_go", part=name),
            text("page_replacements.good_same_rule_old"),
            text("page_replacements.fit_part", part=name),
        )
    fitting = sum(line.rank in _TO_MEASURE for line in looked.lines)
    if not fitting:
        return (
            text("page_replacements.no_part_list_fits"),
            text("page_replacements.needed_same_uf_each"),
            text("page_replacements.esc_goes_back_part"),
        )
    if fitting == 1:
        many = text("page_replacements.n1_part_list_may")
    else:
        many = text("page_replacements.n_parts_list_may", n=fitting)
    if item.place:
        fetch = text("page_replacements.fetch_from_place_return", place=item.place)
    else:
        fetch = text("page_replacements.choose_arrow_keys_return")
    return many, text("page_replacements.new_part_no_better"), fetch


def _faults(looked: ForPart, tell: Presentation) -> tuple[str, ...]:
    found: StockFound = looked.found
    told = [] if found.fault is None else [str(tell.tell(found.fault))]
    bad = found.stock.bad if found.stock is not None else ()
    for line in bad[:_MOST_FAULTS]:
        told.append(
            tell.text(
                "page_replacements.line_line_name_left",
                line=line.line,
                name=found.path.name,
                why=line.error,
            )
        )
    if len(bad) > _MOST_FAULTS:
        told.append(tell.text("page_replacements.n_more_lines", n=len(bad) - _MOST_FAULTS))
    if len(looked.lines) > _MOST_LINES:
        many = len(looked.lines)
        told.insert(0, tell.text("page_replacements.shown_best_n_all", n=_MOST_LINES, all=many))
    return tuple(told)


# --- actions -----------------------------------------------------------------------------------


def _actions(
    view: SessionView, looked: ForPart | None, line: Ranked | None
) -> Mapping[ReplacementAct, Offer]:
    text = view.presentation.text
    begins = looked is not None and looked.found.stock is None and looked.found.fault is None
    return {
        ReplacementAct.MEASURE: _measure(view, looked, line),
        ReplacementAct.EXAMPLE: Offer(text("page_replacements.begin_list"), begins, primary=True),
        ReplacementAct.AGAIN: Offer(text("page_replacements.read_list_again")),
        ReplacementAct.BACK: Offer(text("page_replacements.back_part")),
    }


def _measure(view: SessionView, looked: ForPart | None, line: Ranked | None) -> Offer:
    text = view.presentation.text
    again = line is not None and line.standing not in _NOT_THERE
    first, once_more = "page_replacements.measure_first", "page_replacements.measure_again"
    offer = Offer(text(once_more if again else first), looked is not None and bool(looked.lines))
    if looked is None or looked.old is None or line is None:
        return replace(offer, why_not=text("page_replacements.one_moment"))
    if not view.acts:
        return replace(offer, why_not=text("window.nothing_being_recorded_so"))
    if line.rank in _NOT_TO_MEASURE:
        return replace(offer, why_not=text(_LOOKS[line.rank][2]))
    none_offered = not any(other.offered for other in looked.lines)
    return replace(offer, primary=none_offered, command=_begin(view, looked.old, line))


def _begin(view: SessionView, old: PartCheck, line: Ranked) -> BeginCheck:
    """The check of a candidate, by the terms of the old part."""
    item = line.candidate.item
    return BeginCheck(
        time_ns=0,
        part=replacement_name(item, view.checks),
        label=_label(item),
        accuracy=old.accuracy.text if old.accuracy is not None else view.meter_accuracy,
        rule=old.rule.value,
        channel=old.channel,
    )


def _label(item: StockItem) -> str:
    """Its label with its shape, by which parts that are else alike are told apart."""
    label = item.rating.text
    told = shape_on(item.shape)
    return f"{label} {told}" if told and not shape_on(label) else label
