"""A label alone is a run or a start capacitor: the kinds of the catalogue, without their files."""

from decimal import Decimal

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmeter.conformity.judgement import judge_measurement
from benchmeter.conformity.verdict import (
    Rule,
)
from benchmeter.files.folders import Folders
from benchmeter.parts.by_label import kind_by_label, rate_label, said_by_label, told_by_label
from benchmeter.parts.kind_catalogue import all_part_kinds, load_part_kind
from benchmeter.parts.part_kind import InLabel, PartKind
from benchmeter.parts.part_verdict import verdict_on_part
from benchmeter.parts.rated_part import (
    CapacitorKind,
)
from benchmeter.parts.rating import rate

_SAID = ("too_low", "too_high", "open", "pass_leaves")


def _ruling(kind: PartKind) -> PartKind:
    """What rules: without the sentences for people, and with what stands on the label alone."""
    measures = (
        msgspec.structs.replace(m, how="", caution="", source="", **dict.fromkeys(_SAID, ""))
        for m in kind.measures
        if isinstance(m.limits, InLabel)
    )
    return msgspec.structs.replace(kind, about="", caution="", measures=tuple(measures))


@pytest.mark.parametrize("capacitor", CapacitorKind)
def test_it_rules_as_the_kind_of_that_name_in_the_catalogue(
    capacitor: CapacitorKind, folders: Folders
) -> None:
    kind = kind_by_label(capacitor)
    assert kind.name == capacitor.value.replace(" ", "-")
    assert kind == _ruling(load_part_kind(kind.name, folders))
    assert kind.measures[0].discharge_first


@pytest.mark.parametrize(
    ("label", "name"),
    [
        ("45/5 µF ±6 % 440 V", "run-capacitor"),
        ("88-108 MFD 250VAC", "start-capacitor"),  # a range
        ("100 µF ±20 % START", "start-capacitor"),
    ],
)
def test_the_label_tells_the_kind_and_the_limits(label: str, name: str) -> None:
    kind, rating = rate_label(label)
    assert kind.name == name
    assert rating.sections == rate(kind, label).sections
    assert kind.measure_of(rating.sections[0].name) is kind.measures[0]


def test_a_tolerance_may_be_typed_aside() -> None:
    kind, rating = rate_label("45 µF", "6 %")
    assert (kind.name, rating.tolerance_from) == ("run-capacitor", "user")
    assert rating.sections == rate_label("45 µF ±6 %")[1].sections


def test_a_kind_is_said_by_its_label_if_nothing_else_is_measured(folders: Folders) -> None:
    kinds, _ = all_part_kinds(folders)
    assert [kind.name for kind in kinds if said_by_label(kind)] == ["run-capacitor"]
    assert all(said_by_label(kind_by_label(capacitor)) for capacitor in CapacitorKind)


def test_only_a_label_tells_a_kind_that_nobody_named(folders: Folders) -> None:
    kinds, _ = all_part_kinds(folders)
    assert not any(map(told_by_label, kinds))
    assert all(told_by_label(kind_by_label(capacitor)) for capacitor in CapacitorKind)


@given(st.integers(0, 6000), st.sampled_from(["45 µF ±6 %", "45/5 µF ±6 %", "40-50 µF"]))
def test_naming_the_capacitor_gives_the_verdict_of_its_kind(counts: int, label: str) -> None:
    kind, rating = rate_label(label)
    measured = [
        judge_measurement(
            section, [Decimal(counts).scaleb(-8)], resolution_si=None, accuracy=None,
            rule=Rule.GUARDED,
        )
        for section in rating.sections
    ]  # fmt: skip
    named = CapacitorKind(rating.kind)
    found = verdict_on_part(named, rating, measured, None, rule=Rule.GUARDED)
    assert found == verdict_on_part(kind, rating, measured, None, rule=Rule.GUARDED)
