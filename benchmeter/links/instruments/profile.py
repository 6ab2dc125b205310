"""A profile joins line settings, wire format, channels and accuracy of a kind of instrument.

One TOML file each, in `resources/instruments` and in the user's data folder
(`<data>/instruments`). The fields below are the file's format; the file's name is the profile's.
"""

from datetime import date
from typing import Literal

import msgspec

from benchmeter.quantities.quantity import Quantity

__all__ = [
    "ChannelOfProfile",
    "LcdFormat",
    "LineSettings",
    "ModbusFormat",
    "Profile",
    "Register",
    "ScpiFormat",
    "TextFormat",
    "UsbIdentity",
]


class _Table(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    pass


class LineSettings(_Table, frozen=True, kw_only=True):
    """How the port is set up. `settle_ms`: wait after opening, then drop what came."""

    baud: int = 9600
    data_bits: Literal[5, 6, 7, 8] = 8
    parity: Literal["none", "even", "odd"] = "none"
    stop_bits: Literal[1, 2] = 1
    flow: Literal["none", "xon/xoff", "rts/cts", "dtr/dsr"] = "none"
    dtr: bool | None = None
    rts: bool | None = None
    settle_ms: int = 0


class UsbIdentity(_Table, frozen=True, kw_only=True):
    """What the operating system tells of a USB adapter; numbers are hexadecimal text."""

    vendor: str
    product: str = ""
    text: str = ""  # part of the product text, case folded


class ChannelOfProfile(_Table, frozen=True, kw_only=True):
    """One value that the instrument delivers.

    Attributes:
        field: as the wire format names it; "" where there is one value only.
        quantity: what it measures; absent where the meter says so itself.
        unit: unit of the number on the wire, where the format does not carry it. Absent with
            SCPI: the base unit, °C for a temperature, % for a duty cycle.
        accuracy: "1.2 % + 2 x 0.1 uF"; of several functions and ranges, parted by semicolons or
            on lines of their own: "capacitance 1.2 % + 2 counts; resistance up to 600 ohm
            0.8 % + 5 counts"; "" if not known.
        lowest, highest: plausible range, in `unit`; outside it a reading is suspect.
        doubtful: numbers in `unit` that are suspect wherever they appear: many digital probes
            show exactly 85 °C after power-up (Linux kernel documentation of w1_therm).
    """

    field: str = ""
    quantity: Quantity | None = None
    unit: str = ""
    accuracy: str = ""
    lowest: float | None = None
    highest: float | None = None
    doubtful: tuple[float, ...] = ()


class ScpiFormat(_Table, frozen=True, tag="scpi", tag_field="kind", kw_only=True):
    """IEEE 488.2 messages over a serial line.

    Attributes:
        identify: asks for the identity, once after opening and to find step again; "" for none.
        start: sent once after identification, without reply.
        ask_function: asks what the meter is set to ("FUNC?"); "" where the channel fixes it.
        functions: reply of `ask_function` (quotes removed, upper case) -> quantity, besides the
            standard's own names, which are built in.
        confirm_function: the function is asked once more behind each value, and only a value
            between two like answers counts: the knob may be turned while the meter measures.
        read: asks for the value(s): "READ?".
        terminator: ends what we send.
        period_ms: from one question to the next round.
        timeout_ms: how long a reply may take.
        read_timeout_ms: how long a value may take, which must be measured first; absent: as long
            as any reply.
        farewell: sent before closing ("SYST:LOC").
    """

    identify: str = "*IDN?"
    start: tuple[str, ...] = ()
    ask_function: str = ""
    functions: dict[str, Quantity] = {}
    confirm_function: bool = False
    read: str = "READ?"
    terminator: str = "\n"
    period_ms: int = 250
    timeout_ms: int = 2000
    read_timeout_ms: int | None = None
    farewell: tuple[str, ...] = ()


class LcdFormat(_Table, frozen=True, tag="lcd14", tag_field="kind", kw_only=True):
    """The 14-byte LCD-segment frame of handheld meters. `user_symbols`: bit 0 to 3 -> unit."""

    user_symbols: dict[str, str] = {}


class TextFormat(_Table, frozen=True, tag="text", tag_field="kind", kw_only=True):
    """Lines of text, several values in a line.

    Attributes:
        pattern: regular expression with named groups, for whole lines. Group NAME is the value of
            field NAME ("value" that of a channel without a field); NAME_unit, if present, its unit.
        overload, no_value: words that stand in place of a number.
        ask: sent every `period_ms`, for instruments that must be asked; "" for none.
    """

    pattern: str
    overload: tuple[str, ...] = ("OL", "0L", "O.L", "0.L", "OVL")
    no_value: tuple[str, ...] = ("---", "--", "----", "N/A")
    open_probe: tuple[str, ...] = ("OPEN", "Err")
    ask: str = ""
    terminator: str = "\r\n"
    period_ms: int = 500
    longest: int = 256


class Register(_Table, frozen=True, kw_only=True):
    """A value in the registers of a Modbus device. Value = raw × scale + offset, in `unit`.

    Attributes:
        field: name of the value.
        device: that holds it, where several hang on one line; absent: the format's.
        function: 3 holding registers, 4 input registers.
        address: counted from 0, as on the wire.
        type: how the registers are read.
        words: order of the two words of a 32-bit value.
        overload, open_probe: raw numbers that are no value but say why there is none.
    """

    field: str
    device: int | None = None
    function: Literal[3, 4] = 3
    address: int
    type: Literal["int16", "uint16", "int32", "uint32", "float32"] = "int16"
    words: Literal["big", "little"] = "big"
    scale: str = "1"
    offset: str = "0"
    overload: tuple[int, ...] = ()
    open_probe: tuple[int, ...] = ()


class ModbusFormat(_Table, frozen=True, tag="modbus", tag_field="kind", kw_only=True):
    """Modbus RTU (serial line guide V1.02)."""

    device: int = 1
    registers: tuple[Register, ...]
    period_ms: int = 500
    timeout_ms: int = 1000


Format = ScpiFormat | LcdFormat | TextFormat | ModbusFormat


class Profile(_Table, frozen=True, kw_only=True):
    """A kind of instrument.

    Attributes:
        name: file name without ending; set by the loader.
        title: for people, without any brand.
        about: what it fits, one or two sentences.
        line: how the port is set up.
        format: the wire format.
        channels: at least one.
        usb: adapters that it is likely to hang on; only a hint.
        calibration_due: last day on which the user's own meter is in calibration, a TOML date;
            absent: not known. It stands in the user's copy of a profile: that is his meter.
    """

    name: str = ""
    title: str
    about: str = ""
    line: LineSettings = LineSettings()
    format: Format
    channels: tuple[ChannelOfProfile, ...]
    usb: tuple[UsbIdentity, ...] = ()
    calibration_due: date | None = None
