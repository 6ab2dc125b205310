"""Values that the technician types in for a channel, as if the channel had shown them."""

from benchmeter.checking.channel_roles import ChannelRoles
from benchmeter.checking.commands import TypeReading
from benchmeter.errors import InputError
from benchmeter.links.instruments.setup import Role
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.units import last_digit
from benchmeter.readings.gate import admit_written
from benchmeter.readings.inputs import Input
from benchmeter.readings.reading import Indication, Reading
from benchmeter.readings.status import Status

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
    return Reading(item.channel, item.time_ns, _shown(item.text, Quantity.TEMPERATURE))


def typed_volts(text: str) -> tuple[float, bool]:
    """The volts that were typed in, and whether they are AC; DC where nothing is said.

    Raises:
        InputError: it is no voltage.
    """
    try:
        shown = _shown(text, Quantity.VOLTAGE_DC)
    except InputError as no_dc:
        try:
            shown = _shown(text, Quantity.VOLTAGE_AC)
        except InputError:
            raise no_dc from None
    assert shown.value is not None  # what is typed has a number
    return shown.value, shown.quantity is Quantity.VOLTAGE_AC


def _shown(text: str, quantity: Quantity) -> Indication:
    plain = quantity.plain_unit if quantity.row.implied else None
    number, unit = admit_written(text, quantity, plain)
    return Indication("", quantity, number, unit, Status.OK, last_digit(number), text)
