"""Link texts, as given on the command line and kept with a session.

serial:PATH?profile=NAME[&channel=NAME,...][&baud=N][&device=N]
simulated:SCENARIO
"""

from dataclasses import dataclass
from urllib.parse import unquote

import msgspec

from benchmeter.errors import InputError
from benchmeter.files.folders import Folders
from benchmeter.links.instruments.formats.modbus_format import ModbusFormat
from benchmeter.links.instruments.profile import ChannelOfProfile, Profile
from benchmeter.links.instruments.profiles import all_profiles, load_profile
from benchmeter.links.instruments.setup import ChannelSetup, LinkSetup, Role
from benchmeter.links.ports.kinds.known_kinds import PORT_KINDS

__all__ = ["SerialAddress", "SimulatedAddress", "link_setup", "parse_address"]

_OPTIONS = ("profile", "channel", "baud", "device")
_HIGHEST_BAUD = 4_000_000
_HIGHEST_DEVICE = 247  # Modbus over serial line V1.02, 2.2
_FORMS = ("serial:PATH?profile=NAME&channel=NAME", "simulated:SCENARIO")

_ROLES = {role.value for role in Role}


@dataclass(frozen=True, slots=True)
class SerialAddress:
    """A serial link.

    Attributes:
        text: as the user gave it.
        path: device, or a link to one.
        channels: names in the order of the profile's channels; empty: named by the profile.
        baud, device: instead of the profile's own.
        kind: of port, as the text begins.
    """

    text: str
    path: str
    profile: str
    channels: tuple[str, ...] = ()
    baud: int | None = None
    device: int | None = None
    kind: str = "serial"


@dataclass(frozen=True, slots=True)
class SimulatedAddress:
    """The simulated bench, playing a scenario."""

    scenario: str


def parse_address(text: str) -> SerialAddress | SimulatedAddress:
    """Read a link text. Nothing is looked up and nothing is opened.

    Raises:
        InputError: it cannot be read; says which part is wrong.
    """
    kind, colon, rest = text.strip().partition(":")
    if not colon or kind not in ("simulated", *PORT_KINDS):
        raise InputError("links.no_link", link=text, forms=_FORMS)
    path, _, query = rest.partition("?")
    if kind == "simulated":
        if not path or query:
            raise InputError("links.no_scenario", link=text)
        return SimulatedAddress(path)
    if not path:
        raise InputError("links.no_path", link=text)
    options = _options(text, query)
    return SerialAddress(
        text=text,
        path=path,
        profile=options.get("profile", ""),
        channels=_channel_names(text, options["channel"]) if "channel" in options else (),
        baud=_number(text, options, "baud", _HIGHEST_BAUD),
        device=_number(text, options, "device", _HIGHEST_DEVICE),
        kind=kind,
    )


def link_setup(
    address: SerialAddress, folders: Folders, name: str
) -> tuple[LinkSetup, tuple[ChannelSetup, ...]]:
    """What a session records of this link.

    Args:
        folders: where the user's own profiles are.
        name: the link's name in the session.

    Raises:
        InputError: the profile is missing or not known, or does not go with the other options.
        DataFileError: the profile's file is broken.
    """
    if not address.profile:
        known, _ = all_profiles(folders)
        raise InputError("links.no_profile", link=address.text, profiles=[p.name for p in known])
    profile = _with_options(load_profile(address.profile, folders), address)
    link = LinkSetup(name=name, address=address.text, profile=profile)
    names = address.channels or _names_by_profile(profile, name)
    if len(names) != len(profile.channels):
        raise InputError(
            "links.channel_count",
            link=address.text,
            named=len(names),
            profile=profile.name,
            needed=len(profile.channels),
            names=_names_by_profile(profile, name),
        )
    channels = tuple(
        _channel(own, said, link) for own, said in zip(names, profile.channels, strict=True)
    )
    return link, channels


def _options(text: str, query: str) -> dict[str, str]:
    options: dict[str, str] = {}
    for part in query.split("&") if query else ():
        key, _, value = part.partition("=")
        value = unquote(value).strip()
        if key not in _OPTIONS:
            raise InputError("links.option_unknown", option=key, link=text, options=_OPTIONS)
        if key in options:
            raise InputError("links.option_twice", link=text, option=key)
        if not value:
            raise InputError("links.option_empty", link=text, option=key)
        options[key] = value
    return options


def _channel_names(text: str, value: str) -> tuple[str, ...]:
    names = tuple(name.strip() for name in value.split(","))
    for name in names:
        if not name or not name.isprintable():
            raise InputError("links.channel_unnamed", link=text)
        if names.count(name) > 1:
            raise InputError("links.channel_twice", link=text, channel=name)
    return names


def _number(text: str, options: dict[str, str], key: str, highest: int) -> int | None:
    if key not in options:
        return None
    value = options[key]
    if not (value.isascii() and value.isdigit() and 1 <= int(value) <= highest):
        raise InputError("links.no_number", value=value, link=text, option=key, highest=highest)
    return int(value)


def _with_options(profile: Profile, address: SerialAddress) -> Profile:
    if address.baud is not None:
        line = msgspec.structs.replace(profile.line, baud=address.baud)
        profile = msgspec.structs.replace(profile, line=line)
    if address.device is not None:
        if not isinstance(profile.format, ModbusFormat):
            raise InputError("links.device_needs_modbus", link=address.text, profile=profile.name)
        modbus = msgspec.structs.replace(profile.format, device=address.device)
        profile = msgspec.structs.replace(profile, format=modbus)
    return profile


def _names_by_profile(profile: Profile, link: str) -> tuple[str, ...]:
    """By field, else by quantity, else by link; numbered where that gives a name twice."""
    names: list[str] = []
    for channel in profile.channels:
        name = channel.field or (channel.quantity.value if channel.quantity else link)
        twins = sum(1 for other in names if other == name or other.startswith(f"{name} "))
        names.append(f"{name} {twins + 1}" if twins else name)
    return tuple(names)


def _channel(name: str, said: ChannelOfProfile, link: LinkSetup) -> ChannelSetup:
    role = Role(name) if name in _ROLES else Role.OTHER
    needed = role.quantity
    if needed is not None and said.quantity is not None and said.quantity is not needed:
        raise InputError(
            "links.channel_of_other_quantity",
            channel=name,
            quantity=needed,
            profile=link.profile.name,
            measured=said.quantity,
        )
    return ChannelSetup(
        name=name,
        role=role,
        link=link.name,
        field=said.field,
        quantity=said.quantity,
        accuracy=said.accuracy,
    )
