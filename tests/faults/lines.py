"""What goes wrong on the way to an instrument, on ptys, through source, chain and record."""

import fcntl
import os
import time
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from pathlib import Path
from random import Random

from benchmeter.readings.events import EventKind
from benchmeter.readings.status import Status
from benchmeter.words.event_words import event_text
from tests.faults.bench import Answering, Bench, bench, listed, message, shown, wait_for
from tests.faults.tally import Tally
from tests.links.ports.ptys import PtyInstrument

__all__ = [
    "baud_noise",
    "falls_silent",
    "flood",
    "half_frames",
    "late_answers",
    "port_busy",
    "replugged_elsewhere",
    "swapped",
    "unplugged",
]

_QUICK_ROUNDS = 2
_QUIET_S = 0.4  # longer than the silence after which a line is known to begin anew


def unplugged(folder: Path, rounds: int, chance: Random) -> Tally:
    """The cable comes off in the middle of a frame and is put back: the same name."""
    tally = Tally("")
    for kind, where in _kinds(folder, rounds, ("text", "lcd14")):
        with _line(where) as line, bench(where, kind, [line]) as b:
            b.wait_up()
            sent, must = _say(line, kind, range(8))
            _settle(b, shown(kind, 7))  # what is still in the adapter goes with it
            line.send(message(kind, 8)[: chance.randint(1, 10)])
            line.unplug()
            b.wait_down()
            line.plug()
            b.wait_up(2)
            more, also = _say(line, kind, range(8, 16))
            _settle(b, shown(kind, 15))
            b.judge(tally, [*sent, *more], [*must, *also])
            gaps = b.events(EventKind.GAP)
            whole = len(gaps) == 1 and len(b.events(EventKind.LINK_LOST)) == 1
            b.session.stop()
            tally.recovered += whole and b.stored_as_shown()
        tally.rounds += 1
    return tally


def replugged_elsewhere(folder: Path, rounds: int, chance: Random) -> Tally:
    """The adapter comes back under another name, and a stranger takes its old place."""
    tally = Tally("")
    for kind, where in _kinds(folder, rounds, ("text", "lcd14")):
        with _line(where) as line, _line(where, "moved") as moved, _line(where, "other") as other:
            ports = [listed(line.device, "A50285BI")]
            with bench(where, kind, [line], ports=lambda p=ports: p, paths=[line.device]) as b:
                b.wait_up()
                sent, must = _say(line, kind, range(8))
                _settle(b, shown(kind, 7))
                line.unplug()
                ports.clear()
                b.wait_down()
                ports[:] = [listed(other.device, "OTHER"), listed(moved.device, "A50285BI", "1-4")]
                b.wait_up(2)
                other.send(message(kind, 999))
                more, also = _say(moved, kind, range(8, 16))
                _settle(b, shown(kind, 15))
                b.judge(tally, [*sent, *more], [*must, *also])
                told = len(b.events(EventKind.LINK_LOST)) == len(b.events(EventKind.GAP)) == 1
                b.session.stop()
                tally.recovered += told and b.stored_as_shown()
        tally.rounds += 1
    return tally


def swapped(folder: Path, rounds: int, chance: Random) -> Tally:
    """Two meters change their sockets: each goes on under its own name."""
    tally = Tally("")
    for kind, where in _kinds(folder, rounds, ("text", "lcd14")):
        with ExitStack() as stack:
            one, two, left, right = (stack.enter_context(_line(where, n)) for n in "abcd")
            ports = [listed(one.device, "AAAA1234"), listed(two.device, "BBBB1234", "1-2")]
            paths = [one.device, two.device]
            b = stack.enter_context(
                bench(where, kind, [one, two], ports=lambda p=ports: p, paths=paths)
            )
            b.wait_up(2)
            _say(one, kind, range(6))
            _say(two, kind, range(100, 106))
            _settle(b, shown(kind, 5))
            _settle(b, shown(kind, 105), "two")
            one.unplug()
            two.unplug()
            ports.clear()
            b.wait_down(2)
            # In the socket where the first meter was, the second is plugged in.
            ports[:] = [listed(left.device, "BBBB1234"), listed(right.device, "AAAA1234", "1-2")]
            b.wait_up(4)
            _say(right, kind, range(6, 12))
            _say(left, kind, range(106, 112))
            _settle(b, shown(kind, 11))
            _settle(b, shown(kind, 111), "two")
            b.judge(tally, range(12), [*range(1, 6), *range(7, 12)])
            b.judge(tally, range(100, 112), [*range(101, 106), *range(107, 112)], "two")
            b.session.stop()
            tally.recovered += b.stored_as_shown()
        tally.rounds += 1
    return tally


def port_busy(folder: Path, rounds: int, chance: Random) -> Tally:
    """Another program holds the port at first, and lets it go."""
    tally = Tally("")
    for kind, where in _kinds(folder, rounds, ("text", "lcd14")):
        with _line(where) as line:
            other = os.open(line.device, os.O_RDWR | os.O_NOCTTY)
            fcntl.flock(other, fcntl.LOCK_EX | fcntl.LOCK_NB)
            with bench(where, kind, [line]) as b:
                b.wait_down()
                tally.wrong += "in use by another program" not in event_text(
                    b.events(EventKind.LINK_LOST)[0]
                )
                os.close(other)
                b.wait_up()
                sent, must = _say(line, kind, range(8))
                _settle(b, shown(kind, 7))
                b.judge(tally, sent, must)
                b.session.stop()
                tally.recovered += b.stored_as_shown()
        tally.rounds += 1
    return tally


def half_frames(folder: Path, rounds: int, chance: Random) -> Tally:
    """Frames come in pieces: a short pause changes nothing, a long one never joins two halves."""
    tally = Tally("")
    for kind, where in _kinds(folder, rounds, ("text", "lcd14")):
        with _line(where) as line, bench(where, kind, [line]) as b:
            b.wait_up()
            time.sleep(_QUIET_S)
            must = []
            for number in range(1, 9):
                frame = message(kind, 37 * number)
                cut = chance.randint(1, len(frame) - 1)
                long = number % 4 == 0
                line.send(frame[:cut])
                time.sleep(_QUIET_S if long else 0.03)
                line.send(frame[cut:])
                time.sleep(_QUIET_S if long else 0.03)
                # A line end alone after the pause still closes a whole line.
                if not long:
                    must.append(37 * number)
            _settle(b, shown(kind, must[-1]))
            b.judge(tally, [37 * n for n in range(1, 9)], must)
            b.session.stop()
            tally.recovered += b.stored_as_shown()
        tally.rounds += 1
    return tally


def baud_noise(folder: Path, rounds: int, chance: Random) -> Tally:
    """Between the frames any bytes, as at a wrong baud rate; afterwards all is read."""
    tally = Tally("")
    for kind, where in _kinds(folder, rounds, ("text", "lcd14")):
        with _line(where) as line, bench(where, kind, [line]) as b:
            b.wait_up()
            time.sleep(_QUIET_S)
            for number in range(1, 10):
                line.send(chance.randbytes(chance.randint(1, 400)))
                line.send(message(kind, 11 * number))
                time.sleep(0.02)
            time.sleep(_QUIET_S)
            line.send(b"\r\n")
            more, must = _say(line, kind, range(1000, 1008))
            _settle(b, shown(kind, 1007))
            b.judge(tally, [*(11 * n for n in range(1, 10)), *more], must)
            tally.wrong += not b.events(EventKind.GARBLED)
            b.session.stop()
            tally.recovered += b.stored_as_shown()
        tally.rounds += 1
    return tally


def flood(folder: Path, rounds: int, chance: Random) -> Tally:
    """A meter that sends 10 MB (quick: 1 MB) without a pause: noise, then good readings."""
    megabytes = 1 if rounds <= _QUICK_ROUNDS else 10
    tally = Tally("")
    for kind, where in _kinds(folder, rounds, ("text", "lcd14")):
        with _line(where) as line, bench(where, kind, [line]) as b:
            b.wait_up()
            for _ in range(16 * megabytes):
                line.send(chance.randbytes(65_536))
            line.send(b"\r\n")
            time.sleep(_QUIET_S)
            _, must = _say(line, kind, range(1000, 1008))
            _settle(b, shown(kind, 1007), timeout_s=60)
            # Random bytes may make a frame where there is no check sum: only the end is judged.
            last = [r.value for r in b.readings() if r.status is Status.OK][-len(must) :]
            tally.wrong += last != [shown(kind, number) for number in must]
            tally.wrong += len(b.events(EventKind.LINK_LOST))
            b.session.stop()
            tally.recovered += b.stored_as_shown()
        tally.rounds += 1
    return tally


def falls_silent(folder: Path, rounds: int, chance: Random) -> Tally:
    """Nothing comes for some seconds: stale, then a gap, and the link is not given up."""
    tally = Tally("")
    for kind, where in _kinds(folder, rounds, ("text", "lcd14")):
        with _line(where) as line, bench(where, kind, [line]) as b:
            b.wait_up()
            sent, must = _say(line, kind, range(8))
            time.sleep(3.4)
            stale = [p.state.value for o in b.outcomes for p in o.states if p.channel == "one"][-1]
            more, also = _say(line, kind, range(8, 16))
            _settle(b, shown(kind, 15))
            b.judge(tally, [*sent, *more], [*must, *also])
            tally.wrong += stale != "stale"
            tally.wrong += len(b.events(EventKind.LINK_LOST))
            gaps = len(b.events(EventKind.GAP))
            b.session.stop()
            tally.recovered += gaps == 1 and b.stored_as_shown()
        tally.rounds += 1
    return tally


def late_answers(folder: Path, rounds: int, chance: Random) -> Tally:
    """Answers that take up to one and a half time-outs: dropped or read, never mixed up."""
    tally = Tally("")
    for kind, where in _kinds(folder, rounds, ("scpi", "modbus")):
        with _line(where) as line:
            longest_s = 3.0 if kind == "scpi" else 1.5
            delays = [chance.choice((0.01, 0.01, 0.01, longest_s)) for _ in range(100)]
            with (
                Answering(line, kind, lambda d=delays: d.pop()) as meter,
                bench(where, kind, [line]) as b,
            ):
                wait_for(lambda m=meter: m.sent >= 6, 30)
                delays[:] = [0.01] * 200
                last = meter.sent + 5
                wait_for(lambda m=meter, n=last: m.sent > n, 30)
                _settle(b, shown(kind, last), timeout_s=30)
                b.judge(tally, range(meter.sent + 1), [last])
                b.session.stop()
                tally.recovered += b.stored_as_shown()
        tally.rounds += 1
    return tally


def _kinds(folder: Path, rounds: int, kinds: Sequence[str]) -> Iterator[tuple[str, Path]]:
    for number in range(rounds):
        where = folder / str(number)
        where.mkdir(parents=True)
        yield kinds[number % len(kinds)], where


@contextmanager
def _line(where: Path, name: str = "meter") -> Iterator[PtyInstrument]:
    line = PtyInstrument(where / name)
    try:
        yield line
    finally:
        if line.path.is_symlink():
            line.unplug()


def _say(line: PtyInstrument, kind: str, numbers: Sequence[int]) -> tuple[list[int], list[int]]:
    """Send readings after a quiet moment; all, and those that must be read."""
    time.sleep(_QUIET_S)
    for number in numbers:
        line.send(message(kind, number))
        time.sleep(0.02)
    return [*numbers], [*numbers[1:]] if kind == "text" else [*numbers]


def _settle(b: Bench, value: float, channel: str = "one", timeout_s: float = 15) -> None:
    wait_for(lambda: any(r.value == value for r in b.readings(channel)), timeout_s)
