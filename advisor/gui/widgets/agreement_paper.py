"""The agreement to begin from, written where one wants it and opened."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QWidget

from advisor.gui.widgets import dialogs

AGREEMENT = "Agreement, a starting text..."


def write_agreement(parent: QWidget, folder: Path, shop: str, station: str) -> None:
    """Ask where to, and write it; names that are not known are lines to write on."""
    from advisor.papers.agreement.page import build_agreement
    from advisor.report.formats.any_form import write_document

    path = dialogs.ask_export(parent, folder / "agreement.pdf")
    if path is None:
        return
    try:
        write_document(build_agreement(shop, station), path)
    except (OSError, ValueError) as error:
        why = dialogs.not_written(path, error)
        dialogs.show_faults(parent, "The agreement was not written.", [why])
        return
    dialogs.open_written(parent, path)
