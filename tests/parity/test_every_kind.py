"""Every kind of part: the simulated bench, the command line and the standard say the same word.

What the meter shows is carried from the bench to the command line digit by digit; what the
verdict must be is worked out in `oracle`, from the words of the standards.
"""

import contextlib
import io
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Context, Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from benchmeter.commands.main import run
from benchmeter.conformity.verdict import (
    Measurement,
)
from benchmeter.files.folders import Folders
from benchmeter.parts.kind_catalogue import all_part_kinds
from benchmeter.parts.part_kind import PartKind, WindingsRule
from benchmeter.parts.rated_part import (
    Rating,
)
from benchmeter.parts.rating import rate
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.units import UNITS
from benchmeter.readings.channel_status import ChannelStatus
from benchmeter.readings.status import Status
from benchmeter.simulator.scenario_plan import PartPlan
from tests.parity.accuracies import ACCURACY
from tests.parity.cases import (
    Deed,
    deeds_of,
    good_deed,
    word_of_overload,
)
from tests.parity.good_and_bad import deeds_of_part, part_plan
from tests.parity.oracle import dependent_word, part_word, section_word
from tests.parity.simulated import SimulatedBench, scenario_with

KINDS = all_part_kinds(Folders(Path("nowhere")))[0]
_EXACTLY, _ROUNDED = Context(prec=120), Context(prec=40)


@dataclass
class Done:
    """What was done about a section, and what the meter showed of it.

    `said`: as the command line takes it, one text for each reading.
    `shown`: values and worth of the last digit, SI.
    """

    section: Measurement
    deed: Deed
    said: list[str]
    shown: list[tuple[Decimal, Decimal]]


def measured(
    bench: SimulatedBench, kind: PartKind, section: Measurement, deed: Deed
) -> Done | None:
    """Do it; None where the deed leaves the section out."""
    if deed.left_out:
        return None
    if bench.check.expected != section.name:
        bench.select(section.name)
    if deed.typed:
        bench.type(deed.typed)
        return Done(section, deed, [deed.typed], _as_typed(deed.typed, section))
    before = bench.times_taken(section.name)
    knob = deed.knob or section.quantity
    bench.hands("leads: air", f"knob: {knob.value}")
    bench.wait(lambda: bench.sees is knob, 5)
    bench.wait(lambda: bench.check.lifted, 5)
    if deed.leads:
        bench.hands(f"leads: {section.name}")
    if deed.hasty:
        bench.wait(lambda: bench.state is ChannelStatus.MOVING, 5)
        if bench.state is ChannelStatus.MOVING:
            bench.take()
        return Done(section, deed, ["none"], [])

    def taken_by_itself() -> bool:
        return bench.times_taken(section.name) > before

    stays = {ChannelStatus.OVERLOAD, ChannelStatus.SETTLED}
    bench.wait(taken_by_itself, 3)
    bench.wait(lambda: taken_by_itself() or bench.state in stays, 9)
    near_limit = bench.state is ChannelStatus.SETTLED
    if not bench.wait(taken_by_itself, 12 if near_limit else 0.5):
        bench.take()
    taken = next(s.taken for s in bench.check.sections if s.section.name == section.name)
    if len(taken) == before:
        raise AssertionError(
            f"{section.name}, {deed.name}: nothing was taken, {bench.notices[-1:]}"
        )
    last = bench.shown[-1]
    if last.status is Status.OVERLOAD:
        return Done(section, deed, ["OL"], [])
    shown = bench.shown_as(taken[-1].verdict.readings_si)
    unit = section.unit if deed.knob is None else {"A": "A", "V": "V"}[_unit_of(knob)]
    said = [_in_words(value, digit, unit, knob) for value, digit in shown]
    return Done(section, deed, said, shown if deed.knob is None else [])


def told(
    kind: PartKind, label: str, done: Sequence[Done], data: Path, *options: str
) -> dict[str, Any]:
    """The answer of the command line."""
    reads = [w for d in done for text in d.said for w in ("--read", f"{d.section.name}={text}")]
    out, err = io.StringIO(), io.StringIO()
    arguments = ["judge", label, "--kind", kind.name, "--accuracy", ACCURACY, "--json"]
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        status = run([*arguments, "--data", str(data), *options, *(reads or ["--read", "none"])])
    assert status == 0, err.getvalue()
    return dict(json.loads(out.getvalue()))


_OFFSET_DIGITS = {Quantity.RESISTANCE: Fraction(1, 10), Quantity.CAPACITANCE: Fraction(1, 10**12)}


def wanted(done: Done, offsets: dict[Quantity, Fraction], *, simple: bool) -> str:
    """The word by the standard."""
    section = done.section
    if done.deed.word:
        return done.deed.word
    if done.said == ["OL"]:
        return word_of_overload(section)
    assert done.shown, f"{section.name}, {done.deed.name}: no value and no word"
    digit = max(d for _, d in done.shown)
    return section_word(
        [_fraction(v) for v, _ in done.shown],
        _fraction(digit),
        quantity=section.quantity.value,
        rated=_fraction(section.rated_si),
        low=_fraction(section.low_si),
        high=_fraction(section.high_si),
        shorted_below=_fraction(section.shorted_below_si),
        idle_below=_fraction(section.idle_below_si),
        # Another instrument has leads of its own.
        offset=Fraction(0) if section.instrument else offsets.get(section.quantity, Fraction(0)),
        offset_digit=_OFFSET_DIGITS[section.quantity]
        if section.quantity in offsets and not section.instrument
        else Fraction(0),
        simple=simple,
    )  # fmt: skip


@dataclass
class Compared:
    """Words of one part, section by section."""

    case: str
    bench: dict[str, str]
    line: dict[str, str]
    oracle: dict[str, str]
    why: str = ""

    @property
    def agree(self) -> bool:
        shared = set(self.bench)
        return not self.why and all(
            self.bench[k] == self.line[k] == self.oracle.get(k, self.line[k]) for k in shared
        )


def compare(
    bench: SimulatedBench,
    kind: PartKind,
    part: PartPlan,
    rating: Rating,
    deeds: dict[str, Deed],
    data: Path,
    *,
    offsets: dict[Quantity, Fraction],
    rule: str = "guarded",
) -> Compared:
    """Measure a part and tell the command line what the meter showed."""
    bench.begin(part, kind, rule=rule)
    # What settles nothing is done last: its section stays expected.
    order = sorted(rating.sections, key=lambda s: deeds[s.name].word == "no reading")
    done = [d for s in order if (d := measured(bench, kind, s, deeds[s.name])) is not None]
    options = ["--rule", rule]
    if Quantity.RESISTANCE in offsets and any(
        s.quantity is Quantity.RESISTANCE for s in rating.sections
    ):
        options += ["--lead-offset", "0.2ohm"]
    if Quantity.CAPACITANCE in offsets and any(
        s.quantity is Quantity.CAPACITANCE for s in rating.sections
    ):
        options += ["--lead-offset", "0.006nF"]
    answer = told(kind, part.label, done, data, *options)
    case = ", ".join(f"{n}: {d.name}" for n, d in deeds.items() if d.name != "well inside")
    found = Compared(case or "all well inside", {}, {}, {})
    by_name = {s["name"]: s for s in answer["sections"]}
    for checked in bench.check.sections:
        name = checked.section.name
        line = by_name[name]
        found.line[name] = line["verdict"]
        if not checked.taken:
            assert deeds[name].left_out
            found.bench[name] = "no reading"
            found.oracle[name] = "no reading"
            continue
        last = checked.taken[-1].verdict
        found.bench[name] = last.verdict.value
        found.oracle[name] = wanted(
            next(d for d in done if d.section.name == name), offsets, simple=rule == "simple"
        )
        found.why += _differing(last, line)
    verdict = bench.check.verdict
    needs = {s.name: kind.measure_of(s.name).needs for s in rating.sections}
    for name, word in list(found.oracle.items()):
        found.oracle[name] = dependent_word(word, [found.oracle[other] for other in needs[name]])
        if needs[name] and verdict is None:
            del found.bench[name]  # the bench says it of a part that is judged
    if verdict is not None:
        found.bench = {s.section.name: s.verdict.value for s in verdict.sections}
    for concluded in answer.get("conclusions", ()):
        found.line[f"→ {concluded['name']}"] = concluded["verdict"]
    if verdict is None:
        assert any(d.left_out for d in deeds.values()), f"{case}: no verdict"
    else:
        for conclusion in verdict.conclusions:
            found.bench[f"→ {conclusion.name}"] = conclusion.word.value
        found.bench["part"] = verdict.verdict.value
    words = [word for name, word in found.oracle.items() if name in _deciding(kind, rating)]
    of_part = {f"→ {rule.name}" for rule in kind.conclusions if rule.subject == "part"}
    words += [word for name, word in found.line.items() if name in of_part]
    found.oracle["part"] = part_word(words)
    found.line["part"] = answer["verdict"]
    if verdict is None and found.line["part"] != found.oracle["part"]:
        found.why += f"command line {found.line['part']}, by the standard {found.oracle['part']}"
    return found


def _deciding(kind: PartKind, rating: Rating) -> set[str]:
    """The sections that decide by themselves: of the part, and no pair of a winding."""
    pairs = {n for r in kind.conclusions if isinstance(r, WindingsRule) for n in r.pairs}
    return {s.name for s in rating.sections if kind.measure_of(s.name).subject == "part"} - pairs


def parts_of(
    kind: PartKind, rating: Rating, label: str, cases: Sequence[dict[str, Deed]]
) -> list[PartPlan]:
    """A part for each case."""
    return [
        part_plan(f"part {number}", kind, rating, label, deeds)
        for number, deeds in enumerate(cases, 1)
    ]


def single_cases(kind: PartKind, rating: Rating) -> Iterator[dict[str, Deed]]:
    """All good; then each deed of each section on a part that is good otherwise."""
    good = {s.name: good_deed(s, kind) for s in rating.sections}
    yield good
    for section in rating.sections:
        for deed in list(deeds_of(section, kind))[1:]:
            yield {**good, section.name: deed}


def turned_cases(kind: PartKind, rating: Rating) -> Iterator[dict[str, Deed]]:
    """Each deed of each section once, on parts of which every section has another."""
    deeds = [list(deeds_of(s, kind)) for s in rating.sections]
    for number in range(max(map(len, deeds))):
        yield {
            s.name: own[(number + 3 * place) % len(own)]
            for place, (s, own) in enumerate(zip(rating.sections, deeds, strict=True))
        }


def compared(
    kind: PartKind,
    label: str,
    folders: Folders,
    cases: Sequence[dict[str, Deed]],
    rating: Rating,
    *,
    nulled: bool = False,
    rule: str = "guarded",
) -> list[Compared]:
    parts = parts_of(kind, rating, label, cases)
    bench = SimulatedBench(scenario_with(parts, {kind.name: kind}, folders, probe=False))
    offsets: dict[Quantity, Fraction] = {}
    if nulled:
        bench.null_leads()
        offsets = {
            Quantity.RESISTANCE: Fraction(2, 10),
            Quantity.CAPACITANCE: Fraction(6, 10**12),
        }
    found = [
        compare(bench, kind, part, rating, deeds, folders.data, offsets=offsets, rule=rule)
        for part, deeds in zip(parts, cases, strict=True)
    ]
    bench.close()
    return found


def disagreements(*given: Any, **more: Any) -> list[Compared]:
    """Those parts on which not all say the same."""
    return [one for one in compared(*given, **more) if not one.agree]


@pytest.mark.parametrize("kind", KINDS, ids=lambda k: k.name)
def test_bench_command_line_and_standard_agree(kind: PartKind, folders: Folders) -> None:
    """Every boundary and every "not a value" of each section once."""
    rating = rate(kind, kind.example)
    cases = list(turned_cases(kind, rating))
    assert disagreements(kind, kind.example, folders, cases, rating) == []


@pytest.mark.parametrize(
    "kind",
    [pytest.param(k, marks=pytest.mark.slow if n % 4 else ()) for n, k in enumerate(KINDS)],
    ids=lambda k: k.name,
)
def test_so_they_do_by_the_simple_rule_and_with_nulled_leads(
    kind: PartKind, folders: Folders
) -> None:
    rating = rate(kind, kind.example)
    cases = list(turned_cases(kind, rating))
    found = disagreements(kind, kind.example, folders, cases, rating, nulled=True, rule="simple")
    assert found == []


@pytest.mark.slow
@pytest.mark.parametrize("nulled", [False, True], ids=["", "leads nulled"])
@pytest.mark.parametrize("kind", KINDS, ids=lambda k: k.name)
def test_each_case_alone_on_a_part_that_is_good_otherwise(
    kind: PartKind, folders: Folders, nulled: bool
) -> None:
    rating = rate(kind, kind.example)
    cases = list(single_cases(kind, rating))
    assert disagreements(kind, kind.example, folders, cases, rating, nulled=nulled) == []


@pytest.mark.parametrize("kind", KINDS, ids=lambda k: k.name)
def test_a_good_part_passes_and_a_bad_one_fails(kind: PartKind, folders: Folders) -> None:
    """Conclusions too, by what is known of such parts; see `good_and_bad`."""
    rating = rate(kind, kind.example)
    cases = [deeds_of_part(kind, rating, good=good) for good in (True, False)]
    found = compared(kind, kind.example, folders, cases, rating)
    assert [one for one in found if not one.agree] == []
    assert [one.line["part"] for one in found] == ["pass", "fail"]


def _fraction(value: Decimal | None) -> Any:
    return None if value is None else Fraction(_ROUNDED.plus(value))


def _as_typed(text: str, section: Measurement) -> list[tuple[Decimal, Decimal]]:
    """Value and last digit of what was typed in the section's unit."""
    number, _, unit = text.partition(" ")
    if unit != section.unit:
        return []
    found = UNITS[unit]
    value = _EXACTLY.multiply(_EXACTLY.add(Decimal(number), found.zero), found.scale)
    digit = Decimal(1).scaleb(int(Decimal(number).as_tuple().exponent))
    return [(value, _EXACTLY.multiply(digit, found.scale))]


def _unit_of(quantity: Quantity) -> str:
    return "A" if quantity is Quantity.CURRENT_AC else "V"


def _in_words(value: Decimal, digit: Decimal, unit: str, quantity: Quantity) -> str:
    """As a person copies it off the display, every digit of it."""
    number = (value / UNITS[unit].scale).quantize((digit / UNITS[unit].scale).normalize())
    current = {Quantity.VOLTAGE_AC: "AC", Quantity.VOLTAGE_DC: "DC"}.get(quantity, "")
    return f"{number:f} {unit}{current if unit == 'V' else ''}"


def _differing(verdict: Any, line: dict[str, Any]) -> str:
    """Numbers that the bench and the command line do not share; "" where all do."""
    scale, zero = UNITS[line["unit"]].scale, UNITS[line["unit"]].zero
    said = ""
    for name, si, base in (
        ("reading", verdict.reading_si, zero),
        ("expanded_uncertainty", verdict.expanded_uncertainty_si, Decimal(0)),
    ):
        own = None if si is None else float(Decimal(si) / scale - base)
        other = line[name]
        if (own is None) is not (other is None) or (
            own is not None and abs(own - other) > 1e-9 * max(abs(own), 1e-12)
        ):
            said += f"{line['name']} {name}: bench {own}, command line {other}; "
    return said
