"""Small real stand-ins for what lies below the window."""

import threading
from collections.abc import Callable, Sequence
from dataclasses import replace

from benchmeter.checking.commands import Command
from benchmeter.checking.reference_parts import all_reference_parts
from benchmeter.errors import WorldError
from benchmeter.files.folders import Folders
from benchmeter.links.instruments.formats.text_format import TextFormat
from benchmeter.links.instruments.profile import ChannelOfProfile, Profile
from benchmeter.links.instruments.setup import BenchSetup
from benchmeter.links.ports.source import HandChoice
from benchmeter.parts.kind_catalogue import all_part_kinds
from benchmeter.quantities.quantity import Quantity
from benchmeter.record.session_catalogue import Listed
from benchmeter.reports.label_stock import LabelStock, shipped_stock
from benchmeter.reports.meter_record import MeterRecord
from benchmeter.session.outcome import Outcome
from benchmeter.tasks.choices import LinksFound, PartKindsFound, Story
from benchmeter.tasks.known_parts import MeterFound
from benchmeter.tasks.replacing import StockFound
from benchmeter.tasks.writing import Writing
from benchmeter.window.control.services import Services
from tests.fakes.bench_states import SECOND, SETUP

PROFILES = (
    Profile(
        name="capacitance-lines",
        title="Capacitance meter that sends lines",
        format=TextFormat(pattern=".*"),
        channels=(ChannelOfProfile(quantity=Quantity.CAPACITANCE),),
    ),
    Profile(
        name="two-probes",
        title="Thermometer with two probes",
        format=TextFormat(pattern=".*"),
        channels=(
            ChannelOfProfile(field="T1", quantity=Quantity.TEMPERATURE),
            ChannelOfProfile(field="T2", quantity=Quantity.TEMPERATURE),
        ),
    ),
)


class FakeHands:
    """Hands that remember what they did."""

    def __init__(self) -> None:
        self.done: list[str] = []
        self._choices = [
            HandChoice("leads air", "leads", "apart", True),
            HandChoice("leads herm", "leads", "C and HERM", False),
            HandChoice("leads fan", "leads", "C and FAN", False),
            HandChoice("part old", "part", "old part", True, "40/6 µF ±5 % 440 V"),
            HandChoice("part new", "part", "replacement", False, "40/6 µF ±5 % 440 V"),
            HandChoice("unit on", "unit", "power on", False),
            HandChoice("unit off", "unit", "power off", True),
        ]

    def choices(self) -> tuple[HandChoice, ...]:
        return tuple(self._choices)

    def do(self, name: str) -> None:
        self.done.append(name)
        group = next(c.group for c in self._choices if c.name == name)
        self._choices = [
            replace(c, active=c.name == name) if c.group == group else c for c in self._choices
        ]

    def story_plays(self) -> bool:
        return not self.done


class FakeReplay:
    """A replay of ten minutes that stands still until it is told."""

    def __init__(self) -> None:
        self.pace: float | None = 1.0
        self.paused = False
        self.position_ns = 60 * SECOND
        self.length_ns = 600 * SECOND
        self.steps = 0

    def set_pace(self, pace: float | None) -> None:
        self.pace = pace

    def pause(self) -> None:
        self.paused = True

    def resume(self) -> None:
        self.paused = False

    def step(self) -> None:
        self.steps += 1

    def seek(self, time_ns: int) -> bool:
        if time_ns < self.position_ns:
            return False
        self.position_ns = time_ns
        return True


class FakeSession:
    """A session that keeps what is sent to it, and publishes what it is given."""

    session_id = "0192"
    held = None

    def __init__(
        self,
        publish: Callable[[Outcome], None],
        setup: BenchSetup = SETUP,
        hands: FakeHands | None = None,
        replay: FakeReplay | None = None,
    ) -> None:
        self.publish, self.setup, self.hands, self.replay = publish, setup, hands, replay
        self.sent: list[Command] = []
        self.running = False
        self.stopped_on = ""

    def start(self) -> None:
        self.running = True

    def send(self, command: Command) -> None:
        self.sent.append(command)

    def stop(self) -> None:
        self.running = False
        self.stopped_on = threading.current_thread().name

    def elapsed_ns(self) -> int:
        return 0


class FakeStore:
    """A record with nothing in it."""

    def __init__(self) -> None:
        self.closed = False

    refused = None

    def listed(self) -> Listed:
        return Listed((), frozenset(), ())

    def cut_off(self) -> tuple[()]:
        return ()

    def close(self) -> None:
        self.closed = True


class FakeEntrances:
    """Opens fake sessions."""

    def __init__(self, folders: Folders) -> None:
        self.folders = folders
        self.store = FakeStore()
        self.hands: FakeHands | None = None
        self.replay: FakeReplay | None = None
        self.setup = SETUP
        self.opened: list[FakeSession] = []
        self.scenario = ""
        self.addresses: tuple[str, ...] | None = None
        self.fault: WorldError | None = None
        self.meter_record: MeterRecord | None = None
        self._real = Services(folders)

    def open_store(self) -> FakeStore:
        return self.store

    def _open(self, publish: Callable[[Outcome], None], **more: object) -> FakeSession:
        if self.fault is not None:
            raise self.fault
        session = FakeSession(publish, self.setup, **more)  # type: ignore[arg-type]
        self.opened.append(session)
        return session

    def open_live(
        self, store: object, addresses: Sequence[str], publish: Callable[[Outcome], None]
    ) -> FakeSession:
        self.addresses = tuple(addresses)
        return self._open(publish)

    def open_simulated(
        self, store: object, scenario: str, publish: Callable[[Outcome], None]
    ) -> FakeSession:
        self.hands, self.scenario = FakeHands(), scenario
        return self._open(publish, hands=self.hands)

    def open_replay(
        self, store: object, session_id: str, publish: Callable[[Outcome], None]
    ) -> FakeSession:
        again, self.replay = self.replay is not None, FakeReplay()
        if again:  # nothing of it has been shown yet
            self.replay.position_ns = 0
        return self._open(publish, replay=self.replay)

    def find_links(self) -> LinksFound:
        return LinksFound((), PROFILES)

    def stories(self) -> tuple[Story, ...]:
        return (Story("walk-in-cooler", "Walk-in cooler"), Story("short-visit", "Short visit"))

    def label_stocks(self) -> tuple[LabelStock, ...]:
        return tuple(shipped_stock())

    def part_kinds(self) -> PartKindsFound:
        return PartKindsFound(*all_part_kinds(self.folders))

    def stock(self) -> StockFound:
        return self._real.stock()

    def make_example_stock(self) -> StockFound:
        return self._real.make_example_stock()

    def meter(self, store: object, session_id: str, channel: str) -> MeterFound:
        path = self.folders.reference_parts
        return MeterFound(path, *all_reference_parts(self.folders), record=self.meter_record)

    def add_reference_part(self, **fields: object) -> object:
        return self._real.add_reference_part(**fields)  # type: ignore[arg-type]

    def warm_up(self) -> None:
        pass

    def write(self, task: Writing) -> None:
        task.path.write_text("report")
