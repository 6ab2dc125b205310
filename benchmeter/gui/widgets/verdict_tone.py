"""Which colour helps which verdict; word and shape say it first."""

from benchmeter.conformity.verdict import Word

__all__ = ["VERDICT_TONE"]

VERDICT_TONE: dict[Word, str] = {
    Word.PASS: "good",
    Word.CONDITIONAL_PASS: "caution",
    Word.CONDITIONAL_FAIL: "caution",
    Word.FAIL: "bad",
    Word.UNDECIDABLE: "undecided",
    Word.OPEN: "bad",
    Word.SHORTED: "bad",
    Word.NO_READING: "undecided",
}
