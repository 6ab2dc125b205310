"""What a session measures with: links, the profiles on them, and the channels by role.

Stored with the session, whole, so that it can be decoded and judged again years later.
"""

from datetime import date
from enum import StrEnum

import msgspec

from benchmeter.links.instruments.profile import Profile
from benchmeter.quantities.quantity import Quantity

__all__ = ["BenchSetup", "ChannelSetup", "EvidenceKind", "LinkSetup", "RecoveryRule", "Role"]


class EvidenceKind(StrEnum):
    """What counts when a reading has settled and when the leads have been lifted.

    A session is judged by what counted on its day.
    """

    LINES = "lines"  # each that a meter sent
    MEASUREMENTS = "measurements"  # a display that is sent again is none


class RecoveryRule(StrEnum):
    """How a recovery is followed. A session is judged by what was in force on its day."""

    FITTED = "fitted"  # a first-order law foretells it
    STILL = "still"  # only what holds still is stated


class Role(StrEnum):
    """What a channel is for. A channel of that very name takes the role."""

    METER = "meter"  # the bench's multimeter, whatever its knob is set to
    CAPACITOR = "capacitor"  # a meter at the part that is for capacitance only
    PROBE = "probe"  # temperature beside the part, taken for the true one
    DISCHARGE = "discharge"  # air leaving the outdoor unit
    OUTDOOR = "outdoor"  # air entering it
    RESIDUAL = "residual"  # volts left on the part
    OTHER = "other"

    @property
    def quantity(self) -> Quantity | None:
        """What a channel of this role must measure; None: whatever its meter says."""
        return _QUANTITY.get(self)


_QUANTITY = {
    Role.CAPACITOR: Quantity.CAPACITANCE,
    Role.PROBE: Quantity.TEMPERATURE,
    Role.DISCHARGE: Quantity.TEMPERATURE,
    Role.OUTDOOR: Quantity.TEMPERATURE,
    Role.RESIDUAL: Quantity.VOLTAGE_DC,
}


class LinkSetup(msgspec.Struct, frozen=True, kw_only=True):
    """One link. `address`: as the user gave it; `profile`: whole, as it was on that day."""

    name: str
    address: str
    profile: Profile


class ChannelSetup(msgspec.Struct, frozen=True, kw_only=True):
    """One channel: a value of an instrument, with its name and role in this session."""

    name: str
    role: Role = Role.OTHER
    link: str
    field: str = ""
    quantity: Quantity | None = None
    accuracy: str = ""


class BenchSetup(msgspec.Struct, frozen=True, kw_only=True):
    """All that a session measures with, and by what evidence.

    Attributes:
        origin: "serial", "simulated", for people.
    """

    origin: str
    links: tuple[LinkSetup, ...]
    channels: tuple[ChannelSetup, ...]
    evidence: EvidenceKind = EvidenceKind.MEASUREMENTS
    recovery: RecoveryRule = RecoveryRule.STILL

    def channel(self, role: Role) -> ChannelSetup | None:
        """The first channel of that role."""
        return next((c for c in self.channels if c.role is role), None)

    def calibration_due(self, channel: str) -> date | None:
        """Until when the instrument of that channel is in calibration; None: not known."""
        links = {link.name: link for link in self.links}
        found = next((links.get(c.link) for c in self.channels if c.name == channel), None)
        return found.profile.calibration_due if found is not None else None
