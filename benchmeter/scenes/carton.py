"""The carton that is open: how far it is, which part comes next."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from benchmeter.checking.lot_progress import LotProgress, lot_progress
from benchmeter.checking.part_check import PartCheck
from benchmeter.conformity.verdict import Verdict
from benchmeter.scenes.session_view import Activity, SessionView
from benchmeter.words.parts import part_why
from benchmeter.words.presentation import Presentation
from benchmeter.words.verdicts import verdict_in_words

__all__ = ["CartonScene", "carton_progress", "carton_scene", "parts_together"]

_GROUPS: Mapping[str, tuple[Verdict, ...]] = {
    "page_lot.good": (Verdict.PASS, Verdict.MEASURED),
    "page_lot.bad": (Verdict.FAIL, Verdict.OPEN, Verdict.SHORTED),
    "page_lot.too_close_meter": (
        Verdict.CONDITIONAL_PASS,
        Verdict.CONDITIONAL_FAIL,
        Verdict.UNDECIDABLE,
    ),
    "page_lot.not_measured": (Verdict.NO_READING,),
}


@dataclass(frozen=True, slots=True)
class CartonScene:
    """The strip of a carton.

    Attributes:
        lot: its name.
        size: how many parts of it were begun.
        counts: how many came to what, in words.
        place: own number of the part that is looked at; None: the next new one.
        number: own number that is offered.
        known: what the part that is looked at came to, in words; "" for a new one.
        before: the part that stands before that place; None: there is none.
        after: the part behind it; None: the next new one.
        waits: the part in hand is judged, and the next one may begin.
        takes_codes: what is typed or scanned now is an own number: no hands of the simulated
            bench want the digits.
    """

    lot: str
    size: int
    counts: str
    place: str | None
    number: str
    known: str
    before: str | None
    after: str | None
    waits: bool
    takes_codes: bool

    @property
    def can_go_back(self) -> bool:
        return self.waits and self.size > 0

    @property
    def can_go_on(self) -> bool:
        return self.waits and self.place is not None


def carton_progress(view: SessionView) -> LotProgress:
    """How far the carton of the part in hand is."""
    lot = view.check.lot if view.check is not None else ""
    return lot_progress(view.checks, lot) if lot else LotProgress("", ())


def carton_scene(view: SessionView, place: str | None = None) -> CartonScene:
    """The carton of the part in hand.

    Args:
        place: own number of the part that a person looks at; None: the next new one.
    """
    progress = carton_progress(view)
    judged = view.check is not None and view.check.verdict is not None
    parts = {check.part: check for check in progress.checks}
    names = list(parts)
    place = place if place in parts else None
    at = len(names) if place is None else names.index(place)
    return CartonScene(
        lot=progress.lot,
        size=len(names),
        counts=_counts(progress, view.presentation),
        place=place,
        number=progress.next_part if place is None else place,
        known="" if place is None else _known(parts[place], view.presentation),
        before=names[at - 1] if at > 0 else None,
        after=names[at + 1] if at + 1 < len(names) else None,
        waits=judged,
        takes_codes=judged and view.activity is Activity.LIVE,
    )


def _counts(progress: LotProgress, tell: Presentation) -> str:
    words = progress.words
    judged = sum(words.values())
    if not judged:
        return tell.text("page_lot.carton_lot_no_part", lot=progress.lot)
    return tell.text(
        "page_lot.carton_lot_judged_tested",
        lot=progress.lot,
        judged=judged,
        parts=", ".join(f"{n} {tell.text(word)}" for word, n in _grouped(words).items() if n),
    )


def _grouped(words: Counter[Verdict]) -> dict[str, int]:
    return {group: sum(words[w] for w in of) for group, of in _GROUPS.items()}


def _known(check: PartCheck, tell: Presentation) -> str:
    if check.verdict is None:
        return tell.text("page_lot.part_was_begun_not", part=check.part)
    return tell.text(
        "page_lot.part_verdict_why_tested",
        part=check.part,
        verdict=verdict_in_words(check.verdict.verdict, tell),
        why=part_why(check.verdict, check.kind, tell),
    )


def parts_together(view: SessionView) -> tuple[tuple[PartCheck, ...], str]:
    """The parts that are looked at together, and their title.

    Those of the carton of the part in hand; without one all of the session, under the label of the
    first: "".
    """
    if view.check is not None and view.check.lot:
        return carton_progress(view).checks, f"{view.check.lot}: {view.check.rating.text}"
    return tuple(check for check in view.checks if check.reference is None), ""
