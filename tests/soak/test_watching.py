"""What watches the soak sees what it must see."""

import logging
import os
import threading
import time
import warnings
from dataclasses import replace
from pathlib import Path

import pytest

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
pytest.importorskip("PySide6")

from PySide6.QtCore import QTimer, qWarning

from tests.soak.faults import Faults
from tests.soak.footprint import Held
from tests.soak.soak import Seen
from tests.soak.stalls import Stall, Stalls, reference
from tests.soak.table import lines, troubles

_SLEEP_S = 0.3


def _doing() -> tuple[str, float]:
    return "sleep", time.monotonic()


def test_a_deaf_loop_is_found_with_what_it_was_busy_with(qtbot, tmp_path: Path) -> None:
    stalls = Stalls(_doing)
    with reference(tmp_path / "reference"), stalls.watched():
        QTimer.singleShot(50, lambda: time.sleep(_SLEEP_S))
        qtbot.wait(500)
    worst = max(stalls.found(tmp_path / "reference"), key=lambda stall: stall.length_s)
    assert worst.length_s >= _SLEEP_S - 0.02
    assert worst.doing == "sleep"
    assert any("test_watching.py" in seen for seen in worst.seen)


def test_what_the_computer_did_not_give_is_taken_off(qtbot, tmp_path: Path) -> None:
    spans: list[float] = []

    def sleep() -> None:
        spans.append(time.monotonic())
        time.sleep(_SLEEP_S)
        spans.append(time.monotonic())

    stalls = Stalls(_doing)
    with stalls.watched():
        QTimer.singleShot(50, sleep)
        qtbot.wait(500)
    late = tmp_path / "reference"
    late.write_text(f"{spans[0]} {spans[1]}\n")
    worst = max(stalls.found(late), key=lambda stall: stall.length_s)
    assert worst.noise_s >= _SLEEP_S - 0.02
    assert worst.own_s < 0.1


def _raise() -> None:
    raise ValueError("in a slot")


def test_nothing_that_nobody_should_see_is_missed(qtbot) -> None:
    faults = Faults(_doing)
    with faults.heard():
        QTimer.singleShot(0, _raise)
        qtbot.wait(50)
        thread = threading.Thread(target=_raise)
        thread.start()
        thread.join()
        qWarning("said by Qt")
        logging.getLogger("benchmeter.somewhere").error("a fault of ours")
        warnings.warn("a warning", stacklevel=1)
    told = "\n".join(faults.told)
    assert sum(faults.told.values()) == 5, told
    for words in ("in a slot", "Qt: said by Qt", "a fault of ours", "UserWarning"):
        assert words in told
    assert "while “sleep”" in told


_HELD = Held(rss_mb=200.0, threads=5, handles=20, widgets=400, none=50_000)
_SOUND = Seen(
    seconds=1500, actions=1, presses=1, beats=1,
    stalls=[Stall(1.0, 0.19, 0.0, (0.19, 0.19), "zoom", 0.2), Stall(2.0, 0.9, 0.8, (0, 0), "", 1)],
    faults={}, begin=_HELD, end=_HELD, minutes=18.0, start_s=0.5, leaving_s=0.5, left=[], sessions=1, readings=1,
)  # fmt: skip


def test_a_sound_soak_is_called_sound() -> None:
    assert troubles(_SOUND) == []
    assert lines(_SOUND)


@pytest.mark.parametrize(
    "spoilt",
    [
        {"faults": {"Qt: oh": 2}},
        {"stalls": [Stall(1.0, 0.25, 0.0, (0.2, 0.2), "zoom", 0.2)]},
        {"end": replace(_HELD, rss_mb=260.0)},
        {"end": replace(_HELD, threads=9)},
        {"end": replace(_HELD, handles=40)},
        {"end": replace(_HELD, widgets=900)},
        {"end": replace(_HELD, none=40_000)},
        {"start_s": 3.0},
        {"leaving_s": 9.0},
        {"left": ["measuring"]},
        {"differences": ["verdict 1"]},
        {"readings": 0},
    ],
    ids=lambda spoilt: next(iter(spoilt)),
)
def test_each_trouble_is_told(spoilt: dict[str, object]) -> None:
    assert len(troubles(replace(_SOUND, **spoilt))) == 1  # type: ignore[arg-type]
