"""What is asked over all sessions. Each function runs in the caller's transaction."""

from collections.abc import Iterable

from sqlalchemy import Connection, select

from benchmeter.conformity.part_check import PartCheck
from benchmeter.storage.findings import part_check_in
from benchmeter.storage.records import VerdictKind
from benchmeter.storage.tables import sessions, verdicts

__all__ = ["checks_of_parts"]


def checks_of_parts(connection: Connection, names: Iterable[str]) -> tuple[PartCheck, ...]:
    """Every verdict on parts of these names, whatever their letter case, oldest first.

    Those of removed sessions are left out.
    """
    wanted = {_folded(name) for name in names}
    if not wanted:
        return ()
    # Compared here, since no database folds letters beyond ASCII alike.
    rows = connection.execute(
        select(verdicts.c.id, verdicts.c.subject)
        .join(sessions, sessions.c.id == verdicts.c.session_id)
        .where(verdicts.c.kind == VerdictKind.PART.value, ~sessions.c.removed)
        .order_by(sessions.c.started, verdicts.c.id)
    )
    numbers = [row.id for row in rows if _folded(row.subject) in wanted]
    bodies = (
        connection.execute(select(verdicts.c.body).where(verdicts.c.id == number)).scalar_one()
        for number in numbers
    )
    return tuple(part_check_in(body) for body in bodies)


def _folded(text: str) -> str:
    return " ".join(text.casefold().split())
