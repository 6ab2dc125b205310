"""Link texts: what they say, and that each wrong one is told in words that mend it."""

from pathlib import Path

import pytest

from benchmeter.errors import InputError
from benchmeter.files.folders import Folders
from benchmeter.links.instruments.address import (
    SerialAddress,
    SimulatedAddress,
    link_setup,
    parse_address,
)
from benchmeter.links.instruments.formats.modbus_format import ModbusFormat
from benchmeter.links.instruments.setup import ChannelSetup, LinkSetup, Role
from benchmeter.quantities.quantity import Quantity
from tests.fakes.refusals import advised, in_english, refused

METER = """
title = "Meter"
[line]
baud = 2400
dtr = true
rts = false
settle_ms = 300
[format]
kind = "lcd14"
[[channels]]
accuracy = "1.2 % + 2 x 0.1 uF"
"""
CAPACITANCE = """
title = "Capacitance meter"
[format]
kind = "scpi"
[[channels]]
quantity = "capacitance"
unit = "F"
"""
PROBES = """
title = "Two probes"
[format]
kind = "modbus"
[[format.registers]]
field = "T1"
address = 0
[[format.registers]]
field = "T2"
address = 1
[[channels]]
field = "T1"
quantity = "temperature"
unit = "°C"
[[channels]]
field = "T2"
quantity = "temperature"
unit = "°C"
"""


@pytest.fixture
def known(folders: Folders) -> Folders:
    folders.instruments.mkdir()
    for name, text in {"meter": METER, "capacitance": CAPACITANCE, "probes": PROBES}.items():
        Path(folders.instruments / f"{name}.toml").write_text(text, encoding="utf-8")
    return folders


def setup_of(text: str, folders: Folders) -> tuple[LinkSetup, tuple[ChannelSetup, ...]]:
    address = parse_address(text)
    assert isinstance(address, SerialAddress)
    return link_setup(address, folders, "link 1")


def error_of(text: str, folders: Folders) -> str:
    with pytest.raises(InputError) as error:
        setup_of(text, folders)
    assert advised(error.value), "each says what to do"
    return in_english(error.value)


def test_a_serial_text_names_port_profile_and_channels() -> None:
    text = "serial:/dev/serial/by-id/usb-a_b-if00?profile=probes&channel=discharge,outdoor&device=3"
    assert parse_address(text) == SerialAddress(
        text=text,
        path="/dev/serial/by-id/usb-a_b-if00",
        profile="probes",
        channels=("discharge", "outdoor"),
        device=3,
    )


@pytest.mark.parametrize(
    "path", ["COM12", "/dev/serial/by-path/pci-0000:00:14.0-usb-0:1:1.0-port0", "/dev/cu.usb-%31"]
)
def test_a_port_is_taken_as_it_stands(path: str) -> None:
    address = parse_address(f"serial:{path}?profile=meter")
    assert isinstance(address, SerialAddress)
    assert address.path == path


def test_names_may_be_written_as_in_an_address_of_the_web() -> None:
    """RFC 3986, 2.1: percent-encoding."""
    address = parse_address("serial:COM3?profile=meter&channel=probe%20A%26B")
    assert isinstance(address, SerialAddress)
    assert address.channels == ("probe A&B",)


def test_a_simulated_text_names_a_scenario() -> None:
    assert parse_address("simulated:weak_capacitor") == SimulatedAddress("weak_capacitor")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "does not name a link"),
        ("/dev/ttyUSB0", "does not name a link"),
        ("tcp:10.0.0.1", "does not name a link"),
        ("serial:", "names no port"),
        ("serial:?profile=meter", "names no port"),
        ("simulated:", "names no scenario"),
        ("simulated:x?profile=meter", "names no scenario"),
        ("serial:COM3?profil=meter", "“profil” in"),
        ("serial:COM3?profile=meter&profile=probes", "says profile twice"),
        ("serial:COM3?profile=", "says nothing for profile"),
        ("serial:COM3?profile=meter&", "not an option"),
        ("serial:COM3?profile=meter&baud=fast", "is no baud"),
        ("serial:COM3?profile=meter&baud=0", "is no baud"),
        ("serial:COM3?profile=meter&baud=-9600", "is no baud"),
        ("serial:COM3?profile=meter&baud=٩٦٠٠", "is no baud"),
        ("serial:COM3?profile=probes&device=248", "1 to 247"),
        ("serial:COM3?profile=probes&channel=discharge,", "has no name"),
        ("serial:COM3?profile=probes&channel=a,a", "two channels “a”"),
        ("serial:COM3?profile=meter&channel=a%0Ab", "has no name"),
    ],
)
def test_what_cannot_be_read_is_told(text: str, words: str) -> None:
    with refused(InputError, match=words) as error:
        parse_address(text)
    assert advised(error.value)


def test_the_setup_holds_the_text_and_the_whole_profile(known: Folders) -> None:
    text = "serial:/dev/ttyUSB0?profile=meter&channel=capacitor"
    link, channels = setup_of(text, known)
    assert (link.name, link.address, link.profile.name) == ("link 1", text, "meter")
    assert channels == (
        ChannelSetup(
            name="capacitor", role=Role.CAPACITOR, link="link 1", accuracy="1.2 % + 2 x 0.1 uF"
        ),
    )


def test_baud_and_device_of_the_text_take_the_place_of_the_profiles(known: Folders) -> None:
    """What the profile says besides stays."""
    link, _ = setup_of("serial:COM3?profile=meter&baud=19200", known)
    assert (link.profile.line.baud, link.profile.line.dtr, link.profile.line.settle_ms) == (
        19200,
        True,
        300,
    )
    link, _ = setup_of("serial:COM3?profile=probes&device=17", known)
    assert isinstance(link.profile.format, ModbusFormat)
    assert link.profile.format.device == 17


def test_channels_take_the_profiles_values_in_order_and_their_roles_by_name(known: Folders) -> None:
    _, channels = setup_of("serial:COM3?profile=probes&channel=outdoor,attic", known)
    assert [(c.name, c.role, c.field, c.quantity) for c in channels] == [
        ("outdoor", Role.OUTDOOR, "T1", Quantity.TEMPERATURE),
        ("attic", Role.OTHER, "T2", Quantity.TEMPERATURE),
    ]


@pytest.mark.parametrize(
    ("profile", "names"),
    [("probes", ["T1", "T2"]), ("capacitance", ["capacitance"]), ("meter", ["link 1"])],
)
def test_without_names_channels_are_called_by_field_or_quantity_or_link(
    known: Folders, profile: str, names: list[str]
) -> None:
    _, channels = setup_of(f"serial:COM3?profile={profile}", known)
    assert [c.name for c in channels] == names


def test_what_does_not_go_with_the_profile_is_told(known: Folders) -> None:
    missing = error_of("serial:COM3", known)
    assert "names no profile" in missing
    assert "capacitance" in missing, "the profiles that exist are named"
    assert "probes" in error_of("serial:COM3?profile=nothing", known)
    count = error_of("serial:COM3?profile=probes&channel=discharge", known)
    assert "names: 1; channels of the profile probes: 2" in count
    assert "T1, T2" in count
    assert "not Modbus" in error_of("serial:COM3?profile=meter&device=2", known)


def test_a_role_that_the_profile_cannot_fill_is_refused(known: Folders) -> None:
    """Farads under the name of a temperature would end in a wrong verdict."""
    words = error_of("serial:COM3?profile=capacitance&channel=discharge", known)
    assert "“discharge” is for temperature" in words
    assert "measures capacitance" in words
