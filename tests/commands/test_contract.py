"""Every command's JSON is as its schema says, and every key of every schema is produced.

Scripts rely on these documents: a key that is renamed, added or left out is noticed here.
"""

from collections.abc import Callable, Iterable
from enum import StrEnum
from typing import Any

import pytest
from jsonschema import Draft202012Validator, ValidationError

from benchmeter.checking.part_check import Step
from benchmeter.checking.replacement import Fit, FitReason, Standing
from benchmeter.conformity.reference_part import MeterReason, MeterVerdict
from benchmeter.conformity.verdict import Reason, Rule, Verdict
from benchmeter.cooling.recovery import FitFailure, Phase, RiseJudgement
from benchmeter.cooling.replay import Change
from benchmeter.links.instruments.setup import Role
from benchmeter.links.ports.port_state import PortState
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.units import UNITS
from benchmeter.readings.events import EventKind
from benchmeter.readings.status import Status
from benchmeter.record.records import SessionState, VerdictKind
from benchmeter.sensors.thermistor_check import CurveFinding
from tests.commands.calls import document
from tests.commands.contract import SCHEMAS, declared, occurred, part_of, validate
from tests.commands.documents import PRODUCERS, Bench

ITEM = "/properties/items/items/properties"
STATEMENT = "/properties/statements/items/properties"
CHANNEL = "/properties/channels/items/properties"
ENUMERATIONS: dict[str, Iterable[StrEnum | None]] = {
    "values.json#/$defs/verdict": Verdict,
    "values.json#/$defs/meter_verdict": MeterVerdict,
    "values.json#/$defs/rule": Rule,
    "values.json#/$defs/quantity_name": Quantity,
    "part-check.json#/properties/step": Step,
    "part-check.json#/$defs/section_verdict/properties/reason": Reason,
    "recovery.json#/properties/phase": Phase,
    "recovery.json#/properties/fit_failure": [None, *FitFailure],
    "recovery.json#/properties/judgement": RiseJudgement,
    f"compute-recovery.json#{STATEMENT}/phase": Phase,
    "compute-recovery.json#/properties/events/items/properties/kind": Change,
    "sessions.json#/$defs/state": SessionState,
    "sessions.json#/$defs/kind": VerdictKind,
    "show.json#/properties/events/items/properties/kind": EventKind,
    f"show.json#{CHANNEL}/role": [*Role, None],
    f"show.json#{CHANNEL}/readings/items/properties/status": Status,
    "ports.json#/properties/ports/items/properties/state": PortState,
    "compute-sensor.json#/$defs/curve/properties/verdict": CurveFinding,
    "compute-meter-history.json#/$defs/reading/properties/why": MeterReason,
    f"compute-replacement.json#{ITEM}/fit": Fit,
    f"compute-replacement.json#{ITEM}/measured": Standing,
    f"compute-replacement.json#{ITEM}/reasons/items": FitReason,
}


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    return Bench(tmp_path_factory.mktemp("contract"))


@pytest.mark.parametrize(
    "schema",
    [pytest.param(n, marks=[pytest.mark.gui] * p.needs_qt) for n, p in PRODUCERS.items()],
)
def test_every_document_is_as_promised_and_every_promise_is_seen(
    schema: str, bench: Bench, request: pytest.FixtureRequest
) -> None:
    if PRODUCERS[schema].needs_qt:
        request.getfixturevalue("qapp")
    seen = set()
    for made in PRODUCERS[schema].make(bench):
        validate(schema, made)
        seen |= occurred(schema, made)
    for place in PRODUCERS[schema].covers:
        assert declared(place) - seen == set()


def test_every_schema_is_sound_closed_and_covered() -> None:
    covered = {place for producer in PRODUCERS.values() for place in producer.covers}
    for name, schema in SCHEMAS.items():
        Draft202012Validator.check_schema(schema)
        for place in {place for place, _ in declared(f"{name}.json#")}:
            part = part_of(place)
            assert any(place.startswith(c) for c in covered) or "$ref" in part, place
            if "additionalProperties" in part or "$ref" not in part:  # else it narrows another one
                assert part["additionalProperties"] is False, place
                assert set(part["required"]) <= set(part["properties"]), place


@pytest.mark.parametrize("place", ENUMERATIONS)
def test_the_words_of_a_document_are_those_of_the_program(place: str) -> None:
    words = [None if word is None else word.value for word in ENUMERATIONS[place]]
    assert part_of(place)["enum"] == words


def test_the_units_are_those_of_the_program() -> None:
    assert set(part_of("values.json#/$defs/unit")["enum"]) == set(UNITS)
    plain, held = {q.row.plain_unit for q in Quantity}, {q.row.si_unit for q in Quantity}
    assert set(part_of("show.json#/$defs/unit")["enum"]) == {*plain, None}
    assert set(part_of("show.json#/$defs/si_unit")["enum"]) == {*held, None}


@pytest.mark.parametrize(
    "spoil",
    [
        lambda d: d.update(verdicts=d.pop("verdict")),
        lambda d: d.update(verdict="good"),
        lambda d: d.update(more=1),
        lambda d: d["sections"][0].pop("why"),
        lambda d: d["sections"][0].update(low="42.3"),
    ],
)
def test_a_document_that_is_not_as_promised_is_noticed(spoil: Callable[[Any], None]) -> None:
    made = document("judge", "45/5 uF ±6% 440 V")
    spoil(made)
    with pytest.raises(ValidationError):
        validate("judge", made)


def test_a_key_that_never_occurs_is_noticed() -> None:
    seen = occurred("judge", document("judge", "45/5 uF ±6% 440 V"))
    assert ("judge.json#", "verdict") in seen
    assert declared("judge.json#") - seen == {
        ("judge.json#", "kind"),
        ("judge.json#", "conclusions"),
        ("judge.json#", "beside"),
        ("judge.json#", "seen"),
    }
