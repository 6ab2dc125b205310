"""What each instrument is, and by which of its accuracy lines the verdicts were given."""

from collections.abc import Iterator

from benchmeter.links.instruments.setup import Role
from benchmeter.reports.accuracy_used import lines_used, probe_line
from benchmeter.reports.session_record import Record
from benchmeter.words.presentation import Presentation

__all__ = ["instrument_facts"]


def instrument_facts(record: Record, presentation: Presentation) -> Iterator[str]:
    """A sentence an instrument, then one for what was typed in."""
    text = presentation.text
    none = text("visit.not_stated")
    used = _lines_by_channel(record)
    for link in record.setup.links:
        profile = link.profile
        channels = [c.name for c in record.setup.channels if c.link == link.name]
        yield text(
            "report.instrument_facts",
            title=profile.title,
            serial=profile.serial or none,
            calibrated=profile.calibrated.isoformat() if profile.calibrated else none,
            due=profile.calibration_due.isoformat() if profile.calibration_due else none,
            accuracy=_accuracy(used, channels, presentation),
        )
    known = {c.name for c in record.setup.channels}
    typed = [c.name for c in record.channels if c.name not in known]
    if typed:
        accuracy = _accuracy(used, typed, presentation)
        yield text("report.by_hand_facts", channels=", ".join(typed), accuracy=accuracy)


def _accuracy(used: dict[str, list[str]], channels: list[str], presentation: Presentation) -> str:
    lines = dict.fromkeys(line for channel in channels for line in used.get(channel, ()))
    return "; ".join(lines) or presentation.text("report.none_used")


def _lines_by_channel(record: Record) -> dict[str, list[str]]:
    """Lines that went into a verdict, or stand beside the temperatures of the recovery."""
    found: dict[str, list[str]] = {}
    for check in record.part_checks():
        if check.verdict is not None:
            found.setdefault(check.channel, []).extend(lines_used(check, check.verdict))
    if record.recovery() is not None:
        air = (c for c in record.channels if c.role in (Role.DISCHARGE, Role.OUTDOOR))
        for channel in air:
            if (line := probe_line(channel)) is not None:
                found.setdefault(channel.name, []).append(line.text)
    return found
