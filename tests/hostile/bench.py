"""The check of a part under attack: what the meter shows, and hands, in any order.

The fold by itself, with sights that are made up, and the whole chain on the bench of the demo
session "shop-bench", with bytes. What must hold of a check is asked of each step, apart from the
program: see `kept`.
"""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from random import Random
from uuid import UUID

import msgspec

from benchmeter.checking.check import (
    MeterState,
    PartCheck,
    Step,
    begin_check,
    follow,
    repeat,
    see_safety,
    select,
    take_by_hand,
    typed,
)
from benchmeter.checking.commands import (
    AcceptBias,
    Annotate,
    BeginCheck,
    Command,
    Mark,
    NullLeads,
    PowerRestored,
    RepeatSection,
    SelectSection,
    TakeReading,
    TakeVolts,
    TypeReading,
)
from benchmeter.conformity.judgement import (
    WORST_FIRST,
)
from benchmeter.conformity.reference_part import ReferencePart
from benchmeter.conformity.verdict import Measurement, Verdict
from benchmeter.errors import InputError
from benchmeter.files.folders import Folders
from benchmeter.links.instruments.setup import BenchSetup
from benchmeter.parts.part_kind import SensorRule
from benchmeter.parts.part_verdict import verdict_on_part
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.channel_status import ChannelStatus
from benchmeter.readings.events import reported
from benchmeter.readings.inputs import Chunk, ClockAnchor, Ended, Input, LinkChange
from benchmeter.session.engine import MeasuringChain
from benchmeter.simulator.scenario import load_scenario
from benchmeter.simulator.virtual_bench import open_scenario
from benchmeter.tasks.running import _storable
from tests.fakes.charge import left
from tests.fakes.outcomes import check_in, notices_in
from tests.fakes.refusals import said
from tests.hostile.mutation import spoiled, spoiled_text
from tests.hostile.parts import KINDS_OF_PARTS

__all__ = ["BENCHES", "Fold", "ShopBench", "kept"]

_NOWHERE = Folders(Path("no such folder"))
_OHMS = (Quantity.RESISTANCE, Quantity.CONTINUITY)
_TYPED = (
    "44.1 uF", "12 ohm", "5.2 kohm", "20 Mohm", "24 V", "24 VAC", "OL", "open", "shorted", "none",
    "6.3 A", "77 F", "610 psi", "60 Hz", "4.1 mV", "10 k", "", "38,4", "1e9 ohm", "-3", "0.2 ohm",
)  # fmt: skip
_ACCURACIES = (
    "", "1 % + 2 counts", "resistance 0.5 % + 2 x 0.1 ohm; temperature 0.5 °C", "?",
    "capacitance 1.2 % + 2 x 0.1uF\nAC voltage up to 600 V 0.8 % + 3 counts",
)  # fmt: skip


# --- what holds of every step ---------------------------------------------------------------


def kept(before: PartCheck, after: PartCheck, sight: MeterState | None) -> None:
    """What holds between a check and the next one of the same part.

    Args:
        sight: what was followed; None: the step was a person's.
    """
    taken = []
    for old, new in zip(before.sections, after.sections, strict=True):
        assert new.section == old.section
        assert new.taken[: len(old.taken)] == old.taken, "what was taken has gone"
        taken += [(new.section, t) for t in new.taken[len(old.taken) :]]
    assert len(taken) <= 1
    for section, one in taken:
        assert before.expected == section.name
        assert one.verdict.section == section
        if sight is None:
            assert one.by_hand
            continue
        assert not one.by_hand
        _settled(before, section, sight)
        assert one.verdict.readings_si in (sight.window_si, (sight.value_si,))
    assert after.verdict == _verdict_again(after)
    names = {s.section.name for s in after.sections}
    assert after.expected is None or after.expected in names
    assert (after.expected is None) <= (after.verdict is not None)
    assert (after.step is Step.DONE) <= (after.expected is None)


def _settled(before: PartCheck, section: Measurement, sight: MeterState) -> None:
    """Taken by itself: it has settled, in the right function, on a part without charge."""
    assert sight.state is ChannelStatus.SETTLED
    assert sight.value_si is not None
    alike = {*_OHMS} if section.quantity in _OHMS else {section.quantity}
    assert sight.quantity is None or sight.quantity in alike
    measure = before.measure(section)
    if measure.typed:
        assert section.quantity is Quantity.TEMPERATURE
        assert any(isinstance(rule, SensorRule) for rule in before.kind.conclusions)
    if before.safety.to_be_made_safe:
        assert not measure.discharge_first
    if section.quantity is Quantity.CAPACITANCE:
        assert sum(sight.window_si or (sight.value_si,)) > 0


def _verdict_again(check: PartCheck) -> object:
    """The verdict over the last takings; None where one is missing."""
    if not all(s.taken for s in check.sections):
        return None
    last = [s.taken[-1].verdict for s in check.sections]
    again = verdict_on_part(check.kind, check.rating, last, check.accuracy, rule=check.rule)
    words = [*(v.verdict for v in again.sections), *(c.word for c in again.conclusions)]
    assert WORST_FIRST.index(again.verdict) >= min(map(WORST_FIRST.index, words))
    return again


class _Leads:
    """Whether anything at all has happened between two takings that nobody made by hand.

    The same reading of the same function, seen twice, is one part whose leads were never lifted.
    """

    def __init__(self) -> None:
        self._held: tuple[Measurement, Decimal] | None = None
        self._left = True

    def see(self, before: PartCheck, after: PartCheck, sight: MeterState) -> None:
        new = [
            (section.section, section.taken[-1])
            for section, old in zip(after.sections, before.sections, strict=True)
            if len(section.taken) > len(old.taken)
        ]
        if self._held is not None:
            section, value = self._held
            shown = sight.value_si
            same_knob = sight.quantity in (None, section.quantity)
            still = same_knob and shown is not None and abs(shown - value) <= abs(value) / 100
            self._left |= not still
        if new and new[0][0].quantity is not Quantity.TEMPERATURE:
            assert self._left, "taken again from leads that were never lifted"
            if sight.value_si is not None:
                self._held, self._left = (new[0][0], sight.value_si), False

    def forget(self) -> None:
        self._held, self._left = None, True


# --- the fold -------------------------------------------------------------------------------

_Deed = Callable[[PartCheck], tuple[PartCheck, MeterState | None]]


@dataclass(frozen=True, slots=True)
class Fold:
    """The fold of a check, some sixty sights and deeds."""

    name: str

    def attack(self, chance: Random) -> bool:
        """One check, and the same once more.

        Raises:
            Exception: whatever the fold lets out.
            AssertionError: a promise is broken.
        """
        command = _begin(chance, "meter")
        offset = Decimal(chance.choice(("0", "0.2", "0.01")))
        try:
            check = begin_check(1, command, Decimal(0), lead_offset_ohm=offset)
        except InputError:
            return False
        deeds = [self._deed(check, chance, time_ns) for time_ns in range(chance.randint(5, 60))]
        assert self._done(check, deeds) == self._done(check, deeds)
        return False

    def _done(self, check: PartCheck, deeds: list[_Deed]) -> PartCheck:
        leads = _Leads()
        for deed in deeds:
            before = check
            try:
                check, sight = deed(check)
            except InputError as error:
                assert said(error).strip()
                leads.forget()
                continue
            kept(before, check, sight)
            if sight is None:
                leads.forget()
            else:
                leads.see(before, check, sight)
        return check

    def _deed(self, check: PartCheck, chance: Random, time_ns: int) -> _Deed:
        names = [s.section.name for s in check.sections]
        match chance.randrange(16):
            case 0:
                by_hand = _sight(check, chance, time_ns)
                return lambda c: (take_by_hand(c, by_hand), None)
            case 1:
                text = spoiled_text(chance.choice(_TYPED), _TYPED, chance)
                text = chance.choice((text, chance.choice(_TYPED)))
                return lambda c: (typed(c, time_ns, text), None)
            case 2:
                name = chance.choice((*names, "", "x", names[0].lower()))
                chosen = chance.choice((select, repeat))
                return lambda c: (chosen(c, name), None)
            case 3 | 4:
                volts = chance.choice((None, 0.0, 0.2, 4.9, 5.0, 320.0, -320.0))
                seen = left(volts, typed=chance.random() < 0.5, time_ns=time_ns)
                return lambda c: (see_safety(c, seen), None)
        sight = _sight(check, chance, time_ns)
        return lambda c: (follow(c, sight), sight)


def _begin(chance: Random, channel: str) -> BeginCheck:
    kind = chance.choice(KINDS_OF_PARTS)
    labels = [k.example for k in KINDS_OF_PARTS]
    label = chance.choice((kind.example, kind.example, kind.example, "", chance.choice(labels)))
    if chance.random() < 0.2:
        label = spoiled_text(label, labels, chance)
    reference = ReferencePart(
        "R", Decimal("100.02"), Decimal("0.02"), None, Quantity.RESISTANCE, "Ω"
    )
    return BeginCheck(
        time_ns=0,
        part=chance.choice(("old part", "", "x")),
        lot=chance.choice(("", "", "", "carton")),
        label=label,
        kind=chance.choice((kind, kind, kind, kind, kind, None)),
        tolerance=chance.choice(("", "", "", "6 %", "?")),
        accuracy=chance.choice(_ACCURACIES),
        rule=chance.choice(("guarded", "guarded", "simple", "none")),
        channel=channel,
        reference=reference if chance.random() < 0.05 else None,
    )


def _sight(check: PartCheck, chance: Random, time_ns: int) -> MeterState:
    """Mostly what one of the sections might read, in mostly the right function."""
    section = chance.choice(check.sections).section
    if chance.random() < 0.5 and check.section is not None:
        section = check.section
    known = [v for v in (section.rated_si, section.low_si, section.high_si) if v is not None]
    near = float(chance.choice(known)) if known else chance.choice((0.8, 2.6, 3.4, 24.0, 298.15))
    value = chance.choice(
        (
            near,
            near,
            near,
            near * chance.uniform(0.7, 1.3),
            0.0,
            0.2,
            -near,
            near * 1e6,
            1e-12,
            1e30,
        )
    )
    state = chance.choice((ChannelStatus.SETTLED,) * 8 + tuple(ChannelStatus))
    quantity = chance.choice((section.quantity,) * 8 + (None, chance.choice(tuple(Quantity))))
    if state is ChannelStatus.OVERLOAD or chance.random() < 0.2:
        air = section.quantity in _OHMS
        state = ChannelStatus.OVERLOAD if air else chance.choice((state, ChannelStatus.NO_CONTACT))
    has_value = state in (ChannelStatus.SETTLED, ChannelStatus.MOVING, ChannelStatus.SUSPECT)
    shown = Decimal(repr(value)) if has_value else None
    noisy = tuple(Decimal(repr(value * (1 + k * 1e-4))) for k in range(3))
    window = noisy if state is ChannelStatus.SETTLED else ()
    resolution = chance.choice((None, Decimal("0.01"), Decimal(repr(abs(near) / 1000 or 1.0))))
    measured = chance.choice((None, time_ns))
    return MeterState(time_ns, state, shown, resolution, str(value), window, quantity, measured)


_BAD = {Verdict.OPEN, Verdict.SHORTED, Verdict.FAIL, Verdict.CONDITIONAL_FAIL}


# --- the bench ------------------------------------------------------------------------------

_FUNCTIONS = ("CAP", "RES", "VOLT", "VOLT:AC", "CURR:AC", "FREQ", "TEMP", "DIOD", "CONT", "FRES")


def _shop() -> BenchSetup:
    setup, _ = open_scenario(load_scenario("shop-bench", _NOWHERE), None)
    return setup


@dataclass(frozen=True, slots=True)
class ShopBench:
    """A session at the bench of the demo session: its meter's answers, and hands."""

    name: str

    def attack(self, chance: Random) -> bool:
        """One session, twice over.

        Raises:
            Exception: whatever the chain lets out.
            AssertionError: a promise is broken.
        """
        from benchmeter.record.ledger import Entry

        setup = _SHOP
        stream = self._stream(setup, chance)
        stream = [_storable(i) if isinstance(i, Command) else i for i in stream]
        chain, again = MeasuringChain(setup), MeasuringChain(setup)
        check: PartCheck | None = None
        for item in stream:
            outcome = chain.feed(item)
            assert outcome == again.feed(item), item
            Entry.of(UUID(int=0), item, outcome.readings, outcome.events, outcome.verdicts)
            assert all(notices_in(outcome)), item
            new = check_in(outcome)
            if check is not None and new is not None and check.number == new.number:
                self._kept(check, new, item)
            check = new or check
        return False

    def _kept(self, before: PartCheck, after: PartCheck, item: Input) -> None:
        for old, new in zip(before.sections, after.sections, strict=True):
            assert new.taken[: len(old.taken)] == old.taken, item
            if not isinstance(item, TakeReading | TypeReading):
                assert all(not t.by_hand for t in new.taken[len(old.taken) :]), item
                assert len(new.taken) <= len(old.taken) + 1, item
        again = _verdict_again(after)
        if again is None and after.verdict is not None:  # it was left: by what was taken of it
            assert isinstance(item, Ended), item
            words = [s.taken[-1].verdict.verdict for s in after.sections if s.taken]
            assert after.verdict.verdict in _BAD and _BAD & {*words}, item
        else:
            assert after.verdict == again, item

    def _stream(self, setup: BenchSetup, chance: Random) -> list[Input]:
        links = [link.name for link in setup.links]
        stream: list[Input] = [LinkChange(time_ns=0, link=link, up=True) for link in links]
        stream.append(_begin(chance, "meter"))
        time_ns = 0
        for _ in range(chance.randint(5, 60)):
            for item in self._some(setup, links, chance):
                time_ns += chance.choice((0, 10**6, 25 * 10**7, 25 * 10**7, 25 * 10**7, 10**9))
                stream.append(msgspec.structs.replace(item, time_ns=time_ns))
        return [*stream, Ended(time_ns=time_ns)]

    def _some(self, setup: BenchSetup, links: list[str], chance: Random) -> list[Input]:
        match chance.randrange(20):
            case 0:
                return [_begin(chance, chance.choice(("meter", "meter", "capacitor", "probe", "")))]
            case 1:
                text = spoiled_text(chance.choice(_TYPED), _TYPED, chance)
                channel = chance.choice(("meter", "meter", "residual", "probe", "capacitor", ""))
                return [TypeReading(time_ns=0, channel=channel, text=text)]
            case 2:
                kind = chance.choice(KINDS_OF_PARTS)
                section = chance.choice((*(m.name for m in kind.measures), "HERM", "", "x"))
                return [chance.choice((SelectSection, RepeatSection))(time_ns=0, section=section)]
            case 3 | 4:
                return [
                    chance.choice((TakeReading, TakeVolts, NullLeads, PowerRestored))(time_ns=0)
                ]
            case 5:
                return [_bias(chance)]
            case 6:
                text = spoiled_text("domed lid", _TYPED, chance)
                return [chance.choice((Mark, Annotate))(time_ns=0, text=text)]
            case 7 if chance.random() < 0.3:
                return [ClockAnchor(time_ns=0, utc_us=chance.randrange(-(2**60), 2**60))]
            case 8 if chance.random() < 0.3:
                up = chance.random() < 0.5
                return [
                    LinkChange(time_ns=0, link=chance.choice(links), up=up, reason=reported("x"))
                ]
            case 9 | 10:
                said = (
                    f"T1={chance.choice((77.0, 32.0, 212.4, -40.0, 999.9))}F T2=70.0F\r\n".encode()
                )
                said = spoiled(said, (b"T1=", b"OL"), chance) if chance.random() < 0.2 else said
                return [Chunk(time_ns=0, link=links[1], data=said)] * 12
        return self._shown(links[0], chance)

    def _shown(self, link: str, chance: Random) -> list[Input]:
        """What the meter answers, some times over."""
        function = chance.choice(_FUNCTIONS)
        number = chance.choice((
            "+9.90000000E+37", "+4.410E-05", "+5.01E-06", "+12.04E+00", "+3.10E+00", "+0.90E+00",
            "+4.00E+00", "+38.4E+00", "+24.3E+00", "+0.0E+00", "+1.0E-01", "+3.200E+02", "-1.2E-03",
            "+9.91E37", f"{chance.uniform(-1, 500):+.3E}",
        ))  # fmt: skip
        one: list[Input] = []
        for asked, came in (
            ("FUNC?", f'"{function}"'),
            ("READ?", number),
            ("FUNC?", f'"{function}"'),
        ):
            data = f"{came}\r\n".encode()
            if chance.random() < 0.01:
                data = spoiled(data, (b"CAP", b"RES"), chance)
            one += [
                Chunk(time_ns=0, link=link, data=f"{asked}\n".encode(), sent=True),
                Chunk(time_ns=0, link=link, data=data),
            ]
        return one * chance.choice((1, 3, 8, 12))


def _bias(chance: Random) -> AcceptBias:
    value = Decimal(chance.choice(("100.02", "1e-5", "45e-6", "24", "1e-15", "9e14")))
    quantity, unit = chance.choice((
        (Quantity.RESISTANCE, "Ω"), (Quantity.CAPACITANCE, "µF"), (Quantity.VOLTAGE_DC, "V"),
    ))  # fmt: skip
    reference = ReferencePart("R", value, value / 1000, None, quantity, unit)
    odd = ("0", "NaN", "Infinity", "sNaN", "1E+999999", "-1E-999999", "9E+999999")
    return AcceptBias(
        time_ns=0,
        channel=chance.choice(("meter", "meter", "probe", "")),
        bias_si=chance.choice((value / 50, -value / 50, Decimal(chance.choice(odd)))),
        uncertainty_si=chance.choice((value / 500, Decimal(chance.choice(odd)))),
        reference=reference,
    )


_SHOP = _shop()

BENCHES: tuple[Fold | ShopBench, ...] = (Fold("fold of a check"), ShopBench("shop bench"))
