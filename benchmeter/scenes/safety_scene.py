"""What stands above every place where hands come near live parts."""

from dataclasses import dataclass

from benchmeter.checking.part_check import PartCheck
from benchmeter.checking.safety import Missing, PartSafety
from benchmeter.words.presentation import PLAIN, Presentation
from benchmeter.words.safety_words import discharge_words, safety_words

__all__ = ["SafetyScene", "safety_scene"]


@dataclass(frozen=True, slots=True)
class SafetyScene:
    """What is known, and what can be done about it.

    Attributes:
        words: what is known of the volts on the part, and what is missing.
        caution: they are to be drawn as a caution.
        take, prove, ask: the volts that a meter shows can be taken, the voltmeter can be proved on
            a live source, volts can be typed.
    """

    words: str
    caution: bool
    take: bool
    prove: bool
    ask: bool


def safety_scene(
    safety: PartSafety,
    check: PartCheck | None,
    *,
    volts_shown: bool,
    recording: bool,
    compact: bool = False,
    tell: Presentation = PLAIN,
) -> SafetyScene:
    """The scene.

    Args:
        check: of the part in hand, for how long it takes to be discharged.
        volts_shown: a voltmeter shows volts.
        recording: a session runs that would note it.
        compact: there is room for few words and two buttons only.
    """
    words = safety_words(safety, tell, short=compact)
    caution = not safety.charge_gone or safety.live
    if caution and not safety.live and check is not None and check.verdict is None:
        words = f"{words} {discharge_words(check.rating, tell)}".rstrip()
    open_yet = recording and safety.missing is not None
    prove = open_yet and (
        not compact or safety.missing in (Missing.PROOF_BEFORE, Missing.PROOF_AFTER)
    )
    take = open_yet and volts_shown
    return SafetyScene(words, caution, take, prove, open_yet and not (compact and take))
