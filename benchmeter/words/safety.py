"""The charge on a part in words."""

from benchmeter.checking.safety import RESISTOR_OHM, SAFE_BELOW_V, rated_discharge
from benchmeter.conformity.verdict import Rating

__all__ = ["discharge_words"]


def discharge_words(rating: Rating) -> str:
    """How long this part takes to be discharged; one sentence, "" where its label does not tell.

    R·C·ln(V0/V) from the crest of the rated voltage; rounded up to the next half second.
    """
    found = rated_discharge(rating)
    if found is None:
        return ""
    halves = -(-found.time_s // 0.5)
    return (
        f"{RESISTOR_OHM / 1000:g} kΩ brings this part from {found.peak_v:.0f} V below "
        f"{SAFE_BELOW_V:g} V in {halves / 2:g} s."
    )
