"""Made `visits-of-version-2`. Run once, with the benchmeter that wrote version 2; see make_records.

`visits-of-version-3` was made alike, with the benchmeter that wrote version 3.

Two demo sessions, one of them renamed and remarked on twice, and one that was cut off with readings
that no block holds yet.
"""

import json
import lzma
import os
import subprocess
import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path

from benchmeter.files.folders import Folders
from benchmeter.links.instruments.profiles import load_profile
from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, LinkSetup, Role
from benchmeter.readings.inputs import BeginCheck, Chunk, Input, LinkChange, TypeReading
from benchmeter.record.store import Store
from benchmeter.session.engine import MeasuringChain
from tests.record.frozen import cells_with_numbers

HERE = Path(__file__).parent
NAME = "visits-of-version-2"
SECOND = 1_000_000_000


def run(folder: Path, *arguments: str) -> str:
    return subprocess.run(
        [sys.executable, "-m", "benchmeter", *arguments, "--data", str(folder)],
        env={**os.environ, "TZ": "America/Chicago", "QT_QPA_PLATFORM": "offscreen"},
        check=True, capture_output=True, text=True,
    ).stdout  # fmt: skip


def cut_off(folders: Folders, store: Store) -> None:
    profile = load_profile("text-two-probes", folders)
    setup = BenchSetup(
        origin="serial",
        links=(LinkSetup(name="probes", address="serial:/dev/ttyUSB0", profile=profile),),
        channels=(ChannelSetup(name="discharge", role=Role.DISCHARGE, link="probes", field="T1"),),
    )
    chain = MeasuringChain(setup)
    recorder = store.begin(
        setup, name="power cut", started=datetime(2026, 11, 2, 14, 5, tzinfo=UTC), zone="UTC"
    )
    inputs: list[Input] = [LinkChange(time_ns=0, link="probes", up=True, identity="0403:6001:A1")]
    for second in range(1, 61):
        line = f"T1={24 + second / 10:.1f}C T2=20.0C\r\n".encode()
        inputs.append(Chunk(time_ns=second * SECOND, link="probes", data=line))
    label = BeginCheck(time_ns=61 * SECOND, part="fan", label="7.5 µF ±5 %", accuracy="1 % + 2")
    inputs += [label, TypeReading(time_ns=62 * SECOND, channel="capacitor", text="7.41 uF")]
    for item in inputs:
        outcome = chain.feed(item)
        recorder.take(item, outcome.readings, outcome.events, outcome.verdicts)
    recorder.close(ended=False)


def main() -> None:
    with tempfile.TemporaryDirectory() as place:
        folders = Folders(Path(place))
        for scenario in ("short-visit", "carton-of-forty"):
            run(folders.data, "record", "--from", f"simulated:{scenario}", "--pace", "max")
        with Store.open(folders, write=True) as store:
            visit = store.session("Short visit").id
            store.rename(visit, "Visit, and the day after")
            store.remark(visit, "first")
            store.remark(visit, "Fan replaced – “ße”.")
            cut_off(folders, store)
        sessions = json.loads(run(folders.data, "sessions", "--json"))
        found = {
            "sessions": sessions,
            "recheck": json.loads(run(folders.data, "recheck", "--json")),
        }
        found |= {"show": {}, "report": {}}
        for number in (session["id"] for session in sessions["sessions"]):
            found["show"][number] = json.loads(run(folders.data, "show", number, "--json"))
            page = folders.data / "page.html"
            run(folders.data, "report", number, "--to", str(page))
            found["report"][number] = cells_with_numbers(page.read_text(encoding="utf-8"))
        whole, said = folders.database.read_bytes(), json.dumps(found, ensure_ascii=False, indent=0)
        (HERE / f"{NAME}.sqlite.xz").write_bytes(lzma.compress(whole, preset=9))
        (HERE / f"{NAME}.json.xz").write_bytes(lzma.compress(said.encode(), preset=9))


if __name__ == "__main__":
    main()
