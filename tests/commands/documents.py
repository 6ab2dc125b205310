"""Calls that produce every key of every command's JSON.

A function for each schema makes documents of it. `covers` names the places of schemas whose every
property must occur in them: its own file, and what it alone brings about in the files that several
share.
"""

import json
import os
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import Decimal
from functools import cached_property
from pathlib import Path
from typing import Any
from unittest.mock import patch

from serial.tools import list_ports
from serial.tools.list_ports_common import ListPortInfo

from benchmeter.checking.commands import AcceptBias, BeginCheck, TypeReading
from benchmeter.checking.reference_check import reference_command
from benchmeter.conformity.reference_part import ReferencePart
from benchmeter.files.folders import Folders
from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, Role
from benchmeter.parts.kind_catalogue import load_part_kind
from benchmeter.readings.inputs import Input
from benchmeter.record.store import Store
from benchmeter.session.engine import MeasuringChain
from tests.commands.calls import call, document
from tests.record.frozen import unpack

__all__ = ["PRODUCERS", "Bench", "Producer"]

DATA = Path(__file__).parent.parent / "data"
LABEL = "45/5 uF ±6% 440 V"
WINDINGS = ("--kind", "compressor-single-phase", "230 V, RLA 16.7 A, tester 500 V")
START = ("--kind", "start-capacitor", "88-108 µF 250 V")


@dataclass(frozen=True)
class Bench:
    """A data folder, and what was recorded there when it was first needed."""

    data: Path

    @property
    def option(self) -> tuple[str, str]:
        return "--data", str(self.data)

    @cached_property
    def recorded(self) -> dict[str, Any]:
        """The documents of two recordings, by scenario; beside them a session of typed values."""
        _type_reference_parts(self.data)
        return {
            scenario: document(
                "record", "--from", f"simulated:{scenario}", "--pace", "max", *self.option
            )
            for scenario in ("short-visit", "shop-bench")
        }

    @property
    def id(self) -> str:
        """A session with a part that was judged, a recovery and a mark."""
        return str(self.recorded["short-visit"]["id"])

    def file(self, name: str, *lines: str) -> str:
        path = self.data / name
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
        return str(path)


@dataclass(frozen=True)
class Producer:
    """What makes documents of a schema."""

    make: Callable[[Bench], Iterator[Any]]
    covers: tuple[str, ...]
    needs_qt: bool


PRODUCERS: dict[str, Producer] = {}


def produces(
    schema: str, *also: str, needs_qt: bool = False
) -> Callable[[Callable[[Bench], Iterator[Any]]], None]:
    def entered(make: Callable[[Bench], Iterator[Any]]) -> None:
        PRODUCERS[schema] = Producer(make, (f"{schema}.json#", *also), needs_qt)

    return entered


def _type_reference_parts(data: Path) -> None:
    """A reference part, a bias that was accepted, a part with that bias taken off, a motor."""
    accuracy = "0.5 % + 2 x 0.01 µF; resistance 1 %"
    part = ReferencePart("R45", Decimal("45e-6"), Decimal("5e-8"), date(2026, 1, 10))
    today = date(2026, 3, 1)
    running = load_part_kind("motor-single-phase-running", Folders(data))
    inputs: list[Input] = [
        reference_command(part, today, accuracy=accuracy, channel="capacitor"),
        TypeReading(time_ns=1, channel="capacitor", text="45.5"),
        AcceptBias(
            time_ns=2,
            channel="capacitor",
            bias_si=Decimal("5e-7"),
            uncertainty_si=Decimal("5e-8"),
            reference=part,
        ),
        BeginCheck(time_ns=3, part="new", label="45 µF ±6 %", accuracy=accuracy),
        TypeReading(time_ns=4, channel="residual", text="0.1 V AC"),
        TypeReading(time_ns=4, channel="capacitor", text="45.4"),
        BeginCheck(time_ns=5, part="swollen one", label="45 µF ±6 %", seen="swollen"),
        BeginCheck(time_ns=5, part="fan", label="230 V, 1.1 A", kind=running),
        TypeReading(time_ns=6, channel="capacitor", text="231 V"),
        TypeReading(time_ns=7, channel="capacitor", text="1.04 A"),
    ]
    channel = ChannelSetup(name="capacitor", role=Role.CAPACITOR, link="")
    setup = BenchSetup(origin="typed in", links=(), channels=(channel,))
    chain = MeasuringChain(setup)
    started = datetime(today.year, today.month, today.day, tzinfo=UTC)
    with Store.open(Folders(data), write=True) as store:
        recorder = store.begin(setup, name="references", started=started, zone="UTC")
        for item in inputs:
            outcome = chain.feed(item)
            recorder.take(item, outcome.readings, outcome.events, outcome.verdicts)
        recorder.close(ended=True)


@produces(
    "judge",
    *(f"values.json#/$defs/{n}" for n in ("section", "conclusion", "terminals", "beside", "seen")),
)
def _judge(_: Bench) -> Iterator[Any]:
    yield document("judge", LABEL)
    yield document("judge", LABEL, "--read", "HERM=44.1", "--read", "FAN=5", "--accuracy", "1 %")
    reads = (f"--read={one}" for one in ("C-S=2.6", "C-R=0.8", "S-R=3.4", "to case=20Mohm"))
    yield document("judge", *WINDINGS, *reads, "--accuracy", "0.5 % + 1 x 0.1 ohm")
    yield document("judge", *START, "--read", "capacitance=97", "--read", "bleed=OL")
    yield document("judge", LABEL, "--seen", "swollen", "--photo", "lid.jpg")


@produces("judge-lot", "values.json#/$defs/estimate")
def _judge_lot(bench: Bench) -> Iterator[Any]:
    readings = (44.1, 45.2, 44.8, 46.0, 45.5, 44.4, 45.9, 46.3, 44.0, 45.1, "open", "", "rubbish")
    rows = (f"p{number},{reading}" for number, reading in enumerate(readings))
    lot = bench.file("lot.csv", "part,reading", *rows)
    yield document("judge", "45 µF ±6 %", "--lot", lot, "--accuracy", "1 %")
    rows = ("a,2.6,0.8,3.4,OL", "b,2.5,0.8,3.3,20 Mohm")
    lot = bench.file("windings.csv", "part,C-S,C-R,S-R,to case", *rows)
    yield document("judge", *WINDINGS, "--lot", lot)
    lot = bench.file("start.csv", "part,capacitance,bleed", "a,97,OL")
    yield document("judge", *START, "--lot", lot)


@produces("judge-kinds", "part-kind.json#")
def _judge_kinds(_: Bench) -> Iterator[Any]:
    yield document("judge", "--kinds")


@produces("judge-kind", "values.json#/$defs/limits")
def _judge_kind(_: Bench) -> Iterator[Any]:
    yield document("judge", *WINDINGS)
    yield document("judge", *WINDINGS[:2])


@produces("compute-under-load")
def _under_load(_: Bench) -> Iterator[Any]:
    values = ("--current", "6.28A", "--voltage", "370V", "--frequency", "60Hz")
    yield document("compute", "under-load", *values)


@produces("compute-discharge-time")
def _discharge_time(_: Bench) -> Iterator[Any]:
    values = ("--capacitance", "45uF", "--voltage", "370V", "--resistance", "15kohm")
    yield document("compute", "discharge-time", *values)


@produces("compute-step-fit")
def _step_fit(bench: Bench) -> Iterator[Any]:
    steps = (f"{t},{20 - 10 * 0.5 ** (t / 20):.3f}" for t in range(0, 100, 5))
    yield document("compute", "step-fit", bench.file("step.csv", "seconds,value", *steps))


@produces("compute-recovery")
def _recovery(bench: Bench) -> Iterator[Any]:
    def rows() -> Iterator[str]:
        for t in range(0, 3000, 5):
            run = max(t - 60, 0) / 120
            yield f"{t},{20 + 10 * (1 - 0.5**run) * (t < 2500):.2f},20"

    yield document(
        "compute", "recovery", bench.file("log.csv", "seconds,discharge,outdoor", *rows())
    )


@produces("compute-unbalance")
def _unbalance(_: Bench) -> Iterator[Any]:
    yield document("compute", "unbalance", "460V", "467V", "450V")
    yield document("compute", "unbalance", "460V", "400V", "450V")  # beyond the curve


@produces("compute-windings")
def _windings(_: Bench) -> Iterator[Any]:
    insulation = ("--to-case", "20Mohm", "--rated-voltage", "230V", "--tester", "500V")
    alike = ("A-B=2.60ohm", "B-C=2.61ohm", "C-A=2.62ohm", "--three-phase")
    different = ("C-S=2.6ohm", "C-R=0.8ohm", "S-R=3.4ohm")
    for readings in (alike, different):
        yield document("compute", "windings", *readings)
        yield document("compute", "windings", *readings, *insulation, "--accuracy", "1 %")
    yield document("compute", "windings", "C-S=OL", "C-R=OL", "S-R=OL")


@produces("compute-sensor")
def _sensor(_: Bench) -> Iterator[Any]:
    beside = ("--beside", "25C", "--beside-accuracy", "0.5deltaC")
    pt100, ntc = ("pt100", "--reading", "109.73ohm"), ("ntc-10k-2", "--reading", "10kohm")
    yield document("compute", "sensor", *pt100)
    yield document("compute", "sensor", "K", "--reading", "3.096mV", "--accuracy", "0.5 %")
    yield document("compute", "sensor", *pt100, *beside, "--class", "B")
    yield document("compute", "sensor", *ntc, *beside)


@produces(
    "compute-gauge-study",
    "values.json#/$defs/result",
    "values.json#/$defs/result_with_interval",
)
def _gauge_study(bench: Bench) -> Iterator[Any]:
    rows = [
        f"{part},{who},{40 + part + error}"
        for part in range(1, 11)
        for who in "abc"
        for error in (0.1 * (part % 3), 0.02 * ord(who) - 2)
    ]
    study = bench.file("study.csv", "part,operator,reading (µF)", *rows)
    yield document("compute", "gauge-study", study, "--tolerance-width", "5.4uF")
    rows = [row for row in rows if ",a," in row]
    yield document(
        "compute", "gauge-study", bench.file("one.csv", "part,operator,reading (Ω)", *rows)
    )


@produces("compute-meter-history")
def _meter_history(bench: Bench) -> Iterator[Any]:
    assert bench.recorded
    yield document("compute", "meter-history", *bench.option)
    history = bench.file(
        "history.csv",
        "date,reference,value (µF),uncertainty (µF),reading (µF)",
        *(f"2026-01-{day:02},R45,45.0,0.05,{45 + 0.01 * (day % 4)}" for day in range(1, 13)),
        "2026-01-14,R45,45.0,0.05,46.9",
        "2026-01-14,R5,5.0,0.05,5.01",
    )
    yield document("compute", "meter-history", history)
    yield document("compute", "meter-history", history, "--accuracy", "1 % + 2 x 0.01 µF")


@produces("compute-replacement")
def _replacement(bench: Bench) -> Iterator[Any]:
    rows = (f"{LABEL},oval,3,van,", "45/5 µF ±10 % 370 V,,0,,R7", "45 µF,,1,,")
    stock = bench.file("list.csv", "label,shape,count,place,own number", *rows)
    yield document("compute", "replacement", LABEL, "--from", stock, *bench.option)


@produces("ports")
def _ports(bench: Bench) -> Iterator[Any]:
    port = ListPortInfo("/dev/ttyUSB0")  # whatever hangs on this computer
    port.vid, port.pid, port.serial_number, port.product = 0x0403, 0x6001, "A1", "Adapter"
    port.apply_usb_info()
    with patch.object(list_ports, "comports", lambda *_, **__: [port]):
        yield document("ports", *bench.option)


@produces("record")
def _record(bench: Bench) -> Iterator[Any]:
    yield from bench.recorded.values()


@produces("sessions")
def _sessions(bench: Bench) -> Iterator[Any]:
    assert bench.recorded
    yield document("sessions", *bench.option)


@produces("show", "part-check.json#", "recovery.json#")
def _show(bench: Bench) -> Iterator[Any]:
    assert bench.recorded
    settles = f"simulated:{DATA / 'scenarios' / 'air-that-settles.toml'}"
    document("record", "--from", settles, "--pace", "max", *bench.option)
    older = unpack("handheld-and-modbus", bench.data / "older")  # with a forecast
    for session in document("sessions", "--data", str(older))["sessions"]:
        yield document("show", session["id"], "--data", str(older))
    for session in document("sessions", *bench.option)["sessions"]:
        yield document("show", session["id"], *bench.option)
        yield document("show", session["id"], "--brief", *bench.option)


@produces("visit")
def _visit(bench: Bench) -> Iterator[Any]:
    yield document("visit", bench.id, *bench.option)
    facts = ("--customer", "Ann Sample", "--ambient", "95F")
    yield document("visit", bench.id, "--check", "1", "--serial", "4711", *facts, *bench.option)


@produces("recheck")
def _recheck(bench: Bench) -> Iterator[Any]:
    agreeing = document("recheck", bench.id, *bench.option)
    assert agreeing["sessions"][0]["agrees"]
    yield agreeing
    forged = Folders(shutil.copytree(bench.data, bench.data / "forged"))
    raw = sqlite3.connect(forged.database)
    raw.execute("UPDATE event SET text = 'forged' WHERE kind = 'mark'")
    raw.commit()
    raw.close()
    found = call("recheck", "--json", "--data", str(forged.data))
    assert found.status == 1
    yield json.loads(found.out)


@produces("report", needs_qt=True)
def _report(bench: Bench) -> Iterator[Any]:
    yield document(
        "report",
        bench.id,
        "--to",
        str(bench.data.with_name("page.html")),
        "--replace",
        *bench.option,
    )


@produces("tag", needs_qt=True)
def _tag(bench: Bench) -> Iterator[Any]:
    yield document(
        "tag", bench.id, "--to", str(bench.data.with_name("tag.pdf")), "--replace", *bench.option
    )


@produces("simulate", needs_qt=True)
def _simulate(bench: Bench) -> Iterator[Any]:
    displays = {"DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"}
    command = ("--simulate", "short-visit", "--json", "--data", str(bench.data / "simulated"))
    done = subprocess.run(
        [sys.executable, "-m", "benchmeter", *command],
        env={name: value for name, value in os.environ.items() if name not in displays},
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
    )
    yield json.loads(done.stdout)
