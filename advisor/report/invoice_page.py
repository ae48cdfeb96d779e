"""The page for the invoice: put together and written as PDF."""

from __future__ import annotations

from pathlib import Path

from advisor.facts.whole_file import write_whole
from advisor.report.content.invoice import (
    InvoicePage,
    ShopHead,
    build_invoice_page,
    two_sentences,
    years_of,
)
from advisor.report.formats.pdf_invoice import render

__all__ = ["InvoicePage", "ShopHead", "build_invoice_page", "two_sentences", "write_invoice_page",
           "years_of"]


def write_invoice_page(page: InvoicePage, path: Path) -> None:
    """Write the page as PDF, whole or not at all.

    Raises ValueError where the page is refused or the suffix is another, OSError where the
    folder cannot be written to.
    """
    if page.refused:
        raise ValueError(page.refused)
    if path.suffix.lower() != ".pdf":
        raise ValueError(f"{path}: cannot write {path.suffix or 'no suffix'}; accepted: .pdf")
    write_whole(path, render(page))
