"""Run by a test: the program with one quantity more, from the wire to the record.

Prints what became of three lines of a text meter as JSON.
"""

import importlib.util
import json
import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path
from types import ModuleType

NAME = "benchmeter.quantities.quantity"
END_OF_TABLE = "\n\ndef _told_by_units"


def with_row(row: str, name: str = NAME) -> ModuleType:
    """The module of the quantities with a row more, under `name`.

    Raises:
        ValueError, TypeError: the row is not complete.
    """
    spec = importlib.util.find_spec(NAME)
    assert spec is not None and spec.origin is not None
    source = Path(spec.origin).read_text(encoding="utf-8")
    assert source.count(END_OF_TABLE) == 1
    made = ModuleType(name)
    sys.modules[name] = made
    source = source.replace(END_OF_TABLE, f"{row}\n{END_OF_TABLE}")
    exec(compile(source, spec.origin, "exec"), made.__dict__)
    return made


def _walk(folder: Path, lines: list[str]) -> dict[str, object]:
    from benchmeter.checking.typed_reading import parse_typed
    from benchmeter.conformity.verdict import Measurement
    from benchmeter.files.folders import Folders
    from benchmeter.links.instruments.formats.text_format import TextFormat
    from benchmeter.links.instruments.profile import ChannelOfProfile, Profile
    from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, LinkSetup
    from benchmeter.quantities.quantity import Quantity
    from benchmeter.readings.inputs import Chunk
    from benchmeter.record.store import Store
    from benchmeter.reports.record_json import record_json
    from benchmeter.reports.record_text import record_text
    from benchmeter.session.engine import MeasuringChain
    from benchmeter.words.presentation import PLAIN
    from benchmeter.words.shown_reading import reading_text
    from benchmeter.words.verdicts import set_to

    quantity = list(Quantity)[-1]
    profile = Profile(
        title="Text",
        format=TextFormat(pattern=r"(?P<value>\S+) (?P<value_unit>\S+)"),
        channels=(ChannelOfProfile(),),
    )
    setup = BenchSetup(
        origin="serial",
        links=(LinkSetup(name="meter", address="serial:/dev/null", profile=profile),),
        channels=(ChannelSetup(name="one", link="meter"),),
    )
    chain = MeasuringChain(setup)
    folders = Folders(folder)
    folders.make()
    with Store.open(folders, write=True) as store:
        recorder = store.begin(setup, name="", started=datetime.now(UTC), zone="UTC")
        for number, line in enumerate(["", *lines]):
            chunk = Chunk(
                time_ns=number * 500_000_000, link="meter", data=f"{line}\r\n".encode() * bool(line)
            )
            outcome = chain.feed(chunk)
            recorder.take(chunk, outcome.readings, outcome.events)
        recorder.close()
        [channel] = record_json(store, recorder.session_id)["channels"]
        text = record_text(store, recorder.session_id)
    [pulse] = outcome.states
    assert pulse.reading is not None and pulse.quantity is not None
    section = Measurement("one", None, None, None, quantity, quantity.plain_unit.symbol)
    return {
        "quantity": pulse.quantity.value,
        "state": pulse.state.value,
        "shown": " ".join(reading_text(pulse.reading, pulse.quantity, PLAIN)),
        "typed_si": str(parse_typed(lines[-1], section).value_si),
        "set_to": set_to(quantity),
        "recorded": channel,
        "told": quantity.value in text,
    }


if __name__ == "__main__":
    with_row(sys.argv[1])
    with tempfile.TemporaryDirectory() as made:
        json.dump(_walk(Path(made), sys.argv[2:]), sys.stdout)
