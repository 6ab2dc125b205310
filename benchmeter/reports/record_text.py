"""A stored session as text for the terminal."""

from decimal import Decimal

from benchmeter.checking.check import PartCheck
from benchmeter.record.store import Store
from benchmeter.reports.not_tested import not_tested, unjudged_parts
from benchmeter.reports.session_record import FunctionStretch, Record, read_record
from benchmeter.reports.visit_table import visit_lines
from benchmeter.words.conclusion_words import conclusion_why
from benchmeter.words.durations import duration_text
from benchmeter.words.event_words import event_words
from benchmeter.words.meters import bias_notes, reference_check_words
from benchmeter.words.numbers import exact_text
from benchmeter.words.parts import part_label
from benchmeter.words.presentation import PLAIN, Presentation
from benchmeter.words.recovery_words import phase_words
from benchmeter.words.verdicts import verdict_in_words, why

__all__ = ["record_text"]


def record_text(store: Store, session_id: str, presentation: Presentation = PLAIN) -> str:
    """Some lines on a session: what was measured, what happened, what was found.

    Raises:
        NoSuchRecord: none of that id.
    """
    record = read_record(store, session_id)
    summary = record.summary
    text = presentation.text
    length = duration_text(summary.duration_ns / 1e9, presentation)
    lines = [
        summary.name or text("record_text.untitled"),
        f"{summary.id}",
        f"{record.clock(0):%Y-%m-%d %H:%M} {summary.zone}, {length}, "
        f"{summary.origin}, {summary.state.value}",
        *([summary.remark] if summary.remark else []),
        "",
        *visit_lines(record.visit, {c.number: c.part for c in record.part_checks()}, presentation),
        "",
        *_channels(record, presentation),
        "",
        *(f"{_clock(e.time_ns)}  {event_words(e, presentation)}" for e in record.events),
        "",
    ]
    for check in record.part_checks():
        lines += _part(check, presentation)
    for check in record.reference_checks():
        read_on = record.clock(check.sections[-1].taken[-1].time_ns).date()
        words = reference_check_words(check, read_on, presentation)
        lines.append(text("record_text.meter", words=words))
    recovery = record.recovery()
    if recovery is not None:
        words = phase_words(recovery, presentation)
        lines.append(text("record_text.recovery", words=words))
    lines += ["", *unjudged_parts(store, record, presentation), *not_tested(record, presentation)]
    # A line break in what somebody wrote must not pass for a line of ours.
    return "\n".join(" ".join(line.splitlines()) for line in lines)


def _channels(record: Record, presentation: Presentation) -> list[str]:
    text = presentation.text
    if not record.channels:
        return [text("record_text.no_channel")]
    lines = []
    for c in record.channels:
        what = ", ".join(quantity.value for quantity in c.quantities)
        if what:
            code = "record_text.channel_of"
            lines.append(text(code, channel=c.name, count=len(c.samples), quantities=what))
        else:
            lines.append(text("record_text.channel", channel=c.name, count=len(c.samples)))
        if len(c.stretches) > 1:
            lines += [f"    {_stretch(stretch, presentation)}" for stretch in c.stretches]
    return lines


def _stretch(stretch: FunctionStretch, presentation: Presentation) -> str:
    """Between two turns of the knob: never more than one quantity in a line."""
    times, values = stretch.samples.time_ns, stretch.samples.value
    text, count, quantity = presentation.text, len(times), stretch.quantity
    clock = _clock(int(times[0])).strip()
    known = values[values == values]  # NaN is no value
    if quantity is None:
        return text("record_text.stretch_unknown", clock=clock, count=count)
    if not len(known):
        return text("record_text.stretch_empty", clock=clock, count=count, quantity=quantity.value)
    unit = quantity.plain_unit.symbol
    lowest, highest = (Decimal(repr(float(v))) for v in (known.min(), known.max()))
    return text(
        "record_text.stretch",
        clock=clock,
        count=count,
        quantity=quantity.value,
        low=presentation.number(exact_text(lowest, presentation.unit(unit))),
        high=presentation.exact(highest, unit),
    )


def _part(check: PartCheck, presentation: Presentation) -> list[str]:
    if check.verdict is None:
        return []
    kind, verdict = check.kind, check.verdict
    label = part_label(check.rating, kind)
    rules = {rule.name: rule for rule in kind.conclusions}
    return [
        presentation.text(
            "record_text.part",
            part=check.part,
            label=label,
            verdict=verdict_in_words(verdict.verdict, presentation),
        ),
        *(f"    {s.section.name}: {why(s, presentation)}" for s in verdict.sections),
        *(
            f"    {c.name}: {conclusion_why(c, rules[c.name], presentation)}"
            for c in verdict.conclusions
            if c.name in rules
        ),
        *(f"    {note}" for note in bias_notes(check, presentation)),
    ]


def _clock(time_ns: int) -> str:
    minutes, seconds = divmod(time_ns // 1_000_000_000, 60)
    return f"{minutes:3d}:{seconds:02d}"
