"""What must hold between the fields of a profile, beyond their types."""

import math
import re
import warnings
from collections.abc import Iterator
from decimal import Decimal, InvalidOperation

from benchmeter.conformity.accuracy import parse_accuracy
from benchmeter.errors import InputError, Message
from benchmeter.links.decoders.modbus import words_of
from benchmeter.links.decoders.text_lines import compiled, group_of
from benchmeter.links.instruments.profile import (
    ChannelOfProfile,
    LcdFormat,
    ModbusFormat,
    Profile,
    ScpiFormat,
    TextFormat,
)
from benchmeter.quantities.units import find_unit

__all__ = ["faults_of"]


def faults_of(profile: Profile) -> list[str | Message]:
    """What is wrong, each as "field must be so"; empty if nothing is."""
    faults: list[str | Message] = [*_line_faults(profile), *_channel_faults(profile)]
    match profile.format:
        case ScpiFormat() as scpi:
            faults += _scpi_faults(scpi, profile.channels)
        case LcdFormat() as lcd:
            faults += _lcd_faults(lcd, profile.channels)
        case TextFormat() as text:
            faults += _text_faults(text, profile.channels)
        case ModbusFormat() as modbus:
            faults += _modbus_faults(modbus, profile.channels)
    return faults


def _line_faults(profile: Profile) -> Iterator[str]:
    if not profile.title.strip():
        yield "title must not be empty"
    if profile.line.baud <= 0:
        yield "line.baud must be greater than 0"
    if not 0 <= profile.line.settle_ms <= 60_000:
        yield "line.settle_ms must be 0 to 60000"
    for i, usb in enumerate(profile.usb):
        for name, number in (("vendor", usb.vendor), ("product", usb.product)):
            if number and not re.fullmatch("[0-9a-fA-F]{1,4}", number):
                yield f"usb[{i}].{name} must be a hexadecimal number of four digits"


def _channel_faults(profile: Profile) -> Iterator[str | Message]:
    if not profile.channels:
        yield "channels must have at least one entry"
    fields = [channel.field for channel in profile.channels]
    if len(set(fields)) < len(fields):
        yield "channels must each have a field of their own"
    for i, channel in enumerate(profile.channels):
        limits = [("lowest", channel.lowest), ("highest", channel.highest)]
        limits += [("doubtful", number) for number in channel.doubtful]
        for name, limit in limits:
            if limit is not None and not math.isfinite(limit):
                yield f"channels[{i}].{name} must be a finite number"
            if limit is not None and not (channel.unit or channel.quantity):
                yield f"channels[{i}].{name} needs a unit beside it"
        lowest, highest = channel.lowest, channel.highest
        if lowest is not None and highest is not None and lowest > highest:
            yield f"channels[{i}].lowest must not be above highest"
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


def _asking_faults(period_ms: int, timeout_ms: int = 1) -> Iterator[str]:
    if not 0 < period_ms <= 3_600_000:
        yield "format.period_ms must be 1 to 3600000"
    if not 0 < timeout_ms <= 60_000:
        yield "format.timeout_ms must be 1 to 60000"


def _message_fault(name: str, message: str) -> Iterator[str]:
    if not message.isascii() or re.search(r"[\r\n]", message):
        yield f"format.{name} must be ASCII text without line ends"


def _scpi_faults(scpi: ScpiFormat, channels: tuple[ChannelOfProfile, ...]) -> Iterator[str]:
    yield from _asking_faults(scpi.period_ms, scpi.timeout_ms)
    if scpi.read_timeout_ms is not None and not 0 < scpi.read_timeout_ms <= 60_000:
        yield "format.read_timeout_ms must be 1 to 60000"
    questions = {"identify": scpi.identify, "ask_function": scpi.ask_function, "read": scpi.read}
    for name, question in questions.items():
        yield from _message_fault(name, question)
        if "?" not in question and (question or name == "read"):
            yield f"format.{name} must be a question, with “?”"
    asked = [question.strip() for question in questions.values() if question]
    if len(set(asked)) < len(asked):
        yield "format.identify, ask_function and read must differ"
    for name, messages in (("start", scpi.start), ("farewell", scpi.farewell)):
        for message in messages:
            yield from _message_fault(name, message)
            if "?" in message:
                yield f"format.{name} must hold commands without reply"
    if scpi.confirm_function and not scpi.ask_function:
        yield "format.confirm_function needs format.ask_function"
    if not re.fullmatch(r"[\r\n]+", scpi.terminator):
        yield "format.terminator must be a line end"
    for i, channel in enumerate(channels):
        if channel.quantity is None and (i or not scpi.ask_function):
            why = "only the first may be asked for" if i else "format.ask_function is not given"
            yield f"channels[{i}].quantity is missing: {why}"


def _lcd_faults(lcd: LcdFormat, channels: tuple[ChannelOfProfile, ...]) -> Iterator[str | Message]:
    if len(channels) > 1:
        yield "channels must have one entry: the display shows one value"
    for bit, unit in lcd.user_symbols.items():
        if bit not in ("0", "1", "2", "3"):
            yield f"format.user_symbols: {bit} must be a bit from 0 to 3"
        try:
            find_unit(unit)
        except InputError as why:
            yield Message(
                "files.fault", {"field": f"format.user_symbols.{bit}", "why": why.message}
            )


def _text_faults(text: TextFormat, channels: tuple[ChannelOfProfile, ...]) -> Iterator[str]:
    yield from _asking_faults(text.period_ms)
    yield from _message_fault("ask", text.ask)
    if text.ask and not text.terminator.isascii():
        yield "format.terminator must be ASCII text"
    if not 8 <= text.longest <= 4096:
        yield "format.longest must be 8 to 4096"
    try:
        with warnings.catch_warnings():
            # "[[a]" may come to mean another thing: better refused now than read otherwise then.
            warnings.simplefilter("error", FutureWarning)
            groups = set(compiled(text.pattern).groupindex)
    except (re.error, FutureWarning, OverflowError, RecursionError) as error:
        yield f"format.pattern is no regular expression: {error}"
        return
    for i, channel in enumerate(channels):
        group = group_of(channel.field)
        if group not in groups:
            yield f"format.pattern has no group “{group}”, which channels[{i}] needs"
        elif f"{group}_unit" not in groups and not (channel.unit and channel.quantity):
            yield (
                f"channels[{i}] needs quantity and unit: format.pattern has no group “{group}_unit”"
            )


def _modbus_faults(modbus: ModbusFormat, channels: tuple[ChannelOfProfile, ...]) -> Iterator[str]:
    yield from _asking_faults(modbus.period_ms, modbus.timeout_ms)
    if not 1 <= modbus.device <= 247:
        yield "format.device must be 1 to 247"
    fields = [register.field for register in modbus.registers]
    if len(set(fields)) < len(fields):
        yield "format.registers must each have a field of their own"
    used = {channel.field for channel in channels}
    for i, register in enumerate(modbus.registers):
        where = f"format.registers[{i}]"
        if register.field not in used:
            yield f"{where}.field: no channel has the field “{register.field}”"
        if register.device is not None and not 1 <= register.device <= 247:
            yield f"{where}.device must be 1 to 247"
        if not 0 <= register.address <= 0x10000 - words_of(register.type):
            yield f"{where}.address must be 0 to {0x10000 - words_of(register.type)}"
        for name, text in (("scale", register.scale), ("offset", register.offset)):
            try:
                number = Decimal(text)
            except InvalidOperation:
                yield f"{where}.{name} must be a number in quotes"
                continue
            if not number.is_finite() or (name == "scale" and not number):
                yield f"{where}.{name} must be a finite number" + " other than 0" * (
                    name == "scale"
                )
    for i, channel in enumerate(channels):
        if channel.field not in fields:
            yield f"channels[{i}].field: format.registers has no field “{channel.field}”"
        if channel.quantity is None:
            yield f"channels[{i}].quantity is missing: a register does not tell it"
        elif not channel.unit:
            yield f"channels[{i}].unit is missing: a register does not tell it"
