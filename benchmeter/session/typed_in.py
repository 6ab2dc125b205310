"""Values that the technician types in for a channel, as if the channel had shown them."""

from benchmeter.checking.channel_roles import ChannelRoles
from benchmeter.errors import InputError
from benchmeter.links.instruments.setup import Role
from benchmeter.quantities.quantity import Quantity, of_other_current
from benchmeter.quantities.units import parse_value, resolution_of, to_si
from benchmeter.quantities.writing import clip
from benchmeter.readings.inputs import Input, TypeReading
from benchmeter.readings.reading import Reading, Status

__all__ = ["AIR", "typed_reading", "typed_volts"]

AIR = (Role.DISCHARGE, Role.OUTDOOR)
"""What is typed in for these is a reading like any other."""


def typed_reading(item: Input, roles: ChannelRoles) -> Reading | None:
    """The temperature of the air that was typed in; None: the input is something else.

    Raises:
        InputError: it is no temperature.
    """
    if not isinstance(item, TypeReading) or roles.typed_role(item.channel) not in AIR:
        return None
    value, resolution = _value(item.text, Quantity.TEMPERATURE, "")
    return Reading(item.channel, item.time_ns, value, Status.OK, resolution, item.text)


def typed_volts(text: str) -> float:
    """The DC volts that were typed in.

    Raises:
        InputError: it is no DC voltage.
    """
    return _value(text, Quantity.VOLTAGE_DC, "V")[0]


def _value(text: str, quantity: Quantity, default_unit: str) -> tuple[float, float]:
    if of_other_current(text, quantity):
        raise InputError(
            f"“{clip(text.strip())}” says nothing of {quantity.value}.",
            "Set the meter to DC volts, and type what it shows then.",
        )
    number, unit = parse_value(text, quantity.kind, default_unit)
    return to_si(number, unit), resolution_of(number, unit)
