"""A session with a meter of the zoo: its lines go through the whole chain, as bytes."""

from pathlib import Path

from msgspec.structs import replace

from benchmeter.checking.check import PartCheck
from benchmeter.checking.commands import BeginCheck, TypeReading
from benchmeter.checking.part_check import TakenReading
from benchmeter.files.folders import Folders
from benchmeter.links.instruments.profiles import load_profile
from benchmeter.links.instruments.setup import (
    BenchSetup,
    ChannelSetup,
    EvidenceKind,
    LinkSetup,
    Role,
)
from benchmeter.parts.part_kind import PartKind
from benchmeter.readings.inputs import Chunk, Input
from benchmeter.session.engine import MeasuringChain
from tests.fakes.outcomes import check_in

__all__ = ["Bench"]

_PROFILE = load_profile("text-value-unit", Folders(Path("no such folder")))
_BENCH = BenchSetup(
    origin="serial",
    links=(LinkSetup(name="link", address="serial:link", profile=_PROFILE),),
    channels=(ChannelSetup(name="meter", role=Role.METER, link="link"),),
)


class Bench:
    """The check of one part after another, and what it takes by itself."""

    def __init__(self, evidence: EvidenceKind = EvidenceKind.MEASUREMENTS) -> None:
        self._chain = MeasuringChain(replace(_BENCH, evidence=evidence))
        self._now_ns = 0
        self._check: PartCheck | None = None
        self.line(0.0, "")

    @property
    def check(self) -> PartCheck:
        assert self._check is not None
        return self._check

    def begin(self, label: str, kind: PartKind | None = None) -> None:
        now_ns = self._now_ns
        self._feed(BeginCheck(time_ns=now_ns, part="x", label=label, kind=kind, channel="meter"))

    def safe(self) -> None:
        """The part has been discharged."""
        self._feed(TypeReading(time_ns=self._now_ns, channel="residual", text="0.2 V"))

    def line(self, at_s: float, text: str) -> dict[str, TakenReading]:
        """What the meter's line has led to: what was taken by it, by section."""
        before = self._check
        self._now_ns = max(self._now_ns + 1, round(at_s * 1e9))
        data = f"{text}\r\n".encode() if text else b""
        self._feed(Chunk(time_ns=self._now_ns, link="link", data=data))
        if before is None or self._check is before:
            return {}
        return {
            new.section.name: new.taken[-1]
            for old, new in zip(before.sections, self.check.sections, strict=True)
            if len(new.taken) > len(old.taken)
        }

    def _feed(self, item: Input) -> None:
        self._check = check_in(self._chain.feed(item)) or self._check
