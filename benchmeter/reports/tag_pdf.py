"""Tags as PDF: black on white, drawn for printers of 200 dots an inch.

All lengths are hundredths of a millimetre. Text that is too long ends in an ellipsis; the verdict
and the readings are never cut.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import partial
from itertools import product

import segno
from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QMarginsF, QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPageSize, QPainter, QPainterPath, QPdfWriter
from PySide6.QtSvg import QSvgRenderer

from benchmeter.conformity.judgement import WORST_FIRST
from benchmeter.conformity.verdict import Verdict
from benchmeter.files.resources import resource
from benchmeter.reports.label_stock import LabelStock
from benchmeter.reports.shapes import verdict_shape
from benchmeter.reports.tag import Tag, TagRow

__all__ = ["shape_in_black", "tags_pdf"]

_MM = 100
_DPI = 2540  # one unit of the painter is 0.01 mm
_MARGIN = 1.5 * _MM
_MARGIN_OF_SHEET = 2.2 * _MM  # sheets are fed less truly
# Three, four, six dots at 203 dots an inch: a module of less does not survive the printer.
_MODULES = (75.0, 50.0, 37.5)
_QUIET = 4  # modules of white round the code (ISO/IEC 18004)
_CODE_SHARE = 0.36  # of the label's width, at most
_LARGEST, _COMFORTABLE, _SMALLEST = 320, 220, 180  # heights of type
_STEP = 5
# Height of the verdict, and from line to line, in heights of type: what is left over goes to the
# verdict first.
_ROOMY = ((5.8, 1.5), (5.4, 1.4), (5.0, 1.32), (4.6, 1.28), (4.2, 1.25), (3.7, 1.22))
_WITH_SENTENCE, _TIGHT = (4.8, 1.22), (3.3, 1.22)
_MOST_LINES = 3  # of the sentence
_LIMITS = ("in full", "({})", "…")
_NAMES_SHARE = 0.3  # of the width, at most: the readings are never cut


def tags_pdf(tags: Sequence[Tag], stock: LabelStock, *, start: int = 1) -> bytes:
    """A PDF with the tags in the places of the labels; a Qt application must exist.

    Args:
        start: place of the first tag on the first page; 1 is the first.
    """
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    writer.setPdfVersion(QPdfWriter.PdfVersion.PdfVersion_A1b)
    writer.setTitle(", ".join(f"{tag.part}: {tag.word}" for tag in tags))
    writer.setCreator("benchmeter")
    page = QSizeF(*stock.page_mm)
    exact = QPageSize.SizeMatchPolicy.ExactMatch
    writer.setPageSize(QPageSize(page, QPageSize.Unit.Millimeter, stock.name, exact))
    writer.setPageMargins(QMarginsF(0, 0, 0, 0))
    writer.setResolution(_DPI)
    painter = QPainter(writer)
    margin = _MARGIN_OF_SHEET if stock.sheet else _MARGIN
    for place, tag in enumerate(tags, start - 1):
        if place % stock.places == 0 and place >= start:
            writer.newPage()
        left, top = stock.corner_mm(place % stock.places)
        size = QSizeF(stock.width_mm * _MM, stock.height_mm * _MM)
        _draw(painter, tag, QRectF(QPointF(left * _MM, top * _MM), size), margin)
    painter.end()
    return bytes(buffer.data().data())


def _draw(painter: QPainter, tag: Tag, label: QRectF, margin: float) -> None:
    room = label.adjusted(margin, margin, -margin, -margin)
    for code in _Code.sizes(tag.code, label, margin):
        layout = _best_layout(tag, room, code.kept_free)
        if layout.size >= _COMFORTABLE:
            break  # else a smaller code, for the sake of the text
    code.paint(painter)
    painter.save()
    painter.setPen(Qt.GlobalColor.black)
    for text in layout.texts:
        painter.setFont(text.font)
        painter.drawText(text.baseline, text.text)
    for word, square in layout.shapes:
        shape_in_black(word).render(painter, square)
    painter.restore()


def shape_in_black(word: Verdict) -> QSvgRenderer:
    """The window's shape of a verdict, in black."""
    path = resource(f"icons/{verdict_shape(word)}.svg")
    text = path.read_text(encoding="utf-8").replace("currentColor", "#000000")
    return QSvgRenderer(QByteArray(text.encode()))


@dataclass(frozen=True, slots=True)
class _Code:
    """The code at the label's top right. `kept_free`: code and quiet zone."""

    matrix: tuple[bytearray, ...]
    module: float
    corner: QPointF
    kept_free: QRectF

    @classmethod
    def sizes(cls, text: str, label: QRectF, margin: float) -> Iterator["_Code"]:
        """Codes that the label has room for, the largest first; at least one."""
        matrix = tuple(segno.make(text, error="m", micro=False).matrix)
        room = min(label.width() * _CODE_SHARE, label.height())
        for module in _MODULES:
            side, quiet = len(matrix) * module, _QUIET * module
            if side + 2 * quiet > room and module != _MODULES[-1]:
                continue
            edge = max(quiet, margin)
            corner = QPointF(label.right() - edge - side, label.top() + edge)
            free = QRectF(corner, QSizeF(side, side)).adjusted(-quiet, -quiet, quiet, quiet)
            yield cls(matrix, module, corner, free)

    def paint(self, painter: QPainter) -> None:
        path = QPainterPath()  # one path: no seams between the modules
        path.setFillRule(Qt.FillRule.WindingFill)
        for y, row in enumerate(self.matrix):
            for x, length in _runs(row):
                path.addRect(
                    self.corner.x() + x * self.module,
                    self.corner.y() + y * self.module,
                    length * self.module,
                    self.module,
                )
        painter.fillPath(path, Qt.GlobalColor.black)


def _runs(row: bytearray) -> Iterator[tuple[int, int]]:
    """Where dark modules begin, and how many follow one another."""
    start = None
    for x, dark in enumerate((*row, 0)):
        if dark and start is None:
            start = x
        elif not dark and start is not None:
            yield start, x - start
            start = None


@dataclass(frozen=True, slots=True)
class _Text:
    baseline: QPointF
    text: str
    font: QFont


@dataclass(slots=True)
class _Layout:
    """Lines from the top, narrow beside the code and wide below it. `fits`: nothing was cut."""

    room: QRectF
    code: QRectF
    size: float
    proportions: tuple[float, float]
    y: float = 0.0
    fits: bool = True
    texts: list[_Text] = field(default_factory=list)
    shapes: list[tuple[Verdict, QRectF]] = field(default_factory=list)

    def band(self, height: float) -> QRectF:
        """The next line."""
        top = self.room.top() + self.y
        right = self.code.left() if top < self.code.bottom() else self.room.right()
        self.y += height
        self.fits = self.fits and self.y <= self.room.height()
        return QRectF(self.room.left(), top, right - self.room.left(), height)

    def put(self, text: str, band: QRectF, size: float, *, bold: bool = False) -> None:
        """Write into a line, shortened if need be."""
        font = _font(size, bold)
        metrics = QFontMetricsF(font)
        shown = metrics.elidedText(text, Qt.TextElideMode.ElideRight, band.width())
        baseline = band.center().y() + metrics.capHeight() / 2
        self.texts.append(_Text(QPointF(band.left(), baseline), shown, font))

    def line(self, text: str, scale: float = 1.0, *, bold: bool = False) -> None:
        self.put(text, self._line(scale), self.size * scale, bold=bold)

    def foot(self, tag: Tag, *, short: bool) -> None:
        """The meter, with its accuracy if that fits whole, and at the right the record.

        A meter's title that has no room beside the record takes a line of its own, or is told in
        its `short` form; it is never cut.
        """
        metrics = QFontMetricsF(_font(self.size, False))
        width = metrics.horizontalAdvance(tag.record) * 1.001
        band = self._line()
        beside = band.adjusted(0, 0, -width - self.size, 0)
        both = f"{tag.meter}, {tag.accuracy}"
        forms = tag.meter_short if short else (both, tag.meter)
        fitting = (f for f in forms if metrics.horizontalAdvance(f) <= beside.width())
        if (form := next(fitting, "")) or short:
            self.put(form or forms[-1], beside, self.size)
            self.fits = self.fits and bool(form)
        else:
            whole = metrics.horizontalAdvance(both) <= band.width()
            self.put(both if whole else tag.meter, band, self.size)
            self.fits = self.fits and metrics.horizontalAdvance(tag.meter) <= band.width()
            band = self._line()
        self.put(tag.record, band.adjusted(band.width() - width, 0, 0, 0), self.size)

    def _line(self, scale: float = 1.0) -> QRectF:
        return self.band(self.size * scale * self.proportions[1])

    def sentence(self, text: str) -> None:
        """Several lines, whole words; never shortened."""
        metrics = QFontMetricsF(_font(self.size, False))
        words = text.split(" ")
        for _ in range(_MOST_LINES):
            if not words:
                return
            band, taken = self._line(), 1
            while taken < len(words) and (
                metrics.horizontalAdvance(" ".join(words[: taken + 1])) <= band.width()
            ):
                taken += 1
            self.put(" ".join(words[:taken]), band, self.size)
            words = words[taken:]
        self.fits = self.fits and not words

    def plate(self, tag: Tag) -> None:
        """Shape and word; the word is made as small as it must be."""
        band = self.band(self.size * self.proportions[0])
        side = band.height() * 0.94
        self.shapes.append((tag.verdict, QRectF(band.left(), band.top(), side, side)))
        left = band.left() + band.height() * 1.12
        room = QRectF(left, band.top(), band.right() - left, side)
        words = tag.word.split()
        size = min(room.height() / len(words) * (0.92 if len(words) > 1 else 0.8), room.height())
        widest = max(QFontMetricsF(_font(size, True)).horizontalAdvance(w) for w in words)
        size *= min(1.0, room.width() / (widest * 1.01))
        for i, word in enumerate(words):
            height = room.height() / len(words)
            self.put(
                word, QRectF(left, room.top() + i * height, room.width(), height), size, bold=True
            )

    def sections(self, tag: Tag, rows: Sequence[TagRow]) -> None:
        """The readings as columns: shape, name, reading, limits; below the code if need be."""
        left_out = len(tag.rows) - len(rows)
        plain, bold = (QFontMetricsF(_font(self.size, b)) for b in (False, True))
        gap = self.size * 0.55
        shape = self.size * 1.25 if len(rows) > 1 or left_out else 0.0
        readings = max(bold.horizontalAdvance(r.reading) for r in rows) + gap
        most = self.room.width() * _NAMES_SHARE
        names = min(max(plain.horizontalAdvance(r.name) for r in rows), most)
        names += gap if names else 0.0
        before = shape + names + readings
        widths = {
            form: before + max(plain.horizontalAdvance(_limits(form, r)) for r in rows)
            for form in _LIMITS
        }
        if widths["({})"] > self.code.left() - self.room.left():
            self.y = max(self.y, self.code.bottom() - self.room.top())
        bands = [self._line() for _ in rows]
        room = min(band.width() for band in bands)
        form = next((form for form, width in widths.items() if width <= room), "…")
        self.fits = self.fits and form != "…" and before <= room
        for row, band in zip(rows, bands, strict=True):
            if shape:
                square = QRectF(band.left(), band.top(), self.size, self.size)
                square.moveCenter(QPointF(square.center().x(), band.center().y()))
                self.shapes.append((row.verdict, square))
            name = QRectF(band.left() + shape, band.top(), max(names - gap, 0.0), band.height())
            self.put(row.name, name, self.size)
            self.put(row.reading, band.adjusted(shape + names, 0, 0, 0), self.size, bold=True)
            self.put(_limits(form, row), band.adjusted(before, 0, 0, 0), self.size)
        if left_out:
            self.line(tag.left_out[left_out - 1])


def _limits(form: str, row: TagRow) -> str:
    """Nothing where there are none."""
    if not row.limits:
        return ""
    return row.in_full if form == _LIMITS[0] else form.format(row.limits)


def _best_layout(tag: Tag, room: QRectF, code: QRectF) -> _Layout:
    """With the sentence if all fits in comfortable type; else without it, as large as it goes.

    The meter stands with its title if all fits so. Of more rows than the label has room for, the
    worst ones stand on it.
    """
    short = (False, True) if tag.meter_short else (False,)
    for sentence, least, proportions in (
        (True, _COMFORTABLE, _WITH_SENTENCE),
        (False, _SMALLEST, _TIGHT),
    ):
        for shortened, size in product(short, range(_LARGEST, least - 1, -_STEP)):
            make = partial(_laid_out, tag, sentence=sentence, short=shortened)
            layout = make(_Layout(room, code, size, proportions))
            if layout.fits:
                wider = (make(_Layout(room, code, size, p)) for p in _ROOMY)
                return next((w for w in wider if w.fits), layout)
    for shown in range(len(tag.rows) - 1, 0, -1):
        fewer = _laid_out(
            tag,
            _Layout(room, code, _SMALLEST, _TIGHT),
            sentence=False,
            short=short[-1],
            shown=shown,
        )
        if fewer.fits:
            return fewer
    return layout


def _laid_out(
    tag: Tag, layout: _Layout, *, sentence: bool, short: bool, shown: int | None = None
) -> _Layout:
    layout.plate(tag)
    layout.line(tag.part, 1.12, bold=True)
    layout.line(tag.label)
    layout.line(tag.when)
    if sentence:
        layout.sentence(tag.sentence)
    layout.sections(tag, _worst(tag.rows, shown))
    layout.foot(tag, short=short)
    return layout


def _worst(rows: Sequence[TagRow], count: int | None) -> Sequence[TagRow]:
    """The worst ones, in the order of measuring."""
    if count is None:
        return rows
    places = sorted(range(len(rows)), key=lambda i: WORST_FIRST.index(rows[i].verdict))
    return [rows[i] for i in sorted(places[:count])]


def _font(size: float, bold: bool) -> QFont:
    font = QFont(QFont().family())
    font.setPixelSize(max(round(size), 1))
    font.setBold(bold)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    return font
