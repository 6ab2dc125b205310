"""Real faults: nothing is lost that was acknowledged, nothing is wrong, all goes on afterwards.

`python -m tests.faults` runs the long versions and prints their table.
"""

from pathlib import Path

import pytest

from tests.faults.table import FAULTS
from tests.faults.tally import Fault, NotHere


def _held(fault: Fault, folder: Path, rounds: int) -> None:
    try:
        tally = fault(folder, rounds)
    except NotHere as why:
        pytest.skip(str(why))
    assert tally.sound, tally


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.name)
def test_nothing_is_lost_or_wrong(fault: Fault, tmp_path: Path) -> None:
    _held(fault, tmp_path, fault.quick)
