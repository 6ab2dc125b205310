"""A live frame: eight noisy channels with 7,000,000 samples each, the whole record in view.

Floor: a plain widget of the size of the plot that paints two points a pixel column and channel.
"""

from tests.benchmarks.measure import Row, in_turn, left_alone, p50, p99
from tests.benchmarks.plots import PlainPlot, Scene, application

__all__ = ["run"]

_THICK = 3  # as at 200 % zoom
_NEW = 5  # samples a frame: 100 Hz at 20 frames a second


def run(quick: bool) -> list[Row]:
    app = application()
    long, middle, short = (Scene(app, n) for n in ((70_000, 30_000, 10_000) if quick else _SIZES))
    plain = PlainPlot(app, long)
    rounds = 20 if quick else 400

    def frame(scene: Scene) -> None:
        scene.feed(_NEW)
        scene.tick()

    long.paints = 0
    with left_alone():
        floor, whole, million, little = in_turn(
            rounds,
            plain.tick,
            lambda: frame(long),
            lambda: frame(middle),
            lambda: frame(short),
            warm_up=5,
        )
        paints = long.paints / (rounds + 5)
        widths = _widths(long, 10 if quick else 100)
    return [
        Row("live frame, 8 x 7e6, p50", p50(whole), "ms", 1.8, p50(floor)),
        Row("live frame, 8 x 7e6, p99", p99(whole), "ms", 3.0, p99(floor)),
        Row("live frame, 8 x 7e6 against 8 x 1e4", p50(whole), "ms", 1.6, p50(little)),
        Row("live frame, 8 x 7e6 against 8 x 1e6", p50(whole), "ms", 1.3, p50(million)),
        Row("paints a tick", paints, "", 1.05),
        Row("thick curves against thin ones, p50", p50(widths[1]), "ms", 2.0, p50(widths[0])),
    ]


_SIZES = (7_000_000, 1_000_000, 10_000)


def _widths(scene: Scene, rounds: int) -> list[list[float]]:
    def frame(width: int) -> None:
        scene.set_width(width)
        scene.feed(_NEW)
        scene.tick()

    return in_turn(rounds, lambda: frame(1), lambda: frame(_THICK))
