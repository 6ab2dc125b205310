"""Scenario files of the simulated bench: what is there, what happens, what goes wrong.

One TOML file each, in `demo_sessions`, or anywhere the user likes. The tables below are the
file's format; times are seconds since the start.
"""

from datetime import datetime
from typing import Annotated, Literal

import msgspec

from benchmeter.instruments.virtual.faults import FaultKind
from benchmeter.instruments.virtual.story import Step

__all__ = [
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
    "UnitPlan",
]

_Name = Annotated[str, msgspec.Meta(min_length=1, max_length=60)]
_Time = Annotated[float, msgspec.Meta(ge=0, le=86_400)]
_Positive = Annotated[float, msgspec.Meta(gt=0, le=1e9)]
_NotNegative = Annotated[float, msgspec.Meta(ge=0, le=1e9)]


class _Table(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    pass


class SectionPlan(_Table, frozen=True, kw_only=True):
    """What a section really is: `true_uf`, or open, or shorted."""

    true_uf: _NotNegative = 0.0
    open: bool = False
    shorted: bool = False


class PartPlan(_Table, frozen=True, kw_only=True):
    """A part. `label`: text of its rating label; sections: "HERM" and "FAN", or "single"."""

    name: _Name
    label: str
    tolerance: str = ""
    sections: Annotated[dict[str, SectionPlan], msgspec.Meta(min_length=1)]


class ScpiMeterPlan(_Table, frozen=True, tag="scpi meter", tag_field="kind", kw_only=True):
    """A meter that is asked in SCPI. `gain`: indicated over true value."""

    measures: Literal["capacitance", "residual voltage"]
    gain: _Positive = 1.0
    noise_counts: _NotNegative = 0.25


class HandheldPlan(_Table, frozen=True, tag="handheld", tag_field="kind", kw_only=True):
    """A handheld that sends the segments of its display."""

    measures: Literal["capacitance", "residual voltage"] = "capacitance"
    gain: _Positive = 1.0
    noise_counts: _NotNegative = 0.25


class ProbePlan(_Table, frozen=True, kw_only=True):
    """A probe: in which air, how late, how noisy, how far off."""

    air: Literal["discharge", "outdoor"]
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
    """A scenario file."""

    title: str
    about: str
    place: str
    seed: int
    length_s: Annotated[float, msgspec.Meta(gt=0, le=86_400)]
    start: Annotated[datetime, msgspec.Meta(tz=True)]
    parts: Annotated[tuple[PartPlan, ...], msgspec.Meta(min_length=1)]
    instruments: Annotated[tuple[InstrumentPlan, ...], msgspec.Meta(min_length=1)]
    unit: UnitPlan
    faults: tuple[FaultPlan, ...] = ()
    story: tuple[Step, ...] = ()
