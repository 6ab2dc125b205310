"""The meter on the page: what reference parts said of it in this session."""

from html import escape

from benchmeter.reports.session_record import Record
from benchmeter.words.meters import reference_check_words
from benchmeter.words.presentation import Presentation

__all__ = ["meter_block"]


def meter_block(record: Record, presentation: Presentation) -> str:
    """A sentence for each reading of a reference part; "" without any."""
    words = [
        reference_check_words(
            check, record.clock(check.sections[-1].taken[-1].time_ns).date(), presentation
        )
        for check in record.reference_checks()
    ]
    if not words:
        return ""
    return "<h2>The meter</h2>" + "".join(f"<p>{escape(w)}</p>" for w in words)
