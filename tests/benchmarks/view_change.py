"""Moving and zooming over eight noisy channels with 7,000,000 samples each.

Floor: the plain widget of `live_frame`.
"""

from collections.abc import Callable

import numpy as np

from tests.benchmarks.measure import Row, in_turn, left_alone, p50, p99
from tests.benchmarks.plots import PlainPlot, Scene, application

__all__ = ["run"]

_DEEPEST = 12  # halvings: from a day to less than a minute


def run(quick: bool) -> list[Row]:
    app = application()
    scene = Scene(app, 70_000 if quick else 7_000_000)
    plain = PlainPlot(app, scene)
    depth = 0
    by_depth: list[list[int]] = []

    def view() -> None:
        step = next(steps)
        by_depth[-1].append(depth)
        step()
        scene.tick()

    def zoom(inward: bool) -> Callable[[], None]:
        def step() -> None:
            nonlocal depth
            depth += 1 if inward else -1
            (scene.plot.zoom_in if inward else scene.plot.zoom_out)()

        return step

    tour: list[Callable[[], None]] = []
    for inward in (True, False):
        for _ in range(_DEEPEST):
            tour += [scene.plot.move_later, scene.plot.move_earlier] * 2
            tour.append(zoom(inward))
    rounds = 1 if quick else 4
    with left_alone():
        steps = iter(tour * rounds)
        by_depth.append([])
        floor, ours = in_turn(len(tour) * rounds, plain.tick, view, warm_up=0)
    at = np.array(by_depth[-1])
    times = np.array(ours)
    medians = [float(np.median(times[at == d])) for d in range(_DEEPEST)]
    return [
        Row("view change, 8 x 7e6, p50", p50(ours), "ms", 3.0, p50(floor)),
        Row("view change, 8 x 7e6, p99", p99(ours), "ms", 6.0, p99(floor)),
        Row("the widest view against the median view", medians[0], "ms", 1.5, p50(medians)),
    ]
