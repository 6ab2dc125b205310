"""Profiles: those that come with the program, and what is said about files that are wrong."""

from datetime import date
from pathlib import Path

import msgspec
import pytest

from benchmeter.errors import DataFileError, InputError
from benchmeter.files.folders import Folders
from benchmeter.files.resources import resource
from benchmeter.links.decoders.modbus_frames import Request, with_crc
from benchmeter.links.instruments.building import conversation_for, decoder_for
from benchmeter.links.instruments.formats.modbus_format import ModbusFormat
from benchmeter.links.instruments.formats.text_format import TextFormat
from benchmeter.links.instruments.profile import ChannelOfProfile, Profile
from benchmeter.links.instruments.profiles import all_profiles, load_profile, read_profile
from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, LinkSetup, Role
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.reading import Garbled, Indication
from benchmeter.readings.status import Status
from tests.fakes.refusals import advised, refused, said

SHIPPED = sorted(path.stem for path in resource("instruments").glob("*.toml"))

GOOD = """
title = "Two probes"
[format]
kind = "text"
pattern = '(?P<T1>[0-9.]+)(?P<T1_unit>[CF]) (?P<T2>[0-9.]+)'
[[channels]]
field = "T1"
quantity = "temperature"
[[channels]]
field = "T2"
quantity = "temperature"
unit = "°C"
lowest = -50
highest = 150
"""

MODBUS = """
title = "Module"
[format]
kind = "modbus"
[[format.registers]]
field = "T1"
address = 7
scale = "0.1"
[[channels]]
field = "T1"
quantity = "temperature"
unit = "°C"
"""

SCPI = """
title = "Meter"
[format]
kind = "scpi"
ask_function = "FUNC?"
[[channels]]
"""

LCD = """
title = "Handheld"
[format]
kind = "lcd14"
user_symbols = { 0 = "°C" }
[[channels]]
"""


def user_file(folders: Folders, name: str, text: str) -> Path:
    folders.instruments.mkdir(exist_ok=True)
    path = folders.instruments / f"{name}.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_every_profile_of_the_program_can_be_used(folders: Folders) -> None:
    profiles, errors = all_profiles(folders)
    assert errors == ()
    assert [profile.name for profile in profiles] == SHIPPED
    assert {"scpi-meter", "lcd-handheld", "text-two-probes", "modbus-two-probes"} <= set(SHIPPED)
    for profile in profiles:
        assert profile.title
        assert decoder_for(profile).feed(b"") == []
        conversation_for(profile).restarted(0)


def test_a_users_file_is_found_beside_the_programs(folders: Folders) -> None:
    user_file(folders, "my-probes", GOOD)
    profile = load_profile("my-probes", folders)
    assert (profile.name, len(profile.channels)) == ("my-probes", 2)
    assert "my-probes" in [p.name for p in all_profiles(folders)[0]]


def test_a_byte_order_mark_is_passed_over(folders: Folders) -> None:
    path = user_file(folders, "my-probes", "\ufeff" + GOOD)
    assert path.read_bytes().startswith(b"\xef\xbb\xbf")
    assert read_profile(path).title == "Two probes"


def test_a_users_file_takes_the_place_of_the_programs(folders: Folders) -> None:
    user_file(folders, "scpi-meter", GOOD)
    assert load_profile("scpi-meter", folders).title == "Two probes"
    assert len(all_profiles(folders)[0]) == len(SHIPPED)


def test_a_broken_users_file_is_not_replaced_in_silence(folders: Folders) -> None:
    user_file(folders, "scpi-meter", "title = 3")
    profiles, (error,) = all_profiles(folders)
    assert "scpi-meter" not in [profile.name for profile in profiles]
    assert "scpi-meter.toml" in said(error)
    with pytest.raises(DataFileError):
        load_profile("scpi-meter", folders)


@pytest.mark.parametrize("name", ["nothing", "", "../instruments/scpi-meter", "SCPI-METER"])
def test_an_unknown_name_is_told_with_the_known_ones(folders: Folders, name: str) -> None:
    with pytest.raises(InputError) as raised:
        load_profile(name, folders)
    assert "scpi-meter" in advised(raised.value)
    assert str(folders.instruments) in advised(raised.value)


@pytest.mark.parametrize("text", [GOOD, MODBUS, SCPI, LCD])
def test_the_examples_of_these_tests_are_right(folders: Folders, text: str) -> None:
    decoder_for(read_profile(user_file(folders, "mine", text)))


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("title = ", "no TOML"),
        ('title = "a"\n', "format is missing"),
        (GOOD + "[line]\nbaud = 'fast'", "line.baud must be a whole number"),
        (GOOD + "[line]\nbaud = 0", "line.baud must be greater than 0"),
        (GOOD + "[line]\nspeed = 1", "line.speed is not a field of a profile"),
        (GOOD + "[line]\nparity = 'evil'", "line.parity cannot be"),
        (GOOD + "[line]\ndata_bits = 9", "line.data_bits cannot be 9"),
        (GOOD + "[line]\ndtr = 1", "line.dtr must be true or false"),
        (GOOD + "[line]\nsettle_ms = -1", "line.settle_ms must be 0 to 60000"),
        (GOOD + "[[usb]]\nvendor = 'xyz'", "usb[0].vendor must be a hexadecimal number"),
        (GOOD.replace('"text"', '"xml"'), "format.kind cannot be 'xml'"),
        (GOOD.replace('title = "Two probes"', 'title = " "'), "title must not be empty"),
        (GOOD.replace('"temperature"', '"heat"', 1), "channels[0].quantity cannot be 'heat'"),
        (GOOD.replace("(?P<T1>", "(?P<T1"), "format.pattern is no regular expression"),
        # Python compiles these with a warning, an OverflowError and a RecursionError.
        (GOOD.replace("(?P<T1>", "[[x]?(?P<T1>"), "format.pattern is no regular expression"),
        (GOOD.replace("(?P<T1>", "x{0,99999999999}(?P<T1>"), "format.pattern is no regular"),
        (GOOD.replace("(?P<T1>", "(" * 9999 + ")" * 9999 + "(?P<T1>"), "is no regular expression"),
        (GOOD.replace("(?P<T1>", "(?P<A>"), "format.pattern has no group “T1”"),
        (GOOD.replace('unit = "°C"', ""), "channels[1] needs quantity and unit"),
        (GOOD.replace('"°C"', '"V"'), "channels[1].unit"),
        (GOOD.replace('"°C"', '"parsec"'), "channels[1].unit: The unit “parsec” is not known"),
        (GOOD.replace("-50", "200"), "channels[1].lowest must not be above highest"),
        (GOOD.replace("-50", "nan"), "channels[1].lowest must be a finite number"),
        (GOOD.replace('"T2"', '"T1"'), "channels must each have a field of their own"),
        (GOOD.replace("[format]", "[format]\nlongest = 1"), "format.longest must be 8 to 4096"),
        (GOOD.replace("[format]", "[format]\nperiod_ms = 0"), "format.period_ms must be"),
        (MODBUS.replace('"0.1"', '"a tenth"'), "format.registers[0].scale must be a number"),
        (MODBUS.replace('"0.1"', '"0"'), "format.registers[0].scale must be a finite number other"),
        (MODBUS.replace('"0.1"', '"1e999999"'), "format.registers[0].scale must be a finite number"),
        (MODBUS.replace('"0.1"', '"1e-999999"'), "format.registers[0].scale must be a finite number"),
        (MODBUS.replace('"0.1"', '"-1e31"'), "scale must be a finite number other than 0, 1e-30 to"),
        (MODBUS.replace('"0.1"', '"1"\noffset = "-1e999999"'),
         "format.registers[0].offset must be a finite number, at most 1e30"),
        (MODBUS.replace('"0.1"', "0.1"), "format.registers[0].scale must be text in quotes"),
        (MODBUS.replace("= 7", "= 65536"), "format.registers[0].address must be 0 to 65535"),
        (MODBUS.replace('unit = "°C"', ""), "channels[0].unit is missing"),
        (MODBUS.replace('quantity = "temperature"', ""), "channels[0].quantity is missing"),
        (MODBUS.replace('"T1"', '"T2"', 1), "format.registers has no field “T1”"),
        (MODBUS.replace("[[channels]]", "[[format.registers]]\nfield='T1'\naddress=9\n[[channels]]"),
         "format.registers must each have a field of their own"),
        (MODBUS.replace("[[format", "device = 248\n[[format", 1), "format.device must be 1 to 247"),
        (MODBUS.replace("address", "device = 0\naddress", 1), "format.registers[0].device must be 1"),
        (SCPI + "accuracy = 'rubbish'", "channels[0].accuracy: The accuracy “rubbish” is not"),
        (SCPI + "accuracy = 'resistance 0.8 %; luck 1 %'", "channels[0].accuracy: The accuracy"),
        (GOOD + "accuracy = '1 %'", "channels[1].accuracy: A percentage of a temperature"),
        ('calibration_due = "2026-11-30"' + SCPI, "calibration_due must be a date like"),
        ("calibration_due = 2026-11-30T10:00:00Z" + SCPI, "calibration_due must be a date like"),
        (SCPI.replace("FUNC?", ""), "channels[0].quantity is missing"),
        (SCPI.replace("FUNC?", "FUNC"), "format.ask_function must be a question"),
        (SCPI.replace('ask_function = "FUNC?"', "confirm_function = true"), "confirm_function needs"),
        (SCPI.replace("FUNC?", "READ?"), "must differ"),
        (SCPI.replace("[[ch", "start = ['SYST:REM?']\n[[ch"), "format.start must hold commands"),
        (SCPI.replace("[[ch", "timeout_ms = 0\n[[ch"), "format.timeout_ms must be"),
        (SCPI.replace("[[ch", "read_timeout_ms = 0\n[[ch"), "format.read_timeout_ms must be"),
        (SCPI.replace("[[ch", "terminator = ';'\n[[ch"), "format.terminator must be a line end"),
        (SCPI + "[[channels]]\nfield = 'b'", "channels[1].quantity is missing"),
        (SCPI.replace("[[channels]]", "").replace("[format]", "channels = []\n[format]"),
         "channels must have at least one entry"),
        (LCD.replace("0 =", "4 ="), "4 must be a bit from 0 to 3"),
        (LCD.replace("°C", "lux"), "format.user_symbols.0: The unit “lux” is not known"),
        (LCD + "[[channels]]\nfield = 'b'", "channels must have one entry"),
        (LCD + "counts = 6000", "channels[0].counts is only for numbers that come as text"),
        (SCPI + "counts = 99", "channels[0].counts must be 100 to 1000000000"),
    ],
)  # fmt: skip
def test_a_wrong_file_is_told_by_file_field_and_fault(
    folders: Folders, text: str, told: str
) -> None:
    path = user_file(folders, "mine", text)
    with pytest.raises(DataFileError) as raised:
        read_profile(path)
    assert str(path) in said(raised.value)
    assert told in said(raised.value)
    assert advised(raised.value)


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        (GOOD.replace("[format]", "[format]\nlongest = @"), 8, 4096),
        (GOOD.replace("[format]", "[format]\nperiod_ms = @"), 1, 3_600_000),
        (GOOD + "[line]\nsettle_ms = @", 0, 60_000),
        (GOOD + "counts = @", 100, 10**9),
        (SCPI.replace("[[ch", "timeout_ms = @\n[[ch"), 1, 60_000),
        (SCPI.replace("[[ch", "read_timeout_ms = @\n[[ch"), 1, 60_000),
        (MODBUS.replace("[[format", "device = @\n[[format", 1), 1, 247),
        (MODBUS.replace("address", "device = @\naddress", 1), 1, 247),
        (MODBUS.replace("= 7", "= @"), 0, 65_535),
    ],
)
def test_a_number_may_be_its_limit_and_not_beyond(
    folders: Folders, text: str, low: int, high: int
) -> None:
    """Devices and addresses: the Modbus protocol, 2.2 and 4.3; the others: our own choice."""
    for number in (low, high):
        read_profile(user_file(folders, "mine", text.replace("@", str(number))))
    for number in (low - 1, high + 1):
        with pytest.raises(DataFileError):
            read_profile(user_file(folders, "mine", text.replace("@", str(number))))


def test_a_users_meter_tells_its_accuracies_and_until_when_it_is_calibrated(
    folders: Folders,
) -> None:
    lines = "capacitance 1.2 % + 2 counts\nresistance up to 600 ohm 0.8 % + 5 counts"
    own = 'serial = "0815"\ncalibrated = 2025-11-30\ncalibration_due = 2026-11-30'
    text = f'{own}{SCPI}accuracy = """\n{lines}\n"""'
    profile = read_profile(user_file(folders, "mine", text))
    assert (profile.serial, profile.calibrated) == ("0815", date(2025, 11, 30))
    assert profile.calibration_due == date(2026, 11, 30)
    assert profile.channels[0].accuracy.strip() == lines
    setup = BenchSetup(
        origin="serial",
        links=(LinkSetup(name="link 1", address="serial:x", profile=profile),),
        channels=(ChannelSetup(name="meter", role=Role.METER, link="link 1"),),
    )
    kept = msgspec.json.decode(msgspec.json.encode(setup), type=BenchSetup)
    assert kept == setup
    assert kept.calibration_due("meter") == date(2026, 11, 30)
    assert kept.calibration_due("probe") is None


def test_files_that_cannot_be_read_are_told(folders: Folders) -> None:
    path = user_file(folders, "mine", GOOD)
    path.write_bytes(GOOD.encode("latin-1"))
    with refused(DataFileError, match="UTF-8"):
        read_profile(path)
    with refused(DataFileError, match="cannot be read"):
        read_profile(folders.instruments)  # a folder


def read(profile: Profile, line: bytes) -> list[Indication | Garbled]:
    decoder = decoder_for(profile)
    decoder.feed(b"")
    return decoder.feed(line)


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        # 0 °C = 273.15 K and 32 °F = 0 °C by definition; the format is our own.
        (b"T1=23.4C T2=35.0C\r\n", [(296.55, "ok"), (308.15, "ok")]),
        (b"T1=32.0F T2=-20,0C\r\n", [(273.15, "ok"), (253.15, "ok")]),
        (b"T1=OPEN T2=OL\r\n", [(None, "no contact"), (None, "overload")]),
        (b"T1=--- T2=999.9C\r\n", [(None, "no value"), (1273.05, "suspect")]),
    ],
)
def test_lines_of_two_probes(folders: Folders, line: bytes, expected: list[object]) -> None:
    found = read(load_profile("text-two-probes", folders), line)
    assert [(f.value, f.status) for f in found if isinstance(f, Indication)] == expected
    assert [f.field for f in found if isinstance(f, Indication)] == ["T1", "T2"]


@pytest.mark.parametrize("line", [b"T1=23.4 T2=35.0C\r\n", b"T1=23.4C\r\n", b"T1=23.4K T2=1C\r\n"])
def test_lines_of_two_probes_that_are_not_read(folders: Folders, line: bytes) -> None:
    found = read(load_profile("text-two-probes", folders), line)
    assert [type(f) for f in found] == [Garbled]


@pytest.mark.parametrize(
    ("line", "quantity", "status"),
    [
        ("44.10 uF", Quantity.CAPACITANCE, Status.OK),
        ("44.10uF", Quantity.CAPACITANCE, Status.OK),
        ("0.L MΩ", Quantity.RESISTANCE, Status.OVERLOAD),
        ("4.7 MΩ", Quantity.RESISTANCE, Status.OK),
        ("OL", None, Status.OVERLOAD),
        ("---", None, Status.NO_VALUE),
        ("230.5 VAC", Quantity.VOLTAGE_AC, Status.OK),
        ("25.4 °C", Quantity.TEMPERATURE, Status.OK),
        ("230.5 V", None, Status.WRONG_FUNCTION),
    ],
)
def test_lines_of_value_and_unit(
    folders: Folders, line: str, quantity: Quantity | None, status: Status
) -> None:
    (found,) = read(load_profile("text-value-unit", folders), line.encode() + b"\n")
    assert isinstance(found, Indication)
    assert (found.field, found.quantity, found.status) == ("", quantity, status)


def test_a_line_without_unit_is_not_read(folders: Folders) -> None:
    (found,) = read(load_profile("text-value-unit", folders), b"44.10\n")
    assert isinstance(found, Garbled)


def test_limits_are_in_the_channels_unit(folders: Folders) -> None:
    profile = load_profile("scpi-capacitance", folders)
    for written, status in (
        ("0.09", Status.OK),
        ("-2e-6", Status.SUSPECT),
        ("-1e-3", Status.SUSPECT),
    ):
        decoder = decoder_for(profile)
        decoder.sent(b"READ?\n")
        (found,) = decoder.feed(written.encode() + b"\n")
        assert isinstance(found, Indication)
        assert found.status is status


def test_the_layout_from_memory_is_called_so(folders: Folders) -> None:
    assert "from memory" in load_profile("lcd-handheld", folders).about


def test_a_register_of_two_words_ends_inside_the_address_space(folders: Folders) -> None:
    text = MODBUS.replace("= 7", "= 65535\ntype = 'float32'")
    with refused(DataFileError, match="address must be 0 to 65534"):
        read_profile(user_file(folders, "mine", text))


def test_the_defaults_of_a_register_are_holding_registers_of_16_bits(folders: Folders) -> None:
    profile = read_profile(user_file(folders, "mine", MODBUS))
    assert isinstance(profile.format, ModbusFormat)
    (register,) = profile.format.registers
    assert (register.function, register.type) == (3, "int16")


def test_a_register_is_scaled_and_shifted_as_the_profile_says(tmp_path: Path) -> None:
    """650 × 0.1 − 40 = 25.0 °C (arithmetic); its resolution is 0.1 K."""
    path = tmp_path / "module.toml"
    path.write_text(MODBUS.replace('scale = "0.1"', 'scale = "0.1"\noffset = "-40"'))
    decoder = decoder_for(read_profile(path))
    request = Request(1, 3, 7, 1)
    decoder.sent(request.frame)
    [found] = decoder.feed(with_crc(bytes([1, 3, 2]) + (650).to_bytes(2, "big")))
    assert isinstance(found, Indication)
    assert (found.value, found.resolution, found.text) == (298.15, 0.1, "25.0 °C")


@pytest.mark.parametrize(("register", "field"), [(0, "T1"), (1, "T2")])
def test_an_open_probe_of_the_module_is_no_contact(register: int, field: str) -> None:
    """-32768, as its profile says; one less is a temperature, if a wrong one."""
    decoder = decoder_for(read_profile(resource("instruments/modbus-two-probes.toml")))
    for raw, status in ((-32768, Status.NO_CONTACT), (-2000, Status.SUSPECT), (0, Status.OK)):
        request = Request(1, 4, register, 1)
        decoder.sent(request.frame)
        body = bytes([1, 4, 2]) + raw.to_bytes(2, "big", signed=True)
        [found] = decoder.feed(with_crc(body))
        assert isinstance(found, Indication)
        assert (found.field, found.status) == (field, status)


@pytest.mark.parametrize(
    ("words", "status"),
    [
        (("OL", "0L", "O.L", "0.L", "OVL", "ol", "0 L"), Status.OVERLOAD),
        (("---", "--", "----", "N/A", "n/a"), Status.NO_VALUE),
        (("OPEN", "Err", "open", "ERR"), Status.NO_CONTACT),
    ],
)
def test_each_word_that_stands_for_a_value_says_why_there_is_none(
    words: tuple[str, ...], status: Status
) -> None:
    """The words of a profile that names none itself; letters' case and spaces do not count."""
    profile = Profile(
        title="Text",
        format=TextFormat(pattern="(?P<value>.*)"),
        channels=(ChannelOfProfile(quantity=Quantity.RESISTANCE, unit="Ω"),),
    )
    decoder = decoder_for(profile)
    decoder.feed(b"")
    for word in words:
        [found] = decoder.feed(f"{word}\r\n".encode())
        assert isinstance(found, Indication)
        assert (found.status, found.value) == (status, None)
