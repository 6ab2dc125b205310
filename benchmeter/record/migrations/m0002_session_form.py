"""Version 2: a session tells in which form it is stored, and an event its reason by a code."""

from typing import TYPE_CHECKING

import sqlalchemy as sa

from benchmeter.record.structs.findings import SessionForm, form_of

if TYPE_CHECKING:
    from alembic.operations import Operations

__all__ = ["AS_VERSION_2", "upgrade"]

AS_VERSION_2 = (
    "CREATE TEMP VIEW event AS SELECT *, NULL AS reason, NULL AS quantity, NULL AS resolution"
    " FROM main.event",
)
"""What lets the events of version 1 be read as they are."""


def upgrade(op: "Operations") -> None:
    """Until now the names in a finding had to be tried, and events carried sentences."""
    with op.batch_alter_table("event") as batch:
        batch.add_column(sa.Column("reason", sa.Text))
        batch.add_column(sa.Column("quantity", sa.Text))
        batch.add_column(sa.Column("resolution", sa.Float(53)))
    with op.batch_alter_table("session", recreate="always") as batch:
        batch.add_column(
            sa.Column("form", sa.SmallInteger, nullable=False, server_default=str(SessionForm.SI))
        )
    with op.batch_alter_table("session", recreate="always") as batch:
        batch.alter_column("form", existing_type=sa.SmallInteger, server_default=None)
    connection = op.get_bind()
    session, verdict = (
        sa.table("session", sa.column("id"), sa.column("form")),
        sa.table("verdict", sa.column("session_id"), sa.column("kind"), sa.column("body")),
    )
    for (number,) in connection.execute(sa.select(session.c.id)).all():
        body = connection.execute(
            sa.select(verdict.c.body)
            .where(verdict.c.session_id == number, verdict.c.kind != "recovery")
            .limit(1)
        ).scalar()
        if body is not None and _form_of(body) is not SessionForm.SI:
            connection.execute(
                sa.update(session).where(session.c.id == number).values(form=_form_of(body).value)
            )


def _form_of(body: bytes) -> SessionForm:
    try:
        return form_of(body)
    except ValueError:  # damaged: whoever reads it is told
        return SessionForm.SI
