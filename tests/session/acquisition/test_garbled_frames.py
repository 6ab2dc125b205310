"""Frames that could not be read are counted and told. The rules are our own."""

from pathlib import Path

from benchmeter.files.folders import Folders
from benchmeter.links.instruments.profiles import load_profile
from benchmeter.links.instruments.setup import BenchSetup, LinkSetup
from benchmeter.readings.events import EventKind
from benchmeter.readings.inputs import Chunk, Ended
from benchmeter.session.acquisition.acquisition import Acquisition
from benchmeter.session.acquisition.channel_state import Batch
from benchmeter.words.event_words import event_text


def acquisition(profile: str) -> Acquisition:
    found = load_profile(profile, Folders(Path("no such folder")))
    links = (LinkSetup(name="link", address="serial:link", profile=found),)
    return Acquisition(BenchSetup(origin="serial", links=links, channels=()))


def chunk(seconds: float, data: bytes, *, sent: bool = False) -> Chunk:
    return Chunk(time_ns=round(seconds * 1e9), link="link", data=data, sent=sent)


def garbled(batch: Batch) -> list[tuple[str, float | None]]:
    return [(event_text(e), e.number) for e in batch.events if e.kind is EventKind.GARBLED]


def test_each_reason_is_told_at_once_and_every_frame_is_counted() -> None:
    probes, wrong = acquisition("text-two-probes"), b"banana\r\n"
    probes.take(chunk(0, b""))
    assert [count for _, count in garbled(probes.take(chunk(1, wrong)))] == [1]
    assert garbled(probes.take(chunk(2, wrong))) == []  # told within the last 10 s
    probes.take(chunk(3, b"T1=20"))
    probes.take(chunk(4, b""))
    assert garbled(probes.take(chunk(5, b".0C T2=20.0C\r\n"))) == [("it came in pieces", 1)]
    assert [count for _, count in garbled(probes.take(chunk(12, wrong)))] == [2]
    assert garbled(probes.take(chunk(13, wrong))) == []
    ended = probes.take(Ended(time_ns=14_000_000_000))
    assert [count for _, count in garbled(ended)] == [1]


def test_changing_reasons_do_not_flood_the_record() -> None:
    meter, told = acquisition("scpi-capacitance"), []
    for n in range(1000):
        meter.take(chunk(n / 100, b"READ?\n", sent=True))
        told += garbled(meter.take(chunk(n / 100, b"what %d?\n" % n)))
    told += garbled(meter.take(Ended(time_ns=10_000_000_000)))
    assert len(told) <= 12
    assert sum(number or 0 for _, number in told) == 1000
