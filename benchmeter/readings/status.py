"""Whether there is a value."""

from enum import StrEnum

__all__ = ["Status"]


class Status(StrEnum):
    """Whether there is a value, and if not, why not.

    OK and SUSPECT come with a value; all others without one.
    """

    OK = "ok"
    SUSPECT = "suspect"  # a value that the format lets through but that is not plausible
    OVERLOAD = "overload"  # OL, +9.9E37: above the range
    NO_VALUE = "no value"  # 9.91E37, dashes: the meter itself has nothing to show
    WRONG_FUNCTION = "wrong function"  # the meter is set to another quantity
    NO_CONTACT = "no contact"  # open probe

    @property
    def has_value(self) -> bool:
        return self in (Status.OK, Status.SUSPECT)
