"""A whole session on ptys: serial source, measuring chain and record, instruments played here.

Every value that an instrument sends is another one, so that each reading can be traced to it.
"""

import itertools
import os
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

from pymodbus.framer.rtu import FramerRTU
from serial.tools.list_ports_common import ListPortInfo

from benchmeter.files.folders import Folders
from benchmeter.links.instruments.linking import serial_link
from benchmeter.links.instruments.profiles import load_profile
from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, LinkSetup, Role
from benchmeter.links.ports.serial_source import SerialSource
from benchmeter.readings.events import Event, EventKind
from benchmeter.readings.reading import Reading
from benchmeter.readings.status import Status
from benchmeter.record.store import Store
from benchmeter.session.outcome import Outcome
from benchmeter.tasks.recheck import recheck
from benchmeter.tasks.running import RunningSession
from tests.faults.tally import Tally
from tests.links.ports.ptys import PtyInstrument

__all__ = ["Answering", "Bench", "bench", "listed", "message", "shown", "wait_for"]

PROFILES = {
    "text": "text-two-probes",
    "lcd14": "lcd-handheld",
    "scpi": "scpi-capacitance",
    "modbus": "modbus-two-probes",
}
ZERO_CELSIUS = 273.15

# Segments e f a | d c g b of a display's digits, from memory of a data sheet.
_SEGMENTS = dict(zip("0123456789", bytes.fromhex("7d055b1f273e7e157f3f"), strict=True))


def message(kind: str, number: int) -> bytes:
    """What an instrument of that kind sends for its reading `number` (0 to 4999)."""
    match kind:
        case "text":
            return f"T1={number / 10:.1f}C T2=20.0C\r\n".encode()
        case "lcd14":
            digits = [_SEGMENTS[digit] for digit in f"{number:04d}"]
            nibbles = [3]  # automatic range, link
            for place, segments in enumerate(digits):
                point = 8 if place == 2 else 0  # 12.34
                nibbles += [segments >> 4 | point, segments & 15]
            nibbles += [8, 0, 8, 0, 0]  # µ, F
            return bytes(place << 4 | nibble for place, nibble in enumerate(nibbles, 1))
        case "scpi":
            return f"+{number / 1000:.3f}E-05\n".encode()
        case _:
            body = b"\x01\x04\x04" + number.to_bytes(2, "big") + (200).to_bytes(2, "big")
            return body + FramerRTU.compute_CRC(body).to_bytes(2, "big")


def shown(kind: str, number: int) -> float:
    """The value of that reading in SI."""
    if kind in ("text", "modbus"):
        return float(f"{number / 10 + ZERO_CELSIUS:.2f}")
    return float(f"{number}E-08")


class Answering:
    """Answers the questions that come over a pty, on a thread of its own.

    Args:
        delay_s: how long each answer takes; called for each.
    """

    def __init__(self, line: PtyInstrument, kind: str, delay_s: Callable[[], float]) -> None:
        self._line, self._kind, self._delay_s = line, kind, delay_s
        self.sent = 0
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._run, name="answering")
        self._thread.start()

    def __enter__(self) -> "Answering":
        return self

    def __exit__(self, *_: object) -> None:
        self._stop.set()
        self._thread.join(5)

    def _run(self) -> None:
        os.set_blocking(self._line.master, False)
        heard = b""
        while not self._stop.wait(0.005):
            try:
                heard += os.read(self._line.master, 256)
            except BlockingIOError:
                continue
            if self._kind == "modbus":
                asked = [b"" for _ in range(len(heard) // 8)]
                heard = heard[8 * len(asked) :]
            else:
                *asked, heard = heard.split(b"\n")
            for question in asked:
                self._answer(question)

    def _answer(self, question: bytes) -> None:
        if self._kind == "scpi" and not question.endswith(b"?"):
            return
        if self._stop.wait(self._delay_s()):
            return
        if question == b"*IDN?":
            self._line.send(b"MAKER,METER,0,1\n")
            return
        self._line.send(message(self._kind, self.sent))
        self.sent += 1


class Bench:
    """A session that is being recorded. `outcomes`: all that it has led to."""

    def __init__(self, folders: Folders, store: Store, session: RunningSession, kind: str) -> None:
        self.folders, self.store, self.session, self.kind = folders, store, session, kind
        self.outcomes: list[Outcome] = []

    def readings(self, channel: str = "one") -> list[Reading]:
        return [r for o in tuple(self.outcomes) for r in o.readings if r.channel == channel]

    def events(self, kind: EventKind) -> list[Event]:
        return [e for o in tuple(self.outcomes) for e in o.events if e.kind is kind]

    def wait_up(self, times: int = 1) -> None:
        wait_for(lambda: len(self.events(EventKind.LINK_UP)) >= times)

    def wait_down(self, times: int = 1) -> None:
        wait_for(lambda: len(self.events(EventKind.LINK_LOST)) >= times)

    def judge(self, tally: Tally, sent: Sequence[int], must: Sequence[int], channel: str = "one"):
        """Count what is lost of `must` and what is not in `sent`, in the order of sending."""
        readings = [r for r in self.readings(channel) if r.status is Status.OK]
        order = {shown(self.kind, number): place for place, number in enumerate(sent)}
        places = [order.get(r.value) for r in readings if r.value is not None]
        tally.wrong += sum(place is None for place in places)
        known = [place for place in places if place is not None]
        tally.wrong += sum(b <= a for a, b in itertools.pairwise(known))
        tally.lost += len({shown(self.kind, n) for n in must} - {r.value for r in readings})

    def stored_as_shown(self) -> bool:
        """After the end: one session, sound, and a recheck finds what was shown."""
        (summary,) = self.store.sessions()
        stored = {c: self.store.samples(summary.id, c) for c in self.store.channels(summary.id)}
        same = all(
            samples.value[samples.value == samples.value].tolist()
            == [r.value for r in self.readings(channel) if r.value is not None]
            for channel, samples in stored.items()
        )
        return same and not recheck(self.store, summary.id).differences


@contextmanager
def bench(
    folder: Path,
    kind: str,
    lines: Sequence[PtyInstrument],
    *,
    ports: Callable[[], Sequence[ListPortInfo]] = list,
    paths: Sequence[str] = (),
    utc_us: Callable[[], int] | None = None,
    started: datetime | None = None,
    zone: str = "UTC",
) -> Iterator[Bench]:
    """Record from the lines; channels "one", "two", ... each on a link of its own."""
    folders = Folders(folder / "data")
    names = ["one", "two"][: len(lines)]
    profile = load_profile(PROFILES[kind], folders)
    field = profile.channels[0].field
    given = paths or [str(line.path) for line in lines]
    setup = BenchSetup(
        origin="serial",
        links=tuple(
            LinkSetup(name=n, address=f"serial:{p}", profile=profile)
            for n, p in zip(names, given, strict=True)
        ),
        channels=tuple(ChannelSetup(name=n, role=Role.OTHER, link=n, field=field) for n in names),
    )
    source = SerialSource(
        [serial_link(link) for link in setup.links],
        ports=ports,
        **({} if utc_us is None else {"utc_us": utc_us}),
    )
    with Store.open(folders, write=True) as store:
        recorder = store.begin(
            setup, name="faults", started=started or datetime.now(UTC), zone=zone
        )
        made: list[Bench] = []
        session = RunningSession(
            setup,
            source,
            lambda outcome: made[0].outcomes.append(outcome),
            session_id=recorder.session_id,
            recorder=recorder,
        )
        made.append(Bench(folders, store, session, kind))
        session.start()
        try:
            yield made[0]
        finally:
            session.stop()
        assert session.failure is None, session.failure


def listed(device: str, serial: str | None, location: str = "1-1") -> ListPortInfo:
    """A USB adapter as the system would list it."""
    port = ListPortInfo(device)
    port.vid, port.pid, port.serial_number, port.location = 0x0403, 0x6001, serial, location
    return port


def wait_for(condition: Callable[[], object], timeout_s: float = 15) -> None:
    until = time.monotonic() + timeout_s
    while not condition():
        assert time.monotonic() < until, "waited in vain"
        time.sleep(0.005)
