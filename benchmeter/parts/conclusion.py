"""What several measurements of a part say together, and the verdict on the part."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import TYPE_CHECKING, TypeAlias

from benchmeter.conformity.judgement import WORST_FIRST
from benchmeter.conformity.verdict import Accuracy, MeasurementVerdict, Reason, Rule, Verdict
from benchmeter.parts.rated_part import Rating
from benchmeter.parts.seen import SeenFault

if TYPE_CHECKING:  # slow to import, and most parts are judged without them
    from benchmeter.motors.windings import WindingFinding
    from benchmeter.sensors.thermistor_check import CurveFinding

__all__ = [
    "AnyFinding",
    "Conclusion",
    "ConclusionFinding",
    "PartVerdict",
    "finding_in",
    "judge_part",
]


class ConclusionFinding(StrEnum):
    """What neither `Reason` nor a rule's own enumeration has a word for."""

    ACCURACY_NEEDED = "accuracy needed"
    LESS_THAN_LEADS = "less than the leads"
    NOTHING_TO_COMPARE = "nothing to compare"  # the machine is off
    RANGE_NEEDED = "range needed"  # the label gives a value where its limits are asked for
    NO_VOLTAGE = "no voltage"
    OUT_OF_RANGE = "out of range"  # no supply, no capacitor in operation has such values
    FREQUENCY_NEEDED = "frequency needed"
    SENSOR_UNKNOWN = "sensor unknown"
    OTHER_MEASURE = "sensor of another measure"  # a thermocouple has no ohms
    CLASS_NEEDED = "class needed"
    CLASS_UNDEFINED = "class not defined"  # there is none of that name, or not at this temperature
    JUNCTION_NEEDED = "junction needed"
    LEADS_EXCHANGED = "leads exchanged"  # of a thermocouple
    BEYOND_CURVE = "temperature beyond the curve"
    NEVER_READS = "never reads so"  # no temperature gives such a reading


AnyFinding: TypeAlias = "Reason | ConclusionFinding | WindingFinding | CurveFinding"
"""Why a conclusion is what it is: a word of its rule, or what is true of any value."""


def finding_in(text: str) -> AnyFinding:
    """The finding of that value. Words that two enumerations share are equal.

    Raises:
        ValueError: there is none.
    """
    from benchmeter.motors.windings import WindingFinding
    from benchmeter.sensors.thermistor_check import CurveFinding

    kinds: tuple[type[StrEnum], ...] = (Reason, ConclusionFinding, WindingFinding, CurveFinding)
    for kind in kinds:
        if text in kind._value2member_map_:
            found: AnyFinding = kind(text)  # type: ignore[assignment]
            return found
    raise ValueError(f"no conclusion is drawn for “{text}”")


@dataclass(frozen=True, slots=True)
class Conclusion:
    """What several sections say together: the three pairs of a winding, volts and amps.

    Attributes:
        name: of the conclusion in the part's kind.
        word: its verdict.
        finding: why; the sentence is made in `words`.
        value_si, expanded_uncertainty_si: what was computed, and its U; None if there is none.
        low_si, high_si: its limits; None: no limit on that side.
        unit: in which it is written, a symbol of `quantities.units`.
        terminals: role -> terminal, where the rule finds them; else empty.
        names: what the sentence names: the measurement that is farthest off; a sensor, then its
            class or the other curves that fit.
    """

    name: str
    word: Verdict
    finding: "AnyFinding"
    value_si: float | None = None
    expanded_uncertainty_si: float | None = None
    low_si: float | None = None
    high_si: float | None = None
    unit: str = ""
    terminals: dict[str, str] = field(default_factory=dict)
    names: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PartVerdict:
    """The verdict on the part: the worst of its sections and of what they say together."""

    rating: Rating
    rule: Rule
    accuracy: Accuracy | None
    sections: tuple[MeasurementVerdict, ...]
    verdict: Verdict
    conclusions: tuple[Conclusion, ...] = ()
    seen: SeenFault | None = None


def judge_part(
    rating: Rating,
    rule: Rule,
    accuracy: Accuracy | None,
    sections: Sequence[MeasurementVerdict],
    conclusions: Sequence[Conclusion] = (),
    words: Collection[Verdict] | None = None,
    seen: SeenFault | None = None,
) -> PartVerdict:
    """The verdict on the part: the worst of its sections and conclusions, by `WORST_FIRST`.

    Args:
        words: of those that count; None: of all.
        seen: a fault that decides, whatever was measured.
    """
    if words is None:
        words = [*(s.verdict for s in sections), *(c.word for c in conclusions)]
    if seen is not None:
        words = [Verdict.FAIL]
    worst = min(words, key=WORST_FIRST.index, default=Verdict.NO_READING)
    return PartVerdict(rating, rule, accuracy, tuple(sections), worst, tuple(conclusions), seen)
