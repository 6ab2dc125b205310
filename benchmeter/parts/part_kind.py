"""The schema of a kind of part: what its label gives, what is measured, what the values must be.

One TOML file each, in `resources/parts` and in the user's data folder (`<data>/parts`). The fields
below are the file's format; the file's name is the kind's.
"""

from enum import StrEnum
from typing import Annotated, Literal, get_args

import msgspec

from benchmeter.quantities.quantity import Quantity
from benchmeter.sensors.curves import Sensor, load_sensor

__all__ = [
    "LONGEST_NAME",
    "SECTIONS",
    "TOOLS",
    "AlikeRule",
    "Between",
    "DifferenceRule",
    "EvidenceNeeded",
    "FromPower",
    "GradedAt",
    "Hazard",
    "InLabel",
    "Limits",
    "MeasurementSpec",
    "NameplateField",
    "OfGiven",
    "PartKind",
    "RangeGiven",
    "Rule",
    "SensorRule",
    "ShareOfGiven",
    "Subject",
    "UnbalanceRule",
    "UnderLoadRule",
    "WindingsRule",
    "sensor_of",
]

LONGEST_NAME = 24
"""Of what stands on rulers and tags, in characters."""

_Section = Literal["HERM", "FAN", "single"]
SECTIONS: tuple[str, ...] = get_args(_Section)
"""Names of what a capacitor's label gives."""

_Text = Annotated[str, msgspec.Meta(pattern=r"\S")]
_Name = Annotated[str, msgspec.Meta(pattern=r"\S", max_length=LONGEST_NAME)]

TOOLS = ("clamp", "probe", "gauge")
"""What is held to the part in place of two leads."""


class Subject(StrEnum):
    """What a measurement is of. Only those of the part decide the part."""

    PART = "part"
    SUPPLY = "supply"
    CONTROL = "control"  # the circuit that commands the part
    ACCESSORY = "accessory"  # fitted to the part and replaced by itself: a bleed resistor


class Hazard(StrEnum):
    """What can hurt, at a measurement or at a part of the kind in its machine."""

    LIVE = "live"
    STORED_CHARGE = "stored charge"
    INSULATION_VOLTAGE = "insulation voltage"  # of the tester; it destroys electronics as well
    MOVING_PARTS = "moving parts"
    PRESSURE = "pressure"
    HOT = "hot"
    GAS = "gas"  # that burns


class EvidenceNeeded(StrEnum):
    """What must be so for a measurement to say anything."""

    LOAD_RUNNING = "load running"
    CURRENT_FLOWS = "current flows"
    PART_COLD = "part cold"
    TESTER_VOLTS = "tester volts"  # the voltage of the insulation tester is known
    ISOLATED = "isolated"  # nothing else reads along
    STEADY = "steady"  # temperature or pressure stands, or moves slowly


class _KindTable(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    pass


class NameplateField(_KindTable, frozen=True, kw_only=True):
    """A value that the label or the data sheet gives.

    Attributes:
        name: as it is typed before the value where the unit alone does not tell: "coil 14 ohm".
        also: other words for it; two givens may share one if their units tell them apart.
        title: for people.
        unit: that it is usually written in, a symbol of `quantities.units`; "" for a word of
            `choices`.
        range: may be written as low-high, or as 14 ±2.
        needed: the part cannot be judged without it. Where one that is not needed is absent,
            limits that hang on it are left out: a value that is neither open nor shorted is then
            measured, and not good.
        current: a value that is said to be of the other current is refused.
        nominal: a range, or 208/230 V, names two nominal values, and it is made for either:
            tolerances and shares lie outside of both.
        named: read only where its name stands before it.
        choices: the words that it can be: names of sensors, classes.
        default: taken where the label gives none, as it would be typed; shown as taken.
        source: of the default.
        common_practice: the default is, and has no source.
    """

    name: str
    also: tuple[str, ...] = ()
    title: _Text
    unit: str = ""
    range: bool = False
    nominal: bool = False
    named: bool = False
    needed: bool = True
    current: Literal["AC", "DC", ""] = ""
    choices: tuple[str, ...] = ()
    default: str = ""
    source: str = ""
    common_practice: bool = False


class Between(_KindTable, frozen=True, tag="between", tag_field="by", kw_only=True):
    """Fixed limits, as values with units: "1 Mohm"; "" for no limit on that side."""

    low: str = ""
    high: str = ""


class OfGiven(_KindTable, frozen=True, tag="of given", tag_field="by", kw_only=True):
    """A given value with its tolerance, or the range that is given in its place.

    Attributes:
        tolerance: "10 %", "-10/+5 %", an amount such as "5 psi", or the name of such a given.
    """

    given: str
    tolerance: str


class RangeGiven(_KindTable, frozen=True, tag="range given", tag_field="by", kw_only=True):
    """The range that the label gives."""

    given: str


class ShareOfGiven(_KindTable, frozen=True, tag="share of given", tag_field="by", kw_only=True):
    """Between two shares of a given value: "85 %" and "110 %"; "" for no limit on that side."""

    given: str
    low: str = ""
    high: str = ""


class FromPower(_KindTable, frozen=True, tag="from power", tag_field="by", kw_only=True):
    """From volts and watts or volt-amperes: the resistance V²/P, or at most the current P/V.

    Attributes:
        volts, power: names of given values.
        tolerance: of a resistance, in percent, as in OfGiven; "" for a current, which has a high
            limit only.
    """

    volts: str
    power: str
    tolerance: str = ""


class InLabel(_KindTable, frozen=True, tag="in label", tag_field="by", kw_only=True):
    """The capacitances of a capacitor's label, each section a measurement of its own."""


class GradedAt(_KindTable, frozen=True, kw_only=True):
    """Limits hold only where a given is known, and at least so much: the tester's volts."""

    given: str
    least: str


Limits = Between | OfGiven | RangeGiven | ShareOfGiven | FromPower | InLabel


class MeasurementSpec(_KindTable, frozen=True, kw_only=True):
    """One measurement, and all that it must say of itself.

    Attributes:
        name: unique in the kind; short, it stands on rulers and tags.
        title: for people.
        subject: what it is of; a bad one of another subject than the part is told beside the
            part's verdict.
        quantity: what the meter must be set to.
        unit: in which it is written, a symbol of `quantities.units`.
        leads: the two terminals, red and black lead, as marked on the part: ("A1", "A2"); or one
            of `TOOLS` and what it goes to: ("clamp", "wire at C").
        how: what to do before and while measuring, one sentence; "" if clipping on is all.
        typed: no meter of the bench shows it: it is typed (a pressure, the temperature of a probe).
        instrument: that shows it, where it is another one than the meter that shows its quantity
            else: accuracy and leads of that meter say nothing of it.
        hazards: of measuring it. `LIVE`: the circuit must be live for it. `STORED_CHARGE`: it must
            be discharged before the leads touch it.
        caution: what to do about them.
        evidence: without which the value says nothing.
        overload: what an overload means, taken by hand: "open", "pass"; "" no reading.
        shorted_below: a value up to this is a short: "0.5 ohm"; "" for no such finding.
        idle_below: a value up to this means that nothing flows: "0.1 A"; "" for no such finding.
        limits: None: measured for a conclusion, or for the record.
        graded_at: without which the limits do not hold.
        unrated: what a value is that has no limits since the label does not give them; "pass" in
            records of version 3 and before.
        needs: measurements that must be good, or have seen current, for this one to say anything.
        remark_above: name of a given; a value above it is remarked, and no fault.
        source: of the limits; "common practice, no source" where there is none.
        common_practice: the limits are, and have no source: no probability hangs on them.
        too_low, too_high, open, shorted: what such a finding means, a sentence for each that there
            can be.
        pass_leaves: what may be wrong for all that it passes, one sentence; "" if it cannot pass.
    """

    name: _Name
    title: _Text
    subject: Subject
    quantity: Quantity
    unit: str
    leads: tuple[_Text, _Text]
    how: str = ""
    typed: bool = False
    instrument: Literal["insulation tester", ""] = ""
    hazards: tuple[Hazard, ...]
    caution: str = ""
    evidence: tuple[EvidenceNeeded, ...]
    overload: Literal["open", "pass", ""] = ""
    shorted_below: str = ""
    idle_below: str = ""
    limits: Limits | None = None
    graded_at: GradedAt | None = None
    unrated: Literal["measured", "pass"] = "measured"
    needs: tuple[str, ...] = ()
    remark_above: str = ""
    source: str
    common_practice: bool = False
    too_low: str = ""
    too_high: str = ""
    open: str = ""
    shorted: str = ""
    pass_leaves: str = ""

    @property
    def live(self) -> bool:
        """The circuit must be live for it."""
        return Hazard.LIVE in self.hazards

    @property
    def discharge_first(self) -> bool:
        """Stored charge must be gone before the leads touch it."""
        return Hazard.STORED_CHARGE in self.hazards and not self.live


class _Concluded(_KindTable, frozen=True, kw_only=True):
    """What each conclusion tells of itself; as a measurement does."""

    name: _Text
    subject: Subject
    source: str
    pass_leaves: str


class WindingsRule(_Concluded, frozen=True, tag="windings", tag_field="by", kw_only=True):
    """Three pairs of a single-phase motor; see `motors.windings`.

    Attributes:
        pairs: measure -> "C-S". They decide together, not each by itself.
        state: name of the given that says "cold"; a protector that opened in a hot motor closes
            again. "" in records of version 3 and before: open is open.
    """

    pairs: dict[str, str]
    state: str = ""
    failure: str


class AlikeRule(_Concluded, frozen=True, tag="alike", tag_field="by", kw_only=True):
    """Values that must not differ from their mean by more than a share, or a fixed amount.

    Attributes:
        of: names of measurements.
        most: "5 %" or "20 mV".
    """

    of: tuple[str, ...]
    most: str
    failure: str


class UnbalanceRule(_Concluded, frozen=True, tag="voltage unbalance", tag_field="by", kw_only=True):
    """Unbalance of three line voltages, NEMA MG 1; `most`: "1 %"."""

    of: tuple[str, str, str]
    most: str
    failure: str


class UnderLoadRule(_Concluded, frozen=True, tag="under load", tag_field="by", kw_only=True):
    """C = I/(2πfV) of a running capacitor, against the section of its label.

    Attributes:
        volts, amps: names of measurements.
        frequency: name of a given, read off the capacitor's label.
        section: of the label: "HERM", "FAN", "single".
    """

    volts: str
    amps: str
    frequency: str
    section: _Section
    too_low: str
    too_high: str
    open: str


class SensorRule(_Concluded, frozen=True, tag="sensor", tag_field="by", kw_only=True):
    """A temperature sensor against a probe beside it.

    Attributes:
        reading: name of the measurement of its Ω or volts.
        probe: name of the measurement of the true temperature.
        sensor: name of the given that tells the curve.
        sensor_class: name of the given that tells the tolerance class; "" for none.
        junction: name of the measurement of a thermocouple's reference junction; "" for none.
    """

    reading: str
    probe: str
    sensor: str
    sensor_class: str = ""
    junction: str = ""
    failure: str


class DifferenceRule(_Concluded, frozen=True, tag="difference", tag_field="by", kw_only=True):
    """One value less another within limits: the differential of a switch."""

    of: str
    less: str
    unit: str
    limits: Between | OfGiven | RangeGiven
    too_low: str = ""
    too_high: str = ""


Rule = WindingsRule | AlikeRule | UnbalanceRule | UnderLoadRule | SensorRule | DifferenceRule


class PartKind(_KindTable, frozen=True, kw_only=True):
    """A kind of part.

    Attributes:
        name: file name without ending; set by the loader.
        title: for people.
        about: what it is, one or two sentences.
        label: whether a capacitor's label is read, or a list of `givens`.
        example: of what is typed.
        hazards: of such a part in its machine, whatever is measured.
        caution: what to do about them.
        dead_between: pairs of terminals, and to ground, between which volts are measured before it
            is touched; of a capacitor by its label they are its sections.
        givens: what the label or data sheet gives; for a capacitor's label at most the frequency.
        measures: in the order of measuring, at least one.
        conclusions: drawn when all are measured.
        curves: of sensors that the program does not know, by name. The user's own are put in when
            the file is read, so that a record holds what it was judged by.
    """

    name: str = ""
    title: _Text
    about: str
    label: Literal["capacitor", "givens"] = "givens"
    example: _Text
    hazards: tuple[Hazard, ...]
    caution: str = ""
    dead_between: tuple[tuple[_Text, _Text], ...] = ()
    givens: tuple[NameplateField, ...] = ()
    measures: Annotated[tuple[MeasurementSpec, ...], msgspec.Meta(min_length=1)]
    conclusions: tuple[Rule, ...] = ()
    curves: dict[str, Sensor] = {}

    def measure_of(self, section: str) -> MeasurementSpec:
        """The measurement that a section of the rating comes from, by the section's name.

        Raises:
            ValueError: no part of this kind has such a section.
        """
        by_name = (m for m in self.measures if m.name == section)
        of_label = (m for m in self.measures if isinstance(m.limits, InLabel))
        found = next(by_name, None) or next(of_label, None)
        if found is None:
            raise ValueError(f"{self.name}: {section}")
        return found


def sensor_of(kind: PartKind, name: str) -> Sensor:
    """The sensor that a kind calls by that name: one of its own curves, or of the program's.

    Raises:
        InputError: there is no such sensor.
    """
    return kind.curves[name] if name in kind.curves else load_sensor(name)
