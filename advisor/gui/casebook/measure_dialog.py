"""Measuring on a photo over the window: lengths become answers, the photo is kept masked."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import Any

from PySide6.QtWidgets import QDialog, QVBoxLayout, QWidget

from advisor.facts.answer import check_value
from advisor.facts.case import Span
from advisor.facts.faults import AnswerError
from advisor.gui.casebook.measure_page import MeasurePage
from advisor.gui.navigator import Navigator
from advisor.gui.widgets import dialogs


def lengths_of(navigator: Navigator) -> tuple[tuple[str, str], ...]:
    """The questions of this case that a length on a photo answers."""
    pack, roles = navigator.session.pack, navigator.session.pack.roles
    asked = {decl.name for decl in pack.asked(navigator.session.case)}
    wanted = (roles.damage_length, roles.damage_opening, roles.stitch_pitch)
    return tuple((name, pack.facts[name].title) for name in wanted if name in asked)


class MeasureDialog(QDialog):
    """One photo."""

    def __init__(self, path: Path, navigator: Navigator, parent: QWidget) -> None:
        """Raises OSError or ValueError where the photo cannot be read."""
        from advisor.casebook.photos.pictures import opened

        super().__init__(parent)
        self.setWindowTitle(f"Measure on {path.name}")
        self._navigator, self._path = navigator, path
        pitches = (navigator.session.pack.roles.stitch_pitch,)
        photo = opened(path.read_bytes())
        self.page = MeasurePage(photo, lengths_of(navigator), self, pitches)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSizeConstraint(QVBoxLayout.SizeConstraint.SetNoConstraint)
        layout.addWidget(self.page)
        self.page.measured.connect(self._answer)
        self.page.kept.connect(self._keep)
        self.resize(parent.size() * 0.98)

    def _answer(self, fact: str, span: Span) -> None:
        """The length becomes an answer, unless no such part can have it."""
        decl = self._navigator.session.pack.facts[fact]
        try:
            self._navigator.answer(fact, check_value(decl, span.written))
        except AnswerError as error:
            dialogs.show_faults(self, "This cannot be the answer.", [str(error)])
            return
        self.page.told.setText(f"{decl.title}: {span.written}. It is in the case.")

    def _keep(self, data: bytes) -> None:
        session, keeping = self._navigator.session, self._navigator.session.keeping
        if keeping is None or not session.begun:
            dialogs.show_faults(self, "The photo was not kept.", ["Answer something first."])
            return
        keeping.keep(session.case)  # one of a file that nobody has answered in yet
        kept = keeping.ask(partial(_attached, key=keeping.keeper.key, data=data,
                                   name=self._path.name))  # fmt: skip
        dialogs.wait_for(self, "The photo goes into the casebook.", kept.done)
        error = kept.exception() if kept.done() else None
        if error is not None:
            dialogs.show_faults(self, "The photo was not kept.", [str(error)])
        elif kept.done():
            masked = ", the face of the card masked" if self.page.by_card else ""
            self.page.told.setText(f"The photo is in the casebook{masked}.")


def _attached(book: Any, key: str, data: bytes, name: str) -> None:
    from advisor.casebook.journal.keeper import now_ms
    from advisor.casebook.photos.attached import BEFORE, attach

    book.write(partial(attach, key=key, data=data, name=name, moment=BEFORE, at=now_ms(),
                       store=book.files))  # fmt: skip


def measure(navigator: Navigator, parent: QWidget) -> None:
    """Ask for a photo and measure on it."""
    for name in dialogs.ask_photos(parent)[:1]:
        try:
            dialog = MeasureDialog(Path(name), navigator, parent)
        except (OSError, ValueError) as error:
            dialogs.show_faults(parent, f"{Path(name).name} cannot be used.", [str(error)])
            return
        dialog.exec()
        dialog.deleteLater()
