"""Made the records in this folder. Run once, with the benchmeter that wrote version 1.

Each `NAME.sqlite.xz` is a record, each `NAME.json.xz` what that benchmeter said of it. They are
kept as they are: whoever makes them again with a later benchmeter takes the test away that the
later one still reads and judges what was stored then. A record of a later version is another file
beside these. The program's modules have other names now, so this one is only to be read.

The demo sessions were recorded by `benchmeter record --from simulated:NAME --pace max`. Four more
hold what no story does: `shelf` (each part of the shop's shelf, measured by hands that take, select,
repeat, type, null the leads and make safe), `reference-parts` (a meter that reads too much, its
history, an accepted bias, a carton, remarks, a session that was cut off), `troubled-frames` (faults
on the wire of the handheld and of the module) and `typed-in` (no instrument at all).
"""

import json
import lzma
import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from html.parser import HTMLParser
from pathlib import Path

import msgspec
from benchmeter.chain.measuring import MeasuringChain
from benchmeter.conformity.bias_offer import accept, offer
from benchmeter.conformity.part_kinds import kind_text, load_part_kind
from benchmeter.conformity.reference_check import reference_command
from benchmeter.instruments.profile import ChannelOfProfile, Profile, TextFormat
from benchmeter.instruments.setup import BenchSetup, ChannelSetup, LinkSetup, Role
from benchmeter.instruments.virtual.bench import open_scenario
from benchmeter.instruments.virtual.scenario import load_scenario
from benchmeter.readings.pulse_state import PulseState
from benchmeter.readings.quantities import Quantity
from benchmeter.reporting.meter_record import meter_records
from benchmeter.settings.folders import Folders
from benchmeter.storage.store import Store

from benchmeter.conformity.reference_part import ReferencePart
from benchmeter.readings.events import reported
from benchmeter.readings.inputs import (
    Annotate,
    BeginCheck,
    Chunk,
    ClockAnchor,
    Command,
    Ended,
    Input,
    LinkChange,
    Mark,
    NullLeads,
    PowerRestored,
    RepeatSection,
    SelectSection,
    TakeReading,
    TakeVolts,
    TypeReading,
)

HERE = Path(__file__).parent
SECOND = 1_000_000_000
MICRO = Decimal("1e-6")
STARTED = datetime(2026, 3, 1, 22, 30, tzinfo=UTC)
ZONE = "America/Chicago"
ENVIRONMENT = {
    **os.environ,
    "TZ": ZONE,
    "QT_QPA_PLATFORM": "offscreen",
    "PYTHONPATH": str(Path.cwd()),
}

DEMO_SESSIONS = (
    "short-visit",
    "handheld-and-modbus",
    "troubled-links",
    "shop-bench",
    "carton-of-forty",
    "walk-in-cooler",
)

TROUBLED_FRAMES = """
title = "Noise on the bench"
about = "Faults on the wire of a handheld and of a module."
place = "Quillhaven"
seed = 5150
length_s = 120.0
start = 2026-06-02T15:45:00Z

[[parts]]
name = "old part"
label = "17.5 µF ±5 % 440 VAC"
sections.single.true_uf = 18.06

[[instruments]]
name = "handheld"
profile = "lcd-handheld"
virtual = { kind = "handheld" }
channels = [{ name = "capacitor", accuracy = "2 % + 5 x 0.01 uF" }]

[[instruments]]
name = "thermometer module"
profile = "modbus-two-probes"
channels = [{ name = "discharge", field = "T1" }, { name = "outdoor", field = "T2" }]

[instruments.virtual]
kind = "modbus probes"
probes.T1 = { air = "discharge", lag_s = 3.0 }
probes.T2 = { air = "outdoor", lag_s = 3.0 }

[unit]
outdoor_c = 24.3
rise_k = 11.9
time_constant_s = 28.0
restart_delay_s = 30.0

[[story]]
at_s = 2.0
do = "begin check"
part = "old part"

[[story]]
at_s = 5.0
do = "hands"
act = "leads: single"
"""


class Bench:
    """A session at the shop's bench, as quick as it is computed; what is fed is recorded."""

    def __init__(self, folders: Folders, store: Store) -> None:
        self.folders = folders
        self.plan = load_scenario("shop-bench", folders)
        plan = msgspec.structs.replace(self.plan.plan, length_s=86_400.0)
        scenario = type(self.plan)("shop-bench", plan, self.plan.profiles, self.plan.kinds)
        setup, self.source = open_scenario(scenario, pace=None, story=False)
        self.accuracy = next(c.accuracy for c in setup.channels if c.name == "meter")
        self.stream = self.source.inputs()
        self.chain = MeasuringChain(setup)
        self.recorder = store.begin(setup, name="Shelf", started=STARTED, zone=ZONE)
        self.now_ns = 0
        self.state = PulseState.WAITING
        self.sees: Quantity | None = None
        self.check = None

    def feed(self, item: Input) -> None:
        outcome = self.chain.feed(item)
        self.recorder.take(item, outcome.readings, outcome.events, outcome.verdicts)
        self.now_ns = outcome.time_ns
        for pulse in outcome.pulses:
            if pulse.channel == "meter":
                self.state, self.sees = pulse.state, pulse.quantity
        if outcome.check is not None:
            self.check = outcome.check

    def send(self, command: Command) -> None:
        self.feed(msgspec.structs.replace(command, time_ns=self.now_ns))

    def wait(self, true: Callable[[], bool], seconds: float) -> bool:
        end_ns = self.now_ns + round(seconds * SECOND)
        while not true():
            if self.now_ns >= end_ns:
                return False
            self.feed(next(self.stream))
        return True

    def hands(self, *acts: str) -> None:
        for act in acts:
            self.source.do(act)
            self.feed(next(self.stream))

    def begin(self, part, *, rule: str = "guarded", accuracy: str | None = None) -> None:
        if part.name not in {c.title for c in self.source.choices() if c.active}:
            self.hands(f"part: {part.name}")
        kind = self.plan.kinds[part.kind]
        command = BeginCheck(
            time_ns=0,
            part=part.name,
            label=part.label,
            kind=kind_text(kind),
            tolerance=part.tolerance,
            accuracy=self.accuracy if accuracy is None else accuracy,
            rule=rule,
            channel="meter",
        )
        self.send(command)

    def make_safe(self, section: str, *, drain: bool = False) -> None:
        self.hands(f"knob: {Quantity.VOLTAGE_DC.value}", f"leads: {section}")
        self.wait(lambda: self.sees is Quantity.VOLTAGE_DC, 3)
        self.wait(lambda: False, 2)
        self.send(TakeVolts(time_ns=0))
        if drain:
            self.send(TakeReading(time_ns=0))  # refused: the part is charged
            self.hands("resistor: on")
            self.wait(lambda: False, 8)
            self.hands("resistor: off")
            self.wait(lambda: False, 2)
            self.send(TakeVolts(time_ns=0))
        self.hands("leads: air")

    def measure(self, section) -> None:
        measure = self.check.measure(section)
        if self.check.expected != section.name:
            self.send(SelectSection(time_ns=0, section=section.name))
        if measure is not None and measure.typed:
            texts = {"Ω": "150 Mohm", "°C": "0.0 °C", "V": "2.1 V"}
            self.send(TypeReading(time_ns=0, channel="meter", text=texts.get(section.unit, "OL")))
            return

        def times() -> int:
            return len(next(s.taken for s in self.check.sections if s.section == section))

        before = times()
        self.hands("leads: air", f"knob: {section.quantity.value}")
        self.wait(lambda: self.sees is section.quantity, 4)
        self.wait(lambda: self.check.lifted, 1.5)
        if section.quantity is not Quantity.TEMPERATURE:
            self.hands(f"leads: {section.name}")
        stays = {PulseState.OVERLOAD, PulseState.SETTLED}
        self.wait(lambda: times() > before, 2.5)
        self.wait(lambda: times() > before or self.state in stays, 5)
        if not self.wait(lambda: times() > before, 0.5):
            self.send(TakeReading(time_ns=0))


def record_shelf(folders: Folders) -> None:
    """Every part of the shelf, with what a person does to them."""
    with Store.open(folders, write=True) as store:
        bench = Bench(folders, store)
        bench.wait(lambda: False, 2)
        bench.send(NullLeads(time_ns=0))  # of the open leads, in farads
        bench.hands("leads: together", f"knob: {Quantity.RESISTANCE.value}")
        bench.wait(lambda: bench.sees is Quantity.RESISTANCE, 3)
        bench.wait(lambda: bench.state is PulseState.SETTLED, 4)
        bench.send(NullLeads(time_ns=0))
        bench.hands("leads: air")
        bench.send(Mark(time_ns=0, text="Leads nulled; the shelf from left to right."))
        for number, part in enumerate(bench.plan.plan.parts):
            bench.begin(
                part,
                rule="simple" if number % 7 == 3 else "guarded",
                accuracy="" if number % 11 == 5 else None,
            )
            sections = [s.section for s in bench.check.sections]
            if part.name == "capacitor, still charged":
                bench.make_safe(sections[0].name, drain=True)
            elif bench.check.charged and number % 3 == 0:
                bench.make_safe(next(iter({**part.sections, **part.truths})))
            elif bench.check.charged:
                bench.send(TypeReading(time_ns=0, channel="residual", text="0.3 V"))
            for section in sections:
                bench.measure(section)
            if number % 9 == 4:
                bench.send(RepeatSection(time_ns=0, section=sections[0].name))
                bench.measure(sections[0])
        # A capacitor by its label alone, typed in; a label that cannot be read; a wrong section.
        bench.hands("leads: air")
        for label, texts in (
            ("45/5 uF ±6% 440 V", ("44.1 uF", "5.02")),
            ("88-108 MFD 250VAC", ("OL",)),
            ("30 µF ±5 %", ("none", "28.4 uF")),
        ):
            bench.send(
                BeginCheck(
                    time_ns=0, part="", label=label, accuracy="1 % + 3 x 0.01 uF", channel="meter"
                )
            )
            for text in texts:
                bench.send(TypeReading(time_ns=0, channel="meter", text=text))
        bench.send(BeginCheck(time_ns=0, part="x", label="a capacitor", channel="meter"))
        bench.send(SelectSection(time_ns=0, section="FAN"))
        bench.send(TypeReading(time_ns=0, channel="residual", text="310 V"))
        bench.send(TypeReading(time_ns=0, channel="outdoor", text="71.6 °F"))
        bench.send(PowerRestored(time_ns=0))
        bench.send(Annotate(time_ns=0, text="Coffee at ten – “ße, ½, \U0001f527”."))
        bench.source.close()
        for item in bench.stream:
            bench.feed(item)
        bench.feed(Ended(time_ns=bench.now_ns))
        bench.recorder.close(ended=True)
        store.remark(bench.recorder.session_id, "All of it.")


R45 = ReferencePart(
    "R45",
    45 * MICRO,
    Decimal("0.05") * MICRO,
    date(2026, 1, 10),
    valued_by="certificate 17",
    due=date(2026, 6, 1),
)
R5 = ReferencePart("R5", 5 * MICRO, Decimal("0.01") * MICRO, None)
ACCURACY = "0.5 % + 2 x 0.01 µF"


def line_setup(address: str) -> BenchSetup:
    profile = Profile(
        name="meter",
        title="Capacitance meter",
        format=TextFormat(pattern=r"(?P<value>\S+) (?P<value_unit>\S+)"),
        channels=(ChannelOfProfile(quantity=Quantity.CAPACITANCE, unit="µF"),),
    )
    return BenchSetup(
        origin="serial",
        links=(LinkSetup(name="line", address=address, profile=profile),),
        channels=(
            ChannelSetup(name="capacitor", role=Role.CAPACITOR, link="line", accuracy=ACCURACY),
        ),
    )


class Line:
    """A session on a serial meter whose lines are written here."""

    def __init__(
        self, store: Store, name: str, *, day: int = 0, identity: str = "0403:6001:A1"
    ) -> None:
        setup = line_setup("/dev/serial/by-id/meter")
        self.chain = MeasuringChain(setup)
        self.recorder = store.begin(
            setup, name=name, started=STARTED + timedelta(days=day), zone=ZONE
        )
        self.now = 0
        self.anchors = 0
        self.feed(LinkChange(time_ns=0, link="line", up=True, identity=identity))

    def feed(self, item: Input) -> None:
        outcome = self.chain.feed(item)
        self.recorder.take(item, outcome.readings, outcome.events, outcome.verdicts)

    def does(self, command: Command) -> None:
        self.feed(msgspec.structs.replace(command, time_ns=self.now))

    def shows(self, text: str, times: int = 12) -> None:
        for _ in range(times):
            self.now += SECOND // 4
            self.feed(Chunk(time_ns=self.now, link="line", data=f"{text}\r\n".encode()))

    def anchor(self, more_us: int = 0) -> None:
        self.feed(
            ClockAnchor(
                time_ns=self.now, utc_us=int(STARTED.timestamp() * 1e6) + self.now // 1000 + more_us
            )
        )

    def reads(self, part: ReferencePart, text: str) -> None:
        self.does(reference_command(part, date(2026, 3, 1), accuracy=ACCURACY, channel="capacitor"))
        self.shows(text)
        self.shows("0.00 uF", 3)

    def measures(
        self,
        part: str,
        text: str,
        *,
        label: str = "45 µF ±6 % 440 V",
        lot: str = "",
        rule: str = "guarded",
        accuracy: str = ACCURACY,
    ) -> None:
        self.does(
            BeginCheck(time_ns=0, part=part, label=label, accuracy=accuracy, lot=lot, rule=rule)
        )
        self.shows(text)
        self.shows("0.00 uF", 3)

    def ends(self, *, ended: bool = True) -> str:
        if ended:
            self.feed(Ended(time_ns=self.now))
        self.recorder.close(ended=ended)
        return self.recorder.session_id


def record_reference_parts(folders: Folders) -> None:
    """A meter's history, a bias that a person accepts, and edits of names and remarks."""
    with Store.open(folders, write=True) as store:
        numbers = []
        for day, text in enumerate(
            ("45.50", "45.52", "45.49", "45.51", "45.50", "45.48", "45.51", "45.50")
        ):
            line = Line(store, f"day {day}", day=day)
            line.reads(R45, f"{text} uF")
            numbers.append(line.ends())
        (record,) = meter_records(store.reference_readings())
        (history,) = record.histories
        command = accept(offer(history), channel="capacitor", text="read on eight days")
        line = Line(store, "with the bias taken off", day=9)
        line.anchor()
        line.shows("0.012 uF")
        line.does(NullLeads(time_ns=0))
        line.measures("before", "42.60 uF")
        line.does(command)
        line.measures("after", "42.60 uF")
        line.measures("simple", "42.60 uF", rule="simple")
        line.reads(R45, "45.51 uF")
        line.reads(R5, "5.00 uF")
        for number, text in enumerate(("45.0", "44.7", "45.3", "41.9", "45.1"), 1):
            line.measures(str(number), f"{text} uF", lot="carton 7")
        line.measures("too coarse", "46 uF", accuracy="5 % + 3 counts")
        line.measures("no accuracy", "40.0 uF", accuracy="")
        line.measures("two sections", "40.1 uF", label="40/5 µF ±6 % 440 V")
        line.shows("5.01 uF")
        line.does(msgspec.structs.replace(command, bias_si=Decimal("6e-6")))  # refused
        line.does(msgspec.structs.replace(command, bias_si=Decimal(0)))
        line.measures("taken back", "42.60 uF")
        line.does(reference_command(R45, date(2026, 3, 1), accuracy="", channel="capacitor"))
        line.does(TypeReading(time_ns=0, channel="capacitor", text="45.2"))
        line.anchor(3_600_000_000)
        line.now += 3 * SECOND
        line.anchor(3_600_000_000)
        line.shows("?!", 3)
        line.shows("OL uF", 8)
        line.feed(
            LinkChange(
                time_ns=line.now,
                link="line",
                up=False,
                reason=reported("The cable is out.", "Plug it in."),
            )
        )
        line.now += 20 * SECOND
        line.feed(LinkChange(time_ns=line.now, link="line", up=True, identity="0403:6001:A1"))
        line.shows("44.1 uF", 8)
        number = line.ends()
        store.rename(number, "bias taken off")
        store.remark(number, "first")
        store.remark(number, "second")
        line = Line(store, "other meter", day=10, identity="")
        line.reads(R5, "4.98 uF")
        store.remove(line.ends())
        line = Line(store, "power cut", day=11)
        line.measures("half", "44.1 uF")
        line.ends(ended=False)


def record_typed_in(folders: Folders) -> None:
    """No instrument: all was typed."""
    setup = BenchSetup(origin="typed in", links=(), channels=())
    kind = load_part_kind("heater", folders)
    with Store.open(folders, write=True) as store:
        chain = MeasuringChain(setup)
        recorder = store.begin(setup, name="by hand", started=STARTED, zone=ZONE)
        now = 0
        for item in (
            BeginCheck(
                time_ns=0, part="old part", label="45/5 uF ±6% 440 V", accuracy="1.2% + 2 x 0.1uF"
            ),
            TypeReading(time_ns=0, channel="capacitor", text="44,1"),
            TypeReading(time_ns=0, channel="capacitor", text="4.2 µF"),
            BeginCheck(time_ns=0, part="new", label="7.5 µF", tolerance="6 %", rule="simple"),
            TypeReading(time_ns=0, channel="capacitor", text="7.4"),
            BeginCheck(
                time_ns=0,
                part="band",
                label="240 V, 1500 W",
                kind=kind_text(kind),
                accuracy="0.5 % + 2",
                channel="meter",
            ),
            TypeReading(time_ns=0, channel="meter", text="38.1 ohm"),
            TypeReading(time_ns=0, channel="meter", text="60 Mohm"),
            TypeReading(time_ns=0, channel="residual", text="12 V"),
            TypeReading(time_ns=0, channel="discharge", text="24.0 °C"),
            TypeReading(time_ns=0, channel="outdoor", text="22.0 °C"),
            PowerRestored(time_ns=0),
            *(
                TypeReading(time_ns=0, channel="discharge", text=f"{t} °C")
                for t in (
                    "24.0",
                    "28.1",
                    "31.0",
                    "33.2",
                    "34.0",
                    "34.4",
                    "34.5",
                    "34.6",
                    "34.6",
                    "34.6",
                )
            ),
            Mark(time_ns=0, text="Fan turns."),
            Annotate(time_ns=0, text="No meter at hand."),
            Ended(time_ns=0),
        ):
            now += 20 * SECOND
            taken = msgspec.structs.replace(item, time_ns=now)
            outcome = chain.feed(taken)
            recorder.take(taken, outcome.readings, outcome.events, outcome.verdicts)
        recorder.close(ended=True)


class Cells(HTMLParser):
    """The numbers in the tables of a page, cell by cell."""

    def __init__(self) -> None:
        super().__init__()
        self.inside = False
        self.numbers: list[str] = []

    def handle_starttag(self, tag: str, attrs: object) -> None:
        self.inside = self.inside or tag == "td"

    def handle_endtag(self, tag: str) -> None:
        self.inside = self.inside and tag != "td"

    def handle_data(self, data: str) -> None:
        if self.inside:
            self.numbers += re.findall(r"[+−-]?\d+(?:[.,:]\d+)*", data)


def run(folder: Path, *arguments: str) -> str:
    command = [sys.executable, "-m", "benchmeter", *arguments, "--data", str(folder)]
    return subprocess.run(
        command, env=ENVIRONMENT, check=True, capture_output=True, text=True
    ).stdout


def answers(folder: Path) -> dict:
    sessions = json.loads(run(folder, "sessions", "--json"))
    found = {
        "sessions": sessions,
        "recheck": json.loads(run(folder, "recheck", "--json")),
        "show": {},
        "report": {},
    }
    for session in sessions["sessions"]:
        number = session["id"]
        found["show"][number] = json.loads(run(folder, "show", number, "--json"))
        page = folder.with_name("page.html")
        run(folder, "report", number, "--to", str(page), "--replace")
        cells = Cells()
        cells.feed(page.read_text(encoding="utf-8"))
        found["report"][number] = cells.numbers
    return found


def keep(name: str, record: Callable[[Folders], None]) -> None:
    with tempfile.TemporaryDirectory() as place:
        folders = Folders(Path(place))
        record(folders)
        Store.open(folders, write=True).close()  # empties the log
        whole = folders.database.read_bytes()
        (HERE / f"{name}.sqlite.xz").write_bytes(lzma.compress(whole, preset=9))
        said = json.dumps(answers(folders.data), ensure_ascii=False, indent=0).encode()
        (HERE / f"{name}.json.xz").write_bytes(lzma.compress(said, preset=9))


def record_demo(scenario: str) -> Callable[[Folders], None]:
    def record(folders: Folders) -> None:
        run(folders.data, "record", "--from", f"simulated:{scenario}", "--pace", "max")

    return record


def record_troubled_frames(folders: Folders) -> None:
    faults = [
        ("handheld", "garbled", 10, 16), ("handheld", "half frames", 20, 26), ("handheld", "silent", 30, 38),
        ("handheld", "unplugged", 42, 50), ("handheld", "stuck", 60, 80), ("handheld", "wrong function", 84, 92),
        ("thermometer module", "garbled", 12, 20), ("thermometer module", "half frames", 26, 34),
        ("thermometer module", "silent", 40, 52), ("thermometer module", "unplugged", 60, 66),
        ("thermometer module", "open probe", 70, 76), ("thermometer module", "power-up value", 80, 84),
        ("thermometer module", "stuck", 88, 116),
    ]  # fmt: skip
    tables = "".join(
        f'[[faults]]\ninstrument = "{i}"\nkind = "{k}"\nfrom_s = {a}.0\nuntil_s = {b}.0\n'
        for i, k, a, b in faults
    )
    with tempfile.TemporaryDirectory() as place:
        path = Path(place) / "troubled-frames.toml"
        path.write_text(TROUBLED_FRAMES + tables, encoding="utf-8")
        run(folders.data, "record", "--from", f"simulated:{path}", "--pace", "max")


def main() -> None:
    made = {name: record_demo(name) for name in DEMO_SESSIONS} | {
        "shelf": record_shelf,
        "reference-parts": record_reference_parts,
        "troubled-frames": record_troubled_frames,
        "typed-in": record_typed_in,
    }
    for name in sys.argv[1:] or made:
        keep(name, made[name])


if __name__ == "__main__":
    main()
