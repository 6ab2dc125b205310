"""The plot under test, and the plain widget that is its floor."""

from collections.abc import Sequence

import numpy as np
import pyqtgraph as pg
from numpy.typing import NDArray
from PySide6.QtCore import QEvent, QObject, QPointF, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QApplication, QWidget

from benchmeter.window.plot.recovery_plot import RecoveryPlot
from benchmeter.window.theme import fonts, palette

__all__ = ["CHANNELS", "PlainPlot", "Scene", "application", "noisy"]

CHANNELS = 8
_SIZE = (1280, 800)  # leaves about 1200 x 700 pixels for the curves


def application() -> QApplication:
    app = QApplication.instance() or QApplication(["benchmarks"])
    assert isinstance(app, QApplication)
    fonts.load()
    palette.apply(app, palette.palette("day"))
    return app


class Scene(QObject):
    """The recovery plot with so many samples in each of eight channels, on a window.

    Args:
        spike: number of a sample of the first channel, and what is added to it, K.
    """

    def __init__(
        self,
        app: QApplication,
        samples: int,
        period_s: float = 0.01,
        spike: tuple[int, float] = (0, 0.0),
    ) -> None:
        super().__init__()
        self._app = app
        self._period_s = period_s
        self._random = np.random.default_rng(samples)
        self.plot = RecoveryPlot()
        self.graph = self.plot.findChild(pg.PlotWidget)
        for channel in range(CHANNELS):
            times = np.arange(samples, dtype=float) * period_s
            values = noisy(samples, channel)
            values[spike[0]] += spike[1] * (channel == 0)
            self.plot.add_readings(f"probe {channel}", times, values)
        self._end = samples
        self.plot.resize(*_SIZE)
        self.plot.show()
        self.paints = 0
        self.graph.viewport().installEventFilter(self)
        self.settle()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        self.paints += event.type() is QEvent.Type.Paint
        return False

    def settle(self) -> None:
        for _ in range(5):
            self.plot.tick()
            self._app.processEvents()

    def feed(self, count: int) -> None:
        """New samples in every channel."""
        times = (self._end + np.arange(count)) * self._period_s
        self._end += count
        for channel in range(CHANNELS):
            values = self._random.normal(300 + 3 * channel, 0.3, count)
            self.plot.add_readings(f"probe {channel}", times, values)

    def tick(self) -> None:
        """What one tick of the frame timer costs until all is painted, a second time as well."""
        self.plot.tick()
        painted = -1
        while painted != self.paints:
            painted = self.paints
            self._app.processEvents()

    def set_width(self, width: int) -> None:
        """Draw the channels with a pen of that width from the next tick on."""
        for series in self.plot._content.series.values():
            series.pen.setWidth(width)

    def curves(self) -> Sequence[pg.PlotCurveItem]:
        """The curves of the channels."""
        found = self.graph.getPlotItem().curves
        return [c for c in found if isinstance(c, pg.PlotCurveItem)]


class PlainPlot(QWidget):
    """Two points a pixel column and channel, ready made, as thin lines: no axes, no history."""

    def __init__(self, app: QApplication, like: Scene) -> None:
        super().__init__()
        self._app = app
        viewport = like.graph.viewport()
        self.resize(viewport.size())
        random = np.random.default_rng(1)
        columns = viewport.width()
        self._lines = []
        for channel in range(CHANNELS):
            middle = self.height() * (channel + 0.7) / (CHANNELS + 0.7)
            y = middle + random.normal(0, 3, 2 * columns) + np.tile((-15, 15), columns)
            x = np.repeat(np.arange(columns), 2)
            points = [QPointF(a, b) for a, b in zip(x.tolist(), y.tolist(), strict=True)]
            self._lines.append(QPolygonF(points))
        self._pens = [QPen(QPen(c.opts["pen"]).color(), 1) for c in like.curves()]
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.show()
        app.processEvents()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(self.rect(), Qt.GlobalColor.white)
        for line, pen in zip(self._lines, self._pens, strict=False):
            painter.setPen(pen)
            painter.drawPolyline(line)
        painter.end()

    def tick(self) -> None:
        self.update()
        self._app.processEvents()


def noisy(count: int, channel: int) -> NDArray[np.float64]:
    """Noise of 0.3 K on a slow wander; single precision made quickly, it is drawn all the same."""
    random = np.random.default_rng(channel)
    noise = random.standard_normal(count, dtype=np.float32) * np.float32(0.3)
    return 300 + 3 * channel + np.sin(np.linspace(0, 40 + channel, count)) + noise
