"""Run by a test: a cable and a wire format that the program does not know, each in one file.

Records through them and prints what was read as JSON. The format: the number of hundredths of a
kilopascal as text between "<" and ">"; nothing else.
"""

import json
import sys
import tempfile
import threading
from pathlib import Path

CABLE = """
from benchmeter.links.ports.kinds.port_kind import PortKind


class Canned:
    def __init__(self, path, settings, wait):
        self.left = [f"<{path}>".encode()] * 3

    def read(self):
        return self.left.pop() if self.left else b""

    def write(self, data):
        raise AssertionError("nobody asks")

    def close(self):
        pass


PORT_KIND = PortKind("canned", Canned)
"""

FORMAT = """
from decimal import Decimal

from benchmeter.links.decoders.shown_number import indicated
from benchmeter.links.instruments.formats.wire_format import ProfileTable, WireFormat, field_of
from benchmeter.links.instruments.talk import Listening
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.gate import WrittenUnit


class AngleFormat(ProfileTable, frozen=True, tag="angle", tag_field="kind", kw_only=True):
    pass


class Angles:
    def __init__(self, field):
        self.field = field

    def feed(self, data):
        text = data.decode().strip("<>")
        if not text:
            return []
        number, unit = Decimal(text) / 100, Quantity.PRESSURE.plain_unit
        step = Decimal("0.01")
        written = WrittenUnit(unit)
        return [indicated(self.field, text, number, written, told=Quantity.PRESSURE, step=step)]

    def sent(self, data):
        pass

    def restart(self):
        pass


FORMAT = WireFormat(
    AngleFormat,
    lambda table, channels: Angles(field_of(channels[0])),
    lambda table, line: Listening(),
    lambda table, channels: iter(()),
)
"""

PROFILE = """
title = "Angle brackets"
[format]
kind = "angle"
[[channels]]
quantity = "pressure"
unit = "kPa"
"""


def _add(folder: Path) -> None:
    """The two files, where the program looks for them."""
    import benchmeter.links.instruments.formats as formats
    import benchmeter.links.ports.kinds as kinds

    for package, name, source in (
        (kinds, "canned_kind", CABLE),
        (formats, "angle_format", FORMAT),
    ):
        place = folder / package.__name__
        place.mkdir()
        (place / f"{name}.py").write_text(source)
        package.__path__.append(str(place))


def _recorded(folder: Path) -> dict[str, object]:
    from benchmeter.files.folders import Folders
    from benchmeter.record.store import Store
    from benchmeter.reports.record_json import record_json
    from benchmeter.session.outcome import Outcome
    from benchmeter.tasks.opening import open_live

    folders = Folders(folder / "data")
    folders.make()
    folders.instruments.mkdir()
    (folders.instruments / "angles.toml").write_text(PROFILE)
    enough = threading.Event()
    seen = []

    def publish(outcome: Outcome) -> None:
        seen.extend(outcome.readings)
        if len(seen) >= 3:
            enough.set()

    with Store.open(folders, write=True) as store:
        link = "canned:10132?profile=angles&channel=air"
        session = open_live(folders, store, [link], publish)
        session.start()
        assert enough.wait(30)
        session.stop()
        [channel] = record_json(store, session.session_id)["channels"]
    return dict(channel)


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as made:
        _add(Path(made))
        json.dump(_recorded(Path(made)), sys.stdout)
