"""The part that a recording without a window judges, and the channel that it is judged by."""

import argparse
from decimal import Decimal

import msgspec

from benchmeter.checking.channel_roles import ChannelRoles
from benchmeter.checking.check import begin_check
from benchmeter.checking.part_check import PartCheck
from benchmeter.commands.data_folder import folders_of
from benchmeter.errors import InputError
from benchmeter.links.instruments.address import SerialAddress, link_setup, parse_address
from benchmeter.links.instruments.setup import ChannelSetup, Role
from benchmeter.parts.catalogue import kind_text, load_part_kind
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.inputs import BeginCheck

__all__ = ["check_of"]


def check_of(args: argparse.Namespace) -> BeginCheck:
    """The check that is asked for.

    Raises:
        InputError: kind, label, tolerance or accuracy are not understood, no channel can be judged,
            or a measurement would have to be typed.
        DataFileError: the file of the kind is broken.
    """
    kind = (
        "" if args.kind is None else kind_text(load_part_kind(args.kind.strip(), folders_of(args)))
    )
    command = BeginCheck(
        time_ns=0,
        part="part",
        label=args.check or "",
        kind=kind,
        tolerance=args.tolerance,
        accuracy=args.accuracy,
        rule=args.rule,
    )
    check = begin_check(1, command, Decimal(0))
    channels = _channels(args)
    _refuse_typed(check, channels)
    meter = _meter(check, channels)
    accuracy = command.accuracy or meter.accuracy
    return msgspec.structs.replace(command, channel=meter.name, accuracy=accuracy)


def _channels(args: argparse.Namespace) -> list[ChannelSetup]:
    """What the links deliver."""
    folders = folders_of(args)
    found: list[ChannelSetup] = []
    for address in map(parse_address, args.links):
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
        names = " or ".join(f"“{role.value}”" for role in roles)
        raise InputError(
            f"No channel is called {names}, so there is nothing to judge the part by.",
            f"Name the meter's channel in its link: serial:PATH?profile=NAME&channel={roles[-1]}.",
        )
    return found


def _refuse_typed(check: PartCheck, channels: list[ChannelSetup]) -> None:
    probe = ChannelRoles(tuple(channels)).first(Role.PROBE) is not None
    for section in (s.section for s in check.sections):
        measure = check.measure(section)
        if measure is None or not measure.typed:
            continue
        if section.quantity is not Quantity.TEMPERATURE:
            raise InputError(
                f"“{section.name}” of this kind is typed in; while recording nobody is asked.",
                "Judge such a part in the window, or with benchmeter judge --kind.",
            )
        if not probe:
            raise InputError(
                f"No channel is called “{Role.PROBE.value}”, which “{section.name}” is read from.",
                "Name the channel of the probe in its link: &channel=probe.",
            )
