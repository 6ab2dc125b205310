"""The page for the customer: one plain page of HTML, and the blocks that the PDF is made of.

Only tags and styles that Qt's rich text understands, so that both look alike; headings and tables
with header cells, so that a screen reader finds its way in the HTML.
"""

import base64
from collections.abc import Sequence
from dataclasses import replace
from html import escape

from benchmeter.readings.events import EventKind
from benchmeter.record.records import SessionState
from benchmeter.reports.not_tested import not_tested
from benchmeter.reports.page_meter import meter_block
from benchmeter.reports.page_part import part_block
from benchmeter.reports.page_recovery import recovery_rows
from benchmeter.reports.session_record import Record
from benchmeter.words.durations import duration_text
from benchmeter.words.events import event_words
from benchmeter.words.presentation import PLAIN, Presentation
from benchmeter.words.recovery import phase_words

__all__ = ["STYLE", "blocks", "footer", "page", "page_title"]

STYLE = """
body, p, td, th { font-family: B612, sans-serif; font-size: 10pt; color: #111; }
h1, h2, h3 { font-family: B612, sans-serif; color: #111; }
h1 { font-size: 18pt; margin-top: 0px; margin-bottom: 4px; }
h2 { font-size: 13pt; margin-top: 14px; margin-bottom: 5px; }
h3 { font-size: 11pt; margin-top: 0px; margin-bottom: 2px; }
p { margin-top: 0px; margin-bottom: 4px; }
table { border-collapse: collapse; margin-bottom: 4px; }
th { text-align: left; font-size: 8pt; color: #444; }
th, td { padding-top: 2px; padding-bottom: 2px; padding-left: 0px; padding-right: 14px; }
.beside { padding-left: 12px; padding-top: 6px; }
.shape { padding-right: 0px; }
.figure { font-size: 9pt; padding-right: 8px; }
.small { font-size: 8pt; color: #444; }
.loud { font-weight: bold; color: #97101c; }
"""
_ON_SCREEN = """
body { max-width: 46em; margin: 2em auto; padding: 0 1em; background: #fff; }
.plate { margin-top: 18px; }
td, p, h1, h2, h3 { overflow-wrap: anywhere; } img { max-width: 100%; }
"""

_KEPT = (
    EventKind.POWER_RESTORED,
    EventKind.START_DETECTED,
    EventKind.SETTLED,
    EventKind.GAP,
    EventKind.LINK_LOST,
    EventKind.CLOCK_STEP,
    EventKind.TYPED,
    EventKind.MARK,
    EventKind.REMARK,
    EventKind.LEADS_NULLED,
    EventKind.BIAS_ACCEPTED,
)
_ROWS = 12  # of a long table to a block, so that it may go on over pages

_CAUTIONS = (
    "Stored charge and live parts can kill. Work on them is for qualified persons only, locked "
    "out and verified dead (29 CFR 1910.147, 1910.333), with meters and leads rated for the "
    "circuit (1910.334).",
    "Local codes, the maker's instructions and licensed practice come first; these verdicts are "
    "an aid.",
)


def page(
    record: Record,
    *,
    presentation: Presentation = PLAIN,
    picture: bytes | None = None,
    unjudged: Sequence[str] = (),
) -> str:
    """The page as HTML.

    Args:
        picture: the temperatures over time, PNG.
        unjudged: sentences on parts that were begun and got no verdict.
    """
    made = _blocks(record, presentation, picture, unjudged, rows=10**9)
    title = escape(page_title(record))
    head = f"<meta charset='utf-8'><title>{title}</title><style>{STYLE}{_ON_SCREEN}</style>"
    return "\n".join(
        (
            f"<!DOCTYPE html><html lang='en'><head>{head}</head><body>",
            *made,
            f"<p class='small'>{escape(footer(record))}</p>",
            "</body></html>",
        )
    )


def blocks(
    record: Record,
    *,
    presentation: Presentation = PLAIN,
    picture: bytes | None = None,
    unjudged: Sequence[str] = (),
) -> tuple[str, ...]:
    """The same page in pieces of HTML that a page break should not cut; see `page`."""
    return _blocks(record, presentation, picture, unjudged, rows=_ROWS)


def page_title(record: Record) -> str:
    """What a person calls the session."""
    return record.summary.name.strip() or "Session"


def footer(record: Record) -> str:
    """What stands below each page."""
    summary = record.summary
    return f"Session {summary.id}, recorded by benchmeter {summary.app_version}"


def _blocks(
    record: Record,
    presentation: Presentation,
    picture: bytes | None,
    unjudged: Sequence[str],
    rows: int,
) -> tuple[str, ...]:
    how = replace(presentation, unit_space="\u00a0")  # a line never ends before a unit
    parts = [part_block(check, record, how) for check in record.part_checks()]
    parts = parts or ["<p>No part was judged.</p>"]
    open_ones = "".join(f"<p>{escape(s)}</p>" for s in (*unjudged, *not_tested(record, how)))
    return (
        _head(record, how),
        f"<h2>Parts</h2>{parts[0]}",
        *parts[1:],
        *_recovery(record, how, picture),
        *filter(None, [meter_block(record, how)]),
        f"<h2>What was not tested</h2>{open_ones}",
        *_table("What happened", ("time", "event"), _events(record, how), rows,
                "Nothing besides the readings."),
        *_table("Measured with", ("channel", "quantity", "instrument", "readings"),
                _instruments(record), rows, "Nothing was connected."),
        "<h2>Please note</h2>" + "".join(f"<p>{escape(caution)}</p>" for caution in _CAUTIONS)
        + "<p class='small'>All numbers come from the stored readings.</p>",
    )  # fmt: skip


def _head(record: Record, presentation: Presentation) -> str:
    summary = record.summary
    state = {
        SessionState.CUT_OFF: "cut off, not closed",
        SessionState.OPEN: "still being recorded",
    }.get(summary.state, "")
    length = duration_text(summary.duration_ns / 1e9, presentation)
    when = f"{record.clock(0):%Y-%m-%d %H:%M} ({summary.zone})"
    line = ", ".join(filter(None, (when, length, summary.origin, state)))
    remark = "<br>".join(escape(text) for text in summary.remark.splitlines())
    simulated = (
        "<p class='loud'>Simulated: no real part and no real unit was measured.</p>"
        if summary.origin == "simulated"
        else ""
    )
    return (
        f"<h1>{escape(page_title(record))}</h1><p>{escape(line)}</p>{simulated}"
        + (f"<p>{remark}</p>" if remark else "")
    )  # fmt: skip


def _recovery(record: Record, presentation: Presentation, picture: bytes | None) -> tuple[str, ...]:
    recovery = record.recovery()
    if recovery is None:
        return ("<h2>Recovery</h2><p>The recovery was not watched.</p>",)
    words = phase_words(recovery, presentation)
    rows = "".join(
        f"<tr><td>{escape(name)}</td><td>{escape(value)}</td></tr>"
        for name, value in recovery_rows(recovery, record, presentation)
    )
    told = f"<h2>Recovery</h2><p><b>{escape(words)}</b></p><table>{rows}</table>"
    if picture is None:
        return (told,)
    code = base64.b64encode(picture).decode("ascii")
    about = "Discharge and outdoor temperature over time, the fit and the settled value"
    image = f"<img alt='{about}' width='640' src='data:image/png;base64,{code}'>"
    return (told, f"<p>{image}</p>")


def _table(
    title: str, head: tuple[str, ...], rows: Sequence[str], size: int, none: str
) -> tuple[str, ...]:
    """A table in blocks of `size` rows, the first with title and head."""
    if not rows:
        return (f"<h2>{title}</h2><p>{none}</p>",)
    cells = "".join(f"<th scope='col'>{cell}</th>" for cell in head)
    first = f"<h2>{title}</h2><table><tr>{cells}</tr>{''.join(rows[:size])}</table>"
    rest = [rows[i : i + size] for i in range(size, len(rows), size)]
    return (first, *(f"<table>{''.join(some)}</table>" for some in rest))


def _events(record: Record, presentation: Presentation) -> list[str]:
    return [
        f"<tr><td width='80'>{record.clock(e.time_ns):%H:%M:%S}</td>"
        f"<td>{escape(event_words(e, presentation))}</td></tr>"
        for e in record.events
        if e.kind in _KEPT
    ]


def _instruments(record: Record) -> list[str]:
    profiles = {link.name: link.profile.title for link in record.setup.links}
    return [
        f"<tr><td width='90'>{escape(c.name)}</td>"
        f"<td width='110'>{escape(', '.join(q.value for q in c.quantities))}</td>"
        f"<td>{escape(profiles.get(c.setup.link, '') if c.setup else 'typed in')}</td>"
        f"<td>{len(c.samples)}</td></tr>"
        for c in record.channels
    ]
