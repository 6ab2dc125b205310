"""A visit to a unit as a stored session would give it back; invented."""

from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal

import numpy as np

from benchmeter.checking.check import PartCheck, begin_check, typed
from benchmeter.checking.commands import BeginCheck
from benchmeter.cooling.recovery import Estimate, Phase, Recovery, RiseJudgement, StepFit
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.events import Event, EventKind
from benchmeter.record.blocks import Samples
from benchmeter.record.records import SessionState, SessionSummary, StoredVerdict
from benchmeter.reports.session_record import ChannelRecord, Record
from tests.fakes.bench_states import SETUP

S = 10**9
ID = "01a211bb-fcab-79d7-8343-7ca344177b0f"


def check(
    number=1, part="old capacitor", herm="44.10 µF", fan="4.400 µF", accuracy="1.2% + 2 x 0.01uF"
):
    begun = BeginCheck(
        time_ns=0, part=part, label="45/5 uF ±6% 440 V", tolerance="", channel="capacitor",
        accuracy=accuracy, rule="guarded",
    )  # fmt: skip
    made = begin_check(number, begun, Decimal(0))
    for at, text in ((30, herm), (50, fan)):
        made = typed(made, at * S, text)
    return made


RECOVERY = Recovery(
    time_ns=1500 * S,
    phase=Phase.SETTLED,
    power_ns=205 * S,
    start_ns=454 * S,
    fit=StepFit(
        initial=Estimate(294.35, 294.3, 294.4),
        final=Estimate(307.5, 307.4, 307.6),
        time_constant_s=Estimate(200.0, 195.0, 205.0),
        residual=0.1,
        count=800,
    ),
    fit_failure=None,
    settled_k=Estimate(307.55, 307.45, 307.65),
    time_left_s=None,
    discharge_k=307.55,
    outdoor_k=294.95,
    rise_k=Estimate(12.6, 12.4, 12.8),
    judgement=RiseJudgement.USUAL,
)


def samples(times_s, values):
    count = len(times_s)
    return Samples(
        time_ns=(np.asarray(times_s) * S).astype(np.int64),
        value=np.asarray(values, dtype=float),
        status=np.zeros(count, np.uint8),
        resolution=np.full(count, 0.1),
    )


def temperatures():
    """One reading a second for 1500 s: rest, then a rise from 454 s on with τ = 200 s."""
    t = np.arange(0.0, 1500.0)
    noise = np.random.default_rng(1).normal(0, 0.05, (2, len(t)))
    rise = np.where(t > 454, 13.15 * (1 - np.exp(-np.maximum(t - 454, 0) / 200)), 0)
    return t, 294.35 + rise + noise[0], 294.95 + noise[1]


def channels(*, residual=True, outdoor=True, discharge=True):
    t, warm, cold = temperatures()
    found = {
        "capacitor": (Quantity.CAPACITANCE, samples([30.0, 50.0], [44.1e-6, 4.4e-6])),
        "residual": (Quantity.VOLTAGE_DC, samples([10.0] * residual, [0.3] * residual)),
        "discharge": (Quantity.TEMPERATURE, samples(*(a[: len(t) * discharge] for a in (t, warm)))),
        "outdoor": (Quantity.TEMPERATURE, samples(*(a[: len(t) * outdoor] for a in (t, cold)))),
    }
    setups = {c.name: c for c in SETUP.channels}
    return tuple(
        ChannelRecord(name, setups[name], quantity, values)
        for name, (quantity, values) in found.items()
    )


def record(*checks: PartCheck, recovery=RECOVERY, events=(), name="Roof unit 4", remark="", **has):
    verdicts = [StoredVerdict.of(50 * S, c) for c in checks]
    if recovery is not None:
        verdicts.append(StoredVerdict.of(1500 * S, recovery))
    summary = SessionSummary(
        id=ID, name=name, remark=remark, origin="serial",
        started=datetime(2026, 6, 3, 19, 2, tzinfo=UTC), zone="America/Phoenix",
        duration_ns=1500 * S, state=SessionState.ENDED, removed=False, app_version="0.1.0",
        input_count=1, reading_count=1, event_count=len(events), verdict_count=len(verdicts),
        findings=(),
    )  # fmt: skip
    return Record(summary, SETUP, channels(**has), tuple(events), tuple(verdicts))


def simulated(made: Record) -> Record:
    return replace(made, summary=replace(made.summary, origin="simulated"))


def mark(text, at_s=60):
    return Event(EventKind.MARK, at_s * S, text=text)
