"""Pages as a PDF at true scale, each cloth embedded once, letters embedded."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Final

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QMarginsF
from PySide6.QtGui import QPageLayout, QPageSize, QPainter, QPdfWriter

from quiltboard.paint.cloth_book import ClothBook
from quiltboard.paint.offscreen import ensure_gui
from quiltboard.paint.painter import paint
from quiltboard.sheets.paper import Page, Paper
from quiltboard.store.safe_write import write_safely

RESOLUTION_DPI: Final = 1200
CLOTH_PX_PER_MM: Final = 150 / 25.4
"""How finely cloth is embedded; printers show no more of a print."""
_SIZES: Final[dict[Paper, QPageSize.PageSizeId]] = {
    "a4": QPageSize.PageSizeId.A4,
    "letter": QPageSize.PageSizeId.Letter,
}


def pdf_bytes(pages: Sequence[Page], title: str, cloths: ClothBook | None = None) -> bytes:
    """Paint pages as a PDF.

    Nothing is ever scaled to fit: a millimetre of a page's drawing is a millimetre of paper.

    Parameters
    ----------
    pages
        In their order; each on its own paper.
    title
        The document's title.
    cloths
        Textures to share.

    Raises
    ------
    ValueError
        If there is no page.
    """
    if not pages:
        raise ValueError("a PDF has at least one page")
    ensure_gui()
    book = cloths or ClothBook()
    kept = QByteArray()
    buffer = QBuffer(kept)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    writer.setResolution(RESOLUTION_DPI)
    writer.setTitle(title)
    writer.setCreator("Quiltboard")
    # A margin that is not zero would shift the origin.
    writer.setPageMargins(QMarginsF(0, 0, 0, 0), QPageLayout.Unit.Millimeter)
    writer.setPageSize(QPageSize(_SIZES[pages[0].paper]))
    with QPainter(writer) as painter:
        for index, page in enumerate(pages):
            if index:
                writer.setPageSize(QPageSize(_SIZES[page.paper]))
                writer.newPage()
            paint(
                page.drawing,
                painter,
                book,
                RESOLUTION_DPI / 25.4,
                cloth_px_per_mm=CLOTH_PX_PER_MM,
            )
    buffer.close()
    return bytes(kept.data())


def write_pdf(
    pages: Sequence[Page], path: Path, title: str, cloths: ClothBook | None = None
) -> None:
    """Write pages as a PDF file, whole or not at all.

    Raises
    ------
    ValueError
        If there is no page.
    StoreError
        If the file cannot be written; the message names it and says what would help.
    """
    write_safely(path, pdf_bytes(pages, title, cloths))
