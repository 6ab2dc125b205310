"""What the tests of the record share: an open record, a bench, a stream to record."""

from collections.abc import Iterator

import pytest

from benchmeter.files.folders import Folders
from benchmeter.links.instruments.formats.text_format import TextFormat
from benchmeter.links.instruments.profile import ChannelOfProfile, Profile
from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, LinkSetup, Role
from benchmeter.quantities.quantity import Quantity
from benchmeter.record.recorder import Recorder
from benchmeter.record.store import Store
from tests.record.recordings import STARTED


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
