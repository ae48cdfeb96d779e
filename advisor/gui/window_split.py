"""Questions and picture: side by side in a wide window, one over the other in a narrow one."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QSplitter, QWidget

from advisor.gui.picture_place import PicturePlace

WIDE = 1000
"""Width in px from which the picture stands beside the question."""


class WindowSplit(QSplitter):
    """Turns when the window gets wide or narrow; a share set by hand stays until then."""

    def __init__(self, left: QWidget, side: PicturePlace, parent: QWidget | None = None) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self.setChildrenCollapsible(False)
        self.setHandleWidth(10)
        self.addWidget(left)
        self.addWidget(side)
        self._side = side
        self._wide: bool | None = None

    def fit(self, window: QSize) -> None:
        """Turn as a window of this size needs it."""
        wide = window.width() >= WIDE
        if wide is self._wide:
            return
        self._wide = wide
        self.setOrientation(Qt.Orientation.Horizontal if wide else Qt.Orientation.Vertical)
        self._side.turn(wide)
        total, share = (window.width(), 0.52) if wide else (window.height(), 0.61)
        self.setSizes([int(share * total), int((1 - share) * total)])
