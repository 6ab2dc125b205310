"""What must hold between the fields of a profile, beyond their types."""

import math
import re
from collections.abc import Iterator

from benchmeter.conformity.accuracy import parse_accuracy
from benchmeter.errors import InputError, Message
from benchmeter.links.instruments.formats.known_formats import format_of
from benchmeter.links.instruments.profile import Profile
from benchmeter.quantities.units import find_unit

__all__ = ["faults_of"]

_MOST_COUNTS = 10**9


def faults_of(profile: Profile) -> list[Message]:
    """What is wrong, each as "field must be so"; empty if nothing is."""
    of_format = format_of(profile.format).faults(profile.format, profile.channels)
    return [*_line_faults(profile), *_channel_faults(profile), *of_format]


def _line_faults(profile: Profile) -> Iterator[Message]:
    if not profile.title.strip():
        yield Message("instruments.not_empty", {"field": "title"})
    if profile.line.baud <= 0:
        yield Message("instruments.above_zero", {"field": "line.baud"})
    if not 0 <= profile.line.settle_ms <= 60_000:
        yield Message("instruments.between", {"field": "line.settle_ms", "low": 0, "high": 60_000})
    for i, usb in enumerate(profile.usb):
        for name, number in (("vendor", usb.vendor), ("product", usb.product)):
            if number and not re.fullmatch("[0-9a-fA-F]{1,4}", number):
                yield Message("instruments.hexadecimal", {"field": f"usb[{i}].{name}"})


def _channel_faults(profile: Profile) -> Iterator[Message]:
    if not profile.channels:
        yield Message("instruments.entry_needed", {"field": "channels"})
    fields = [channel.field for channel in profile.channels]
    if len(set(fields)) < len(fields):
        yield Message("instruments.fields_differ", {"field": "channels"})
    for i, channel in enumerate(profile.channels):
        limits = [("lowest", channel.lowest), ("highest", channel.highest)]
        limits += [("doubtful", number) for number in channel.doubtful]
        for name, limit in limits:
            if limit is not None and not math.isfinite(limit):
                yield Message("instruments.finite", {"field": f"channels[{i}].{name}"})
            if limit is not None and not (channel.unit or channel.quantity):
                yield Message("instruments.unit_needed", {"field": f"channels[{i}].{name}"})
        for quantity, ms in channel.conversion_ms.items():
            if not 0 < ms <= 60_000:
                yield Message(
                    "instruments.between",
                    {"field": f"channels[{i}].conversion_ms.{quantity}", "low": 1, "high": 60_000},
                )
        lowest, highest = channel.lowest, channel.highest
        if lowest is not None and highest is not None and lowest > highest:
            yield Message("instruments.lowest_above_highest", {"field": f"channels[{i}].lowest"})
        if channel.counts is not None:
            field = {"field": f"channels[{i}].counts"}
            if not format_of(profile.format).as_text:
                yield Message("instruments.counts_of_text", field)
            elif not 100 <= channel.counts <= _MOST_COUNTS:
                yield Message("instruments.between", {**field, "low": 100, "high": _MOST_COUNTS})
        kind = channel.quantity.kind if channel.quantity else ""
        judged = channel.quantity is None or channel.quantity.row.count_unit is not None
        if channel.accuracy and judged:
            try:
                parse_accuracy(channel.accuracy, kind)
            except InputError as why:
                yield Message(
                    "files.fault", {"field": f"channels[{i}].accuracy", "why": why.message}
                )
        if channel.unit:
            try:
                find_unit(channel.unit, kind)
            except InputError as why:
                yield Message("files.fault", {"field": f"channels[{i}].unit", "why": why.message})
