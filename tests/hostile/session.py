"""Whole sessions under attack: the measuring chain, and the talks with instruments.

Bytes, clocks, plugs and hands in any order: nothing raises, and the same stream leads to the same
outcomes and can be stored.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from random import Random
from uuid import UUID

import msgspec

from benchmeter.checking.commands import (
    Annotate,
    BeginCheck,
    Command,
    Mark,
    NullLeads,
    PowerRestored,
    RepeatSection,
    SelectSection,
    TakeReading,
    TypeReading,
)
from benchmeter.files.folders import Folders
from benchmeter.links.instruments.building import conversation_for
from benchmeter.links.instruments.profiles import load_profile
from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, LinkSetup, Role
from benchmeter.links.ports.source import Conversation
from benchmeter.readings.events import reported
from benchmeter.readings.inputs import Chunk, ClockAnchor, Ended, Input, LinkChange
from benchmeter.session.engine import MeasuringChain
from benchmeter.tasks.running import _storable
from tests.fakes.outcomes import notices_in
from tests.hostile.mutation import spoiled, spoiled_text
from tests.hostile.wire import WIRES, Wire, pieces_of

__all__ = ["SESSIONS", "Session", "Talk"]

_NOWHERE = Folders(Path("no such folder"))
_LABELS = ("45/5 uF ±6% 440 V", "7.5 uF 5 %", "88-108 MFD 250VAC", "", "nonsense")
_TYPED = ("44.1 uF", "OL", "95 F", "0.3 V", "12 kohm", "open", "", "5,02")
_CHANNELS = ("capacitor", "residual", "discharge", "outdoor", "nobody", "")


def _setup() -> BenchSetup:
    """A bench with one link of each format, every role taken."""
    links, channels = [], []
    for name, profile_name, roles in (
        ("scpi", "scpi-meter", ("capacitor",)),
        ("lcd14", "lcd-handheld", ("residual",)),
        ("text", "text-value-unit", ("other",)),
        ("text, two probes", "text-two-probes", ("discharge", "outdoor")),
        ("modbus", "modbus-two-probes", ("supply", "return")),
    ):
        profile = load_profile(profile_name, _NOWHERE)
        links.append(LinkSetup(name=name, address=f"serial:{name}", profile=profile))
        for role, channel in zip(roles, profile.channels, strict=True):
            known = Role(role) if role in {r.value for r in Role} else Role.OTHER
            channels.append(ChannelSetup(name=role, role=known, link=name, field=channel.field))
    return BenchSetup(origin="hostile", links=tuple(links), channels=tuple(channels))


@dataclass(frozen=True, slots=True)
class Session:
    """A session of some fifty inputs."""

    name: str

    def attack(self, chance: Random) -> bool:
        """One session.

        Raises:
            Exception: whatever the chain lets out.
            AssertionError: a promise is broken.
        """
        self.judge(self.stream(chance))
        return False

    def judge(self, stream: Sequence[Input]) -> None:
        from benchmeter.record.ledger import Entry

        setup = _setup()
        stream = [_storable(i) if isinstance(i, Command) else i for i in stream]  # as `send` does
        chain, again = MeasuringChain(setup), MeasuringChain(setup)
        for item in stream:
            outcome = chain.feed(item)
            assert outcome == again.feed(item), item
            # What the record could not take would be lost.
            Entry.of(UUID(int=0), item, outcome.readings, outcome.events, outcome.verdicts)
            assert all(notices_in(outcome)), item

    def stream(self, chance: Random) -> list[Input]:
        stream: list[Input] = []
        time_ns = 0
        for _ in range(chance.randint(5, 40)):
            time_ns += chance.choice((0, 1, 10**7, 10**9, 5 * 10**9, 10**12))
            for item in self._some(chance):
                stream.append(msgspec.structs.replace(item, time_ns=time_ns))
        return [*stream, Ended(time_ns=time_ns)]

    def _some(self, chance: Random) -> list[Input]:
        now = 0
        wire = chance.choice(WIRES)
        match chance.randrange(14):
            case 0 | 1 | 2 | 3 | 4 | 5:
                return _exchange(wire, chance)
            case 6:
                up = chance.random() < 0.5
                return [
                    LinkChange(
                        time_ns=now, link=wire.name, up=up, reason=None if up else reported("x")
                    )
                ]
            case 7:
                return [ClockAnchor(time_ns=now, utc_us=chance.randrange(-(2**60), 2**60))]
            case 8:
                label = spoiled_text(chance.choice(_LABELS), _LABELS, chance)
                return [
                    BeginCheck(
                        time_ns=now,
                        part=chance.choice(("old part", "", "x")),
                        label=chance.choice((label, _LABELS[0])),
                        tolerance=chance.choice(("", "6 %")),
                        accuracy=chance.choice(("", "1.2% + 2 x 0.1uF", "?")),
                        rule=chance.choice(("guarded", "simple", "none")),
                        channel=chance.choice((*_CHANNELS, "capacitor", "capacitor")),
                    )
                ]
            case 9:
                text = spoiled_text(chance.choice(_TYPED), _TYPED, chance)
                return [TypeReading(time_ns=now, channel=chance.choice(_CHANNELS), text=text)]
            case 10:
                section = chance.choice(("HERM", "fan", "single", "", "x"))
                pick = chance.choice((SelectSection, RepeatSection))
                return [pick(time_ns=now, section=section)]
            case 11:
                return [chance.choice((TakeReading, NullLeads, PowerRestored))(time_ns=now)]
            case 12:
                text = spoiled_text("domed lid", _TYPED, chance)
                return [chance.choice((Mark, Annotate))(time_ns=now, text=text)]
            case _:
                return [Chunk(time_ns=now, link=chance.choice((wire.name, "?")), data=b"")] * 9


@dataclass(frozen=True, slots=True)
class Talk:
    """What is said to an instrument that answers with anything, at any time."""

    name: str
    profile: str
    answers: tuple[bytes, ...]

    def attack(self, chance: Random) -> bool:
        conversation = conversation_for(load_profile(self.profile, _NOWHERE))
        now_ns = chance.randrange(10**12)
        conversation.restarted(now_ns)
        for _ in range(30):
            now_ns += chance.choice((0, 10**6, 10**8, 3 * 10**9))
            match chance.randrange(8):
                case 0 | 1 | 2 | 3:
                    answer = chance.choice(self.answers)
                    if chance.random() < 0.5:
                        answer = spoiled(answer, self.answers, chance)
                    for piece in pieces_of(answer, chance):
                        conversation.received(piece, now_ns)
                case 4:
                    conversation.received(b"", now_ns)
                case 5 if chance.random() < 0.1:
                    conversation.restarted(now_ns)
                case _:
                    _ask(conversation, now_ns)
        assert isinstance(conversation.farewell(), bytes)
        return False


def _ask(conversation: Conversation, now_ns: int) -> None:
    sent = 0
    while conversation.due(now_ns):
        sent += 1
        assert sent < 10, "it talks without end"
    wake_ns = conversation.wake_ns()
    assert wake_ns is None or wake_ns - now_ns < 3_700_000_000_000


def _exchange(wire: Wire, chance: Random) -> list[Input]:
    found: list[Input] = []
    answers = [answer for talk in wire.talks for _, answer in talk]
    for asked, came in chance.choice(wire.talks):
        if asked:
            found.append(Chunk(time_ns=0, link=wire.name, data=asked, sent=True))
        data = spoiled(came, answers, chance) if chance.random() < 0.3 else came
        for piece in pieces_of(data, chance):
            found.append(Chunk(time_ns=0, link=wire.name, data=piece))
    return found


_ASKED = {"scpi": "scpi-meter", "modbus": "modbus-two-probes"}

SESSIONS: tuple[Session | Talk, ...] = (
    Session("whole session"),
    *(
        Talk(
            f"talk in {wire.name}",
            _ASKED[wire.name],
            tuple(answer for talk in wire.talks for _, answer in talk),
        )
        for wire in WIRES
        if wire.name in _ASKED
    ),
)
