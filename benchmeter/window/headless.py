"""Drawing without a window: for reports, and where there is no display."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from PySide6.QtWidgets import QApplication

from benchmeter.links.instruments.setup import Role
from benchmeter.readings.events import EventKind
from benchmeter.record.store import Store
from benchmeter.reports.session_record import Record, read_record
from benchmeter.window.theme import fonts, palette
from benchmeter.window.theme.language import speak
from benchmeter.words.presentation import PLAIN, Presentation

__all__ = ["drawing", "save_picture", "session_picture"]

_SIZE = (880, 480)  # logical pixels: its letters are as large as those of the page
_SCALE = 2.0  # for paper
_ROLES = {Role.DISCHARGE: "discharge air", Role.OUTDOOR: "outdoor air"}


@contextmanager
def drawing() -> Iterator[None]:
    """A Qt application that needs no display, unless there is one already."""
    if QApplication.instance() is not None:
        yield
        return
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    app = QApplication(["benchmeter"])
    fonts.load()
    speak(app)
    palette.apply(app, palette.palette("day"), 1.0)
    try:
        yield
    finally:
        app.shutdown()


def session_picture(
    store: Store, session_id: str, presentation: Presentation = PLAIN
) -> bytes | None:
    """The temperatures of a session over time, as PNG; None where none were recorded."""
    record = read_record(store, session_id)
    if not any(c.setup and c.setup.role in _ROLES and len(c.samples) for c in record.channels):
        return None
    with TemporaryDirectory() as folder:
        path = Path(folder) / "picture.png"
        save_picture(record, path, presentation)
        return path.read_bytes()


def save_picture(record: Record, path: Path, presentation: Presentation = PLAIN) -> None:
    """Save the temperatures of a session over time as PNG, in the colours of the day.

    Raises:
        OSError: the file cannot be written.
    """
    from benchmeter.window.plot.recovery_plot import RecoveryPlot

    plot = RecoveryPlot()
    plot.set_look(palette.Theme(palette.palette("day"), presentation=presentation))
    plot.set_temperature_unit(presentation.temperature_unit)
    for channel in record.channels:
        if channel.setup is not None and channel.setup.role in _ROLES:
            plot.name_channel(channel.name, _ROLES[channel.setup.role])
            plot.add_readings(channel.name, channel.samples.time_ns / 1e9, channel.samples.value)
    for event in record.events:
        if event.kind is EventKind.GAP and event.until_ns is not None:
            if any(
                c.name == event.subject and c.setup and c.setup.role in _ROLES
                for c in record.channels
            ):
                plot.add_gap(event.subject, event.time_ns / 1e9, event.until_ns / 1e9)
        elif event.kind is EventKind.MARK:
            plot.mark(event.time_ns / 1e9, event.text)
    plot.show_recovery(record.recovery())
    plot.to_png(path, _SIZE, _SCALE)
    plot.deleteLater()
