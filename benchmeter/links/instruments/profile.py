"""A profile joins line settings, wire format, channels and accuracy of a kind of instrument.

One TOML file each, in `resources/instruments` and in the user's data folder
(`<data>/instruments`). The fields below are the file's format; the file's name is the profile's.
"""

from datetime import date
from typing import TYPE_CHECKING, Union

from benchmeter.links.instruments.formats.known_formats import FORMATS
from benchmeter.links.instruments.formats.wire_format import (
    ChannelOfProfile,
    LineSettings,
    ProfileTable,
)

__all__ = ["ChannelOfProfile", "LineSettings", "Profile", "UsbIdentity"]

if TYPE_CHECKING:
    Format = ProfileTable
else:
    Format = Union[tuple(FORMATS)]  # noqa: UP007 - of as many as there are files


class UsbIdentity(ProfileTable, frozen=True, kw_only=True):
    """What the operating system tells of a USB adapter; numbers are hexadecimal text."""

    vendor: str
    product: str = ""
    text: str = ""  # part of the product text, case folded


class Profile(ProfileTable, frozen=True, kw_only=True):
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
        calibrated: the day on which it was calibrated last, likewise.
        serial: its serial number, likewise; "" not known.
    """

    name: str = ""
    title: str
    about: str = ""
    line: LineSettings = LineSettings()
    format: Format
    channels: tuple[ChannelOfProfile, ...]
    usb: tuple[UsbIdentity, ...] = ()
    calibration_due: date | None = None
    calibrated: date | None = None
    serial: str = ""
