"""Steps that bring a record of an older benchmeter up to date.

Version 1 is what `tables` made first. Each later version has a file here, `m0002_reason.py`, with
one function `upgrade(op)` whose docstring gives the reason, and its entries in STEPS and AS_NOW;
and filled databases of the version before it lie in tests/data. Altering a table in batch mode
makes it anew from what SQLite tells of it: WITHOUT ROWID must then be said again.
"""

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from benchmeter.record.migrations import m0002_session_form, m0003_digests, m0004_visit

if TYPE_CHECKING:
    from alembic.operations import Operations

__all__ = ["AS_NOW", "STEPS", "Step"]

Step = Callable[["Operations"], None]

STEPS: Mapping[int, Step] = {
    2: m0002_session_form.upgrade,
    3: m0003_digests.upgrade,
    4: m0004_visit.upgrade,
}
"""By the version that the step leads to."""

AS_NOW: Mapping[int, Sequence[str]] = {
    1: (
        *m0003_digests.as_version_3("form", "visit"),
        *m0002_session_form.AS_VERSION_2,
    ),
    2: m0003_digests.as_version_3("visit"),
    3: m0004_visit.AS_VERSION_4,
}
"""By version: temporary views through which an older record is read without changing it."""
