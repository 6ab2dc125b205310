"""The page for the customer: one plain page of HTML, which the PDF is made from as well.

Only tags that Qt's rich text understands, so that both look alike; headings and tables with
header cells, so that a screen reader finds its way in the HTML.
"""

import base64
from html import escape

from benchmeter.conformity.check import PartCheck
from benchmeter.conformity.verdict import Word
from benchmeter.readings.events import EventKind
from benchmeter.reporting.numbers import duration_text
from benchmeter.reporting.record import Record
from benchmeter.reporting.wording_events import event_words
from benchmeter.reporting.wording_recovery import phase_words
from benchmeter.reporting.wording_verdict import verdict_in_words, verdict_word, why

__all__ = ["page"]

_SHAPE = {
    Word.PASS: "●",
    Word.CONDITIONAL_PASS: "◐",
    Word.CONDITIONAL_FAIL: "◩",
    Word.FAIL: "■",
    Word.UNDECIDABLE: "◇",
    Word.OPEN: "⊘",
    Word.SHORTED: "▬",
    Word.NO_READING: "○",
}

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
)

_CAUTIONS = (
    "Stored charge and live parts can kill. Work on them is for qualified persons only, locked "
    "out and verified dead (29 CFR 1910.147, 1910.333), with meters and leads rated for the "
    "circuit (1910.334).",
    "Local codes, the maker's instructions and licensed practice come first; these verdicts are "
    "an aid.",
)


def page(record: Record, *, temperature_unit: str = "°C", picture: bytes | None = None) -> str:
    """The page as HTML.

    Args:
        temperature_unit: "°C" or "°F".
        picture: the temperatures over time, PNG.
    """
    summary = record.summary
    checks = record.part_checks()
    parts = [
        "<!DOCTYPE html><html lang='en'><head><meta charset='utf-8'>",
        f"<title>{escape(summary.name)}</title><style>{_STYLE}</style></head><body>",
        f"<h1>{escape(summary.name) or 'Session'}</h1>",
        f"<p>{_when(record)}</p>",
        "<h2>Parts</h2>",
        *(_part(check) for check in checks),
        *(["<p>No part was judged.</p>"] if not checks else []),
        "<h2>Recovery</h2>",
        _recovery(record, temperature_unit, picture),
        "<h2>What happened</h2>",
        _events(record),
        "<h2>Measured with</h2>",
        _instruments(record),
        "<h2>Please note</h2>",
        *(f"<p>{escape(caution)}</p>" for caution in _CAUTIONS),
        f"<p class='small'>Session {summary.id}, recorded by benchmeter "
        f"{escape(summary.app_version)}. All numbers come from the stored readings.</p>",
        "</body></html>",
    ]
    return "\n".join(parts)


_STYLE = """
body { font-family: B612, sans-serif; font-size: 10pt; color: #111; max-width: 50em; }
h1 { font-size: 17pt; } h2 { font-size: 12.5pt; } h3 { font-size: 11pt; }
table { border-collapse: collapse; } th { text-align: left; }
th, td { padding: 2px 10px 2px 0; } .small { font-size: 8pt; color: #444; }
"""


def _when(record: Record) -> str:
    summary = record.summary
    start = record.clock(0)
    end = "cut off, not closed" if summary.state.value == "cut off" else ""
    length = duration_text(summary.duration_ns / 1e9)
    line = f"{start:%Y-%m-%d %H:%M} ({summary.zone}), {length}, {summary.origin}"
    return escape(", ".join(filter(None, (line, end, summary.remark))))


def _part(check: PartCheck) -> str:
    verdict = check.verdict
    if verdict is None:
        return ""
    rows = "".join(
        f"<tr><td>{escape(s.section.name)}</td><td>{_SHAPE[s.verdict]} "
        f"{escape(verdict_word(s.verdict))}</td><td>{escape(why(s))}</td></tr>"
        for s in verdict.sections
    )
    meter = check.accuracy.text if check.accuracy else "not known"
    return (
        f"<h3>{_SHAPE[verdict.verdict]} {escape(check.part)}: "
        f"{escape(verdict_word(verdict.verdict))}</h3>"
        f"<p>{escape(verdict_in_words(verdict.verdict))}</p>"
        f"<p>Label: {escape(verdict.rating.text)}; tolerance {escape(verdict.rating.tolerance)} "
        f"({escape(verdict.rating.tolerance_from)}). Accuracy of the meter: {escape(meter)}. "
        f"Decision rule: {escape(verdict.rule.value)}.</p>"
        f"<table><tr><th>section</th><th>verdict</th><th>why</th></tr>{rows}</table>"
    )


def _recovery(record: Record, temperature_unit: str, picture: bytes | None) -> str:
    recovery = record.recovery()
    if recovery is None:
        return "<p>The recovery was not watched.</p>"
    words = f"<p>{escape(phase_words(recovery, temperature_unit))}</p>"
    if picture is None:
        return words
    code = base64.b64encode(picture).decode("ascii")
    about = "Discharge and outdoor temperature over time"
    return f"{words}<p><img alt='{about}' width='640' src='data:image/png;base64,{code}'></p>"


def _events(record: Record) -> str:
    rows = "".join(
        f"<tr><td>{record.clock(e.time_ns):%H:%M:%S}</td><td>{escape(event_words(e))}</td></tr>"
        for e in record.events
        if e.kind in _KEPT
    )
    if not rows:
        return "<p>Nothing besides the readings.</p>"
    return f"<table><tr><th>time</th><th>event</th></tr>{rows}</table>"


def _instruments(record: Record) -> str:
    profiles = {link.name: link.profile.title for link in record.setup.links}
    rows = "".join(
        "<tr>"
        f"<td>{escape(c.name)}</td><td>{escape(c.quantity.value if c.quantity else '')}</td>"
        f"<td>{escape(profiles.get(c.setup.link, '') if c.setup else 'typed in')}</td>"
        f"<td>{len(c.samples)}</td></tr>"
        for c in record.channels
    )
    head = "<tr><th>channel</th><th>quantity</th><th>instrument</th><th>readings</th></tr>"
    return f"<table>{head}{rows}</table>" if rows else "<p>Nothing was connected.</p>"
