"""What can be done with a part of known value, and why one cannot be done now."""

from collections.abc import Mapping
from dataclasses import replace
from enum import StrEnum

from benchmeter.checking.bias_offer import accept
from benchmeter.checking.commands import AcceptBias
from benchmeter.checking.reference_check import reference_command
from benchmeter.conformity.instrument_bias import MeterBias
from benchmeter.errors import InputError, Message
from benchmeter.scenes.meter_parts import AskedPart
from benchmeter.scenes.offer import Offer
from benchmeter.scenes.session_view import SessionView

__all__ = ["MeterAct", "meter_actions"]


class MeterAct(StrEnum):
    """The actions, in the order of their buttons."""

    READ = "read"
    BIAS = "bias"
    ADD = "add"
    BACK = "back"


def meter_actions(view: SessionView, asked: AskedPart | None) -> Mapping[MeterAct, Offer]:
    """Every action as it stands now; None: no part of known value is looked at."""
    text = view.presentation.text
    return {
        MeterAct.READ: _read(view, asked),
        MeterAct.BIAS: _bias(view, asked),
        MeterAct.ADD: Offer(text("page_meter.another_known_part"), primary=asked is None),
        MeterAct.BACK: Offer(text("page_meter.back_part")),
    }


def _read(view: SessionView, asked: AskedPart | None) -> Offer:
    text = view.presentation.text
    read = Offer(text("page_meter.read_part"), primary=asked is not None)
    if asked is None:
        return replace(read, why_not=text("page_meter.adds_part_whose_value"))
    if not view.acts:
        return replace(read, why_not=text("window.nothing_being_recorded_so"))
    if not asked.known.listed:
        return replace(read, why_not=text("page_meter.list_no_more"))
    try:
        command = reference_command(
            asked.known.part, view.today, accuracy=view.meter_accuracy, channel=asked.channel
        )
    except InputError as refused:
        return replace(read, notice=view.presentation.tell(refused))
    return replace(read, command=command)


def _bias(view: SessionView, asked: AskedPart | None) -> Offer:
    tell = view.presentation
    taken = asked.taken if asked is not None else None
    take, put_back = "page_meter.take_bias_off", "page_meter.take_nothing_off_any"
    bias = Offer(tell.text(take if taken is None else put_back))
    if not view.acts:
        return replace(bias, why_not=tell.text("window.nothing_being_recorded_so"))
    if taken is not None:
        told = tell.tell(Message("page_meter.from_next_part_nothing"))
        return replace(bias, command=_put_back(taken), notice=told)
    if asked is None or asked.offered is None or not asked.can_take_off:
        return replace(bias, why_not=tell.text("page_meter.nothing_to_take_off"))
    told = tell.tell(Message("page_meter.from_next_part_bias"))
    return replace(bias, command=accept(asked.offered, channel=asked.channel), notice=told)


def _put_back(taken: MeterBias) -> AcceptBias:
    """A bias of 0 takes an earlier one back."""
    return AcceptBias(
        time_ns=0,
        channel=taken.channel,
        bias_si=taken.bias_si * 0,
        uncertainty_si=taken.expanded_uncertainty_si * 0,
        reference=taken.reference,
    )
