"""A document written in the form that the suffix of its file names."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from advisor.facts.whole_file import write_whole
from advisor.report.blocks import Document
from advisor.report.formats import html as html_form
from advisor.report.formats import pdf as pdf_form
from advisor.report.formats import text as text_form

WRITERS: dict[str, Callable[[Document], bytes]] = {
    ".pdf": pdf_form.render,
    ".html": lambda document: html_form.render(document).encode("utf-8"),
    ".txt": lambda document: text_form.render(document).encode("utf-8"),
}


def checked_suffix(path: Path) -> str:
    """The suffix of ``path``. Raises ValueError for another than .pdf, .html or .txt."""
    suffix = path.suffix.lower()
    if suffix not in WRITERS:
        found = path.suffix or "no suffix"
        raise ValueError(f"{path}: cannot write {found}; accepted: {', '.join(WRITERS)}")
    return suffix


def write_document(document: Document, path: Path) -> None:
    """Write ``document``, whole or not at all.

    Raises ValueError for a suffix as in `checked_suffix`, OSError where the folder cannot be
    written to.
    """
    write_whole(path, WRITERS[checked_suffix(path)](document))
