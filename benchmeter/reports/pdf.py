"""The page as PDF (PDF/A-1b, fonts embedded). The one file of this room that knows Qt."""

from base64 import b64decode
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QMarginsF, QRectF, Qt, QUrl
from PySide6.QtGui import (
    QFont,
    QFontDatabase,
    QFontMetricsF,
    QImage,
    QPageLayout,
    QPageSize,
    QPainter,
    QPdfWriter,
    QTextDocument,
    QTextOption,
)
from PySide6.QtSvg import QSvgRenderer

from benchmeter.files.resources import resource
from benchmeter.reports.page_html import page_blocks, style
from benchmeter.reports.session_page import SessionPage
from benchmeter.words.plain_text import plain

__all__ = ["page_pdf"]

_FAMILY = "B612"
_FONTS = ("B612-Regular.otf", "B612-Bold.otf")
_DPI = 300
_SVG = "data:image/svg+xml;base64,"
_SHAPE_PIXELS = 256
_FOOTER_MM, _HEADER_MM = 7.0, 7.0
_GAP_MM = 3.5  # above a heading: Qt leaves its margin out at the top of a text


class _Block(QTextDocument):
    """A piece of the page. Shapes are drawn at the printer's resolution."""

    def loadResource(self, kind: int, name: QUrl | str) -> Any:
        address = name.toString() if isinstance(name, QUrl) else name
        if not address.startswith(_SVG):
            return super().loadResource(kind, name)
        picture = QImage(_SHAPE_PIXELS, _SHAPE_PIXELS, QImage.Format.Format_RGB32)
        picture.fill(Qt.GlobalColor.white)  # PDF/A-1b knows no transparency
        painter = QPainter(picture)
        QSvgRenderer(QByteArray(b64decode(address.removeprefix(_SVG)))).render(painter)
        painter.end()
        return picture


@dataclass(frozen=True, slots=True)
class _Placed:
    """A block, or one page of a block that is taller than a page: where it stands."""

    document: QTextDocument
    page: int
    top: float
    slice_top: float
    height: float


def page_pdf(page: SessionPage, *, letter: bool) -> bytes:
    """A page as PDF; a Qt application must exist.

    A block is never cut by a page break unless it is taller than a page.

    Args:
        letter: US Letter instead of A4.
    """
    _load_fonts()
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    writer.setPdfVersion(QPdfWriter.PdfVersion.PdfVersion_A1b)
    writer.setTitle(plain(page.title))
    writer.setCreator("benchmeter")
    size = QPageSize.PageSizeId.Letter if letter else QPageSize.PageSizeId.A4
    writer.setPageSize(QPageSize(size))
    writer.setPageMargins(QMarginsF(18, 13, 18, 11), QPageLayout.Unit.Millimeter)
    writer.setResolution(_DPI)
    sheet = writer.pageLayout().paintRectPixels(_DPI)
    width, height = float(sheet.width()), float(sheet.height())
    header, bottom = (mm * _DPI / 25.4 for mm in (_HEADER_MM, _FOOTER_MM))
    blocks = page_blocks(page)
    made = [_document(block.html, width, writer) for block in blocks]
    gaps = [_GAP_MM * _DPI / 25.4 if block.begins else 0.0 for block in blocks]
    placed = _place(made, gaps, header, height - bottom)
    last = max((one.page for one in placed), default=0)
    painter = QPainter(writer)
    for number in range(last + 1):
        if number:
            writer.newPage()
        for one in placed:
            if one.page == number:
                _draw(painter, one, width)
        _draw_margins(painter, page, number, last, width, height)
    painter.end()
    return bytes(buffer.data().data())


def _load_fonts() -> None:
    """Ours, so that a page looks the same on each computer; again is harmless."""
    if _FAMILY not in QFontDatabase.families():
        for name in _FONTS:
            QFontDatabase.addApplicationFont(str(resource(f"fonts/{name}")))


def _document(block: str, width: float, writer: QPdfWriter) -> QTextDocument:
    made = _Block()
    made.documentLayout().setPaintDevice(writer)
    made.setDefaultFont(QFont(_FAMILY, 10))
    option = QTextOption()
    option.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
    made.setDefaultTextOption(option)
    made.setDocumentMargin(0)
    made.setDefaultStyleSheet(style())
    made.setHtml(block)
    made.setTextWidth(width)
    return made


def _place(
    documents: Sequence[QTextDocument], gaps: Sequence[float], top: float, bottom: float
) -> list[_Placed]:
    """Put the blocks below one another; those that do not fit begin the next page."""
    placed: list[_Placed] = []
    page, y, room = 0, 0.0, bottom - top
    for document, gap in zip(documents, gaps, strict=True):
        tall = document.size().height()
        begin = top if page else 0.0
        if y > begin:
            y += gap
            if y + tall > bottom:
                page, y = page + 1, top
        if y + tall <= bottom:
            placed.append(_Placed(document, page, y, 0.0, tall))
            y += tall
            continue
        # Taller than a page: Qt breaks it between lines.
        document.setPageSize(_sized(document.textWidth(), room))
        for i in range(document.pageCount()):
            placed.append(_Placed(document, page + i, top, i * room, room))
        page, y = page + document.pageCount(), top
    return placed


def _sized(width: float, height: float) -> Any:
    return QRectF(0, 0, width, height).size()


def _draw(painter: QPainter, one: _Placed, width: float) -> None:
    painter.save()
    painter.translate(0, one.top - one.slice_top)
    one.document.drawContents(painter, QRectF(0, one.slice_top, width, one.height))
    painter.restore()


def _draw_margins(
    painter: QPainter, page: SessionPage, number: int, last: int, width: float, height: float
) -> None:
    """Title above the pages after the first; footer and number below each."""
    font = QFont(_FAMILY, 8)
    metrics = QFontMetricsF(font, painter.device())
    painter.setFont(font)
    painter.setPen(Qt.GlobalColor.darkGray)
    header = page.title if number else ""
    short = metrics.elidedText(header, Qt.TextElideMode.ElideRight, width)
    line = metrics.lineSpacing()
    painter.drawText(QRectF(0, 0, width, line), Qt.AlignmentFlag.AlignLeft, short)
    below = QRectF(0, height - line, width, line)
    painter.drawText(below, Qt.AlignmentFlag.AlignLeft, page.footer)
    count = page.presentation.text("report.page_of", number=number + 1, last=last + 1)
    painter.drawText(below, Qt.AlignmentFlag.AlignRight, count)
