"""A hundred kills at random moments: the record holds together, at most a second is gone.

After "How SQLite Is Tested" (sqlite.org/testing.html, 3.2): kill a writing child at a random
moment, then look whether what was acknowledged is complete.
"""

import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from queue import SimpleQueue

import pytest

from benchmeter.files.folders import Folders
from benchmeter.readings.inputs import Chunk
from benchmeter.record.records import SessionState
from benchmeter.record.store import Store
from tests.fakes.programs import is_alive

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork and SIGKILL"),
]

ROUNDS = 100
AT_ONCE = 8
LOST_AT_MOST_S = 1.0


@dataclass
class Killed:
    folder: Path
    taken: list[tuple[int, float]]  # how many, when
    kept: int
    killed_s: float


@pytest.fixture(scope="module")
def killed(tmp_path_factory: pytest.TempPathFactory) -> list[Killed]:
    chance = random.Random(20260329)
    root = tmp_path_factory.mktemp("killed")
    nursery = subprocess.Popen(
        [sys.executable, "-W", "ignore", str(Path(__file__).with_name("recording_child.py"))],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        bufsize=1,
    )
    assert nursery.stdin is not None and nursery.stdout is not None
    tokens: SimpleQueue[None] = SimpleQueue()
    tokens.put(None)

    def one_round(plan: tuple[float, float]) -> Killed:
        life_s, pace = plan
        folder = Path(tempfile.mkdtemp(dir=root))
        report = folder / "report"
        tokens.get()
        nursery.stdin.write(f"{folder}\t{pace}\t{report}\n")
        pid = int(nursery.stdout.readline())
        tokens.put(None)
        time.sleep(life_s)
        killed_s = time.monotonic()
        os.kill(pid, signal.SIGKILL)
        while report.exists() and is_alive(pid):
            time.sleep(0.002)
        lines = report.read_text().splitlines() if report.exists() else []
        words = [line.split() for line in lines if line.count(" ") == (2 if line[0] == "t" else 1)]
        return Killed(
            folder,
            [(int(w[1]), float(w[2])) for w in words if w[0] == "taken"],
            max((int(w[1]) for w in words if w[0] == "kept"), default=0),
            killed_s,
        )

    plans = [
        (
            chance.choice((chance.uniform(0, 0.2), chance.uniform(0.9, 1.7))),
            chance.choice((50, 300)),
        )
        for _ in range(ROUNDS)
    ]
    with nursery, ThreadPoolExecutor(AT_ONCE) as pool:
        return list(pool.map(one_round, plans))


def test_after_each_kill_the_record_holds_together_and_at_most_a_second_is_gone(
    killed: list[Killed],
) -> None:
    old_enough = 0
    for one in killed:
        must_be_there = max(
            (n for n, when in one.taken if when < one.killed_s - LOST_AT_MOST_S), default=0
        )
        old_enough += must_be_there > 0
        folders = Folders(one.folder)
        with Store.open(folders, write=False) as viewer:  # looking comes first and changes nothing
            seen = [session.input_count for session in viewer.cut_off()]
        with Store.open(folders, write=True) as store:
            left = store.cut_off()
            assert [session.input_count for session in left] == seen
            assert len(left) == 1 or not one.taken
            for session in left:
                assert session.state is SessionState.CUT_OFF
                assert store.check(session.id) == ()
                count = session.input_count
                assert count >= must_be_there
                assert count >= one.kept
                expected = [
                    Chunk(time_ns=n, link="probe", data=b"%d" % (n * n)) for n in range(count)
                ]
                assert list(store.inputs(session.id)) == expected
                store.finish(session.id)
                assert store.check(session.id) == ()
                values = store.samples(session.id, "discharge").value.tolist()
                assert values == [300 + n / 10 for n in range(count)]
            assert store.cut_off() == ()
    assert old_enough > ROUNDS / 10  # else the test would prove nothing
    assert sum(one.kept > 0 for one in killed) > ROUNDS / 10
