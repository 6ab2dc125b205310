"""What to do next at the bench, in one line; while something plays, what to watch."""

from benchmeter.checking.part_check import PartCheck, Step
from benchmeter.scenes.bench_state import BenchOpened, BenchState
from benchmeter.scenes.session_view import Activity, SessionView
from benchmeter.words.presentation import Presentation
from benchmeter.words.steps import step_text

__all__ = ["bench_next"]


def bench_next(view: SessionView, opened: BenchOpened, beneath: BenchState) -> str:
    """The line for the part in hand.

    Args:
        beneath: its state.
    """
    tell, check = view.presentation, view.check
    match view.activity:
        case Activity.NOTHING if view.opening:
            return tell.text("page_bench.connecting")
        case Activity.NOTHING:
            return tell.text("page_bench.connect_meter_or_press")
        case Activity.ENDED:
            return tell.text("page_bench.recording_has_ended_record")
        case Activity.REPLAY:
            return tell.text("page_bench.replay_plays", watched=_watched(check, tell))
        case Activity.STORY if beneath is BenchState.STORY:
            return tell.text("page_bench.story_begins")
        case Activity.STORY if beneath is not BenchState.FORM:
            return tell.text("page_bench.story_plays", watched=_watched(check, tell))
    if beneath is BenchState.FORM or check is None:
        return _form_next(view, opened)
    if check.step is Step.DONE and check.reference is not None:
        return tell.text("page_bench.e_shows_what_known")
    if check.step is Step.DONE and opened.carton_open(check):
        return tell.text("page_bench.clip_next_part_carton")
    return step_text(check, tell)


def _form_next(view: SessionView, opened: BenchOpened) -> str:
    tell = view.presentation
    if opened.label:
        return tell.text("page_bench.compare_label_part_then")
    if view.simulated and not opened.in_label:
        return tell.text("page_bench.y_takes_part_s")
    return tell.text("page_bench.type_what_label_says")


def _watched(check: PartCheck | None, tell: Presentation) -> str:
    if check is None:
        return tell.text("page_bench.watched_nothing")
    where = _where(check, tell)
    return tell.text(f"page_bench.watch_{check.step.name.lower()}", section=where)


def _where(check: PartCheck, tell: Presentation) -> str:
    if (measure := check.marked) is not None:
        red, black = measure.leads
        return tell.text("page_bench.leads_on_both", red=red, black=black)
    if len(check.sections) == 1 or check.expected is None:
        return tell.text("page_bench.part")
    return tell.text("page_bench.leads_on_c_and", name=check.expected)
