"""Which papers the case in the window needs, with what the station gave to be picked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QDialog, QGridLayout, QPushButton, QVBoxLayout, QWidget

from advisor.facts.case import VEHICLE
from advisor.facts.faults import BadInput
from advisor.gui import theme
from advisor.gui.widgets.document_view import DocumentView
from advisor.gui.widgets.page import label
from advisor.papers.burn.rule_sets import shipped_rules
from advisor.papers.needs.evidence import (
    NOT_KNOWN,
    evidence_rules,
    layers_of,
    needs_of,
    rivals_of,
)
from advisor.papers.needs.page import build_needs_page
from advisor.session.case_session import Session

if TYPE_CHECKING:
    from advisor.papers.materials.lot import Lot

WAITING = "Part and damage come first; then this says which papers each material is asked for."


class NeedsDialog(QDialog):
    """Rule set, item and operator as given, above; what follows from them below."""

    def __init__(
        self, session: Session, lots: Mapping[str, Lot], given: tuple[str | None, str | None],
        parent: QWidget,
    ) -> None:  # fmt: skip
        """``given`` are rule set and operator of the hand-over record, None where not given."""
        super().__init__(parent)
        self.setWindowTitle("Papers that this case needs")
        self._session, self._lots = session, lots
        self.vehicle = session.case.choice(VEHICLE) or ""
        known = evidence_rules().vehicles.get(self.vehicle)
        burn = shipped_rules().sets
        names = [*(known.rule_sets if known else ()), NOT_KNOWN]
        self.rule_set = self._box("Rule set", [(name, burn[name].title) for name in names])
        self.item = self._box("Class of item", [])
        operators = evidence_rules().operators.items() if known and known.certified else ()
        self.operator = self._box("Operator", [(key, one.title) for key, one in operators])
        self.rule_set.setCurrentIndex(max(self.rule_set.findData(given[0] or ""), 0))
        self.operator.setCurrentIndex(max(self.operator.findData(given[1] or ""), 0))
        grid = QGridLayout()
        shown = [("Rule set", self.rule_set), ("Class of item", self.item)]
        shown += [("Operator", self.operator)] if self.operator.count() > 1 else []
        self.operator.setVisible(self.operator.count() > 1)
        for column, (title, box) in enumerate(shown):
            grid.addWidget(label(title, "small", self), 0, column)
            grid.addWidget(box, 1, column)
        self.view = DocumentView(self)
        self.close_button = QPushButton("Close", self)
        self.close_button.setMinimumHeight(theme.TARGET)
        self.close_button.clicked.connect(self.accept)
        whole = QVBoxLayout(self)
        whole.setSizeConstraint(QVBoxLayout.SizeConstraint.SetNoConstraint)
        whole.addWidget(label(
            "As the station or the operator gave it; what nobody has given stays empty.", "", self
        ))  # fmt: skip
        whole.addLayout(grid)
        whole.addWidget(self.view, 1)
        whole.addWidget(self.close_button, 0, Qt.AlignmentFlag.AlignRight)
        self.resize(parent.size() * 0.96)
        self._fill_items()
        self.rule_set.currentIndexChanged.connect(lambda _: self._fill_items())
        for box in (self.item, self.operator):
            box.currentIndexChanged.connect(lambda _: self.redraw())

    def _box(self, title: str, options: Sequence[tuple[str, str]]) -> QComboBox:
        box = QComboBox(self)
        box.setAccessibleName(title)
        box.setMinimumHeight(theme.TARGET - 4)
        box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        box.addItem("not given", "")
        for key, words in options:
            box.addItem(words, key)
        return box

    def _fill_items(self) -> None:
        given = shipped_rules().sets.get(str(self.rule_set.currentData()))
        self.item.blockSignals(True)
        self.item.clear()
        self.item.addItem("not given", "")
        for key, item in (given.items if given else {}).items():
            self.item.addItem(item.title, key)
        self.item.blockSignals(False)
        self.item.setEnabled(self.item.count() > 1)
        self.redraw()

    def redraw(self) -> None:
        """What follows from the answers and from what is given."""
        session = self._session
        if not session.begun:
            self.view.clear()
            self.view.column.addWidget(label(WAITING, "", self.view.inside))
            return
        advice, case = session.advice, session.case
        try:
            needs = needs_of(
                self.vehicle, layers_of(advice), rule_set=_told(self.rule_set),
                item=_told(self.item), operator=_told(self.operator), rivals=rivals_of(advice),
                lots=self._lots.values(),
            )  # fmt: skip
        except BadInput as error:  # a rule set of the record that is for another vehicle
            self.view.clear()
            self.view.column.addWidget(label(str(error), "fault", self.view.inside))
            return
        options = {option.key: option.title for option in session.pack.facts[VEHICLE].options}
        called = options.get(self.vehicle, self.vehicle)
        self.view.show_document(build_needs_page(needs, called, case.name, case.title))


def _told(box: QComboBox) -> str | None:
    return str(box.currentData()) or None
