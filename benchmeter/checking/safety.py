"""Is the part in hand safe to touch, and may it be measured? By measurement, not by a tick box.

The only place that decides it: everything else asks `PartSafety`. Two statements, each with its own
evidence: the stored charge is gone (DC volts), and the supply is dead (AC volts). Safe to touch
needs both, by a voltmeter that was seen to read a live source before and after (live-dead-live;
NFPA 70E:2021, 120.5(7), from memory). Whatever takes the ground away, takes the word back.
"""

from dataclasses import dataclass, replace
from enum import StrEnum

from benchmeter.conformity.judgement import expected_si
from benchmeter.errors import InputError
from benchmeter.parts.capacitor import Discharge, discharge
from benchmeter.parts.rated_part import (
    Rating,
)
from benchmeter.quantities.quantity import Quantity

__all__ = [
    "ANNOUNCED_S",
    "ON_SOURCE_S",
    "PROVES_FROM_V",
    "RESISTOR_OHM",
    "SAFE_BELOW_V",
    "Missing",
    "PartSafety",
    "ResidualVoltage",
    "SafetyReason",
    "SafetyWatch",
    "rated_discharge",
]

SAFE_BELOW_V = 5.0
"""Volts below this, AC or DC, may be touched (common practice, no source)."""

PROVES_FROM_V = 20.0
"""A source proves a voltmeter from here on: a control circuit of 24 V does (common practice, no
source)."""

ANNOUNCED_S = 60.0
"""So long an announced proof of a voltmeter waits for its source (common practice, no source)."""

ON_SOURCE_S = 10.0
"""Whoever reads volts for longer than this is not at a source that proves a voltmeter, but on the
part (common practice, no source)."""

_FALLEN = 0.9
_NEARLY_GONE_V = 25.0  # the last that a meter shows of a discharge; common practice, no source

RESISTOR_OHM = 20_000.0
"""The slower end of the usual discharge resistor, 15-20 kΩ (common practice, no source)."""


def rated_discharge(rating: Rating) -> Discharge | None:
    """From the crest of the highest voltage on the label to `SAFE_BELOW_V` through `RESISTOR_OHM`.

    Of the largest section. None where the label gives no capacitance or no voltage.
    """
    sections = [s for s in rating.sections if s.quantity is Quantity.CAPACITANCE]
    values = [float(v) for s in sections if (v := s.high_si or expected_si(s)) is not None]
    if not values or not rating.voltages_v:
        return None
    try:
        return discharge(max(values), max(rating.voltages_v), RESISTOR_OHM, SAFE_BELOW_V)
    except InputError:  # a label may carry what no supply has
        return None


@dataclass(frozen=True, slots=True)
class ResidualVoltage:
    """Volts last seen on the part, AC or DC.

    Attributes:
        time_ns: when.
        residual_v: None: unknown, since power came back or the meter overloaded.
        typed: typed in by hand, not measured.
    """

    time_ns: int
    residual_v: float | None
    typed: bool

    @property
    def safe(self) -> bool:
        return self.residual_v is not None and abs(self.residual_v) < SAFE_BELOW_V


class SafetyReason(StrEnum):
    """What is known of the volts of one kind, AC or DC."""

    NOT_MEASURED = "not measured"
    UNKNOWN = "unknown"  # power came back, or the voltmeter overloaded
    CHARGED = "charged"  # DC: stored charge; AC: live
    MEASURED = "measured"  # and low
    TYPED = "typed"  # and low


class Missing(StrEnum):
    """What must be done next before the part may be touched."""

    CHARGE = "charge"  # DC volts are not known to be low
    SUPPLY = "supply"  # AC volts are not known to be low
    CONTACT = "contact"  # the voltmeter was lost since
    AC_PAIR = "AC pair"  # AC volts between the next pair of terminals
    DC_PAIR = "DC pair"
    PROOF_BEFORE = "proof before"  # nobody saw the meter read a live source before it read nothing
    PROOF_AFTER = "proof after"  # nor after it


@dataclass(frozen=True, slots=True)
class PartSafety:
    """What is known of the volts on the part in hand.

    Attributes:
        volts: DC, as last seen; None: not measured.
        supply: AC, as last seen; None: not measured.
        proof_needed: it is of a kind that may be charged, and not new: it is measured by itself
            only after its volts were seen to be low.
        proved_before, proved_after: each voltmeter was seen to read a live source before it was
            seen to read low volts, AC or DC, and after both.
        proof_typed: one of these was typed in by hand.
        contact_lost: the voltmeter was lost since.
        announced: the next volts of a live source prove the voltmeter, and are not the part's.
        pairs: of terminals, between each of which both volts are to be low; () where the kind
            names none: between its terminals.
        ac_low, dc_low: between so many of these, in their order, they were measured or typed to be
            low since the proof before.
        proof_by_hand: the proof that is missing is that of a voltmeter whose volts were typed.
    """

    volts: ResidualVoltage | None = None
    proof_needed: bool = False
    supply: ResidualVoltage | None = None
    proved_before: bool = False
    proved_after: bool = False
    proof_typed: bool = False
    contact_lost: bool = False
    announced: bool = False
    pairs: tuple[tuple[str, str], ...] = ()
    ac_low: int = 0
    dc_low: int = 0
    proof_by_hand: bool = False

    @property
    def charge_gone(self) -> bool:
        """DC volts are low."""
        return self.volts is not None and self.volts.safe

    @property
    def supply_dead(self) -> bool:
        """AC volts are low."""
        return self.supply is not None and self.supply.safe

    @property
    def missing(self) -> Missing | None:
        """What it takes next; None: it may be touched."""
        if not self.charge_gone:
            return Missing.CHARGE
        if not self.supply_dead:
            return Missing.SUPPLY
        if self.contact_lost:
            return Missing.CONTACT
        if not self.proved_before:
            return Missing.PROOF_BEFORE
        if self.ac_low < len(self.pairs):
            return Missing.AC_PAIR
        if self.dc_low < len(self.pairs):
            return Missing.DC_PAIR
        return None if self.proved_after else Missing.PROOF_AFTER

    @property
    def next_pair(self) -> tuple[str, str] | None:
        """Between what the volts are missing that `missing` tells; None: it tells of no pair."""
        at = {
            Missing.CHARGE: 0,
            Missing.SUPPLY: 0,
            Missing.AC_PAIR: self.ac_low,
            Missing.DC_PAIR: self.dc_low,
        }.get(self.missing or Missing.CONTACT)
        return None if at is None or at >= len(self.pairs) else self.pairs[at]

    @property
    def may_be_touched(self) -> bool:
        return self.missing is None

    @property
    def typed(self) -> bool:
        """Whether some of the evidence was typed in by hand."""
        seen = (self.volts, self.supply)
        return self.proof_typed or any(v is not None and v.typed for v in seen)

    @property
    def to_be_made_safe(self) -> bool:
        """Whether it must be made safe before it is measured. Volts that are seen always count."""
        if self.live:
            return True
        return self.proof_needed if self.volts is None else not self.volts.safe

    @property
    def live(self) -> bool:
        """AC volts were seen on it, and not seen to be gone."""
        return self.supply is not None and not self.supply.safe

    @property
    def seen_unsafe(self) -> bool:
        """Whether nothing may be taken of it, by hand neither: what a meter shows is no finding."""
        return self.live or (self.volts is not None and not self.volts.safe)

    @property
    def reason(self) -> SafetyReason:
        """Of its charge."""
        return _reason(self.volts)

    @property
    def supply_reason(self) -> SafetyReason:
        """Of its supply."""
        return _reason(self.supply)


def _reason(seen: ResidualVoltage | None) -> SafetyReason:
    if seen is None:
        return SafetyReason.NOT_MEASURED
    if seen.residual_v is None:
        return SafetyReason.UNKNOWN
    if not seen.safe:
        return SafetyReason.CHARGED
    return SafetyReason.TYPED if seen.typed else SafetyReason.MEASURED


@dataclass(frozen=True, slots=True)
class _OnSource:
    """The live source that a voltmeter is on."""

    channel: str
    ac: bool
    since_ns: int


class SafetyWatch:
    """What voltmeters, technician and power say of the volts on the part in hand. A fold.

    A voltmeter whose leads hang in the air shows 0 V as well, and so do leads that slip off a
    charged part, all at once. A low voltage counts only when the same meter was seen to come down
    to it (it touches the part, and it works), or when the technician takes it, with the leads on
    the part. A high voltage counts at once.

    Volts belong to the source that proves a voltmeter only where the technician said so before the
    leads touched it. Volts that stand on the part are not explained away.

    `channel` names the voltmeter; "": one whose volts are typed in by hand.
    """

    def __init__(self) -> None:
        self.part = PartSafety()
        self._first = True
        self._highest_v = 0.0  # of the charge that is seen
        self._came_down = False  # it is nearly gone, and was higher
        self._announced_ns: int | None = None
        self._source: _OnSource | None = None
        # Of a voltmeter, AC or not: known until its leads came near the source.
        self._before_source: dict[tuple[str, bool], PartSafety] = {}
        self._proved_ns: dict[str, int] = {}  # first of this part, by channel
        self._proved_since: set[str] = set()  # both low volts were seen
        self._low_by: dict[bool, set[str]] = {True: set(), False: set()}  # AC or not: channels

    def begin_part(self, *, proof_needed: bool, pairs: tuple[tuple[str, str], ...] = ()) -> None:
        """Another part is in hand: what was seen on the last one says nothing of it.

        What was seen before the first part of a session was seen on that part; where proof is
        needed it is not taken for one.
        """
        if proof_needed or not self._first:
            self._forget()
        self._first = False
        self.part = replace(self.part, proof_needed=proof_needed, pairs=pairs)

    def measured(self, time_ns: int, volts: float, *, ac: bool, channel: str) -> bool:
        """A reading of a voltmeter; it changes nothing where it proves nothing.

        Returns:
            Whether it has just proved the voltmeter on a live source.
        """
        if self._source is not None and (self._source.channel, self._source.ac) == (channel, ac):
            if self._stays_on_source(time_ns, volts):
                return False
        elif self._is_source(time_ns, volts):
            self._come_to_source(_OnSource(channel, ac, time_ns))
            return True
        found = ResidualVoltage(time_ns, volts, typed=False)
        if not ac:
            self._follow_charge(abs(volts))
        if not found.safe or (self._came_down and not ac):
            self._see(found, ac=ac, channel=channel)
        return False

    def hardly_possible(self, time_ns: int, volts: float, *, ac: bool, channel: str) -> None:
        """A reading that no such meter should show: it proves nothing, and high volts count."""
        found = ResidualVoltage(time_ns, volts, typed=False)
        if not ac:
            self._came_down = False
        if not found.safe:
            self._see(found, ac=ac, channel=channel)

    def overloaded(self, time_ns: int, *, ac: bool, channel: str) -> None:
        """The voltmeter shows more than its range holds."""
        if not ac:
            self._came_down = False
        self._see(ResidualVoltage(time_ns, None, typed=False), ac=ac, channel=channel)

    def taken(self, time_ns: int, volts: float, *, ac: bool, channel: str) -> None:
        """The technician takes what the voltmeter shows: the leads are on the part."""
        if not ac:
            self._came_down = abs(volts) <= _NEARLY_GONE_V
        self._source = None
        self._announce(None)
        found = ResidualVoltage(time_ns, volts, typed=False)
        self._see(found, ac=ac, channel=channel, by_hand=True)

    def typed(self, time_ns: int, volts: float, *, ac: bool) -> None:
        """The technician types what a voltmeter showed: the leads are on the part."""
        self._announce(None)
        self._see(ResidualVoltage(time_ns, volts, typed=True), ac=ac, channel="", by_hand=True)

    def announce_proof(self, time_ns: int) -> None:
        """The leads are about to touch a live source."""
        self._came_down = False
        self._announce(time_ns)

    def proved(self, time_ns: int, *, channel: str) -> None:
        """The voltmeter reads live volts, the part's or a source's: they stay what they were."""
        self._came_down = False  # the leads are, or were, elsewhere
        self._proved_ns.setdefault(channel, time_ns)
        self._proved_since.add(channel)
        part = self.part
        low = min(part.ac_low, part.dc_low) >= len(part.pairs)
        after = part.charge_gone and part.supply_dead and part.proved_before and low
        self.part = replace(
            part,
            proved_after=after and self._lows() <= self._proved_since,
            proof_typed=part.proof_typed or not channel,
        )
        self._tell_proof()

    def live_test(self) -> None:
        """Something was measured with the circuit live: whatever was seen dead is so no longer."""
        part = self.part
        self._came_down = False
        self._before_source.clear()
        self.part = replace(
            part,
            volts=None if part.charge_gone else part.volts,
            supply=None if part.supply_dead else part.supply,
            proved_before=False,
            proved_after=False,
            ac_low=0,
            dc_low=0,
        )

    def contact_lost(self) -> None:
        """The voltmeter's link is gone: it no longer watches."""
        self._before_source.clear()
        if not self.part.contact_lost:
            self.part = replace(self.part, contact_lost=True, ac_low=0, dc_low=0)

    def power_restored(self, time_ns: int) -> None:
        """What was measured no longer holds."""
        unknown = ResidualVoltage(time_ns, None, typed=False)
        proof_needed, pairs = self.part.proof_needed, self.part.pairs
        self._forget()
        self.part = PartSafety(unknown, proof_needed, supply=unknown, pairs=pairs)

    def _forget(self) -> None:
        self.part = PartSafety()
        self._highest_v, self._came_down = 0.0, False
        self._announced_ns = self._source = None
        for seen in (self._before_source, self._proved_ns, self._proved_since):
            seen.clear()
        self._low_by = {True: set(), False: set()}

    def _announce(self, time_ns: int | None) -> None:
        self._announced_ns = time_ns
        self._before_source.clear()
        announced = time_ns is not None
        if self.part.announced is not announced:
            self.part = replace(self.part, announced=announced)

    def _is_source(self, time_ns: int, volts: float) -> bool:
        if self._announced_ns is None:
            return False
        if time_ns - self._announced_ns > ANNOUNCED_S * 1e9:
            self._announce(None)
            return False
        return abs(volts) >= PROVES_FROM_V

    def _come_to_source(self, source: _OnSource) -> None:
        known = self._before_source.get((source.channel, source.ac))
        if known is not None:  # the first digits that a meter shows may be low
            seen = known.supply if source.ac else known.volts
            low = known.ac_low if source.ac else known.dc_low
            self.part = self._counted(self._with(seen, ac=source.ac), low, ac=source.ac)
        self._announce(None)
        self._source = source
        if not source.ac:
            self._highest_v = 0.0
        self.proved(source.since_ns, channel=source.channel)

    def _stays_on_source(self, time_ns: int, volts: float) -> bool:
        assert self._source is not None
        if time_ns - self._source.since_ns > ON_SOURCE_S * 1e9:
            self._source = None
            return False
        if abs(volts) < SAFE_BELOW_V:
            self._source = None
        return True

    def _follow_charge(self, volts: float) -> None:
        """A charge that falls to nearly nothing: leads that slip off a source do it at once."""
        if volts < SAFE_BELOW_V:
            self._highest_v = 0.0
            return
        self._highest_v = max(self._highest_v, volts)
        self._came_down = volts <= min(_NEARLY_GONE_V, _FALLEN * self._highest_v)

    def _see(
        self, found: ResidualVoltage, *, ac: bool, channel: str, by_hand: bool = False
    ) -> None:
        known = self.part.supply if ac else self.part.volts
        if not found.safe:
            self._see_high(found, ac=ac, channel=channel)
            return
        fresh = not (known is not None and known.safe and self.part.proved_after)
        if fresh or channel not in self._low_by[ac]:
            self._see_low(found, ac=ac, channel=channel, by_hand=by_hand)
        else:
            self.part = self._with(found, ac=ac)

    def _see_high(self, found: ResidualVoltage, *, ac: bool, channel: str) -> None:
        """It is the part's, unless this voltmeter alone shows it, on its way to the source."""
        if self._announced_ns is not None:
            self._before_source.setdefault((channel, ac), self.part)
        for other in [key for key in self._before_source if key[1] is ac and key[0] != channel]:
            del self._before_source[other]
        self.part = self._counted(self._with(found, ac=ac), 0, ac=ac)

    def _see_low(self, found: ResidualVoltage, *, ac: bool, channel: str, by_hand: bool) -> None:
        """Between the next pair of terminals, where somebody says that the leads are on it."""
        counted = self.part.ac_low if ac else self.part.dc_low
        known = self.part.supply if ac else self.part.volts
        if not counted:
            self._low_by[ac].clear()
        self._low_by[ac].add(channel)
        self._proved_since.clear()
        if by_hand and counted and known is not None and known.residual_v is not None:
            most = max(known.residual_v, found.residual_v or 0.0, key=abs)
            found = replace(found, residual_v=most)
        if channel in self._proved_ns and (by_hand or len(self.part.pairs) <= 1):
            counted += 1
        part = self._counted(self._with(found, ac=ac), counted, ac=ac)
        before = all(self._was_proved(part, each) for each in (True, False))
        self.part = replace(part, proved_before=before, proved_after=False, contact_lost=False)
        self._tell_proof()

    def _was_proved(self, part: PartSafety, ac: bool) -> bool:
        """Whether the voltmeters of these low volts were proved before; so far as there are any."""
        seen = part.supply if ac else part.volts
        if seen is None or not seen.safe:
            return True
        proved = (self._proved_ns.get(channel) for channel in self._low_by[ac])
        return all(ns is not None and ns <= seen.time_ns for ns in proved)

    def _lows(self) -> set[str]:
        return self._low_by[True] | self._low_by[False]

    def _tell_proof(self) -> None:
        """The proof of what is typed is asked for last."""
        done = self._proved_since if self.part.proved_before else self._proved_ns.keys()
        by_hand = self._lows() - done == {""}
        if self.part.proof_by_hand is not by_hand:
            self.part = replace(self.part, proof_by_hand=by_hand)

    def _with(self, seen: ResidualVoltage | None, *, ac: bool) -> PartSafety:
        return replace(self.part, supply=seen) if ac else replace(self.part, volts=seen)

    @staticmethod
    def _counted(part: PartSafety, low: int, *, ac: bool) -> PartSafety:
        low = min(low, len(part.pairs))
        return replace(part, ac_low=low) if ac else replace(part, dc_low=low)
