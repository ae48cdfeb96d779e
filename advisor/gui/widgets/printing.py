"""A PDF on a printer: the pages as they are in the file, each as one picture."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QMarginsF, QRectF
from PySide6.QtGui import QImage, QPageLayout, QPageSize, QPainter
from PySide6.QtPrintSupport import QPrinter

FINEST = 300
"""Dots per inch a page is drawn at; a printer that can do more gains nothing a reader sees."""
POINTS = 72.0


def set_up(printer: QPrinter, paper: str) -> None:
    """Whole pages of that paper: the margins are in the PDF already."""
    size = QPageSize.PageSizeId.Letter if paper == "Letter" else QPageSize.PageSizeId.A4
    layout = QPageLayout(QPageSize(size), QPageLayout.Orientation.Portrait, QMarginsF())
    layout.setMode(QPageLayout.Mode.FullPageMode)
    printer.setPageLayout(layout)
    printer.setFullPage(True)


def print_pdf(path: Path, printer: QPrinter) -> None:
    """Print the pages that the printer was told to, all where it was told none.

    Raises OSError where the file cannot be read as a PDF or the printer takes nothing.
    """
    import pypdfium2

    try:
        document = pypdfium2.PdfDocument(path)
    except pypdfium2.PdfiumError as error:
        raise OSError(f"{path}: cannot be read as a PDF: {error}") from None
    first, last = printer.fromPage() or 1, printer.toPage() or len(document)
    painter = QPainter()
    if not painter.begin(printer):
        document.close()
        raise OSError(f"{printer.printerName() or 'The printer'} takes nothing")
    try:
        for number in range(first - 1, min(last, len(document))):
            if number > first - 1:
                printer.newPage()
            _print_page(document[number], printer, painter)
    finally:
        painter.end()
        document.close()


def _print_page(page: object, printer: QPrinter, painter: QPainter) -> None:
    """One page as large as the sheet allows, without distorting it."""
    scale = min(printer.resolution(), FINEST) / POINTS
    bitmap = page.render(scale=scale, rev_byteorder=False)  # type: ignore[attr-defined]
    picture = bitmap.to_pil().convert("RGB")
    wide, high = picture.size
    image = QImage(picture.tobytes(), wide, high, 3 * wide, QImage.Format.Format_RGB888)
    sheet = QRectF(printer.paperRect(QPrinter.Unit.DevicePixel))
    fit = min(sheet.width() / wide, sheet.height() / high)
    target = QRectF(0.0, 0.0, wide * fit, high * fit)
    target.moveCenter(QRectF(0.0, 0.0, sheet.width(), sheet.height()).center())
    painter.drawImage(target, image)
