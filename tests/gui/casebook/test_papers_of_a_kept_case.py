"""A lot taken into the papers is noted for the job, and the job is in the audit. Own rules."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QDialog, QPushButton

from advisor.facts.case import Case
from advisor.gui.audit.audit_dialog import AuditDialog
from advisor.gui.handover.papers_dialog import PapersDialog
from advisor.gui.window.main_window import MainWindow
from advisor.papers.materials.lot import lot_of
from advisor.papers.materials.on_hand import jobs_that_used, put
from advisor.session.casebook_keeping import CaseKeeping
from tests.unit.papers.handover.test_pack import LOT


def at(kind: type[QDialog], act: Callable[[QDialog], None]) -> None:
    """Have something done once a dialog of this kind is there."""

    def look() -> None:
        dialog = QApplication.activeModalWidget()
        if isinstance(dialog, kind):
            act(dialog)
        else:
            QTimer.singleShot(20, look)

    QTimer.singleShot(20, look)


def press(dialog: QDialog, name: str) -> None:
    buttons = dialog.findChildren(QPushButton)
    next(one for one in buttons if name in (one.accessibleName() or one.text())).click()


def test_a_lot_in_the_papers_names_the_job_and_the_audit_finds_it(
    qtbot, kept_window: MainWindow, keeping: CaseKeeping, tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    lot = lot_of({**LOT, "use_by": "none stated"})
    keep_lot = partial(put, lot=lot, files=(), at=1, author="Ada")
    keeping.ask(lambda book: book.write(keep_lot)).result(20)
    session = kept_window.session
    facts = {"vehicle.kind": ("aircraft",), "part.kind": ("armrest",)}
    session._replace(Case("HB-9", "Club seat", facts), None)
    kept_window.navigator.refresh()
    done: list[str] = []

    def take(dialog: QDialog) -> None:
        assert isinstance(dialog, PapersDialog)
        press(dialog, "From materials on hand...")
        done.append(dialog.state.text())
        dialog.accept()

    chosen = ("HB-L-7: seam thread", True)
    monkeypatch.setattr("PySide6.QtWidgets.QInputDialog.getItem", lambda *_: chosen)
    monkeypatch.setattr("PySide6.QtWidgets.QInputDialog.getText", lambda *_, **__: ("3 m", True))
    at(PapersDialog, take)
    kept_window.papers.hand_over()
    qtbot.waitUntil(lambda: bool(done), timeout=20_000)

    def jobs() -> list[tuple[str, str]]:
        asked = partial(jobs_that_used, name="HB-L-7")
        found = keeping.ask(lambda book: book.read(asked)).result(20)
        return [(use.job, use.amount) for use in found]

    qtbot.waitUntil(lambda: jobs() == [("Club seat", "3 m")], timeout=20_000)
    assert jobs() == [("Club seat", "3 m")]

    def look(dialog: QDialog) -> None:
        assert isinstance(dialog, AuditDialog)
        done.extend(job.case for job in dialog.audit.state().jobs)
        dialog.accept()

    at(AuditDialog, look)
    kept_window.show_audit()
    qtbot.waitUntil(lambda: len(done) > 1, timeout=20_000)
    assert done[1:] == ["HB-9"]
