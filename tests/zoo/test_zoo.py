"""The rules for settled and lifted over the zoo; `python -m tests.zoo` runs more and prints it."""

import pytest

from benchmeter.conformity.verdict import Verdict
from benchmeter.files.resources import resource
from benchmeter.links.instruments.setup import EvidenceKind
from benchmeter.parts.kind_catalogue import read_part_kind
from tests.zoo.bench import Bench
from tests.zoo.hands import METERS, handled
from tests.zoo.meters import ZOO, Meter
from tests.zoo.settling import LABEL, settled

MOTOR = read_part_kind(resource("parts") / "motor-three-phase.toml")
BOTH = pytest.mark.parametrize(("evidence", "deceived"), [("measurements", 0), ("lines", 1)])
"""The rule of today, and that of sessions whose lines were counted: it fell for each of these."""


class Lines:
    """A bench to which a meter sends lines, so many a second."""

    def __init__(self, evidence: str, a_second: float) -> None:
        self.bench, self._every_s, self._now_s = Bench(EvidenceKind(evidence)), 1 / a_second, 0.0
        self.taken: list[str] = []

    def send(self, *texts: str) -> None:
        for text in texts:
            self._now_s += self._every_s
            self.taken += self.bench.line(self._now_s, text)

    def verdicts(self) -> list[Verdict]:
        return [t.verdict.verdict for s in self.bench.check.sections for t in s.taken]


@BOTH
def test_one_line_of_overload_does_not_lift_the_leads(evidence: str, deceived: int) -> None:
    """The clip is never moved, and all three windings were taken from one."""
    it = Lines(evidence, 4)
    it.bench.begin("460 V", MOTOR)
    it.bench.safe()
    for _ in range(3):
        it.send(*["2.60 ohm", "2.61 ohm"] * 10, "OL ohm")
    assert it.taken == (["T1-T2", "T2-T3", "T1-T3"] if deceived else ["T1-T2"])


@BOTH
def test_one_line_of_nothing_does_not_pass_the_next_part(evidence: str, deceived: int) -> None:
    it = Lines(evidence, 4)
    it.bench.begin(LABEL)
    it.send(*["0.00 uF"] * 20, *["44.90 uF", "44.91 uF"] * 12)
    assert it.verdicts() == [Verdict.PASS]
    it.bench.begin(LABEL)
    it.send("0.00 uF", *["44.90 uF", "44.91 uF"] * 12)
    assert it.verdicts() == [Verdict.PASS] * deceived


@BOTH
def test_a_display_that_is_sent_again_has_not_settled(evidence: str, deceived: int) -> None:
    """43.90 for 2 s at five lines a second: the first conversion, half of it without contact."""
    it = Lines(evidence, 5)
    it.bench.begin(LABEL)
    it.send(*["0.00 uF"] * 20, *["43.90 uF"] * 10)
    assert it.verdicts() == [Verdict.PASS] * deceived
    if not deceived:
        it.send(*["50.10 uF"] * 40)
        assert it.verdicts() == [Verdict.FAIL]


@BOTH
def test_noise_does_not_hide_a_creep_through_a_limit(evidence: str, deceived: int) -> None:
    """Down by half a count with each line, up and down by one with every other: 42.30 is passed."""
    it = Lines(evidence, 4)
    it.bench.begin(LABEL)
    counts = [4240 - n // 2 + (1, -1, 0)[n % 3] for n in range(60)]
    it.send(*["0.00 uF"] * 20, *[f"{count / 100:.2f} uF" for count in counts])
    assert it.verdicts() == [Verdict.PASS] * deceived


def test_a_quick_meter_is_not_kept_waiting() -> None:
    """Four measurements a second, far from any limit: no later than 1.5 s after it has come to
    rest, as ever; one that nobody has seen flicker must be seen for four seconds."""
    it = Lines("measurements", 4)
    it.bench.begin(LABEL)
    approach = ["0.00 uF"] * 20 + ["31.20 uF", "43.80 uF", "44.80 uF", "44.88 uF", "44.90 uF"]
    it.send(*approach, *["44.91 uF", "44.90 uF", "44.90 uF", "44.91 uF", "44.90 uF", "44.91 uF"])
    assert it.verdicts() == [Verdict.PASS]
    it = Lines("measurements", 4)
    it.bench.begin(LABEL)
    it.send(*["0.00 uF"] * 20, *["44.90 uF"] * 16)
    assert it.verdicts() == []
    it.send("44.90 uF")
    assert it.verdicts() == [Verdict.PASS]


@pytest.mark.parametrize("meter", ZOO, ids=lambda meter: meter.name)
def test_no_meter_is_taken_on_the_wrong_side_of_a_limit(meter: Meter) -> None:
    found = settled(meter, sessions=1)
    assert found.wrong == 0


@pytest.mark.parametrize("meter", METERS, ids=lambda meter: meter.name)
def test_no_section_is_judged_on_another_s_leads(meter: Meter) -> None:
    found = handled(meter, movements=12)
    assert (found.wrong, found.taken > 0) == (0, True)


@pytest.mark.slow
def test_ten_thousand_movements_deceive_nothing() -> None:
    found = [handled(meter, -(-10_000 // len(METERS)), seed=1) for meter in METERS]
    assert sum(f.movements.total() for f in found) >= 10_000
    assert sum(f.taken for f in found) > 1_500
    assert sum(f.wrong for f in found) == 0
