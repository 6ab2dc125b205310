"""Every kind of part at its example against the table that was written by hand."""

from decimal import Decimal
from fractions import Fraction
from itertools import combinations

import pytest
from msgspec import to_builtins

from benchmeter.files.resources import resource
from benchmeter.parts.kind_catalogue import read_part_kind
from benchmeter.parts.part_kind import MeasurementSpec, PartKind
from benchmeter.parts.rating import rate
from tests.parts.kinds_by_hand import CONCLUSIONS, DEAD, GIVENS, HAZARDS, MEASURES, WORTH, ZERO


def kind(name: str) -> PartKind:
    return read_part_kind(resource("parts") / f"{name}.toml")


def test_every_kind_is_here() -> None:
    files = sorted(path.stem for path in resource("parts").glob("*.toml"))
    assert sorted(MEASURES) == files
    assert sorted(HAZARDS) == files


@pytest.mark.parametrize("name", MEASURES)
def test_each_measurement_at_the_example(name: str) -> None:
    part = kind(name)
    specs = {measure.name: measure for measure in part.measures}
    found, sources = [], []
    for measured in rate(part, part.example).sections:
        # The sections of a capacitor are measured as one.
        spec = specs.get(measured.name, part.measures[0])
        limits = (_written(measured.low_si, spec.unit), _written(measured.high_si, spec.unit))
        found.append((measured.name, spec.subject, measured.quantity, limits, *_finding(spec)))
        sources.append(spec.source)
    rows = [_row(line) for line in MEASURES[name]]
    assert found == [row[:-1] for row in rows]
    for source, row in zip(sources, rows, strict=True):
        assert str(row[-1]) in source, (source, row)
        spec = part.measure_of(str(row[0]))
        amounts = (getattr(spec.limits, name, "") for name in ("low", "high", "tolerance"))
        of_itself = any(amount[:1].isdigit() and amount != "100 %" for amount in amounts)
        practice = row[-1] == _SOURCES["practice"] and of_itself  # else a given's default is
        assert spec.common_practice == practice, spec.name
        assert (spec.instrument != "") == (spec.typed and spec.quantity == "resistance")
    for given in part.givens:
        assert given.common_practice == ("common practice" in given.source), given.name


@pytest.mark.parametrize("name", MEASURES)
def test_what_can_hurt_at_such_a_part(name: str) -> None:
    part = kind(name)
    hazards, _, words = HAZARDS[name].rstrip(")").partition("(")
    assert list(part.hazards) == _listed(hazards)
    assert bool(part.caution) == bool(part.hazards)
    for word in _listed(words):
        assert word in part.caution


@pytest.mark.parametrize("name", MEASURES)
def test_where_volts_are_measured_before_it_is_touched(name: str) -> None:
    groups = [[end.strip() for end in group.split(",")] for group in DEAD.get(name, "").split(";")]
    pairs = [frozenset(pair) for group in groups for pair in combinations(group, 2)]
    found = [frozenset(pair) for pair in kind(name).dead_between]
    assert sorted(map(sorted, found)) == sorted(map(sorted, pairs))


@pytest.mark.parametrize("name", MEASURES)
def test_what_the_label_gives(name: str) -> None:
    found = []
    for given in kind(name).givens:
        text = " ".join(filter(None, [given.name, given.unit, given.current]))
        text += f" or {given.default}" if given.default else ""
        text += f" of {', '.join(given.choices)}" if given.choices else ""
        text += ", optional" if not given.needed else ""
        text += ", a range" if given.range else ""
        text += ", nominal" if given.nominal else ""
        text += ", named" if given.named else ""
        found.append(text)
    assert found == GIVENS.get(name, [])


@pytest.mark.parametrize("name", MEASURES)
def test_what_is_concluded_from_several(name: str) -> None:
    prose = {"name", "failure", "source", "too_low", "too_high", "open", "pass_leaves"}
    found = [
        {key: value for key, value in to_builtins(rule).items() if key not in prose and value}
        for rule in kind(name).conclusions
    ]
    assert found == CONCLUSIONS.get(name, [])


def test_a_start_relay_has_its_coil_at_5_and_2_and_its_contacts_at_1_and_2() -> None:
    """The terminals of a potential relay: common practice, no source."""
    measures = kind("start-relay").measures
    assert [measure.leads for measure in measures] == [("5", "2"), ("1", "2")]


_SOURCES = {"practice": "common practice, no source", "none": "no limits of its own"}


def _finding(spec: MeasurementSpec) -> tuple[object, ...]:
    flags = {
        "typed": spec.typed,
        "live": spec.live,
        "discharge": spec.discharge_first,
        "caution": bool(spec.caution),
    }
    on = frozenset(name for name, is_on in flags.items() if is_on)
    graded = spec.graded_at
    more = [
        f"idle to {spec.idle_below}" if spec.idle_below else "",
        *(f"needs {name}" for name in spec.needs),
        f"graded at {graded.least} of {graded.given}" if graded else "",
        f"remark above {spec.remark_above}" if spec.remark_above else "",
    ]
    on_others = "; ".join(filter(None, more))
    return spec.overload, spec.shorted_below, on, list(spec.hazards), list(spec.evidence), on_others


def _row(line: str) -> tuple[object, ...]:
    columns = [part.strip() for part in line.split("|")]
    name, subject, quantity, limits, overload, short, flags, hazards, evidence, source = columns[
        :10
    ]
    on_others = columns[10] if len(columns) > 10 else ""
    span, unit = limits.split(" ")
    low, high = span.split("..")
    both = tuple(None if end == "" else float(_si(Fraction(end), unit)) for end in (low, high))
    return (
        *(name, subject, quantity, both, overload, short, frozenset(flags.split())),
        *(_listed(hazards), _listed(evidence), on_others, _SOURCES.get(source, source)),
    )


def _listed(text: str) -> list[str]:
    return [word.strip() for word in text.split(",") if word.strip()]


def _si(value: Fraction, unit: str) -> Fraction:
    return value * WORTH[unit] + ZERO.get(unit, 0)


def _written(limit: Decimal | None, unit: str) -> float | None:
    return None if limit is None else float(limit)
