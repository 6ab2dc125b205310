"""Steps that bring a record of an older benchmeter up to date.

Version 1 is what `tables` made first. Each later version has a file here, `m0002_reason.py`,
with one function `upgrade(op)` whose docstring gives the reason, and its entry in STEPS; and a
filled database of the version before it lies in tests/data. Altering a table in batch mode makes
it anew from what SQLite tells of it: WITHOUT ROWID must then be said again.
"""

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from alembic.operations import Operations

__all__ = ["STEPS", "Step"]

Step = Callable[["Operations"], None]

STEPS: Mapping[int, Step] = {}
"""By the version that the step leads to."""
