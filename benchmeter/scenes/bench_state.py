"""The states of the bench, and what a person has opened on it."""

from dataclasses import dataclass, replace
from enum import StrEnum

from benchmeter.checking.part_check import PartCheck
from benchmeter.scenes.session_view import Activity, SessionView

__all__ = ["BenchOpened", "BenchState", "bench_state", "state_beneath"]


class BenchState(StrEnum):
    """What the bench shows."""

    FIRST_STEPS = "first steps"  # nothing has begun
    STORY = "story"  # a story plays; it has no part yet
    REPLAY = "replay"  # the record plays again; it has no part yet
    FORM = "form"  # the next part is being described
    MEASURING = "measuring"
    JUDGED = "judged"
    REPEATING = "repeating"  # judged; a section is measured once more
    STATISTICS = "statistics"  # all parts of the carton, or of the session
    REPLACEMENT = "replacement"  # what may go in instead
    METER = "meter"  # is it the part, or the meter?

    @property
    def aside(self) -> bool:
        """Whether it stands in place of the part in hand, and Esc leads back."""
        return self in (BenchState.STATISTICS, BenchState.REPLACEMENT, BenchState.METER)

    @property
    def answered(self) -> bool:
        """Whether the verdict comes first."""
        return self in (BenchState.JUDGED, BenchState.REPEATING)


@dataclass(frozen=True, slots=True)
class BenchOpened:
    """What a person has opened; nothing of it is measured.

    Attributes:
        number: of the part in hand when this was opened; 0 none.
        form: the form for another part.
        label: what stands in its field for the label.
        in_label: whether that field has the focus.
        aside: what stands in place of the part in hand.
        closed_carton: the carton that was closed last.
        place: own number of the part of the carton that is looked at; None: the next new one.
        can_undo: an edit of the form or the record can be taken back.
    """

    number: int = 0
    form: bool = False
    label: str = ""
    in_label: bool = False
    aside: BenchState | None = None
    closed_carton: str = ""
    place: str | None = None
    can_undo: bool = False

    def follow(self, check: PartCheck | None) -> "BenchOpened":
        """With another part in hand the form is done with."""
        number = check.number if check is not None else 0
        if number == self.number:
            return self
        return replace(self, number=number, form=self.form and not number, place=None)

    def carton_open(self, check: PartCheck | None) -> bool:
        """Whether the part in hand belongs to a carton that goes on."""
        return check is not None and bool(check.lot) and check.lot != self.closed_carton


def bench_state(view: SessionView, opened: BenchOpened) -> BenchState:
    """The one state of the bench."""
    if view.activity is Activity.NOTHING:
        return BenchState.FIRST_STEPS
    return opened.aside or state_beneath(view, opened)


def state_beneath(view: SessionView, opened: BenchOpened) -> BenchState:
    """The state of the part in hand, whatever stands in its place."""
    check = view.check
    if view.activity is Activity.NOTHING:
        return BenchState.FIRST_STEPS
    if check is None:
        if view.activity is Activity.REPLAY:
            return BenchState.REPLAY
        if view.activity is Activity.STORY and not opened.form:
            return BenchState.STORY
        return BenchState.FORM
    if opened.form:
        return BenchState.FORM
    if check.verdict is None:
        return BenchState.MEASURING
    return BenchState.JUDGED if check.expected is None else BenchState.REPEATING
