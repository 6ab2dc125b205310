"""The page as PDF (PDF/A-1b, fonts embedded). The one file of this room that knows Qt."""

from pathlib import Path

from PySide6.QtCore import QMarginsF
from PySide6.QtGui import QFont, QPageLayout, QPageSize, QPdfWriter, QTextDocument

__all__ = ["write_pdf"]


def write_pdf(html: str, path: Path, *, title: str, letter: bool) -> None:
    """Write a page of rich text as PDF; a Qt application must exist.

    Args:
        letter: US Letter instead of A4.

    Raises:
        OSError: the file cannot be written.
    """
    path.open("ab").close()  # Qt says nothing of a file that it cannot open
    writer = QPdfWriter(str(path))
    writer.setPdfVersion(QPdfWriter.PdfVersion.PdfVersion_A1b)
    writer.setTitle(title)
    writer.setCreator("benchmeter")
    size = QPageSize.PageSizeId.Letter if letter else QPageSize.PageSizeId.A4
    writer.setPageSize(QPageSize(size))
    writer.setPageMargins(QMarginsF(18, 15, 18, 15), QPageLayout.Unit.Millimeter)
    writer.setResolution(300)
    document = QTextDocument()
    document.documentLayout().setPaintDevice(writer)
    document.setDefaultFont(QFont(QFont().family(), 10))
    document.setHtml(html)
    document.setPageSize(writer.pageLayout().paintRectPixels(writer.resolution()).size().toSizeF())
    document.print_(writer)
