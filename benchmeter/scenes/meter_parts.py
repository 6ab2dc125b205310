"""The parts of known value as they are looked at, and the bias that each of them finds."""

from dataclasses import dataclass

from benchmeter.checking.bias_offer import BiasOffer, OfferReason, offer
from benchmeter.checking.meter_history import ReferenceHistory
from benchmeter.conformity.instrument_bias import MeterBias
from benchmeter.conformity.reference_part import ReferencePart
from benchmeter.scenes.session_view import SessionView
from benchmeter.tasks.known_parts import MeterFound
from benchmeter.words.presentation import Presentation

__all__ = ["AskedPart", "KnownPart", "kept_part", "known_parts"]


@dataclass(frozen=True, slots=True)
class KnownPart:
    """A part of known value, its history with this meter, and whether it is in the list."""

    part: ReferencePart
    history: ReferenceHistory | None
    listed: bool = True


@dataclass(frozen=True, slots=True)
class AskedPart:
    """A part that is looked at, and what is asked about it."""

    view: SessionView
    known: KnownPart
    channel: str

    @property
    def tell(self) -> Presentation:
        return self.view.presentation

    @property
    def taken(self) -> MeterBias | None:
        """What is taken off this meter's readings by this part."""
        part = self.known.part
        mine = (b for b in self.view.biases if b.channel == self.channel)
        named = (b for b in mine if b.reference.name == part.name)
        return next((b for b in named if b.reference.quantity is part.quantity), None)

    @property
    def offered(self) -> BiasOffer | None:
        """What may be taken off, or why nothing; None before the first reading."""
        return offer(self.known.history) if self.known.history is not None else None

    @property
    def can_take_off(self) -> bool:
        offered = self.offered
        clear = offered is not None and offered.reason is OfferReason.CLEAR
        return clear and self.taken is None


def known_parts(found: MeterFound) -> tuple[KnownPart, ...]:
    """The parts of the list, then those that were read once and are in it no more."""
    histories = list(found.record.histories) if found.record is not None else []

    def of(part: ReferencePart) -> ReferenceHistory | None:
        mine = (h for h in histories if h.name == part.name)
        return next((h for h in mine if h.reference.quantity is part.quantity), None)

    listed = tuple(KnownPart(part, of(part)) for part in found.parts)
    shown = [known.history for known in listed]
    gone = (KnownPart(h.reference, h, listed=False) for h in histories if h not in shown)
    return (*listed, *gone)


def kept_part(found: MeterFound, name: str) -> int:
    """Place of the part of that name; 0 where there is none."""
    names = [known.part.name for known in known_parts(found)]
    return names.index(name) if name in names else 0
