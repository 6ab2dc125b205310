"""Which channel of a bench serves which purpose: the one answer that all ask for."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

from benchmeter.checking.part_check import PartCheck
from benchmeter.links.instruments.setup import ChannelSetup, Role
from benchmeter.quantities.quantity import Quantity

__all__ = ["ChannelRoles", "VoltsOf"]

_NAMES = {role.value for role in Role}


class VoltsOf(StrEnum):
    """What volts on the leads of a meter say."""

    CHARGE = "charge"  # DC, left on the part
    SUPPLY = "supply"  # AC
    TEST = "test"  # DC that the part is judged by, with the circuit live


@dataclass(frozen=True)
class ChannelRoles:
    """The channels of a bench by what they are for."""

    channels: tuple[ChannelSetup, ...]

    @cached_property
    def _role_by_name(self) -> Mapping[str, Role]:
        return {c.name: c.role for c in reversed(self.channels)}

    @cached_property
    def _first(self) -> Mapping[Role, ChannelSetup]:
        return {c.role: c for c in reversed(self.channels)}

    def role_of(self, channel: str) -> Role | None:
        """What a connected channel is for; None: no such channel is connected."""
        return self._role_by_name.get(channel)

    def typed_role(self, channel: str) -> Role | None:
        """What is typed in under this name; one that is not connected has the role of its name."""
        named = Role(channel) if channel in _NAMES else None
        return self.role_of(channel) or named

    def first(self, *roles: Role) -> ChannelSetup | None:
        """The first channel of the first role that has one."""
        return next((self._first[role] for role in roles if role in self._first), None)

    @property
    def part_meter(self) -> ChannelSetup | None:
        """The meter that parts are judged by: the multimeter, or one for capacitance."""
        return self.first(Role.METER, Role.CAPACITOR)

    @property
    def part_channel(self) -> str:
        """The channel that parts are judged by; without a meter, one that is typed in."""
        meter = self.part_meter
        return Role.CAPACITOR.value if meter is None else meter.name

    def meter_for(self, quantities: Iterable[Quantity]) -> ChannelSetup | None:
        """The meter for a part of these quantities: what is for capacitance shows nothing else."""
        if all(quantity is Quantity.CAPACITANCE for quantity in quantities):
            return self.part_meter
        return self.first(Role.METER)

    def may_judge(self, channel: str) -> bool:
        """Whether parts may be judged by it: 293 K are no 293 F."""
        return self.typed_role(channel) in (Role.CAPACITOR, Role.METER, None)

    def shown_by(self, check: PartCheck) -> str:
        """What shows the expected section: the probe for a temperature, if there is one."""
        section, probe = check.section, self.first(Role.PROBE)
        if section is not None and section.quantity is Quantity.TEMPERATURE and probe is not None:
            return probe.name
        return check.channel

    def volts_of(
        self, channel: str, measures: Quantity | None, check: PartCheck | None
    ) -> VoltsOf | None:
        """What its volts say: of a voltmeter for the part, or of the multimeter; None: no volts.

        Args:
            measures: what the channel's meter is set to.
            check: of the part in hand. Where DC volts are what it is judged by, they are no charge.
        """
        role = self.role_of(channel)
        if role not in (Role.RESIDUAL, Role.METER):
            return None
        if measures is Quantity.VOLTAGE_AC:
            return VoltsOf.SUPPLY
        if role is Role.RESIDUAL:
            return VoltsOf.CHARGE
        if measures is not Quantity.VOLTAGE_DC:
            return None
        section = check.section if check is not None else None
        judged = section is not None and section.quantity is Quantity.VOLTAGE_DC
        return VoltsOf.TEST if judged else VoltsOf.CHARGE
