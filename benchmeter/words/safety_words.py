"""The charge on a part in words."""

from benchmeter.checking.safety import RESISTOR_OHM, SAFE_BELOW_V, rated_discharge
from benchmeter.parts.rated_part import (
    Rating,
)
from benchmeter.words.presentation import PLAIN, Presentation

__all__ = ["discharge_words"]


def discharge_words(rating: Rating, presentation: Presentation = PLAIN) -> str:
    """How long this part takes to be discharged; one sentence, "" where its label does not tell.

    R·C·ln(V0/V) from the crest of the rated voltage; rounded up to the next half second.
    """
    found = rated_discharge(rating)
    if found is None:
        return ""
    halves = -(-found.time_s // 0.5)
    return presentation.text(
        "discharge.time",
        kiloohm=RESISTOR_OHM / 1000,
        peak=found.peak_v,
        safe=SAFE_BELOW_V,
        seconds=halves / 2,
    )
