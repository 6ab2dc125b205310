"""The steps of a story: what hands do at the bench, and what the technician tells the program.

`do` says which; `at_s` when, in seconds since the start.
"""

from typing import Annotated, Literal

import msgspec

from benchmeter.checking.commands import (
    Annotate,
    Command,
    Mark,
    NullLeads,
    PowerRestored,
    ProveMeter,
    RepeatSection,
    SelectSection,
    TakeReading,
    TakeVolts,
    TypeReading,
)
from benchmeter.simulator.simulated_source import HandStep

__all__ = ["BeginCheckStep", "HandsStep", "PlainStep", "Step", "taken_in"]

_Text = Annotated[str, msgspec.Meta(min_length=1, max_length=1000)]


class _Step(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True, tag_field="do"):
    at_s: Annotated[float, msgspec.Meta(ge=0, le=86_400)]


class HandsStep(_Step, frozen=True, kw_only=True, tag_field="do", tag="hands"):
    """`act`: "leads: HERM", "part: NAME", "knob: resistance", "resistor: on", "power: on"."""

    act: _Text


class BeginCheckStep(_Step, frozen=True, kw_only=True, tag_field="do", tag="begin check"):
    """`part`: of the scenario, its label is taken; `accuracy`: of the channel if not given.

    `channel` absent: "meter" where there is one, else "capacitor".
    """

    part: _Text
    accuracy: str | None = None
    rule: Literal["guarded", "simple"] = "guarded"
    channel: str = ""


class _TakeReading(_Step, frozen=True, kw_only=True, tag_field="do", tag="take reading"):
    pass


class _ProveMeter(_Step, frozen=True, kw_only=True, tag_field="do", tag="prove meter"):
    pass


class _TakeVolts(_Step, frozen=True, kw_only=True, tag_field="do", tag="take volts"):
    pass


class _SelectSection(_Step, frozen=True, kw_only=True, tag_field="do", tag="select section"):
    section: _Text


class _RepeatSection(_Step, frozen=True, kw_only=True, tag_field="do", tag="repeat section"):
    section: _Text


class _NullLeads(_Step, frozen=True, kw_only=True, tag_field="do", tag="null leads"):
    pass


class _TypeReading(_Step, frozen=True, kw_only=True, tag_field="do", tag="type reading"):
    channel: _Text
    text: _Text


class _PowerRestored(_Step, frozen=True, kw_only=True, tag_field="do", tag="power restored"):
    pass


class _Mark(_Step, frozen=True, kw_only=True, tag_field="do", tag="mark"):
    text: _Text


class _Annotate(_Step, frozen=True, kw_only=True, tag_field="do", tag="annotate"):
    text: _Text


PlainStep = (
    HandsStep
    | _TakeReading
    | _TakeVolts
    | _ProveMeter
    | _SelectSection
    | _RepeatSection
    | _NullLeads
    | _TypeReading
    | _PowerRestored
    | _Mark
    | _Annotate
)
"""A step that says all by itself."""

Step = PlainStep | BeginCheckStep


def taken_in(step: PlainStep) -> HandStep | Command:
    """The step as the source takes it."""
    time_ns = round(step.at_s * 1e9)
    match step:
        case HandsStep(act=act):
            return HandStep(time_ns, act)
        case _TakeReading():
            return TakeReading(time_ns=time_ns)
        case _TakeVolts():
            return TakeVolts(time_ns=time_ns)
        case _ProveMeter():
            return ProveMeter(time_ns=time_ns)
        case _SelectSection(section=section):
            return SelectSection(time_ns=time_ns, section=section)
        case _RepeatSection(section=section):
            return RepeatSection(time_ns=time_ns, section=section)
        case _NullLeads():
            return NullLeads(time_ns=time_ns)
        case _TypeReading(channel=channel, text=text):
            return TypeReading(time_ns=time_ns, channel=channel, text=text)
        case _PowerRestored():
            return PowerRestored(time_ns=time_ns)
        case _Mark(text=text):
            return Mark(time_ns=time_ns, text=text)
        case _Annotate(text=text):
            return Annotate(time_ns=time_ns, text=text)
