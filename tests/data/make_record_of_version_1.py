"""Makes record-version-1.sqlite. Run once, with the benchmeter that wrote version 1.

Those of later versions were made alike.

A file of each version is kept as it was: never make it again with a later benchmeter.
"""

import shutil
import sys
import tempfile
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path

from benchmeter.checking.check import MeasurementCheck, PartCheck, Step, TakenReading
from benchmeter.conformity.verdict import (
    Accuracy,
    Measurement,
    MeasurementVerdict,
    Reason,
    Rule,
    Verdict,
)
from benchmeter.cooling.recovery import Phase, Recovery, RiseJudgement
from benchmeter.files.folders import Folders
from benchmeter.links.instruments.formats.text_format import TextFormat
from benchmeter.links.instruments.profile import ChannelOfProfile, Profile
from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, LinkSetup, Role
from benchmeter.parts.conclusion import (
    PartVerdict,
)
from benchmeter.parts.rated_part import (
    CapacitorKind,
    Rating,
)
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.events import Event, EventKind
from benchmeter.readings.inputs import Chunk, LinkChange, Mark
from benchmeter.readings.status import Status
from benchmeter.record.store import Store
from tests.fakes.readings import reading_in_si

SECOND = 1_000_000_000


def setup() -> BenchSetup:
    profile = Profile(
        name="probe",
        title="Probe",
        format=TextFormat(pattern=r"(?P<t>\S+) C"),
        channels=(ChannelOfProfile(field="t", quantity=Quantity.TEMPERATURE),),
    )
    return BenchSetup(
        origin="simulated",
        links=(LinkSetup(name="probe", address="simulated:probe", profile=profile),),
        channels=(ChannelSetup(name="discharge", role=Role.DISCHARGE, link="probe", field="t"),),
    )


def check() -> PartCheck:
    section = Measurement("single", Decimal("5e-6"), Decimal("4.70e-6"), Decimal("5.30e-6"))
    found = MeasurementVerdict(
        section=section,
        readings_f=(Decimal("4.1e-6"),),
        lead_offset_f=Decimal(0),
        reading_f=Decimal("4.1e-6"),
        resolution_f=Decimal("0.1e-6"),
        half_width_f=1.5e-7,
        standard_uncertainty_f=8.7e-8,
        expanded_uncertainty_f=1.74e-7,
        guard_band_f=1.74e-7,
        conformance_probability=0.0,
        verdict=Verdict.FAIL,
        reason=Reason.BELOW,
    )
    rating = Rating("5 µF ±6 %", CapacitorKind.RUN, (section,), "±6 %", "label", (), ())
    accuracy = Accuracy(Decimal("1.2"), Decimal(1), None, "1.2 % + 1")
    return PartCheck(
        number=1,
        part="old part",
        channel="capacitor",
        rating=rating,
        accuracy=accuracy,
        rule=Rule.GUARDED,
        lead_offset_f=Decimal(0),
        sections=(MeasurementCheck(section, (TakenReading(SECOND, False, found),)),),
        expected=None,
        step=Step.DONE,
        verdict=PartVerdict(rating, Rule.GUARDED, accuracy, (found,), Verdict.FAIL),
    )


def recovery() -> Recovery:
    return Recovery(
        time_ns=100 * SECOND,
        phase=Phase.WAITING,
        power_ns=None,
        start_ns=None,
        fit=None,
        fit_failure=None,
        settled_k=None,
        time_left_s=None,
        discharge_k=301.15,
        outdoor_k=None,
        rise_k=None,
        judgement=RiseJudgement.NO_OUTDOOR,
    )


def record(store: Store, name: str) -> str:
    recorder = store.begin(
        setup(), name=name, started=datetime(2026, 1, 31, 23, 30, tzinfo=UTC), zone="Europe/Berlin"
    )
    recorder.take(LinkChange(time_ns=0, link="probe", up=True))
    for number in range(1, 101):
        text = f"{20 + number / 10:.1f} C"
        value = float(Decimal(text[:-2]) + Decimal("273.15"))
        recorder.take(
            Chunk(time_ns=number * SECOND, link="probe", data=text.encode()),
            (reading_in_si("discharge", number * SECOND, value, Status.OK, 0.1, text),),
        )
    recorder.take(
        Mark(time_ns=101 * SECOND, text="fan on"),
        events=(Event(EventKind.MARK, 101 * SECOND, text="fan on"),),
        verdicts=(check(), recovery()),
    )
    recorder.close(ended=name != "cut off")
    return recorder.session_id


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        folders = Folders(Path(folder))
        with Store.open(folders, write=True) as store:
            store.remark(record(store, "ended"), "condenser dirty")
            record(store, "cut off")
        shutil.copy(folders.database, sys.argv[1])


if __name__ == "__main__":
    main()
