"""What can be done at the bench: a table of actions by moment, and why one cannot be done now."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

from benchmeter.checking.check import PartCheck, why_not_taken
from benchmeter.checking.commands import NullLeads, RepeatSection, SelectSection, TakeReading
from benchmeter.checking.replacement import capacitor_of
from benchmeter.conformity.verdict import Verdict
from benchmeter.errors import Message
from benchmeter.scenes.bench_state import BenchOpened, BenchState
from benchmeter.scenes.next_part import next_part
from benchmeter.scenes.offer import LineKind, LineWanted, Offer, marker_line
from benchmeter.scenes.session_view import Activity, SessionView

__all__ = ["Act", "bench_actions"]

_BAD = {Verdict.FAIL, Verdict.CONDITIONAL_FAIL, Verdict.OPEN, Verdict.SHORTED}


class Act(StrEnum):
    """The actions, in the order of their buttons."""

    TAKE = "take"
    PART = "part"
    UNDO = "undo"
    REPEAT = "repeat"
    AGAIN = "again"
    SECTION = "section"
    MARKER = "marker"
    NULL = "null"
    TYPING = "typing"
    REPLACEMENT = "replacement"
    METER = "meter"
    INDICATION = "indication"
    TAG = "tag"
    STATISTICS = "statistics"


class _Moment(StrEnum):
    FORM = "form"
    MEASURING = "measuring"
    JUDGED = "judged"
    CARTON = "carton"  # judged, and the next part of the carton comes first


@dataclass(frozen=True, slots=True)
class _Bench:
    """What the actions are asked about."""

    view: SessionView
    opened: BenchOpened
    check: PartCheck | None
    moment: _Moment
    carton: bool

    @property
    def plays(self) -> bool:
        return self.view.activity is Activity.STORY

    @property
    def waits(self) -> bool:
        return self.check is not None and self.check.expected is not None

    def text(self, code: str, **parameters: str) -> str:
        return self.view.presentation.text(code, **parameters)


def bench_actions(
    view: SessionView, opened: BenchOpened, beneath: BenchState
) -> Mapping[Act, Offer]:
    """Every action of the bench as it stands now.

    Args:
        beneath: the state of the part in hand.
    """
    carton = opened.carton_open(view.check)
    bench = _Bench(view, opened, view.check, _moment(beneath, carton), carton)
    return {act: _offer(bench, act) for act in Act}


def _moment(beneath: BenchState, carton: bool) -> _Moment:
    match beneath:
        case BenchState.FORM:
            return _Moment.FORM
        case BenchState.JUDGED:
            return _Moment.CARTON if carton else _Moment.JUDGED
        case _:
            return _Moment.MEASURING


def _offer(bench: _Bench, act: Act) -> Offer:
    row = _TABLE[act]
    shown = bench.moment in row.moments and (bench.view.acts or row.of_record)
    return row.fill(bench, Offer(bench.text(row.title), shown))


def _plain(_bench: _Bench, offer: Offer) -> Offer:
    return offer


def _take(bench: _Bench, offer: Offer) -> Offer:
    """In a carton the same key begins its next part, whose number the strip has."""
    if bench.moment is _Moment.CARTON:
        return replace(offer, title=bench.text("page_bench.next_part"), primary=not bench.plays)
    if bench.check is None:
        return replace(offer, why_not=bench.text("page_bench.no_part_yet"))
    refused = why_not_taken(bench.check)
    return replace(
        offer,
        why_not="" if refused is None else str(bench.view.presentation.tell(refused)),
        primary=refused is None and not bench.plays,
        command=TakeReading(time_ns=0),
    )


def _part(bench: _Bench, offer: Offer) -> Offer:
    if bench.carton:
        return replace(offer, title=bench.text("page_bench.another_part"))
    judged = bench.check is not None and not bench.waits
    return replace(offer, primary=judged and not bench.plays and not _to_be_replaced(bench))


def _undo(bench: _Bench, offer: Offer) -> Offer:
    if bench.opened.can_undo:
        return offer
    return replace(offer, why_not=bench.text("page_bench.nothing_to_undo"))


def _repeat(bench: _Bench, offer: Offer) -> Offer:
    last = bench.check.last_taken if bench.check is not None else None
    if last is None:
        return replace(offer, why_not=bench.text("page_bench.nothing_taken"))
    return replace(offer, command=RepeatSection(time_ns=0, section=last.name))


def _again(bench: _Bench, offer: Offer) -> Offer:
    """What was found stays in the record."""
    if bench.check is None or bench.waits:
        return replace(offer, why_not=bench.text("page_bench.not_judged_yet"))
    return replace(offer, command=next_part(bench.check, bench.check.part))


def _section(bench: _Bench, offer: Offer) -> Offer:
    names = [s.section.name for s in bench.check.sections] if bench.check is not None else []
    if bench.check is None or len(names) < 2:
        return replace(offer, why_not=bench.text("page_bench.one_section_only"))
    expected = bench.check.expected
    place = names.index(expected) + 1 if expected in names else 0
    following = names[place % len(names)]
    return replace(offer, command=SelectSection(time_ns=0, section=following))


def _marker(bench: _Bench, offer: Offer) -> Offer:
    return replace(offer, ask=marker_line(bench.view.presentation))


def _null(_bench: _Bench, offer: Offer) -> Offer:
    return replace(offer, command=NullLeads(time_ns=0))


def _typing(bench: _Bench, offer: Offer) -> Offer:
    """Without a part it leads to the form: a reading is typed for a part."""
    check = bench.check
    if check is None or bench.moment is _Moment.FORM:
        told = bench.view.presentation.tell(Message("page_bench.no_part_to_type_for"))
        return replace(offer, notice=told)
    named, section = check.expected or bench.text("page_bench.part"), check.section
    asked = LineWanted(
        LineKind.READING,
        bench.text("page_bench.reading_section_meter_shows", section=named),
        f"39.2 {section.unit}" if section is not None else "39.2 uF",
        subject=check.channel,
    )
    return replace(offer, ask=asked)


def _replaceable(bench: _Bench) -> bool:
    part = bench.check
    return part is not None and part.reference is None and capacitor_of(part.rating) is not None


def _to_be_replaced(bench: _Bench) -> bool:
    """Whether a bad part asks for another one; in a carton nothing is replaced."""
    check = bench.check
    if check is None or check.verdict is None or bench.plays or bench.carton:
        return False
    return check.verdict.verdict in _BAD and _replaceable(bench)


def _replacement(bench: _Bench, offer: Offer) -> Offer:
    shown = offer.shown and _replaceable(bench)
    return replace(offer, shown=shown, primary=_to_be_replaced(bench))


def _tag(bench: _Bench, offer: Offer) -> Offer:
    check = bench.check
    if check is None or check.verdict is None:
        return replace(offer, why_not=bench.text("page_bench.not_judged_yet"))
    if check.reference is not None:
        return replace(offer, why_not=bench.text("page_bench.no_tag_for_reference"))
    asked = LineWanted(
        LineKind.TAG,
        bench.text("page_bench.write_tag_part_pdf", part=check.part),
        text=f"{_in_file_name(check.part)}-tag.pdf",
        subject=bench.view.session_id,
        check=check.number,
        file=True,
    )
    return replace(offer, ask=asked)


def _in_file_name(part: str) -> str:
    """A part's own name as a piece of a file name."""
    return "".join(sign if sign.isalnum() else "-" for sign in part)[:40]


@dataclass(frozen=True, slots=True)
class _Row:
    """One action: its title, when it belongs to the moment, and what fills its offer in.

    `of_record`: what no longer records offers it, too.
    """

    title: str
    moments: frozenset[_Moment]
    fill: Callable[[_Bench, Offer], Offer] = _plain
    of_record: bool = False


_MEASURING, _JUDGED = frozenset({_Moment.MEASURING}), frozenset({_Moment.JUDGED})
_AFTER = frozenset({_Moment.JUDGED, _Moment.CARTON})
_BEFORE = frozenset({_Moment.FORM, _Moment.MEASURING})
_OUTSIDE = frozenset(_Moment) - {_Moment.CARTON}
_TABLE: Mapping[Act, _Row] = {
    Act.TAKE: _Row("page_bench.take_reading", _MEASURING | {_Moment.CARTON}, _take),
    Act.PART: _Row("page_bench.next_part", _MEASURING | _AFTER, _part),
    Act.UNDO: _Row("page_bench.undo", _OUTSIDE, _undo),
    Act.REPEAT: _Row("page_bench.repeat", _MEASURING | _JUDGED, _repeat),
    Act.AGAIN: _Row("page_bench.part_again", _AFTER, _again),
    Act.SECTION: _Row("page_bench.next_section", _MEASURING, _section),
    Act.MARKER: _Row("page_bench.marker", _OUTSIDE, _marker),
    Act.NULL: _Row("page_bench.null_leads", _BEFORE, _null),
    Act.TYPING: _Row("page_bench.type", _BEFORE, _typing),
    Act.REPLACEMENT: _Row("page_bench.replace", _JUDGED, _replacement),
    Act.METER: _Row("page_bench.meter", _OUTSIDE),
    Act.INDICATION: _Row("page_bench.indication", _OUTSIDE, of_record=True),
    Act.TAG: _Row("page_bench.tag", _AFTER, _tag, of_record=True),
    Act.STATISTICS: _Row("page_bench.all_parts", _OUTSIDE, of_record=True),
}
