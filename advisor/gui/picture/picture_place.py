"""The place beside the questions; the picture comes into it once the first question stands."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from advisor.gui.navigator import Navigator

if TYPE_CHECKING:
    from advisor.gui.picture.picture_side import PictureSide

AFTER_FIRST_PAINT = 20
"""Milliseconds after which the picture follows the first question."""


class PicturePlace(QWidget):
    """Holds the section and the bars, and makes them when they are first needed."""

    chosen = Signal(object)
    """The method whose bar was pressed."""

    def __init__(self, navigator: Navigator, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._navigator = navigator
        self._picture: PictureSide | None = None
        self._beside = True
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)

    @property
    def made(self) -> bool:
        """Whether the picture is there already."""
        return self._picture is not None

    @property
    def picture(self) -> PictureSide:
        """Section and bars."""
        if self._picture is None:
            from advisor.gui.picture.picture_side import PictureSide

            self._picture = PictureSide(self._navigator, self)
            self._picture.bars.chosen.connect(self.chosen)
            self.turn(self._beside)
            self._layout.addWidget(self._picture)
            self._picture.show()
        return self._picture

    def turn(self, beside: bool) -> None:
        """Section over bars where it stands beside the questions, else side by side."""
        self._beside = beside
        if self._picture is not None:
            across, down = Qt.Orientation.Horizontal, Qt.Orientation.Vertical
            self._picture.setOrientation(down if beside else across)

    def follow_soon(self) -> None:
        """After the first question: the advisor, then the picture, so that no key waits long."""
        if not self.made:
            QTimer.singleShot(AFTER_FIRST_PAINT, self, self._load_advisor)

    def make(self) -> None:
        """Make the picture now."""
        _ = self.picture

    def _load_advisor(self) -> None:
        _ = self._navigator.session.advice
        QTimer.singleShot(0, self, self.make)
