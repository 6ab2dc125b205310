"""A recording that is asked to end by a signal, at whatever moment."""

import json
import signal
import subprocess
import sys
import time
from pathlib import Path
from random import Random

from benchmeter.files.folders import Folders
from benchmeter.record.records import SessionState
from benchmeter.record.store import Store
from tests.faults.tally import Tally

__all__ = ["ENDS", "asked_to_end", "recording"]

ENDS = (signal.SIGTERM, signal.SIGHUP, signal.SIGINT)
_LONGEST_S = 60


def recording(data: Path) -> "subprocess.Popen[str]":
    """`benchmeter record --json` of a simulated bench; tells its session first, on stderr."""
    command = [sys.executable, "-W", "ignore", "-m", "benchmeter", "record", "--json"]
    return subprocess.Popen(
        [*command, "--from", "simulated:walk-in-cooler", "--pace", "100", "--data", str(data)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        preexec_fn=lambda: [signal.signal(number, signal.SIG_DFL) for number in ENDS],
    )


def asked_to_end(folder: Path, rounds: int, chance: Random) -> Tally:
    """At any time: a recording that has begun is closed, with all that was read."""
    tally, begun = Tally(""), 0
    for number in range(rounds):
        tally.rounds += 1
        data = folder / str(number)
        with recording(data) as program:
            assert program.stderr is not None
            # Ctrl-C while Python itself starts is told by Python; a closed session comes first.
            if by_hand := number % 3 == 2:
                program.stderr.readline()
            time.sleep(chance.uniform(0, 3))
            program.send_signal(ENDS[number % 3])
            out, told = program.communicate(timeout=_LONGEST_S)
        tally.wrong += "Traceback" in told
        tally.wrong += program.returncode not in (0, -ENDS[number % 3])
        tally.wrong += by_hand and program.returncode != 0
        with Store.open(Folders(data), write=False) as store:
            sessions = store.sessions()
            begun += len(sessions)
            tally.wrong += program.returncode == 0 and not sessions
            for session in sessions:
                tally.wrong += session.state is not SessionState.ENDED
                tally.wrong += len(store.check(session.id))
                if program.returncode == 0:
                    counted = sum(json.loads(out)["readings"].values())
                    tally.lost += counted - session.reading_count
        tally.recovered += 1
    tally.notes.append(f"{begun} of {tally.rounds} had begun")
    return tally
