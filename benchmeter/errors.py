"""The error tree, and messages: what is to be told, without a word of it.

A message is a code of the catalogue (`resources/words/english`) with typed parameters. It is made
where the fact is known; `benchmeter.words.presentation` makes the sentence where it is read. So a
message can be compared, stored and told in any language, and rewording it changes no fact.

BenchmeterError
└── WorldError            something outside the program; carries a Message
    ├── InputError        what was typed cannot be used (exit status 2)
    ├── DataFileError     a profile, scenario or part file is broken: file and field named
    ├── LinkError         the way to an instrument
    │   ├── PortGone      no such port, or unplugged before it could be opened
    │   ├── PortBusy      another program holds it
    │   ├── PortForbidden the user may not open it
    │   └── LinkLost      it was open and has gone
    └── StoreError        the database
        ├── StoreFull     no space left
        ├── StoreReadOnly the folder or file cannot be written
        ├── StoreLocked   another benchmeter holds it
        ├── StoreNewer    made by a newer benchmeter
        ├── StoreForeign  not a benchmeter database
        ├── StoreDamaged  its pages or its records do not hold together
        └── NoSuchRecord  no session of that name or number

Anything else that is raised is a fault of ours.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from pathlib import PurePath
from typing import Any, Self

__all__ = [
    "Amount",
    "BenchmeterError",
    "DataFileError",
    "InputError",
    "LinkError",
    "LinkLost",
    "Message",
    "NoSuchRecord",
    "Parameter",
    "PortBusy",
    "PortForbidden",
    "PortGone",
    "StoreDamaged",
    "StoreError",
    "StoreForeign",
    "StoreFull",
    "StoreLocked",
    "StoreNewer",
    "StoreReadOnly",
    "WorldError",
]


@dataclass(frozen=True, slots=True)
class Amount:
    """A value of a message, to be written in a unit with the digits that it has.

    Attributes:
        value_si: exact, in SI.
        unit: symbol of `quantities.units` in which it is meant to be read.
    """

    value_si: Decimal
    unit: str


@dataclass(frozen=True, slots=True)
class Message:
    """Something to be told: a code of the catalogue and what belongs to it.

    Attributes:
        code: "wing.what_happened".
        parameters: by the names that the catalogue's sentence uses. A text is a name or what a
            person wrote, never a sentence of ours.
    """

    code: str
    parameters: Mapping[str, "Parameter"] = field(default_factory=dict)

    def __hash__(self) -> int:
        return hash(self.code)


Parameter = str | int | float | Decimal | date | PurePath | Amount | Message | Sequence[str]
"""What a message may carry; `words` knows how to write each."""


class BenchmeterError(Exception):
    """Root of everything that benchmeter raises on purpose."""


class WorldError(BenchmeterError):
    """A fault of the world, told in the user's words by `words.presentation`.

    Args:
        code: of the catalogue.
        detail: for the log only.
        parameters: what the catalogue's sentence names. Another `WorldError` stands for its
            message.
    """

    def __init__(
        self,
        code: str,
        *,
        detail: str = "",
        **parameters: "Parameter | WorldError",
    ) -> None:
        super().__init__(code)
        self.message: Message = Message(
            code,
            {k: v.message if isinstance(v, WorldError) else v for k, v in parameters.items()},
        )
        self.detail = detail

    @classmethod
    def of(cls, message: Message) -> Self:
        """The error that this message tells."""
        error = cls(message.code)
        error.message = message
        return error

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self).of, (self.message,), {"detail": self.detail}

    def __str__(self) -> str:
        return self.message.code


class InputError(WorldError):
    """What was typed cannot be used."""


class DataFileError(WorldError):
    """A data file of the program or of the user is broken; the text names file and field."""


class LinkError(WorldError):
    """The way to an instrument."""


class PortGone(LinkError):
    """The port does not exist (any more)."""


class PortBusy(LinkError):
    """Another program holds the port."""


class PortForbidden(LinkError):
    """The user may not open the port."""


class LinkLost(LinkError):
    """The port was open and has gone."""


class StoreError(WorldError):
    """The database."""


class StoreFull(StoreError):
    """No space is left where the database lies."""


class StoreReadOnly(StoreError):
    """The database or its folder cannot be written."""


class StoreLocked(StoreError):
    """Another benchmeter holds the database."""


class StoreNewer(StoreError):
    """The database was made by a newer benchmeter."""


class StoreForeign(StoreError):
    """The file is not a benchmeter database."""


class StoreDamaged(StoreError):
    """The database or a record in it does not hold together."""


class NoSuchRecord(StoreError):
    """Nothing is stored under that name or number."""
