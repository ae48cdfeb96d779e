"""Questions and picture: side by side in a wide window, one over the other in a narrow one."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, QTimer
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSplitter, QWidget

from advisor.gui.picture.picture_place import PicturePlace

WIDE = 1000
"""Width in px from which the picture stands beside the question."""
MIDDLE = 1150
"""Width in px below which the question takes a larger share."""
LARGE = 1600
"""Width in px from which the picture takes the larger share."""
LOW = 560
"""Height in px below which a picture under the question would leave it no room."""
ALARM = 100
"""Height in px that it takes more of where a stop is said above the question."""


class WindowSplitter(QSplitter):
    """Turns when the window gets wide or narrow; a share set by hand stays until then."""

    def __init__(self, left: QWidget, side: PicturePlace, parent: QWidget | None = None) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self.setChildrenCollapsible(False)
        self.setHandleWidth(10)
        self.addWidget(left)
        self.addWidget(side)
        self._side = side
        self._wide: bool | None = None
        self._share = 0.0
        self._wanted = True
        self._need = LOW

    def fit(self, window: QSize) -> None:
        """Turn as a window of this size needs it."""
        wide = window.width() >= WIDE
        beside = 0.62 if window.width() < MIDDLE else 0.55 if window.width() < LARGE else 0.47
        total, share = (window.width(), beside) if wide else (window.height(), 0.61)
        if wide is self._wide and share == self._share:
            return
        self._wide, self._share = wide, share
        self.setOrientation(Qt.Orientation.Horizontal if wide else Qt.Orientation.Vertical)
        self._side.turn(wide)
        self._show_side()
        self.setSizes([int(share * total), int((1 - share) * total)])

    def want(self, picture: bool, alarmed: bool) -> None:
        """Whether the screen wants its picture, and whether a stop is said above it."""
        self._wanted, self._need = picture, LOW + ALARM * alarmed
        self._show_side()

    def _show_side(self) -> None:
        """The question goes before the picture where there is no room for both."""
        self._side.setVisible(self._wanted and (bool(self._wide) or self.height() >= self._need))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Room for both, or not."""
        super().resizeEvent(event)
        QTimer.singleShot(0, self, self._show_side)
