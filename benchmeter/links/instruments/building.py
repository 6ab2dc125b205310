"""From a profile to what reads the bytes, and to what asks for them."""

from decimal import Decimal

from benchmeter.links.decoders.decoder import Decoder
from benchmeter.links.decoders.lcd14 import Lcd14Decoder
from benchmeter.links.decoders.modbus import ModbusDecoder, RegisterField
from benchmeter.links.decoders.scpi import ScpiDecoder
from benchmeter.links.decoders.shown_number import ShownField, base_unit
from benchmeter.links.decoders.text_lines import TextDecoder
from benchmeter.links.instruments.conversations import (
    Listening,
    ModbusConversation,
    ScpiConversation,
    TextConversation,
)
from benchmeter.links.instruments.profile import (
    ChannelOfProfile,
    LcdFormat,
    ModbusFormat,
    Profile,
    ScpiFormat,
    TextFormat,
)
from benchmeter.links.ports.source import Conversation
from benchmeter.quantities.units import Unit, find_unit, to_si

__all__ = ["conversation_for", "decoder_for"]


def decoder_for(profile: Profile) -> Decoder:
    """A fresh decoder for one link with an instrument of that profile."""
    fields = [_field(channel) for channel in profile.channels]
    match profile.format:
        case ScpiFormat() as scpi:
            return ScpiDecoder(
                fields,
                identify=scpi.identify,
                ask_function=scpi.ask_function,
                read=scpi.read,
                functions=scpi.functions,
                confirm_function=scpi.confirm_function,
            )
        case LcdFormat() as lcd:
            own = {int(bit): unit for bit, unit in lcd.user_symbols.items()}
            return Lcd14Decoder(fields[0], own)
        case TextFormat() as text:
            return TextDecoder(
                text.pattern,
                fields,
                overload=text.overload,
                no_value=text.no_value,
                open_probe=text.open_probe,
                longest=text.longest,
            )
        case ModbusFormat() as modbus:
            return ModbusDecoder(_registers(modbus, fields))


def conversation_for(profile: Profile) -> Conversation:
    """What is to be said to an instrument of that profile, from the opening of the link on."""
    match profile.format:
        case ScpiFormat() as scpi:
            return ScpiConversation(scpi)
        case ModbusFormat() as modbus:
            return ModbusConversation(modbus, profile.line)
        case TextFormat() as text if text.ask:
            return TextConversation(text)
        case _:
            return Listening()


def _field(channel: ChannelOfProfile) -> ShownField:
    unit: Unit | None = None
    if channel.unit:
        unit = find_unit(channel.unit, channel.quantity.kind if channel.quantity else "")
    limits = unit or (base_unit(channel.quantity) if channel.quantity else None)

    def si(limit: float | None) -> float | None:
        return None if limit is None or limits is None else to_si(Decimal(repr(limit)), limits)

    return ShownField(
        channel.field,
        channel.quantity,
        unit,
        si(channel.lowest),
        si(channel.highest),
        tuple(value for value in map(si, channel.doubtful) if value is not None),
    )


def _registers(modbus: ModbusFormat, fields: list[ShownField]) -> list[RegisterField]:
    by_name = {field.name: field for field in fields}
    found = []
    for register in modbus.registers:
        field = by_name[register.field]
        assert field.quantity is not None, "the loader has checked it"
        found.append(
            RegisterField(
                field,
                field.quantity,
                register.function,
                register.address,
                register.type,
                register.words,
                Decimal(register.scale),
                Decimal(register.offset),
                frozenset(register.overload),
                frozenset(register.open_probe),
                modbus.device if register.device is None else register.device,
            )
        )
    return found
