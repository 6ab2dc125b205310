"""Decoders that do what no decoder should, on one of two links."""

import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from benchmeter.files.folders import Folders
from benchmeter.links.decoders.decoder import Decoder
from benchmeter.links.instruments.building import decoder_for
from benchmeter.links.instruments.profile import Profile
from benchmeter.links.instruments.profiles import load_profile
from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, LinkSetup
from benchmeter.readings.inputs import Chunk, Input
from benchmeter.readings.reading import Garbled, Indication
from benchmeter.session.acquisition import link_decoder
from benchmeter.session.outcome import Outcome

__all__ = ["TWO_LINKS", "loops", "raises", "spoil_decoder", "stream", "values", "waits"]


def raises() -> None:
    raise ZeroDivisionError


def loops() -> None:
    while True:
        pass


def waits() -> None:
    threading.Event().wait()


_NOWHERE = Folders(Path("no such folder"))
TWO_LINKS = BenchSetup(
    origin="serial",
    links=tuple(
        LinkSetup(name=name, address=f"serial:{name}", profile=load_profile(profile, _NOWHERE))
        for name, profile in (("meter", "text-value-unit"), ("probes", "text-two-probes"))
    ),
    channels=(
        ChannelSetup(name="meter", link="meter"),
        *(ChannelSetup(name=t, link="probes", field=t) for t in ("T1", "T2")),
    ),
)


class _Misbehaving:
    """Misbehaves at each line that holds `at`; reads the others as it should."""

    def __init__(self, decoder: Decoder, misbehave: Callable[[], None], at: bytes) -> None:
        self._decoder, self._misbehave, self._at = decoder, misbehave, at

    def feed(self, data: bytes) -> list[Indication | Garbled]:
        if self._at in data:
            self._misbehave()
        return self._decoder.feed(data)

    def sent(self, data: bytes) -> None:
        self.feed(data)

    def restart(self) -> None:
        self._decoder.restart()


def spoil_decoder(
    monkeypatch: pytest.MonkeyPatch, profile: str, misbehave: Callable[[], None], at: bytes
) -> None:
    """From now on the decoder of that profile misbehaves."""

    def spoilt(wanted: Profile) -> Decoder:
        made = decoder_for(wanted)
        return _Misbehaving(made, misbehave, at) if wanted.name == profile else made

    monkeypatch.setattr(link_decoder, "decoder_for", spoilt)


def stream(*lines: bytes) -> list[Input]:
    """The meter sends `lines`, and behind each of them the probes send one of theirs."""
    items: list[Input] = [Chunk(time_ns=0, link=name, data=b"") for name in ("meter", "probes")]
    for n, line in enumerate(lines, 1):
        items.append(Chunk(time_ns=n, link="meter", data=line + b"\r\n"))
        items.append(Chunk(time_ns=n, link="probes", data=b"T1=%d.0C T2=20.0C\r\n" % n))
    return items


def values(outcomes: list[Outcome], channel: str) -> list[str]:
    return [r.text for o in outcomes for r in o.readings if r.channel == channel]
