"""The error tree.

BenchmeterError
└── WorldError            something outside the program: has user_text() and advice()
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

__all__ = [
    "BenchmeterError",
    "DataFileError",
    "InputError",
    "LinkError",
    "LinkLost",
    "NoSuchRecord",
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


class BenchmeterError(Exception):
    """Root of everything that benchmeter raises on purpose."""


class WorldError(BenchmeterError):
    """A fault of the world, told in the user's words.

    Args:
        text: one sentence: what happened, and what it means for the record.
        advice: one sentence: what to do. May be empty where `text` says it.
        detail: for the log only.
    """

    def __init__(self, text: str, advice: str = "", detail: str = "") -> None:
        super().__init__(f"{text} {advice}".strip())
        self._text = text
        self._advice = advice
        self.detail = detail

    def user_text(self) -> str:
        """What happened, one sentence."""
        return self._text

    def advice(self) -> str:
        """What to do about it, one sentence; may be empty."""
        return self._advice


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
