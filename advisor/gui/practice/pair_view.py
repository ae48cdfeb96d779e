"""Two cases that differ in one fact, their sections side by side on one scale."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from advisor.advice.advise import advise_quick
from advisor.facts.quantity import System
from advisor.gui.widgets.section_view import SectionView
from advisor.practice.reveal import Reveal
from advisor.rulegraph.model.pack import RulePack
from advisor.wording.sentences import lowered

LEAST = 160
"""Width of a section in px."""
WORLDS = 512
"""Simulated cases behind the section of the other case."""


class PairView(QWidget):
    """This case at the left, the one with one fact changed at the right, each with its repair."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.titles, self.views = (QLabel(self), QLabel(self)), (
            SectionView(self), SectionView(self))  # fmt: skip
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        for place, (title, view) in enumerate(zip(self.titles, self.views, strict=True)):
            title.setObjectName("section")
            title.setWordWrap(True)
            view.setMinimumWidth(LEAST)  # with large text the words beside it have the room
            grid.addWidget(title, 0, place, Qt.AlignmentFlag.AlignTop)
            grid.addWidget(view, 1, place)
            grid.setColumnStretch(place, 1)
        grid.setRowStretch(1, 1)

    def show_pair(self, shown: Reveal, pack: RulePack, system: System) -> None:
        """Both cases of a round; nothing where it has no other."""
        if shown.twin is None:
            return
        other = advise_quick(shown.twin.case.hidden, pack, WORLDS, rough=True).advice
        for title, view, name, advice, right in zip(
            self.titles, self.views, ("This case", "One fact changed"), (shown.advice, other),
            (shown.right_title, shown.twin.right_title), strict=True,
        ):  # fmt: skip
            title.setText(f"{name}: {lowered(right)}")
            view.show_advice(advice, pack, system)
