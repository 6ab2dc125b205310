"""Renders every screen in every state, in three palettes and two sizes, to PNG files.

Run it from the folder of the project: `python -m tests.window.render_sheet OUTDIR [WORD ...]`
(only states whose name contains one of the words). A contact sheet a palette and size is written
beside the pictures. Needs no display.
"""

import json
import os
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from PySide6.QtCore import QEvent, QRect, Qt
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication

from benchmeter.checking.check import PartCheck, Step
from benchmeter.cooling.recovery import Phase
from benchmeter.files.folders import Folders
from benchmeter.parts.kind_catalogue import all_part_kinds
from benchmeter.scenes.bench_action_scene import Act
from benchmeter.scenes.bench_state import BenchState
from benchmeter.scenes.connections import ConnectionsAct
from benchmeter.scenes.meter_actions import MeterAct
from benchmeter.session.acquisition.channel_state import ChannelStatus
from benchmeter.session.outcome import Outcome, Severity
from benchmeter.session.visit import Visit
from benchmeter.window.control.services import Services
from benchmeter.window.control.session_controller import SessionController
from benchmeter.window.shell.window import Window
from benchmeter.words.notice_words import ToldNotice
from tests.fakes import bench_states as made
from tests.fakes import kind_states as parts
from tests.fakes import meter_states as meter
from tests.fakes.charge import left
from tests.fakes.stated_visit import PARTS, STATED
from tests.fakes.window_fakes import FakeEntrances

SIZES = ((1280, 800), (1920, 1080))
PALETTES = ("day", "night", "sunlight")


class Scene:
    """A window on fake rooms, and the means to bring it into a state."""

    def __init__(self, folders: Folders) -> None:
        self.services = FakeEntrances(folders)
        self.window = Window(SessionController(self.services))  # type: ignore[arg-type]
        self.window.complete()

    def settle(self, *, frames: int = 3) -> None:
        """Let the worker finish and the layout come to rest."""
        app = QApplication.instance()
        assert app is not None
        end = time.monotonic() + 10
        for _ in range(frames):
            app.processEvents()
            while not self.window.controller.background.idle() and time.monotonic() < end:
                app.processEvents()
                time.sleep(0.005)
            app.processEvents()

    def live(self, *outcomes: Outcome) -> None:
        """A live session in which this has happened."""
        self.window.controller.start_live(("serial:/dev/ttyUSB0?profile=bench",))
        self.happen(*outcomes)

    def simulated(self, *outcomes: Outcome) -> None:
        self.window.start_simulated()
        self.happen(*outcomes)

    def replayed(self, *outcomes: Outcome) -> None:
        self.window.controller.start_replay("0192")
        self.happen(*outcomes)

    def happen(self, *outcomes: Outcome) -> None:
        self.settle()
        controller = self.window.controller
        if outcomes:
            controller._fold(list(outcomes))
        controller.began_at = datetime(2026, 6, 3, 10, 47, tzinfo=UTC)
        self.window._show_session_words()
        self.settle()

    def close(self) -> None:
        self.window.close()
        self.window.deleteLater()
        app = QApplication.instance()
        assert app is not None
        app.sendPostedEvents(None, QEvent.Type.DeferredDelete)


State = Callable[[Scene], None]


def _first_start(scene: Scene) -> None:
    scene.settle()
    scene.window._stories_found(Services(scene.services.folders).stories())


def _cut_off(scene: Scene) -> None:
    scene.settle()
    scene.window._stories_found(Services(scene.services.folders).stories())
    scene.window.bench.first_steps.offer_cut_off(
        "0192",
        "The session of 2026-06-03 14:02 ended without close; all but its last second "
        "is in the record.",
    )


def _form(scene: Scene) -> None:
    scene.live(made.bench_outcome(ChannelStatus.MOVING, uf=0.02))


def _form_tolerance(scene: Scene) -> None:
    scene.live(made.bench_outcome(ChannelStatus.MOVING, uf=0.02))
    scene.window.bench.stage.form.label_field.setText("40/6 µF 440 V")
    scene.window.bench.stage.form.start.click()


def _bench(state: ChannelStatus, *, half: bool = False, uf: float | None = 39.2) -> State:
    def bring(scene: Scene) -> None:
        check = made.half_check() if half else made.new_check(step=Step.HOLD)
        if state in (ChannelStatus.STALE, ChannelStatus.LOST, ChannelStatus.WAITING):
            check = replace(check, step=Step.METER_SILENT)
        scene.live(made.bench_outcome(state, check, uf=uf, safety=made.safe()))

    return bring


def _judged(name: str) -> State:
    def bring(scene: Scene) -> None:
        check = made.judged_check(made.FINDINGS[name])
        scene.live(made.bench_outcome(ChannelStatus.SETTLED, check, uf=5.9, safety=made.safe()))

    return bring


def _second_part(scene: Scene) -> None:
    first = made.judged_check(made.FAN_BAD)
    second = made.judged_check(made.FAN_GOOD, 2, "replacement 1")
    third = made.half_check(3, "replacement 2")
    scene.live(
        *(
            made.bench_outcome(ChannelStatus.MOVING, c, safety=made.safe(True))
            for c in (first, second, third)
        )
    )


def _charged(scene: Scene) -> None:
    safety = left(212.4)
    check = replace(
        made.new_check(step=Step.MAKE_SAFE), residual=safety.volts
    )  # as the engine does
    scene.live(made.bench_outcome(ChannelStatus.MOVING, check, uf=12.3, safety=safety))


def _entry(scene: Scene) -> None:
    _bench(ChannelStatus.MOVING)(scene)
    scene.window.bench.stage.buttons.of[Act.MARKER].click()


def _hands(scene: Scene) -> None:
    scene.simulated(made.bench_outcome(ChannelStatus.MOVING, made.half_check(), uf=4.4))


def _hands_open(scene: Scene) -> None:
    _hands(scene)
    scene.services.hands.do("leads fan")  # type: ignore[union-attr]
    scene.window.hands.refresh()


def _story(scene: Scene) -> None:
    scene.simulated(made.bench_outcome(ChannelStatus.MOVING, uf=0.02))


def _next_part(scene: Scene) -> None:
    _judged("bad")(scene)
    scene.window.bench.stage.buttons.of[Act.PART].click()


def _judged_hands(scene: Scene) -> None:
    check = made.judged_check(made.FINDINGS["close"])
    scene.simulated(made.bench_outcome(ChannelStatus.SETTLED, check, uf=5.9, safety=made.safe()))
    scene.services.hands.do("leads air")  # type: ignore[union-attr]
    scene.window.hands.refresh()


def _replay(scene: Scene) -> None:
    scene.replayed(made.bench_outcome(ChannelStatus.SETTLED, made.judged_check(made.FAN_BAD)))


def _notices(scene: Scene) -> None:
    _bench(ChannelStatus.LOST, half=True)(scene)
    lost = ToldNotice(
        Severity.ERROR,
        "The capacitance meter has stopped sending: the record has a gap from 14:32:05.",
        "Check the plug; what else is connected goes on being recorded.",
    )
    for _ in range(3):
        scene.window.notices.add(lost)


def _ended(scene: Scene) -> None:
    _judged("good")(scene)
    scene.window.controller.end_session()
    scene.settle()


def _unit(phase: Phase | None, until_s: float) -> State:
    def bring(scene: Scene) -> None:
        if phase is None:
            scene.live(made.bench_outcome(ChannelStatus.SETTLED))
        else:
            scene.live(*made.unit_outcomes(phase, until_s))
        scene.window.show_unit()
        scene.settle(frames=6)

    return bring


def _record_empty(scene: Scene) -> None:
    scene.window.show_record()
    scene.settle()


def _visit(visit: Visit, parts: dict[int, str], fault: str = "") -> State:
    def bring(scene: Scene) -> None:
        scene.window.show_record()
        scene.settle()
        place = scene.window.place(2)
        place.show_visit("0192", visit, parts)  # type: ignore[attr-defined]
        if fault:
            form = place.visit  # type: ignore[attr-defined]
            form.fields["ambient"].setText(fault)
            form.fields["ambient"].textEdited.emit(fault)
            form.keep.click()

    return bring


def _connections(scene: Scene) -> None:
    scene.window.show_connections()
    scene.settle()


def _connections_chosen(scene: Scene) -> None:
    _connections(scene)
    place = scene.window.place(3)
    place.port.setEditText("/dev/ttyUSB0")  # type: ignore[attr-defined]
    place.buttons[ConnectionsAct.ADD].click()  # type: ignore[attr-defined]
    place.kind.setCurrentIndex(1)  # type: ignore[attr-defined]
    place.port.setEditText("/dev/ttyUSB1")  # type: ignore[attr-defined]
    place.buttons[ConnectionsAct.ADD].click()  # type: ignore[attr-defined]


def _notices_list(scene: Scene) -> None:
    _notices(scene)
    scene.window.controller.say("The report is written: visit.pdf")
    scene.window.show_place(5)


def _settings(scene: Scene) -> None:
    scene.window.show_place(4)
    scene.settle()


def _form_kind(name: str, words: str = "") -> State:
    def bring(scene: Scene) -> None:
        scene.live(made.bench_outcome(ChannelStatus.MOVING, uf=0.02))
        form = scene.window.bench.stage.form
        form.set_kinds(all_part_kinds(scene.services.folders)[0])
        form.kind_box.choose(name)
        form.label_field.setText(words)
        if words:
            form.start.click()

    return bring


def _kind(name: str, words: str, readings: dict[str, str]) -> State:
    def bring(scene: Scene) -> None:
        check = parts.kind_check(name, words, readings)
        scene.live(made.bench_outcome(ChannelStatus.SETTLED, check, safety=made.safe()))

    return bring


def _carton(number: int) -> State:
    def bring(scene: Scene) -> None:
        findings = [made.FAN_GOOD, made.FAN_CLOSE, made.FAN_GOOD, made.FAN_BAD, made.FAN_OPEN]
        checks = [
            replace(made.judged_check(findings[n % 5], n + 1, f"{n + 1}"), lot="B12")
            for n in range(number)
        ]
        scene.live(*(made.bench_outcome(check=c, safety=made.safe()) for c in checks))
        scene.window.bench.show_aside(BenchState.STATISTICS)
        scene.settle()

    return bring


def _replacement(stock: str | None, *checks: PartCheck) -> State:
    def bring(scene: Scene) -> None:
        if stock is not None:
            scene.services.folders.make()
            scene.services.folders.stock.write_text(stock, encoding="utf-8")
        first = made.judged_check(made.FAN_BAD)
        scene.live(*(made.bench_outcome(check=c, safety=made.safe()) for c in (first, *checks)))
        scene.window.bench.show_aside(BenchState.REPLACEMENT)
        scene.settle()

    return bring


def _meter(shown: Sequence[str], *, listed: bool = True, biased: bool = False) -> State:
    def bring(scene: Scene) -> None:
        scene.services.folders.make()
        scene.window.controller.today = lambda: meter.TODAY
        if listed:
            path = scene.services.folders.reference_parts
            path.write_text(meter.R45_LIST, encoding="utf-8")
        scene.services.meter_record = meter.record(shown) if shown else None
        scene.services.setup = meter.due_setup(date(2026, 12, 10))
        biases = (meter.bias(),) if biased else None
        scene.live(made.bench_outcome(ChannelStatus.MOVING, uf=0.02, biases=biases))
        scene.window.bench.show_aside(BenchState.METER)
        scene.settle()

    return bring


def _meter_form(scene: Scene) -> None:
    _meter(())(scene)
    desk = scene.window.bench.panels.shown()
    assert desk is not None
    desk.view.buttons[MeterAct.ADD].click()
    desk.form.name_field.setText("R10")
    desk.form.value_field.setText("10.002")
    desk.form.uncertainty_field.setText("0.05 %")
    desk.form.date_field.setText("2026-03-01")
    desk.form.write.click()
    scene.settle()


def _reference(shown: str, accuracy: str = meter.ACCURACY) -> State:
    def bring(scene: Scene) -> None:
        scene.window.controller.today = lambda: meter.TODAY
        check = meter.reference_check(shown, accuracy=accuracy)
        scene.live(made.bench_outcome(ChannelStatus.SETTLED, check, uf=45.0, safety=made.safe()))

    return bring


def _biased(scene: Scene) -> None:
    check = meter.with_bias(made.judged_check(made.FAN_BAD))
    scene.live(made.bench_outcome(ChannelStatus.SETTLED, check, uf=5.9, safety=made.safe()))


_WINDINGS = {"C-S": "2.6", "C-R": "0.8", "S-R": "3.4", "to case": "550 Mohm"}

STATES: dict[str, State] = {
    "first-start": _first_start,
    "first-start-cut-off": _cut_off,
    "bench-form": _form,
    "bench-form-tolerance": _form_tolerance,
    "bench-charged": _charged,
    "bench-form-kind": _form_kind("sensor-pt100"),
    "bench-form-kind-fault": _form_kind("contactor", "24 V coil 9-14 ohm 7 kg"),
    "bench-kind-new": _kind("contactor", "24 V, coil 9-14 ohm", {}),
    "bench-kind-half": _kind(
        "contactor-three-pole", "24 V, coil 9-14 ohm", {"coil": "11.4", "L1-T1 at rest": "OL"}
    ),
    "bench-kind-clamp": _kind(
        "run-capacitor-dual-under-load", "45/5 µF ±6 % 440 V 60 Hz", {"HERM volts": "371"}
    ),
    "bench-kind-insulation": _kind(
        "compressor-single-phase",
        "230 V, RLA 16.7 A",
        {k: _WINDINGS[k] for k in list(_WINDINGS)[:3]},
    ),
    "bench-kind-good": _kind("compressor-single-phase", "230 V, RLA 16.7 A", _WINDINGS),
    "bench-kind-bad": _kind(
        "compressor-single-phase", "230 V, RLA 16.7 A", _WINDINGS | {"S-R": "5.9"}
    ),
    "bench-kind-shorted": _kind("ignitor", "40-90 ohm", {"element": "0.2"}),
    "bench-carton-empty": _carton(0),
    "bench-carton-few": _carton(4),
    "bench-carton": _carton(30),
    "replacement-none": _replacement(None),
    "replacement-empty": _replacement("label\n"),
    "replacement-broken": _replacement("label,label\n45 µF,45 µF\n"),
    "replacement-list": _replacement(meter.STOCK),
    "replacement-no-fit": _replacement("label,count\n45/5 µF ±6 % 440 V,4\n"),
    "replacement-measured": _replacement(
        meter.STOCK,
        made.judged_check(made.FAN_BAD, 2, "replacement 1"),
        made.judged_check(made.FAN_GOOD, 3, "K 7"),
    ),
    "meter-none": _meter((), listed=False),
    "meter-unread": _meter(()),
    "meter-few": _meter(meter.AGREEING[:3]),
    "meter-agrees": _meter(meter.AGREEING),
    "meter-jumped": _meter(meter.JUMPED),
    "meter-bias": _meter(meter.STEADY),
    "meter-bias-taken": _meter(meter.STEADY, biased=True),
    "meter-form": _meter_form,
    "reference-new": _reference(""),
    "reference-agrees": _reference("45.05 uF"),
    "reference-differs": _reference("45.50 uF"),
    "reference-unknown": _reference("45.50 uF", accuracy=""),
    "bench-biased": _biased,
    "bench-waiting": _bench(ChannelStatus.WAITING),
    "bench-moving": _bench(ChannelStatus.MOVING, uf=31.7),
    "bench-half": _bench(ChannelStatus.SETTLED, half=True),
    "bench-stale": _bench(ChannelStatus.STALE, half=True),
    "bench-lost": _bench(ChannelStatus.LOST, half=True),
    "bench-overload": _bench(ChannelStatus.OVERLOAD, uf=None),
    "bench-wrong-function": _bench(ChannelStatus.WRONG_FUNCTION, uf=None),
    "bench-no-contact": _bench(ChannelStatus.NO_CONTACT, uf=None),
    "bench-suspect": _bench(ChannelStatus.SUSPECT, uf=9999.0),
    **{f"bench-verdict-{name}": _judged(name) for name in made.FINDINGS},
    "bench-third-part": _second_part,
    "bench-entry": _entry,
    "bench-hands": _hands,
    "bench-hands-open": _hands_open,
    "bench-replay": _replay,
    "bench-notices": _notices,
    "bench-ended": _ended,
    "unit-no-temperatures": _unit(None, 0),
    "unit-waiting": _unit(Phase.WAITING, 40),
    "unit-held-off": _unit(Phase.HELD_OFF, 100),
    "unit-no-start": _unit(Phase.NO_START, 115),
    "unit-rising": _unit(Phase.RISING, 320),
    "unit-settled": _unit(Phase.SETTLED, 1100),
    "record-empty": _record_empty,
    "record-visit-empty": _visit(Visit(), {}),
    "record-visit": _visit(STATED, PARTS),
    "record-visit-fault": _visit(STATED, PARTS, "350"),
    "connections": _connections,
    "connections-chosen": _connections_chosen,
    "settings": _settings,
    "notices": _notices_list,
    "bench-story": _story,
    "bench-next-part": _next_part,
    "bench-verdict-hands": _judged_hands,
}


def render(
    out: Path, states: dict[str, State], palette: str, size: tuple[int, int], zoom: int = 100
) -> list[Path]:
    """One PNG a state; returns their paths."""
    paths = []
    for name, bring in states.items():
        with tempfile.TemporaryDirectory() as folder:
            scene = Scene(Folders(Path(folder)))
            scene.window.controller.prefer(palette=palette, zoom=zoom, sound=False)
            scene.window.resize(*size)
            scene.window.show()
            scene.settle()
            bring(scene)
            scene.settle()
            path = out / f"{name}-{palette}-{size[0]}-{zoom}.png"
            scene.window.grab().save(str(path))
            paths.append(path)
            scene.close()
    return paths


def contact_sheet(paths: list[Path], target: Path, columns: int = 4, width: int = 640) -> None:
    """All pictures on one sheet, with their names."""
    pictures = [(path, QImage(str(path))) for path in paths]
    height = max(p.height() * width // p.width() for _, p in pictures)
    rows = -(-len(pictures) // columns)
    sheet = QImage(columns * width, rows * (height + 28), QImage.Format.Format_RGB32)
    sheet.fill(Qt.GlobalColor.white)
    painter = QPainter(sheet)
    for number, (path, picture) in enumerate(pictures):
        x, y = number % columns * width, number // columns * (height + 28)
        painter.drawText(x + 8, y + 20, path.stem)
        painter.drawImage(
            QRect(x, y + 28, width - 8, height - 8),
            picture.scaled(width - 8, height - 8, mode=Qt.TransformationMode.SmoothTransformation),
        )
    painter.end()
    sheet.save(str(target))


def sheets(out: Path, words: list[str]) -> Iterator[Path]:
    """Render everything wanted; yields each contact sheet."""
    wanted = {n: s for n, s in STATES.items() if not words or any(w in n for w in words)}
    for size in SIZES:
        for palette in PALETTES:
            paths = render(out, wanted, palette, size)
            target = out / f"sheet-{palette}-{size[0]}.png"
            contact_sheet(paths, target)
            yield target
    paths = render(out, wanted, "day", SIZES[0], zoom=200)
    target = out / "sheet-day-1280-zoom-200.png"
    contact_sheet(paths, target)
    yield target


def application() -> QApplication:
    """The application on a screen that every size fits into: the window fits itself into it."""
    screen = {"name": "sheet", "x": 0, "y": 0, "width": 3840, "height": 2160, "dpr": 1}
    screen |= {"logicalDpi": 96, "logicalBaseDpi": 96}
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "screens.json"
        file.write_text(json.dumps({"screens": [screen]}), encoding="utf-8")
        if os.environ["QT_QPA_PLATFORM"] == "offscreen":
            os.environ["QT_QPA_PLATFORM"] = f"offscreen:configfile={file}"
        return QApplication(sys.argv[:1])


def main(arguments: list[str]) -> int:
    if not arguments:
        sys.stderr.write(f"{__doc__}\n")
        return 2
    out = Path(arguments[0])
    out.mkdir(parents=True, exist_ok=True)
    app = application()
    for sheet in sheets(out, arguments[1:]):
        sys.stdout.write(f"{sheet}\n")
    del app
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
