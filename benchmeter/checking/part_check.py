"""The values of a part check: its sections, what was taken of them, and what to do next."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from benchmeter.checking.safety import PartSafety, ResidualVoltage
from benchmeter.conformity.instrument_bias import MeterBias
from benchmeter.conformity.lead_offset import LeadOffsets
from benchmeter.conformity.reference_part import ReferencePart
from benchmeter.conformity.verdict import (
    Accuracy,
    Budget,
    Measurement,
    MeasurementVerdict,
    Reason,
    Rule,
    Verdict,
)
from benchmeter.parts.by_label import told_by_label
from benchmeter.parts.conclusion import (
    PartVerdict,
)
from benchmeter.parts.part_kind import InLabel, MeasurementSpec, PartKind
from benchmeter.parts.rated_part import (
    Rating,
)
from benchmeter.parts.seen import SeenFault

__all__ = ["MeasurementCheck", "PartCheck", "Step", "TakenReading"]

_FINAL = {Reason.OVERLOAD, Reason.NOT_MEASURED}


class Step(StrEnum):
    """What the technician should do next; the words are made in `reporting.wording_verdict`."""

    MAKE_SAFE = "make safe"  # the volts left on the part are not known, or too high
    CLIP_ON = "clip on"  # leads on C and the expected section
    HOLD = "hold"  # still moving
    LIFT_LEADS = "lift leads"  # still on what was taken last
    NOTHING_BETWEEN_LEADS = "nothing between leads"  # check the clips; take it by hand if open
    LOOKS_LIKE_OTHER_SECTION = "looks like other section"
    UNLIKELY = "unlikely"  # suspect or negative: by hand only
    SET_FUNCTION = "set function"
    OVERLOAD = "overload"  # a higher range, or the part is shorted
    METER_SILENT = "meter silent"
    TYPE_IT = "type it"  # no meter of the bench shows it
    DONE = "done"


@dataclass(frozen=True, slots=True)
class TakenReading:
    """One taking of a section.

    Attributes:
        by_hand: taken by key or typed, not by the settle rule.
        text: as the meter or the person wrote it.
    """

    time_ns: int
    by_hand: bool
    verdict: MeasurementVerdict
    text: str = ""


@dataclass(frozen=True, slots=True)
class MeasurementCheck:
    """A section and all that was taken of it; the last one counts."""

    section: Measurement
    taken: tuple[TakenReading, ...] = ()

    @property
    def finished(self) -> bool:
        """Whether the last taking says something about the part, and the next one may follow.

        A reading that was still moving, stale or of the wrong function does not: the section
        stays expected, and is taken by itself once it settles.
        """
        if not self.taken:
            return False
        last = self.taken[-1].verdict
        return last.verdict is not Verdict.NO_READING or last.reason in _FINAL


@dataclass(frozen=True, slots=True)
class PartCheck:
    """The state of a check.

    Attributes:
        number: 1, 2, ... within the session.
        part: own name of the part.
        channel: whose readings are judged.
        expected: section that is measured next; None when all are taken.
        step: what to do next.
        kind: of the part; that of `reference_kind` where the meter is asked.
        lead_offset_ohm: reading of the joined leads, subtracted from every resistance.
        lead_offset_u_si, lead_offset_u_ohm: standard uncertainty of the two.
        budget: of the uncertainty of each reading.
        lot: name of the carton that it belongs to; "" none.
        reference: the part's known value, where it is the meter that is asked; None else.
        biases: of the meter, accepted; taken off where they hold.
        seen: a fault that was seen on the part, and decides; None: none.
        residual: DC volts left on the part, as last seen on it; None: not measured.
        supply: AC volts, likewise.
        verdict: as soon as each section has been taken; or when a part with a bad one is left.
        held_si: reading at which the leads are still held since the last taking.
        moved: the reading has left it.
        lifted: nothing, or no contact, was seen between the leads since then.
        nothing_since: number of the measurement since which nothing is seen; None: something is.
    """

    number: int
    part: str
    channel: str
    rating: Rating
    accuracy: Accuracy | None
    rule: Rule
    lead_offset_si: Decimal
    sections: tuple[MeasurementCheck, ...]
    expected: str | None
    step: Step
    kind: PartKind
    verdict: PartVerdict | None = None
    lead_offset_ohm: Decimal = Decimal(0)
    lot: str = ""
    residual: ResidualVoltage | None = None
    supply: ResidualVoltage | None = None
    reference: ReferencePart | None = None
    biases: tuple[MeterBias, ...] = ()
    held_si: Decimal | None = None
    moved: bool = True
    lifted: bool = True
    nothing_since: int | None = None
    seen: SeenFault | None = None
    budget: Budget = Budget.WHOLE
    lead_offset_u_si: float = 0.0
    lead_offset_u_ohm: float = 0.0

    @property
    def section(self) -> Measurement | None:
        """The section that is measured next."""
        found = (s.section for s in self.sections if s.section.name == self.expected)
        return next(found, None)

    @property
    def last_taken(self) -> Measurement | None:
        """The section whose reading was taken last."""
        taken = [s for s in self.sections if s.taken]
        return max(taken, key=lambda s: s.taken[-1].time_ns).section if taken else None

    @property
    def kind_named(self) -> bool:
        """Whether somebody named the kind: else a label told it, or it is a reference part."""
        return self.reference is None and not told_by_label(self.kind)

    def measure(self, section: Measurement) -> MeasurementSpec:
        """What the part's kind says of this section."""
        return self.kind.measure_of(section.name)

    @property
    def marked(self) -> MeasurementSpec | None:
        """What is measured next, where the kind says at which terminals, or with which tool.

        None for the sections of a capacitor's label, for a reference part, and where nothing is
        left to be measured.
        """
        if self.section is None or self.reference is not None:
            return None
        measure = self.measure(self.section)
        return None if isinstance(measure.limits, InLabel) else measure

    @property
    def safety(self) -> PartSafety:
        """What is known of its charge.

        Parts of a carton are new and never were charged. Of a part whose kind nobody named a
        charge counts once it is seen.
        """
        may_be_charged = any(m.discharge_first for m in self.kind.measures)
        proof_needed = may_be_charged and self.kind_named and not self.lot
        return PartSafety(self.residual, proof_needed, self.supply)

    @property
    def dead_between(self) -> tuple[tuple[str, str], ...]:
        """Pairs of terminals between which volts must be low before it is touched."""
        names = [s.name for s in self.rating.sections]
        in_label = [n for n in names if isinstance(self.kind.measure_of(n).limits, InLabel)]
        if self.kind.dead_between or len(in_label) < 2:
            return self.kind.dead_between
        return tuple(("C", name) for name in in_label)

    def discharge_first(self, section: Measurement) -> bool:
        """Whether stored charge must be gone before the leads touch this section."""
        return self.measure(section).discharge_first

    @property
    def _offsets(self) -> LeadOffsets:
        return LeadOffsets(
            self.lead_offset_si,
            self.lead_offset_ohm,
            self.lead_offset_u_si,
            self.lead_offset_u_ohm,
        )

    def offset_of(self, section: Measurement) -> Decimal:
        """What the leads alone read in this quantity."""
        return self._offsets.of(section)

    def offset_u_of(self, section: Measurement) -> float:
        """Standard uncertainty of that."""
        return self._offsets.u_of(section)
