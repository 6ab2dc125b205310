"""Version 4: a session holds what was stated of the visit."""

from typing import TYPE_CHECKING

import sqlalchemy as sa

if TYPE_CHECKING:
    from alembic.operations import Operations

__all__ = ["AS_VERSION_4", "upgrade"]

AS_VERSION_4 = ("CREATE TEMP VIEW session AS SELECT *, NULL AS visit FROM main.session",)
"""What lets a record without visits be read as it is."""


def upgrade(op: "Operations") -> None:
    """Who measured, for whom and on which unit had no place but the remark.

    Of older sessions nothing is stated, which changes no digest.
    """
    op.add_column("session", sa.Column("visit", sa.Text))
