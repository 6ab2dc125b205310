"""How long the window is deaf: each turn of the event loop timed while a session is recorded.

Run it from the folder of the project, with a display: `python -m tests.gui.lag [SECONDS]`. The
simulated bench plays at its own pace with the bench, the unit and the record in front in turn;
a histogram and the worst turns are printed.
"""

import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

from PySide6.QtWidgets import QApplication

from benchmeter.gui.entrances import Entrances
from benchmeter.gui.window import Window
from benchmeter.gui.workplace import Workplace
from benchmeter.settings.folders import Folders

EDGES_MS = (2, 5, 10, 20, 50, 100, 200, 500, 1000)
LIMIT_S = 0.1


def turns(app: QApplication, seconds: float) -> list[tuple[float, float]]:
    """Start and length of each turn, seconds."""
    begin = time.perf_counter()
    found = []
    while (now := time.perf_counter()) - begin < seconds:
        app.processEvents()
        found.append((now - begin, time.perf_counter() - now))
        time.sleep(0.002)
    return found


def histogram(lengths: list[float]) -> str:
    """One line for each class of lengths."""
    counts = Counter(next((e for e in EDGES_MS if s * 1000 <= e), 0) for s in lengths)
    lines = [f"  up to {edge:5d} ms: {counts[edge]}" for edge in EDGES_MS if counts[edge]]
    return "\n".join([*lines, *([f"  longer: {counts[0]}"] if counts[0] else [])])


def main(arguments: list[str]) -> int:
    seconds = float(arguments[0]) if arguments else 60.0
    app = QApplication(sys.argv[:1])
    with tempfile.TemporaryDirectory() as folder:
        window = Window(Workplace(Entrances(Folders(Path(folder)))))
        window.workplace.prefer(sound=False)
        window.show()
        window.ready.connect(lambda: window.start_simulated("short-visit"))
        while not window.workplace.recording or window.workplace.opening:
            app.processEvents()
            time.sleep(0.005)
        found = []
        for place in (0, 1, 0, 1, 2, 1):
            at = time.perf_counter()
            window.show_place(place)
            found.append((0.0, time.perf_counter() - at))
            found += turns(app, seconds / 6)
        window.close()
    lengths = [length for _, length in found]
    long = [length for length in lengths if length > LIMIT_S]
    sys.stdout.write(f"{len(lengths)} turns in {seconds:.0f} s\n{histogram(lengths)}\n")
    for at, length in sorted(found, key=lambda turn: turn[1])[-8:]:
        sys.stdout.write(f"  {length * 1000:4.0f} ms, {at:4.1f} s after the place was shown\n")
    return int(len(long) > 2 or len(long) > 0.01 * len(lengths))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
