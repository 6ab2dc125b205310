"""Connections: what is plugged in, what it measures."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from urllib.parse import quote

from benchmeter.errors import Message
from benchmeter.links.instruments.discovery import PortFound
from benchmeter.links.instruments.profile import Profile
from benchmeter.links.instruments.setup import Role
from benchmeter.scenes.offer import Offer
from benchmeter.words.presentation import Presentation

__all__ = [
    "ChosenInstrument",
    "ConnectionsAct",
    "ConnectionsScene",
    "Looked",
    "RoleChoice",
    "choose_instrument",
    "connections_scene",
    "port_title",
    "port_trouble",
    "profile_hinted",
    "role_choices",
]

# In the order of offering; a meter that tells what its knob is set to can be any.
_ROLES = (
    Role.METER,
    Role.CAPACITOR,
    Role.DISCHARGE,
    Role.OUTDOOR,
    Role.PROBE,
    Role.RESIDUAL,
)


class Looked(StrEnum):
    """How the look for cables went."""

    NOT_YET = "not yet"
    LOOKING = "looking"
    FAILED = "failed"
    DONE = "done"


class ConnectionsAct(StrEnum):
    """The actions, in the order of their buttons."""

    ADD = "add"
    LOOK = "look"
    CONNECT = "connect"
    REMOVE = "remove"
    BY_HAND = "by hand"
    SIMULATED = "simulated"


@dataclass(frozen=True, slots=True)
class RoleChoice:
    """What one value of an instrument may be for; another name can be typed.

    `chosen`: place in `names`.
    """

    title: str
    names: tuple[str, ...]
    chosen: int


@dataclass(frozen=True, slots=True)
class ChosenInstrument:
    """An instrument that is to be recorded: its address, and how it is listed."""

    address: str
    words: str


@dataclass(frozen=True, slots=True)
class ConnectionsScene:
    """What the page shows around its form."""

    found: str
    next_step: str
    actions: Mapping[ConnectionsAct, Offer]


def connections_scene(
    looked: Looked, ports: int, chosen: int, tell: Presentation, *, opening: bool
) -> ConnectionsScene:
    """The page as it is to be drawn.

    Args:
        ports: how many were found.
        chosen: how many instruments are listed for the recording.
        opening: a session is being opened.
    """
    if opening:
        following = "page_connections.connecting"
    elif chosen:
        following = "page_connections.add_another_instrument_or"
    else:
        following = "page_connections.choose_cable_kind_instrument"
    return ConnectionsScene(
        _found(looked, ports, tell), tell.text(following), _actions(chosen, tell, opening)
    )


def _found(looked: Looked, ports: int, tell: Presentation) -> str:
    match looked:
        case Looked.NOT_YET:
            return ""
        case Looked.LOOKING:
            return tell.text("page_connections.looking_what_plugged")
        case Looked.FAILED:
            return tell.text("page_connections.ports_could_not_listed")
    if not ports:
        return tell.text("page_connections.no_cable_found_plug")
    if ports == 1:
        return tell.text("page_connections.one_cable_found")
    return tell.text("page_connections.number_cables_found", number=ports)


def _actions(chosen: int, tell: Presentation, opening: bool) -> Mapping[ConnectionsAct, Offer]:
    busy = tell.text("page_connections.connecting") if opening else ""
    empty = "" if chosen else tell.text("page_connections.nothing_chosen")
    return {
        ConnectionsAct.ADD: Offer(tell.text("page_connections.add_instrument")),
        ConnectionsAct.LOOK: Offer(tell.text("page_connections.look_again")),
        ConnectionsAct.CONNECT: Offer(
            tell.text("page_connections.connect_record"), why_not=busy or empty, primary=True
        ),
        ConnectionsAct.REMOVE: Offer(tell.text("page_connections.take_out"), why_not=empty),
        ConnectionsAct.BY_HAND: Offer(tell.text("page_connections.only_type_readings")),
        ConnectionsAct.SIMULATED: Offer(
            tell.text("page_connections.simulated_bench"), why_not=busy
        ),
    }


# --- the form ---------------------------------------------------------------------------------


def port_title(port: PortFound) -> str:
    """A port in a line of the list."""
    return f"{port.device}  ·  {port.description}  ·  {port.state.value}"


def port_trouble(port: PortFound, tell: Presentation) -> str:
    """Why it cannot be opened, and what to do; "" where it can."""
    return "" if port.reason is None else str(tell.tell(port.reason))


def profile_hinted(port: PortFound, profiles: Sequence[Profile]) -> int | None:
    """Place of the first profile that this adapter hints at; None: of none."""
    return next((n for n, profile in enumerate(profiles) if profile.name in port.profiles), None)


def role_choices(profile: Profile, tell: Presentation) -> tuple[RoleChoice, ...]:
    """What each value of an instrument of that kind may be for."""
    choices = []
    for number, channel in enumerate(profile.channels):
        names = [
            role.value
            for role in _ROLES
            if channel.quantity is None or channel.quantity is role.quantity
        ]
        own = channel.field or (channel.quantity.value if channel.quantity else "")
        if own and own not in names:
            names.append(own)
        if len(profile.channels) == 1:
            title = tell.text("page_connections.what_does_measure")
        else:
            name = channel.field or str(number + 1)
            title = tell.text("page_connections.what_does_value_name", name=name)
        choices.append(RoleChoice(title, tuple(names), min(number, len(names) - 1)))
    return tuple(choices)


def choose_instrument(
    typed: str, port: PortFound | None, profile: Profile | None, names: Sequence[str]
) -> ChosenInstrument | Message:
    """The instrument that the form describes, or what it lacks.

    Args:
        typed: what stands in the field for the port.
        port: the one that was chosen from the list, if any.
        names: what its values are for, as typed.
    """
    path = typed.strip()
    if port is not None and path == port_title(port):
        path = port.stable_path or port.device
    if not path or profile is None:
        return Message("page_connections.nothing_added")
    names = [name.strip() for name in names]
    address = f"serial:{path}?profile={profile.name}"
    if all(names):
        address += f"&channel={','.join(quote(name) for name in names)}"
    what = ", ".join(filter(None, names)) or profile.title
    return ChosenInstrument(address, f"{what}:  {path}  ({profile.title})")
