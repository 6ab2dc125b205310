"""The segments of a handheld meter's display: table and checks."""

from collections.abc import Iterator

import msgspec

from benchmeter.errors import InputError, Message
from benchmeter.links.decoders.decoder import Decoder
from benchmeter.links.decoders.lcd14 import Lcd14Decoder
from benchmeter.links.instruments.formats.wire_format import (
    ChannelOfProfile,
    LineSettings,
    ProfileTable,
    WireFormat,
    field_of,
)
from benchmeter.links.instruments.talk import Listening
from benchmeter.quantities.units import find_unit

__all__ = ["FORMAT", "LcdFormat"]


class LcdFormat(ProfileTable, frozen=True, tag="lcd14", tag_field="kind", kw_only=True):
    """The 14-byte LCD-segment frame of handheld meters. `user_symbols`: bit 0 to 3 -> unit."""

    user_symbols: dict[str, str] = msgspec.field(default_factory=dict)


def _faults(lcd: LcdFormat, channels: tuple[ChannelOfProfile, ...]) -> Iterator[Message]:
    if len(channels) > 1:
        yield Message("instruments.one_value", {"field": "channels"})
    for bit, unit in lcd.user_symbols.items():
        if bit not in ("0", "1", "2", "3"):
            yield Message("instruments.bit", {"field": "format.user_symbols", "bit": bit})
        try:
            find_unit(unit)
        except InputError as why:
            yield Message(
                "files.fault", {"field": f"format.user_symbols.{bit}", "why": why.message}
            )


def _decoder(lcd: LcdFormat, channels: tuple[ChannelOfProfile, ...]) -> Decoder:
    own = {int(bit): unit for bit, unit in lcd.user_symbols.items()}
    return Lcd14Decoder(field_of(channels[0]), own)


def _conversation(lcd: LcdFormat, line: LineSettings) -> Listening:
    return Listening()


FORMAT = WireFormat(LcdFormat, _decoder, _conversation, _faults)
