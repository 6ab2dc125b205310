"""Scenario files of the simulated bench: what is there, what happens, what goes wrong.

One TOML file each, in `demo_sessions`, or anywhere the user likes. The tables below are the
file's format; times are seconds since the start.
"""

from datetime import datetime
from typing import Annotated, Literal

import msgspec

from benchmeter.quantities.quantity import Quantity
from benchmeter.simulator.display import Digits
from benchmeter.simulator.line_faults import FaultKind
from benchmeter.simulator.story import Step

__all__ = [
    "CartonPlan",
    "ChannelPlan",
    "FaultPlan",
    "HandheldPlan",
    "InstrumentPlan",
    "ModbusProbesPlan",
    "PartPlan",
    "ProbePlan",
    "ScenarioPlan",
    "ScpiMeterPlan",
    "SectionPlan",
    "TextProbesPlan",
    "TruthPlan",
    "UnitPlan",
]

_Name = Annotated[str, msgspec.Meta(min_length=1, max_length=60)]
_Time = Annotated[float, msgspec.Meta(ge=0, le=86_400)]
_Positive = Annotated[float, msgspec.Meta(gt=0, le=1e9)]
_NotNegative = Annotated[float, msgspec.Meta(ge=0, le=1e9)]


class _Table(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    pass


class SectionPlan(_Table, frozen=True, kw_only=True):
    """What a section really is: `true_uf`, or open, or shorted; `stored_v`: charge left on it."""

    true_uf: _NotNegative = 0.0
    open: bool = False
    shorted: bool = False
    stored_v: _NotNegative = 0.0


class TruthPlan(_Table, frozen=True, kw_only=True):
    """What is between the terminals of a measurement.

    Attributes:
        open, shorted: nothing else is given then.
        ohm: of a resistance; beside `uf` the one in parallel, beside volts the one inside.
        uf, stored_v: of a capacitor, and the charge left on it.
        volts_ac, volts_dc: of a live circuit, or of a thermocouple.
        amps_ac: that flow through.
        same_as: the place that has the same two terminals.
    """

    open: bool = False
    shorted: bool = False
    ohm: _NotNegative | None = None
    uf: _Positive | None = None
    stored_v: _NotNegative = 0.0
    volts_ac: _NotNegative = 0.0
    volts_dc: float = 0.0
    amps_ac: _NotNegative = 0.0
    same_as: str = ""


class PartPlan(_Table, frozen=True, kw_only=True):
    """A part.

    Attributes:
        kind: name of a part kind; "" for a capacitor by its label.
        label: text of its label, or what its data sheet gives.
        sections: of a capacitor's label: "HERM" and "FAN", or "single".
        truths: of the measurements of its kind, by their names.
        celsius: its temperature; absent: that of the room.
        lot: the carton that it belongs to; "" none.
    """

    name: _Name
    kind: str = ""
    label: str
    tolerance: str = ""
    sections: dict[str, SectionPlan] = {}
    truths: dict[str, TruthPlan] = {}
    celsius: float | None = None
    lot: str = ""


class CartonPlan(_Table, frozen=True, kw_only=True):
    """Capacitors of one label, called by their numbers.

    Attributes:
        name: of the carton: the lot that its parts belong to.
        sections: heads of the columns.
        rows: a part each, from `first` on: its true µF, "open" or "shorted" for each section.
    """

    name: _Name
    label: str
    tolerance: str = ""
    first: Annotated[int, msgspec.Meta(ge=0, le=99_999)] = 1
    sections: Annotated[tuple[str, ...], msgspec.Meta(min_length=1)]
    rows: Annotated[
        tuple[tuple[_Positive | Literal["open", "shorted"], ...], ...],
        msgspec.Meta(min_length=1, max_length=500),
    ]


class ScpiMeterPlan(_Table, frozen=True, tag="scpi meter", tag_field="kind", kw_only=True):
    """A meter that is asked in SCPI.

    `gain`: indicated over true capacitance; `knob`: where it stands at the start, where the meter
    measures any function; `digits`: that it sends: those of its display, more, or none of the
    zeros at the end.
    """

    measures: Literal["capacitance", "residual voltage", "any function"]
    knob: Quantity = Quantity.CAPACITANCE
    gain: _Positive = 1.0
    noise_counts: _NotNegative = 0.25
    digits: Digits = "display"


class HandheldPlan(_Table, frozen=True, tag="handheld", tag_field="kind", kw_only=True):
    """A handheld that sends the segments of its display."""

    measures: Literal["capacitance", "residual voltage", "any function"] = "capacitance"
    knob: Quantity = Quantity.CAPACITANCE
    gain: _Positive = 1.0
    noise_counts: _NotNegative = 0.25


class ProbePlan(_Table, frozen=True, kw_only=True):
    """A probe: in which air or beside the part, how late, how noisy, how far off."""

    air: Literal["discharge", "outdoor", "part", "room"]
    lag_s: _Positive = 4.0
    noise_k: _NotNegative = 0.06
    offset_k: float = 0.0


class TextProbesPlan(_Table, frozen=True, tag="text probes", tag_field="kind", kw_only=True):
    """A thermometer that sends lines of text; probes by the field of the profile."""

    unit: Literal["C", "F"] = "C"
    probes: dict[str, ProbePlan]


class ModbusProbesPlan(_Table, frozen=True, tag="modbus probes", tag_field="kind", kw_only=True):
    """A thermometer module on Modbus RTU; probes by the field of the profile."""

    probes: dict[str, ProbePlan]


class ChannelPlan(_Table, frozen=True, kw_only=True):
    """A channel: a name (a role's name takes the role), a field of the profile, an accuracy."""

    name: _Name
    field: str = ""
    accuracy: str = ""


class InstrumentPlan(_Table, frozen=True, kw_only=True):
    """An instrument on a link of its own. `profile`: as for a real one."""

    name: _Name
    profile: str
    virtual: ScpiMeterPlan | HandheldPlan | TextProbesPlan | ModbusProbesPlan
    channels: Annotated[tuple[ChannelPlan, ...], msgspec.Meta(min_length=1)]


class UnitPlan(_Table, frozen=True, kw_only=True):
    """The outdoor unit and the air around it; power is off at the start."""

    outdoor_c: float
    outdoor_drift_k_per_h: float = 0.0
    rise_k: float
    time_constant_s: _Positive
    dead_time_s: _NotNegative = 0.0
    restart_delay_s: _NotNegative = 0.0
    cool_down_s: _Positive = 200.0
    stored_v: _NotNegative = 0.0
    stored_uf: _Positive = 20.0
    resistor_ohm: _Positive = 18_000.0


class FaultPlan(_Table, frozen=True, kw_only=True):
    """Something goes wrong with an instrument for a while; `field`: with one value only."""

    instrument: str
    kind: FaultKind
    from_s: _Time
    until_s: _Time
    field: str = ""


class ScenarioPlan(_Table, frozen=True, kw_only=True):
    """A scenario file: parts, those of cartons behind the others; `unit` absent: only a bench."""

    title: str
    about: str
    place: str
    seed: int
    length_s: Annotated[float, msgspec.Meta(gt=0, le=86_400)]
    start: Annotated[datetime, msgspec.Meta(tz=True)]
    parts: tuple[PartPlan, ...] = ()
    cartons: tuple[CartonPlan, ...] = ()
    instruments: Annotated[tuple[InstrumentPlan, ...], msgspec.Meta(min_length=1)]
    unit: UnitPlan | None = None
    room_c: float = 22.0
    faults: tuple[FaultPlan, ...] = ()
    story: tuple[Step, ...] = ()
