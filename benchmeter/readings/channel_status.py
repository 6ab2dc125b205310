"""How a channel stands, in the words shown beside its reading."""

from enum import StrEnum

__all__ = ["ChannelStatus"]


class ChannelStatus(StrEnum):
    """State in words; followed by `acquisition`, judged by `conformity`."""

    WAITING = "waiting"  # nothing has come yet
    MOVING = "moving"
    SETTLED = "settled"
    OVERLOAD = "overload"
    WRONG_FUNCTION = "wrong function"
    NO_CONTACT = "no contact"
    NO_VALUE = "no value"
    SUSPECT = "suspect"
    STALE = "stale"
    LOST = "lost"
