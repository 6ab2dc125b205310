"""Which of a meter's accuracy lines went into the verdicts, and what the probes are worth."""

from decimal import Decimal

from benchmeter.checking.part_check import PartCheck
from benchmeter.conformity.accuracy import parse_accuracy
from benchmeter.conformity.uncertainty import COVERAGE_FACTOR, half_width, standard_uncertainty
from benchmeter.conformity.verdict import Accuracy
from benchmeter.parts.conclusion import PartVerdict
from benchmeter.quantities.quantity import Quantity
from benchmeter.reports.session_record import ChannelRecord

__all__ = ["lines_used", "probe_line", "probe_uncertainty_k"]


def lines_used(check: PartCheck, verdict: PartVerdict) -> tuple[str, ...]:
    """The lines by which the readings were judged, as they are written."""
    if check.accuracy is None:
        return ()
    judged = (s for s in verdict.sections if s.reading_si is not None and s.half_width_si)
    lines = (
        check.accuracy.line_for(
            s.section.quantity, s.reading_si or Decimal(0), s.section.instrument
        )
        for s in judged
    )
    return tuple(dict.fromkeys(_written(line, check.accuracy) for line in lines if line))


def probe_line(channel: ChannelRecord | None) -> Accuracy | None:
    """The line of a temperature probe; None: its accuracy is not stated."""
    if channel is None or channel.setup is None or not channel.setup.accuracy:
        return None
    whole = parse_accuracy(channel.setup.accuracy, Quantity.TEMPERATURE.kind)
    return whole.line_for(Quantity.TEMPERATURE, Decimal(0))


def probe_uncertainty_k(channel: ChannelRecord | None) -> float | None:
    """U of a probe's readings, k = 2, by its accuracy line; None: it cannot be told."""
    line = probe_line(channel)
    if channel is None or line is None:
        return None
    steps = [step for step in channel.samples.resolution[-1:].tolist() if step > 0]
    found = half_width(Decimal(0), line, Decimal(repr(steps[0])) if steps else None)
    return None if found is None else COVERAGE_FACTOR * standard_uncertainty(found, 0)


def _written(line: Accuracy, whole: Accuracy) -> str:
    """With its function and range, which stand in the text of all lines only."""
    lines = (whole, *whole.more)
    written = [part.strip() for part in whole.text.split(";")]
    return written[lines.index(line)] if len(written) == len(lines) else line.text
