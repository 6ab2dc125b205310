"""A meter that sends more or fewer digits than its display has leads to the same verdict.

The rule is our own. The part reads 11.90 to 11.91 µF of 11.75 µF at least. With a count of 0.01 µF
U is 2/√3 · (1 % · 11.905 + 3 · 0.01) = 0.172 µF, so it passes conditionally; without the counts
0.137 µF, and it would pass.
"""

from decimal import Decimal
from pathlib import Path

import pytest

from benchmeter.checking.part_check import PartCheck
from benchmeter.conformity.verdict import Verdict
from benchmeter.files.folders import Folders
from benchmeter.files.resources import demo_session
from benchmeter.readings.events import Event, EventKind
from benchmeter.session.engine import MeasuringChain
from benchmeter.simulator.scenario import load_scenario
from benchmeter.simulator.virtual_bench import open_scenario
from benchmeter.words.event_words import event_words
from tests.fakes.outcomes import judged_in

HUNDREDTH_UF = Decimal("1e-8")
CHANGES = {
    "single.true_uf = 12.41": "single.true_uf = 11.905",
    '"1.0 % + 3 x 0.01 uF"': '"1.0 % + 3 counts"',
}


def played(folder: Path, digits: str) -> tuple[PartCheck, list[Event]]:
    """The check of the part, and what was learned."""
    folders = Folders(folder)
    folders.make()
    text = demo_session("short-visit").read_text(encoding="utf-8")
    for old, new in {
        **CHANGES,
        'measures = "capacitance" }': f'measures = "capacitance", digits = "{digits}" }}',
    }.items():
        assert old in text
        text = text.replace(old, new)
    path = folder / "visit.toml"
    path.write_text(text, encoding="utf-8")
    setup, source = open_scenario(load_scenario(str(path), folders), None)
    chain = MeasuringChain(setup)
    outcomes = [chain.feed(item) for item in source.inputs()]
    (check,) = [found for outcome in outcomes if (found := judged_in(outcome))]
    learned = [e for o in outcomes for e in o.events if e.kind is EventKind.RESOLUTION_LEARNED]
    return check, learned


@pytest.mark.parametrize("digits", ["display", "more", "fewer"])
def test_the_digits_that_are_sent_change_no_verdict(tmp_path: Path, digits: str) -> None:
    check, learned = played(tmp_path, digits)
    assert check.verdict is not None
    (section,) = check.verdict.sections
    assert section.resolution_si == HUNDREDTH_UF
    assert section.verdict is Verdict.CONDITIONAL_PASS
    assert bool(learned) is (digits != "display")
    assert all("0.01 µF, as learned" in event_words(event) for event in learned[-1:])
