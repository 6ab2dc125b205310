"""The meter on the page: what reference parts said of it in this session."""

from html import escape

from benchmeter.reporting.numbers import with_sign
from benchmeter.reporting.record import Record
from benchmeter.reporting.wording_meter import reference_check_words

__all__ = ["meter_block"]


def meter_block(record: Record, sign: str) -> str:
    """A sentence for each reading of a reference part; "" without any."""
    words = [
        reference_check_words(check, record.clock(check.sections[-1].taken[-1].time_ns).date())
        for check in record.reference_checks()
    ]
    if not words:
        return ""
    return "<h2>The meter</h2>" + "".join(f"<p>{escape(with_sign(w, sign))}</p>" for w in words)
