"""What the tests of the record share: an open record, a bench, a stream to record."""

from collections.abc import Iterator
from datetime import UTC, datetime

import pytest

from benchmeter.instruments.profile import ChannelOfProfile, Profile, TextFormat
from benchmeter.instruments.setup import BenchSetup, ChannelSetup, LinkSetup, Role
from benchmeter.readings.quantities import Quantity
from benchmeter.settings.folders import Folders
from benchmeter.storage.recorder import Recorder
from benchmeter.storage.store import Store

STARTED = datetime(2026, 3, 29, 0, 59, 59, 123456, tzinfo=UTC)  # a second before a zone's summer


@pytest.fixture
def store(folders: Folders) -> Iterator[Store]:
    with Store.open(folders, write=True) as opened:
        yield opened


@pytest.fixture
def setup() -> BenchSetup:
    profile = Profile(
        name="probe",
        title="Probe",
        format=TextFormat(pattern=r"(?P<t>\S+) C"),
        channels=(ChannelOfProfile(field="t", quantity=Quantity.TEMPERATURE, lowest=-40.0),),
    )
    return BenchSetup(
        origin="serial",
        links=(LinkSetup(name="probe", address="/dev/ttyUSB0", profile=profile),),
        channels=(ChannelSetup(name="discharge", role=Role.DISCHARGE, link="probe", field="t"),),
    )


@pytest.fixture
def recorder(store: Store, setup: BenchSetup) -> Recorder:
    return store.begin(setup, name="Compressor, back yard", started=STARTED, zone="Europe/Berlin")
