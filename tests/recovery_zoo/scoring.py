"""Whether what the program said of a machine of the zoo held."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field

from benchmeter.cooling.recovery import RiseJudgement
from benchmeter.cooling.replay import AirReading, Change, Mode, follow
from tests.recovery_zoo.machines import BEFORE_S, RUN_S, SHAPES, WEATHERS, Machine, build

__all__ = ["STAGES", "Score", "score", "table"]

ZERO_C = 273.15
STAGES = ("30 to 45 min", "45 to 75 min")
MINUTES = ((30, 45), (45, 75))
USUAL_K = (15 / 1.8, 30 / 1.8)  # common practice, no source


@dataclass
class Score:
    """Of statements: how many, how many held, how wide; of changes: how many were false."""

    made: int = 0
    soon: int = 0  # held the mean of 10 to 15 min later
    late: int = 0  # and that of 55 to 60 min later
    width_k: float = 0.0
    judged_usual: int = 0
    false_usual: int = 0
    settled: int = 0
    false_settled: int = 0

    def add(self, other: "Score") -> None:
        for name, value in vars(other).items():
            setattr(self, name, getattr(self, name) + value)


@dataclass
class Scores:
    by_cell: dict[tuple[str, str, str], Score] = field(default_factory=lambda: defaultdict(Score))

    def of(self, *words: str) -> Score:
        """The cells whose shape, weather or stage are among the words."""
        total = Score()
        for cell, score_ in self.by_cell.items():
            if set(words) <= set(cell):
                total.add(score_)
        return total


def _mean(machine: Machine, begin_s: int, *, rise: bool = False) -> float:
    line = machine.settled if rise else machine.truth
    return float(line[begin_s : begin_s + 300].mean())


def _into(scores: Scores, machine: Machine, every_s: int) -> None:
    log = [
        AirReading(float(i), machine.discharge[i] + ZERO_C, machine.outdoor[i] + ZERO_C)
        for i in range(0, BEFORE_S + RUN_S, every_s)
    ]
    stated, changes = follow(log, Mode.COOLING)
    widths = {}
    for time_s, state in stated:
        held, now = state.settled_k, int(time_s)
        if held is None:
            continue
        low, high = held.low - ZERO_C, held.high - ZERO_C
        soon = low <= _mean(machine, now + 600) <= high
        late = low <= _mean(machine, now + 3300) <= high
        rise = _mean(machine, now + 600, rise=True)
        usual = state.judgement is RiseJudgement.USUAL
        false = usual and not USUAL_K[0] <= rise <= USUAL_K[1]
        stage = STAGES[(now - BEFORE_S) / 60 >= MINUTES[1][0]]
        scores.by_cell[machine.shape, machine.weather, stage].add(
            Score(1, soon, soon and late, high - low, usual, false)
        )
        widths[now] = (low, high)
    for change in changes:
        if change.change is Change.SETTLED:
            after = min((t for t in widths if t >= change.time_s), default=None)
            if after is not None and after - change.time_s < 60:
                low, high = widths[after]
                moved = not low <= _mean(machine, after + 600) <= high
                scores.by_cell[machine.shape, machine.weather, STAGES[0]].add(
                    Score(settled=1, false_settled=moved)
                )


def score(seeds: Iterable[int], *, shapes: Iterable[str] = SHAPES, every_s: int = 2) -> Scores:
    """What was said of each machine of these seeds in each weather."""
    scores, all_seeds = Scores(), list(seeds)
    for shape in shapes:
        for weather in WEATHERS:
            for seed in all_seeds:
                _into(scores, build(shape, weather, seed), every_s)
    return scores


def table(scores: Scores) -> Iterable[str]:
    """A row for each shape, weather and stage, and for each shape."""
    head = ("shape", "weather", "stage", "made", "15 min", "60 min", "± K", "usual", "false")
    layout = "{:14} {:16} {:13} {:>5} {:>7} {:>7} {:>5} {:>6} {:>6}"
    yield layout.format(*head)

    def row(shape: str, weather: str, stage: str, found: Score) -> str:
        share = [f"{n / found.made:.3f}" if found.made else "-" for n in (found.soon, found.late)]
        half = f"{found.width_k / found.made / 2:.2f}" if found.made else "-"
        counts = found.judged_usual, found.false_usual
        return layout.format(shape, weather, stage, found.made, *share, half, *counts)

    for shape in SHAPES:
        for weather in WEATHERS:
            for stage in STAGES:
                yield row(shape, weather, stage, scores.by_cell[shape, weather, stage])
        yield row(shape, "all", "all", scores.of(shape))
    total = scores.of()
    yield row("all", "all", "all", total)
    yield f"settled {total.settled} times, {total.false_settled} of them false within 15 min"
