"""The record: what happened?"""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from benchmeter.conformity.verdict import Verdict
from benchmeter.record.records import LastVerdict, SessionState, SessionSummary, VerdictKind
from benchmeter.reports.session_record import local_start
from benchmeter.scenes.offer import LineKind, LineWanted, Offer
from benchmeter.words.presentation import Presentation
from benchmeter.words.verdicts import verdict_word

__all__ = ["RecordAct", "RecordLine", "RecordScene", "cut_off_words", "record_scene"]


class RecordAct(StrEnum):
    """The actions, in the order of their buttons."""

    REPLAY = "replay"
    FINISH = "finish"
    RENAME = "rename"
    REMARK = "remark"
    VISIT = "visit"
    REPORT = "report"
    TAGS = "tags"
    FIND = "find"
    REMOVE = "remove"
    UNDO = "undo"


@dataclass(frozen=True, slots=True)
class RecordLine:
    """A session of the list."""

    session_id: str
    words: str


@dataclass(frozen=True, slots=True)
class RecordScene:
    """What the record shows.

    Attributes:
        lines: the sessions, newest first.
        chosen: id of the one that is told of below; "" none.
        about: how it stands; without one what to do to have one.
        cautious: it ended without close.
        findings: its verdicts, one a line.
    """

    lines: tuple[RecordLine, ...]
    chosen: str
    about: str
    next_step: str
    actions: Mapping[RecordAct, Offer]
    cautious: bool = False
    findings: str = ""
    remark: str = ""


@dataclass(frozen=True, slots=True)
class _Asked:
    """What the actions are asked about."""

    tell: Presentation
    session: SessionSummary | None
    unfinished: bool
    can_undo: bool


def record_scene(
    sessions: Sequence[SessionSummary],
    chosen: str,
    tell: Presentation,
    *,
    unfinished: Collection[str] = (),
    can_undo: bool = False,
) -> RecordScene:
    """The record as it is to be drawn.

    Args:
        sessions: newest first; those taken out of the list are left out.
        chosen: id of the session that a person looks at; unknown: the first one.
        unfinished: ids of those that were cut off and whose record is not closed yet.
    """
    kept = [session for session in sessions if not session.removed]
    session = next((s for s in kept if s.id == chosen), kept[0] if kept else None)
    asked = _Asked(tell, session, session is not None and session.id in unfinished, can_undo)
    lines = tuple(RecordLine(s.id, _line(s, tell)) for s in kept)
    actions = {act: _offer(asked, act) for act in RecordAct}
    if session is None:
        return RecordScene(
            lines,
            "",
            tell.text("page_record.nothing_recorded_yet_every"),
            tell.text("page_record.record_something_first_connect"),
            actions,
        )
    live = session.state is SessionState.OPEN
    recorded, ended = "page_record.session_being_recorded_end", "page_record.replay_o_or_write"
    return RecordScene(
        lines,
        session.id,
        _about(session, tell),
        tell.text(recorded if live else ended),
        actions,
        cautious=session.state is SessionState.CUT_OFF,
        findings="\n".join(_finding(f, tell) for f in session.findings),
        remark=session.remark,
    )


def cut_off_words(sessions: Sequence[SessionSummary], tell: Presentation) -> tuple[str, str]:
    """Id of the latest session that was cut off, and what to say of it; empty if there is none."""
    if not sessions:
        return "", ""
    latest = max(sessions, key=lambda session: session.started)
    time = local_start(latest).strftime("%Y-%m-%d %H:%M")
    return latest.id, tell.text("page_record.session_time_ended_without", time=time)


# --- words ---------------------------------------------------------------------------------------


def _line(session: SessionSummary, tell: Presentation) -> str:
    minutes, seconds = divmod(session.duration_ns // 1_000_000_000, 60)
    found = ", ".join(_finding(f, tell) for f in session.findings)
    parts = [
        local_start(session).strftime("%Y-%m-%d  %H:%M"),
        f"{minutes}:{seconds:02d} min",
        session.name or tell.text("page_record.without_name"),
        found or tell.text("page_record.no_verdict"),
    ]
    if session.state is not SessionState.ENDED:
        parts.insert(2, tell.text(f"page_record.state_{session.state.name.lower()}"))
    return "   ·   ".join(parts)


def _finding(finding: LastVerdict, tell: Presentation) -> str:
    match finding.kind:
        case VerdictKind.RECOVERY:
            return tell.text("page_record.recovery_words", words=finding.word)
        case VerdictKind.PART if finding.word in tuple(Verdict):
            return f"{finding.subject}: {verdict_word(Verdict(finding.word), tell)}"
        case _:
            word = finding.word or tell.text("page_record.no_verdict_yet")
            return f"{finding.subject}: {word}"


def _about(session: SessionSummary, tell: Presentation) -> str:
    counts = tell.text(
        "page_record.readings_readings_events_events",
        readings=session.reading_count,
        events=session.event_count,
        zone=session.zone,
    )
    return f"{tell.text(f'page_record.stands_{session.state.name.lower()}')} {counts}"


# --- actions -------------------------------------------------------------------------------------


def _offer(asked: _Asked, act: RecordAct) -> Offer:
    title, fill = _TABLE[act]
    return fill(asked, Offer(asked.tell.text(title)))


def _chosen(asked: _Asked, offer: Offer) -> Offer:
    if asked.session is None:
        return replace(offer, why_not=asked.tell.text("page_record.no_session_chosen"))
    return offer


def _closed(asked: _Asked, offer: Offer) -> Offer:
    """What a session that is being recorded does not offer."""
    if asked.session is not None and asked.session.state is SessionState.OPEN:
        return replace(offer, why_not=asked.tell.text("page_record.stands_open"))
    return _chosen(asked, offer)


def _finish(asked: _Asked, offer: Offer) -> Offer:
    return replace(offer, shown=asked.unfinished)


def _undo(asked: _Asked, offer: Offer) -> Offer:
    if asked.can_undo:
        return offer
    return replace(offer, why_not=asked.tell.text("page_bench.nothing_to_undo"))


def _find(asked: _Asked, offer: Offer) -> Offer:
    prompt = asked.tell.text("page_record.scan_code_tag_or")
    return replace(offer, ask=LineWanted(LineKind.FIND, prompt, text=""))


def _rename(asked: _Asked, offer: Offer) -> Offer:
    return _asks(
        asked,
        _chosen(asked, offer),
        LineKind.RENAME,
        "page_record.new_name_session",
        asked.tell.text("page_record.customer_unit"),
        asked.session.name if asked.session is not None else "",
    )


def _remark(asked: _Asked, offer: Offer) -> Offer:
    return _asks(
        asked,
        _chosen(asked, offer),
        LineKind.REMARK,
        "page_record.remark_session",
        asked.tell.text("page_record.what_customer_said"),
        asked.session.remark if asked.session is not None else "",
    )


def _report(asked: _Asked, offer: Offer) -> Offer:
    file = _file_name(asked, ".pdf")
    prompt = "page_record.write_report_file_pdf"
    return _asks(asked, _closed(asked, offer), LineKind.REPORT, prompt, "", file, file=True)


def _tags(asked: _Asked, offer: Offer) -> Offer:
    file = _file_name(asked, "-tags.pdf")
    prompt = "page_record.write_tags_judged_parts"
    return _asks(asked, _closed(asked, offer), LineKind.TAGS, prompt, "", file, file=True)


def _file_name(asked: _Asked, end: str) -> str:
    session = asked.session
    return f"benchmeter-{local_start(session):%Y-%m-%d-%H%M}{end}" if session is not None else ""


def _asks(
    asked: _Asked,
    offer: Offer,
    kind: LineKind,
    prompt: str,
    example: str,
    text: str,
    *,
    file: bool = False,
) -> Offer:
    if asked.session is None:
        return offer
    words = asked.tell.text(prompt)
    wanted = LineWanted(kind, words, example, text, subject=asked.session.id, file=file)
    return replace(offer, ask=wanted)


_TABLE: Mapping[RecordAct, tuple[str, Callable[[_Asked, Offer], Offer]]] = {
    RecordAct.REPLAY: ("page_record.replay", _closed),
    RecordAct.FINISH: ("page_record.close_record", _finish),
    RecordAct.RENAME: ("page_record.rename", _rename),
    RecordAct.REMARK: ("page_record.remark", _remark),
    RecordAct.VISIT: ("page_visit.open", _chosen),
    RecordAct.REPORT: ("page_record.write_report", _report),
    RecordAct.TAGS: ("page_record.write_tags", _tags),
    RecordAct.FIND: ("page_record.find_tag", _find),
    RecordAct.REMOVE: ("page_record.remove", _closed),
    RecordAct.UNDO: ("page_record.undo", _undo),
}
