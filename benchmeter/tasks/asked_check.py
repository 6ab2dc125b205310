"""The part that a recording without a window judges, and the channel that it is judged by."""

from collections.abc import Sequence
from decimal import Decimal

import msgspec

from benchmeter.checking.channel_roles import ChannelRoles
from benchmeter.checking.check import begin_check
from benchmeter.checking.commands import BeginCheck
from benchmeter.checking.part_check import PartCheck
from benchmeter.conformity.verdict import Rule
from benchmeter.errors import InputError
from benchmeter.files.folders import Folders
from benchmeter.links.instruments.address import SerialAddress, link_setup, parse_address
from benchmeter.links.instruments.setup import ChannelSetup, Role
from benchmeter.parts.kind_catalogue import load_part_kind
from benchmeter.quantities.quantity import Quantity

__all__ = ["check_of"]


def check_of(
    folders: Folders,
    links: Sequence[str],
    *,
    kind: str | None = None,
    label: str = "",
    tolerance: str = "",
    accuracy: str = "",
    rule: str = Rule.GUARDED.value,
) -> BeginCheck:
    """The check that is asked for, as it is typed.

    Args:
        links: what the session will be recorded from.
        kind: name of the part's kind; None: a capacitor by its label.
        accuracy: the meter's lines; "": those of its profile.

    Raises:
        InputError: kind, label, tolerance or accuracy are not understood, no channel can be judged,
            or a measurement would have to be typed.
        DataFileError: the file of the kind is broken.
    """
    command = BeginCheck(
        time_ns=0,
        part="part",
        label=label,
        kind=None if kind is None else load_part_kind(kind.strip(), folders),
        tolerance=tolerance,
        accuracy=accuracy,
        rule=rule,
    )
    check = begin_check(1, command, Decimal(0))
    channels = _channels(folders, links)
    _refuse_typed(check, channels)
    meter = _meter(check, channels)
    return msgspec.structs.replace(command, channel=meter.name, accuracy=accuracy or meter.accuracy)


def _channels(folders: Folders, links: Sequence[str]) -> list[ChannelSetup]:
    """What the links deliver."""
    found: list[ChannelSetup] = []
    for address in map(parse_address, links):
        if isinstance(address, SerialAddress):
            found += link_setup(address, folders, address.path)[1]
        else:
            from benchmeter.simulator.scenario import load_scenario
            from benchmeter.simulator.virtual_bench import setup_of

            found += setup_of(load_scenario(address.scenario, folders)).channels
    return found


def _meter(check: PartCheck, channels: list[ChannelSetup]) -> ChannelSetup:
    quantities = {s.section.quantity for s in check.sections}
    found = ChannelRoles(tuple(channels)).meter_for(quantities)
    if found is None:
        capacitor = quantities == {Quantity.CAPACITANCE}
        roles = (Role.METER, Role.CAPACITOR) if capacitor else (Role.METER,)
        names = [f"“{role.value}”" for role in roles]
        raise InputError("tasks.no_meter_channel", channels=names, role=roles[-1].value)
    return found


def _refuse_typed(check: PartCheck, channels: list[ChannelSetup]) -> None:
    probe = ChannelRoles(tuple(channels)).first(Role.PROBE) is not None
    for section in (s.section for s in check.sections):
        if not check.measure(section).typed:
            continue
        if section.quantity is not Quantity.TEMPERATURE:
            raise InputError("tasks.typed_in", measurement=section.name)
        if not probe:
            raise InputError(
                "tasks.no_probe_channel", channel=Role.PROBE.value, measurement=section.name
            )
