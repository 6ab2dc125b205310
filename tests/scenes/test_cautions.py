"""What can hurt at a measurement is said where it is measured: every kind, read from its file."""

import tomllib
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from benchmeter.__main__ import main
from benchmeter.checking.channel_roles import ChannelRoles
from benchmeter.checking.check import begin_check
from benchmeter.checking.commands import BeginCheck
from benchmeter.files.resources import resource
from benchmeter.scenes.bench import bench_scene
from benchmeter.scenes.bench_state import BenchOpened
from benchmeter.scenes.session_view import Activity, SessionView
from tests.fakes import bench_states as made
from tests.fakes.kind_checks import kind_named

LIVE = "Measured in a live circuit: for qualified persons only."
KINDS = sorted(resource("parts").glob("*.toml"))


def expected(measure: dict[str, Any]) -> tuple[str, ...]:
    live = (LIVE,) if "live" in measure["hazards"] else ()
    return (*live, *([measure["caution"]] if "caution" in measure else []))


@pytest.mark.parametrize("file", KINDS, ids=lambda file: file.stem)
def test_the_bench_warns_at_the_measurement_and_the_command_line_beside_it(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    kind = tomllib.loads(file.read_text(encoding="utf-8"))
    begun = BeginCheck(time_ns=0, part="old", label=kind["example"], kind=kind_named(file.stem))
    check = begin_check(1, begun, Decimal(0))
    shown: dict[str, tuple[str, ...]] = {}
    for section in check.sections:
        at = replace(check, expected=section.section.name)
        view = SessionView(
            today=date(2026, 3, 1),
            activity=Activity.LIVE,
            session_id="0192",
            setup=made.SETUP,
            roles=ChannelRoles(made.SETUP.channels),
            now_ns=made.SECOND,
            states={},
            check=at,
            checks=(at,),
        )
        shown[at.measure(section.section).name] = bench_scene(view, BenchOpened()).cautions
    for measure in kind["measures"]:
        cautions = " ".join(shown[measure["name"]])
        for caution in (kind.get("caution", ""), *expected(measure)):
            assert cautions.count(caution) == 1 or not caution

    assert main(["judge", "--kind", file.stem]) == 0
    said = capsys.readouterr().out
    assert kind.get("caution", "") in said
    for measure in kind["measures"]:
        for caution in expected(measure):
            assert caution in said
