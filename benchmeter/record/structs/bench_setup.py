"""The stored form of what a session measures with."""

from typing import Any

import msgspec

from benchmeter.links.instruments.profile import Profile
from benchmeter.links.instruments.setup import (
    BenchSetup,
    ChannelSetup,
    EvidenceKind,
    LinkSetup,
    RecoveryRule,
    Role,
)
from benchmeter.quantities.quantity import Quantity

__all__ = ["StoredSetup"]


class StoredLink(msgspec.Struct, frozen=True, kw_only=True):
    name: str
    address: str
    profile: dict[str, Any]  # as its file writes it

    @classmethod
    def of(cls, link: LinkSetup) -> "StoredLink":
        return cls(name=link.name, address=link.address, profile=msgspec.to_builtins(link.profile))

    def restored(self) -> LinkSetup:
        return LinkSetup(
            name=self.name,
            address=self.address,
            profile=msgspec.convert(self.profile, Profile, strict=False),
        )


class StoredChannel(msgspec.Struct, frozen=True, kw_only=True):
    name: str
    role: str = Role.OTHER.value
    link: str
    field: str = ""
    quantity: str | None = None
    accuracy: str = ""

    @classmethod
    def of(cls, channel: ChannelSetup) -> "StoredChannel":
        return cls(
            name=channel.name,
            role=channel.role.value,
            link=channel.link,
            field=channel.field,
            quantity=None if channel.quantity is None else channel.quantity.value,
            accuracy=channel.accuracy,
        )

    def restored(self) -> ChannelSetup:
        return ChannelSetup(
            name=self.name,
            role=Role(self.role),
            link=self.link,
            field=self.field,
            quantity=None if self.quantity is None else Quantity(self.quantity),
            accuracy=self.accuracy,
        )


class StoredSetup(msgspec.Struct, frozen=True, kw_only=True):
    origin: str
    links: tuple[StoredLink, ...]
    channels: tuple[StoredChannel, ...]
    evidence: str = EvidenceKind.LINES.value  # of those that do not tell
    recovery: str = RecoveryRule.FITTED.value

    @classmethod
    def of(cls, setup: BenchSetup) -> "StoredSetup":
        return cls(
            origin=setup.origin,
            links=tuple(map(StoredLink.of, setup.links)),
            channels=tuple(map(StoredChannel.of, setup.channels)),
            evidence=setup.evidence.value,
            recovery=setup.recovery.value,
        )

    def restored(self) -> BenchSetup:
        """The setup.

        Raises:
            ValueError: a value that no setup can have.
        """
        return BenchSetup(
            origin=self.origin,
            links=tuple(link.restored() for link in self.links),
            channels=tuple(channel.restored() for channel in self.channels),
            evidence=EvidenceKind(self.evidence),
            recovery=RecoveryRule(self.recovery),
        )
