"""The page for the customer: what stands on it, in the order in which it is read."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from benchmeter.readings.events import EventKind
from benchmeter.record.records import SessionState
from benchmeter.reports.not_tested import not_tested
from benchmeter.reports.page_blocks import Block, Figures, Head, Listing, Picture, Sentences
from benchmeter.reports.page_instruments import instrument_facts
from benchmeter.reports.page_part import part_block
from benchmeter.reports.page_recovery import recovery_notes, recovery_rows
from benchmeter.reports.page_rule import rule_block
from benchmeter.reports.session_record import Record
from benchmeter.words.durations import duration_text
from benchmeter.words.event_words import event_words
from benchmeter.words.meters import reference_check_words
from benchmeter.words.presentation import PLAIN, Presentation
from benchmeter.words.recovery_words import phase_words
from benchmeter.words.visit_words import visit_rows

__all__ = ["SessionPage", "page_of"]

_KEPT = (
    EventKind.METER_PROVED,
    EventKind.POWER_RESTORED,
    EventKind.START_DETECTED,
    EventKind.SETTLED,
    EventKind.UNSETTLED,
    EventKind.STOPPED,
    EventKind.GAP,
    EventKind.LINK_LOST,
    EventKind.CLOCK_STEP,
    EventKind.TYPED,
    EventKind.MARK,
    EventKind.REMARK,
    EventKind.LEADS_NULLED,
    EventKind.BIAS_ACCEPTED,
)


@dataclass(frozen=True, slots=True)
class SessionPage:
    """A page without a form: each target writes it in its own.

    Attributes:
        title: what a person calls the session.
        footer: stands below each sheet.
        presentation: how all of it is told.
    """

    title: str
    footer: str
    presentation: Presentation
    blocks: tuple[Block, ...]


def page_of(
    record: Record,
    *,
    presentation: Presentation = PLAIN,
    picture: bytes | None = None,
    unjudged: Sequence[str] = (),
    issued: date | None = None,
) -> SessionPage:
    """The page of a session: what ISO/IEC 17025:2017, 7.8.2 and 7.8.3 ask of a test report.

    Args:
        picture: the temperatures over time, PNG.
        unjudged: sentences on parts that were begun and got no verdict.
        issued: when the report is written.
    """
    tied = replace(presentation, unit_space="\u00a0")  # no line ends before a unit
    summary = record.summary
    footer = tied.text("report.footer", session=summary.id, version=summary.app_version)
    title = summary.name.strip() or tied.text("report.untitled")
    head = _head(record, title, tied, issued)
    blocks = (head, *_blocks(record, tied, picture, unjudged))
    return SessionPage(title, footer, tied, blocks)


def _blocks(
    record: Record, presentation: Presentation, picture: bytes | None, unjudged: Sequence[str]
) -> Iterator[Block]:
    text = presentation.text
    rows = visit_rows(record.visit, presentation)
    yield Figures(text("report.visit"), "", rows, (text("report.told_by_people"),))
    yield from _parts(record, presentation)
    if (rule := rule_block(record, presentation)) is not None:
        yield rule
    yield from _recovery(record, presentation, picture)
    if told := tuple(_meter(record, presentation)):
        yield Sentences(text("report.meter"), told)
    left_open = (*unjudged, *not_tested(record, presentation))
    yield Sentences(text("report.not_tested"), left_open)
    yield _events(record, presentation)
    yield _instruments(record, presentation)
    yield Sentences("", tuple(instrument_facts(record, presentation)))
    cautions = (text("report.charge"), text("report.aid"))
    bounds = (text("report.only_these"), text("report.in_full"))
    yield Sentences(text("report.notes"), (*cautions, *bounds), text("report.numbers"))
    yield Sentences("", (text("report.signature"), text("report.end")))


def _head(record: Record, title: str, presentation: Presentation, issued: date | None) -> Head:
    summary, text = record.summary, presentation.text
    when = f"{record.clock(0):%Y-%m-%d %H:%M} ({summary.zone})"
    said = [when, duration_text(summary.duration_ns / 1e9, presentation), summary.origin]
    if summary.state is SessionState.CUT_OFF:
        said.append(text("report.cut_off"))
    elif summary.state is SessionState.OPEN:
        said.append(text("report.open"))
    if issued is not None:
        said.append(text("report.issued", date=issued.isoformat()))
    simulated = text("report.simulated") if summary.origin == "simulated" else ""
    line = ", ".join(filter(None, said))
    return Head(text("report.what"), title, line, simulated, tuple(summary.remark.splitlines()))


def _parts(record: Record, presentation: Presentation) -> Iterator[Block]:
    heading = presentation.text("report.parts")
    found = [part_block(check, record, presentation) for check in record.part_checks()]
    judged = [block for block in found if block is not None]
    if not judged:
        yield Sentences(heading, (presentation.text("report.no_part"),))
        return
    yield replace(judged[0], heading=heading)
    yield from judged[1:]


def _recovery(record: Record, presentation: Presentation, picture: bytes | None) -> Iterator[Block]:
    heading, recovery = presentation.text("report.recovery"), record.recovery()
    if recovery is None:
        yield Sentences(heading, (presentation.text("report.not_watched"),))
        return
    rows = tuple(recovery_rows(recovery, record, presentation))
    notes = tuple(recovery_notes(recovery, record, presentation))
    yield Figures(heading, phase_words(recovery, presentation), rows, notes)
    if picture is not None:
        yield Picture(picture, presentation.text("report.picture"))


def _meter(record: Record, presentation: Presentation) -> Iterator[str]:
    """What reference parts said of the meter in this session."""
    for check in record.reference_checks():
        read_on = record.clock(check.sections[-1].taken[-1].time_ns).date()
        yield reference_check_words(check, read_on, presentation)


def _events(record: Record, presentation: Presentation) -> Listing:
    text = presentation.text
    rows = tuple(
        (f"{record.clock(e.time_ns):%H:%M:%S}", event_words(e, presentation))
        for e in record.events
        if e.kind in _KEPT
    )
    heads = (text("report.time"), text("report.event"))
    return Listing(text("report.events"), heads, (80, None), rows, text("report.no_events"))


def _instruments(record: Record, presentation: Presentation) -> Listing:
    text = presentation.text
    profiles = {link.name: link.profile.title for link in record.setup.links}
    rows = tuple(
        (
            c.name,
            ", ".join(q.value for q in c.quantities),
            profiles.get(c.setup.link, "") if c.setup else text("report.typed"),
            str(len(c.samples)),
        )
        for c in record.channels
    )
    heads = (
        text("report.channel"),
        text("report.quantity"),
        text("report.instrument"),
        text("report.readings"),
    )
    none = text("report.no_instruments")
    return Listing(text("report.instruments"), heads, (90, 110, None, None), rows, none)
