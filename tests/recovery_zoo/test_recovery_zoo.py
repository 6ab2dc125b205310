"""What is said of a recovery holds for machines whose law is not known.

The machines are our own (common practice, no source); nine of ten is what the statements promise.
`python -m tests.recovery_zoo` prints the whole table.
"""

import pytest

from tests.recovery_zoo.machines import SHAPES
from tests.recovery_zoo.scoring import STAGES, score

OTHERS = 500  # seeds that the numbers of the rule were not chosen by


def test_nine_of_ten_statements_hold_a_quarter_of_an_hour_later() -> None:
    found = score([OTHERS], shapes=("fast and slow", "load falls", "wind"), every_s=5)
    for shape in ("fast and slow", "load falls", "wind"):
        said = found.of(shape)
        assert said.made and said.soon >= 0.9 * said.made
    assert found.of().false_usual <= 0.1 * found.of().judged_usual


def test_nine_of_ten_hold_also_of_a_log_that_reads_once_a_minute() -> None:
    shapes = ("first order", "fast and slow", "load falls")
    found = score([OTHERS, OTHERS + 1], shapes=shapes, every_s=60)
    for shape in shapes:
        said = found.of(shape)
        assert said.made and said.soon >= 0.9 * said.made
        assert said.late >= 0.9 * said.made


def test_a_machine_that_trips_or_never_gets_warm_has_not_recovered() -> None:
    found = score([OTHERS], shapes=("trips", "never"), every_s=5)
    assert found.of("trips").made == 0
    assert found.of().judged_usual == 0


@pytest.mark.slow
@pytest.mark.parametrize("shape", SHAPES)
def test_of_every_shape_nine_of_ten_hold_for_an_hour(shape: str) -> None:
    found = score(range(OTHERS, OTHERS + 12), shapes=[shape], every_s=5)
    for stage in STAGES:
        said = found.of(shape, stage)
        assert said.soon >= 0.9 * said.made
        assert said.late >= 0.9 * said.made
    changes = found.of(shape)
    if shape == "sun":
        return  # what clouds change on a probe cannot be foreseen: one in ten moves too far
    assert changes.false_settled <= 0.1 * max(changes.settled, 1)
