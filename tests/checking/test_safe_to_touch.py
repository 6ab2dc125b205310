"""Safe to touch by measurement only."""

import pytest

from benchmeter.checking.safety import PartSafety, SafetyReason, SafetyWatch
from tests.fakes.charge import left


@pytest.mark.parametrize(
    ("volts", "reason"),
    [
        (0.0, SafetyReason.MEASURED),
        (4.9, SafetyReason.MEASURED),
        (-4.9, SafetyReason.MEASURED),
        (5.0, SafetyReason.CHARGED),
        (-320.0, SafetyReason.CHARGED),
        (None, SafetyReason.UNKNOWN),
    ],
)
def test_below_five_volts_of_either_sign_is_safe(volts, reason):
    """Below 5 V DC it may be touched (common practice, no source); no value is never safe."""
    safety = left(volts)
    safe = reason is SafetyReason.MEASURED
    assert (safety.charge_gone, safety.reason) == (safe, reason)
    assert not safety.may_be_touched  # nobody has measured AC
    assert safety.to_be_made_safe is safety.seen_unsafe is not safe


@pytest.mark.parametrize("proof_needed", [False, True])
def test_a_part_whose_volts_nobody_saw_is_not_safe_to_touch(proof_needed):
    safety = PartSafety(proof_needed=proof_needed)
    assert safety.reason is SafetyReason.NOT_MEASURED and not safety.may_be_touched
    assert safety.to_be_made_safe is proof_needed and not safety.seen_unsafe


MEASURED, CHARGED, UNKNOWN = SafetyReason.MEASURED, SafetyReason.CHARGED, SafetyReason.UNKNOWN
NOT_MEASURED, TYPED = SafetyReason.NOT_MEASURED, SafetyReason.TYPED

METERED = {"ac": False, "channel": "voltmeter"}


@pytest.mark.parametrize(
    "steps",
    [
        # A low voltage proves nothing where the leads may be in the air.
        [("measured", 0.1, NOT_MEASURED)],
        # A charge counts at once, and its fall as well (live-dead-live: common practice).
        [
            ("measured", 320.0, CHARGED),
            ("measured", 96.0, CHARGED),
            ("measured", 14.0, CHARGED),
            ("measured", 0.4, MEASURED),
        ],
        # Down to 25 V is nearly gone (common practice, no source).
        [("measured", 320.0, CHARGED), ("measured", 25.0, CHARGED), ("measured", 0.4, MEASURED)],
        [("measured", 320.0, CHARGED), ("measured", -25.1, CHARGED), ("measured", 0.4, CHARGED)],
        [("taken", 25.0, CHARGED), ("measured", 0.4, MEASURED)],
        [("taken", -25.1, CHARGED), ("measured", 0.4, CHARGED)],
        # However small its steps are; a source from which the leads slip does not fall (R·C).
        [
            ("measured", 24.0, CHARGED),
            *[("measured", 21.5 - 0.5 * n, CHARGED) for n in range(33)],
            ("measured", 4.9, MEASURED),
        ],
        [*[("measured", v, CHARGED) for v in (24.0, 24.2, 23.9, 0.0)]],
        # What came down is forgotten where the leads may have moved.
        *(
            [("measured", 14.0, CHARGED), (act, None, UNKNOWN), ("measured", 0.4, UNKNOWN)]
            for act in ("overloaded", "power_restored")
        ),
        # A resistor takes its time, a lead that slips off does not (R·C, any textbook).
        [
            ("measured", 320.0, CHARGED),
            ("measured", 0.0, CHARGED),
            ("measured", 0.0, CHARGED),
            ("taken", 0.0, MEASURED),
            ("measured", 320.0, CHARGED),
            ("measured", 0.0, CHARGED),
        ],
        # Taking a charge proves no contact for what comes after it.
        [("taken", 320.0, CHARGED), ("measured", 0.0, CHARGED)],
        # The technician says that the leads are on the part.
        [("taken", 0.2, MEASURED), ("measured", 0.3, MEASURED)],
        # What overloads a voltmeter is no low voltage.
        [("taken", 0.2, MEASURED), ("overloaded", None, UNKNOWN), ("measured", 0.1, UNKNOWN)],
        [("typed", 0.4, TYPED), ("measured", 61.0, CHARGED), ("typed", 0.4, TYPED)],
        # Power that returns takes all proof away.
        [("taken", 0.2, MEASURED), ("power_restored", None, UNKNOWN), ("measured", 0.1, UNKNOWN)],
    ],
)  # fmt: skip
def test_what_is_seen_of_the_charge(steps):
    watch = SafetyWatch()
    for at, (act, volts, reason) in enumerate(steps):
        of = {"typed": {"ac": False}, "power_restored": {}}.get(act, METERED)
        getattr(watch, act)(at, *([] if volts is None else [volts]), **of)
        assert watch.part.reason is reason, (at, act)


@pytest.mark.parametrize("proof_needed", [False, True])
def test_another_part_is_known_by_nothing_that_was_seen_before(proof_needed):
    watch = SafetyWatch()
    watch.begin_part(proof_needed=proof_needed)
    watch.taken(0, 0.2, **METERED)
    watch.begin_part(proof_needed=proof_needed)
    watch.measured(1, 0.2, **METERED)
    assert watch.part == PartSafety(proof_needed=proof_needed)


def test_nothing_is_known_at_the_beginning():
    part = PartSafety()
    assert not (part.announced or part.contact_lost or part.proof_typed or part.proof_needed)
    assert not (part.proved_before or part.proved_after or part.ac_low or part.dc_low or part.pairs)
