"""Measures and wishes of one job: what was measured at the vehicle, what is agreed."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtWidgets import QComboBox, QLineEdit, QPlainTextEdit, QWidget

from advisor.facts.case import Case
from advisor.gui.widgets.form_dialog import FormDialog
from advisor.job.measured_and_agreed import HollowShape
from advisor.job.model import JobSheet
from advisor.job.parse_agreed import WishError
from advisor.session import job_measures
from advisor.session.job_measures import TITLES

INTRO = "What you leave empty is assumed to be usual, and the sheet says so."
HINTS = {
    "certainty": "of 100, 50 to 99; empty: as in Prices and rates",
    "distance": "km, or with mi; empty: the usual way",
    "hollow": "mm, or with in: 120x80x25",
    "humidity": "%, 20 to 90; empty: 60",
    "area": "m2, or with ft2",
    "bridge": "mm, or with in",
    "panels": "finished sizes in mm, one a line: Top 1900x550, or Ends 550x100x2 for two alike",
    "roll": "mm, or with in; empty: 1370",
    "repeat": "mm, or with in; empty: plain cloth",
}

#: Amounts of a job sheet that a measure changes.
CHANGES = {
    "hollow": "hollow", "can_cure": "humidity", "colour_area": "area", "bridge": "bridge",
}


def wanted(sheet: JobSheet) -> tuple[str, ...]:
    """The measures that change something in this job."""
    keys = {amount.key for group in sheet.groups for amount in group.amounts}
    found = ["certainty", "distance"]
    found += [measure for amount, measure in CHANGES.items() if amount in keys]
    if sheet.cut is not None or "foam_length" in keys:
        found.append("panels")
    if sheet.cut is not None and sheet.cut.hides is None:
        found += ["roll", "repeat", "nap"]
    return tuple(found)


class MeasuresDialog(FormDialog):
    """Keeps what is written for the case; the job page then calculates with it."""

    def __init__(self, case: Case, sheet: JobSheet, parent: QWidget | None = None) -> None:
        super().__init__("Measures and wishes", INTRO, parent)
        self.case = case
        self.before = job_measures.kept(case)
        self.lines: dict[str, QLineEdit] = {}
        self.shape: QComboBox | None = None
        self.nap: QComboBox | None = None
        self.panels: QPlainTextEdit | None = None
        for name in wanted(sheet):
            self._add(name)
        self.grid.setRowStretch(self.grid.rowCount(), 1)

    def _add(self, name: str) -> None:
        written = self.before.get(name, "")
        if name == "panels":
            self.panels = QPlainTextEdit(written, self.inside)
            self.panels.setTabChangesFocus(True)
            self.panels.setFixedHeight(120)
            self.add(TITLES[name], self.panels, HINTS[name])
            return
        if name == "nap":
            self.nap = self._choice(["", "one way", "any way"], written)
            self.nap.setItemText(0, "as the material has it")
            self.add(TITLES[name], self.nap, "one way: every panel lies alike")
            return
        if name == "hollow":
            self.shape = self._choice(list(HollowShape), self.before.get("shape", ""))
            self.add("Hollow is like a", self.shape, "shallow: a flat dish")
        line = QLineEdit(written, self.inside)
        self.add(TITLES[name], line, HINTS[name])
        self.lines[name] = line

    def _choice(self, keys: Sequence[str], picked: str) -> QComboBox:
        box = QComboBox(self.inside)
        for key in keys:
            box.addItem(key, str(key))
        box.setCurrentIndex(max(box.findData(picked), 0))
        return box

    def texts(self) -> dict[str, str]:
        """What is written now; what has no field here stays as it was."""
        found = dict(self.before) | {name: line.text() for name, line in self.lines.items()}
        if self.shape is not None:
            found["shape"] = str(self.shape.currentData())
        if self.nap is not None:
            found["nap"] = str(self.nap.currentData())
        if self.panels is not None:
            found["panels"] = self.panels.toPlainText()
        return found

    def changed(self) -> bool:
        """Whether anything was written that is not kept."""
        now = {key: text for key, text in self.texts().items() if text.strip()}
        shape = now.get("shape") in (None, str(HollowShape.DISH)) and "shape" not in self.before
        if shape:
            now.pop("shape", None)
        return now != self.before

    def take(self) -> Sequence[str]:
        """Read it as the job sheet will, then keep it."""
        texts = self.texts()
        try:
            job_measures.to_wishes(texts)
            job_measures.keep(self.case, texts)
        except WishError as error:
            return error.faults
        except OSError as error:
            return (f"It cannot be kept: {error.strerror or error}",)
        return ()
