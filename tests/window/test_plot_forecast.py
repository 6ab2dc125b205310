"""The band of the forecast says no more than the fit knows."""

import math
from dataclasses import replace

import numpy as np
import pytest

from benchmeter.cooling.recovery import Estimate, Phase, Recovery, RiseJudgement, StepFit
from benchmeter.cooling.step_fit import fit_step
from benchmeter.window.plot.forecast_band import expected_band

S = 10**9
EXACT_TAU = Estimate(240.0, 240.0, 240.0)


def rising(final, tau, now_s=500, initial=300.0, phase=Phase.RISING, settles=None):
    fit = StepFit(Estimate(initial, initial, initial), final, tau, 0.1, 300)
    return Recovery(
        time_ns=now_s * S, phase=phase, power_ns=None, start_ns=0, fit=fit, fit_failure=None,
        settled_k=settles, time_left_s=None, discharge_k=None, outdoor_k=None, rise_k=None,
        judgement=RiseJudgement.NOT_YET,
    )  # fmt: skip


def law(t, initial, final, tau):
    """First-order step response (trade's model)."""
    return final + (initial - final) * math.exp(-t / tau)


def test_it_begins_at_the_fitted_value_of_now_and_ends_at_the_interval_of_the_final_value():
    band = expected_band(rising(Estimate(312.0, 311.0, 313.5), EXACT_TAU), 500 + 20 * 240)
    now = law(500, 300.0, 312.0, 240.0)
    assert band.times_s[0] == 500
    assert band.low[0] == pytest.approx(now)
    assert band.high[0] == pytest.approx(now)
    assert band.low[-1] == pytest.approx(311.0)
    assert band.high[-1] == pytest.approx(313.5)


@pytest.mark.parametrize(("initial", "final"), [(300.0, 312.0), (312.0, 300.0)])
def test_a_doubtful_time_constant_widens_the_way_but_not_the_end(initial, final):
    """To first order the edge is the curve from now on with τ at its limit (CALC)."""
    sure = Estimate(final, final, final)
    found = rising(sure, Estimate(240.0, 236.0, 243.0), now_s=200, initial=initial)
    band = expected_band(found, 200 + 20 * 240)
    now = law(200, initial, final, 240.0)
    at = int(np.argmin(np.abs(band.times_s - 440)))
    ahead = band.times_s[at] - 200
    ends = sorted(law(ahead, now, final, tau) for tau in (236.0, 243.0))
    assert (band.low[at], band.high[at]) == pytest.approx(ends, abs=0.002)
    assert band.high[-1] - band.low[-1] < 1e-5


def test_the_interval_shown_as_settling_is_the_one_that_counts():
    wide = rising(Estimate(312.0, 311.9, 312.1), EXACT_TAU, settles=Estimate(312.0, 310.0, 314.0))
    band = expected_band(wide, 500 + 20 * 240)
    assert band.high[-1] - band.low[-1] == pytest.approx(4.0)


def test_there_is_none_without_fit_or_start_or_once_settled():
    known = rising(Estimate(312.0, 311.0, 313.0), EXACT_TAU)
    assert expected_band(known, 400) is None  # the edge lies before now
    assert expected_band(replace(known, phase=Phase.SETTLED), 900) is None
    assert expected_band(replace(known, fit=None), 900) is None
    assert expected_band(replace(known, start_ns=None), 900) is None


def test_the_true_curve_lies_in_the_band_as_often_as_is_claimed():
    """100 noisy rises, fitted after 1.5 τ, looked at from half of τ ahead on: the truth is known.

    At 95 % a hundred trials give fewer than 88 hits with a probability below 0.2 % (binomial).
    """
    rng = np.random.default_rng(7)
    hits, widths = 0, []
    for _ in range(100):
        final, tau, now = rng.uniform(305, 315), rng.uniform(120, 300), 0.0
        now = 1.5 * tau
        times = np.arange(0.0, now, 1.0)
        values = np.array([law(t, 295.0, final, tau) for t in times]) + rng.normal(
            0, 0.1, len(times)
        )
        fit = fit_step(times.tolist(), values.tolist())
        assert isinstance(fit, StepFit)
        found = replace(rising(fit.final, fit.time_constant_s), fit=fit, time_ns=int(now * S))
        band = expected_band(found, now + 6 * tau)
        later = band.times_s > now + tau / 2
        truth = np.array([law(t, 295.0, final, tau) for t in band.times_s])
        hits += bool(np.all((band.low <= truth) & (truth <= band.high), where=later))
        widths.append(float(band.high[-1] - band.low[-1]))
    assert hits >= 88
    assert max(widths) < 2.0  # and it is not wide for want of an answer
