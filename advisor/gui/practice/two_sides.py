"""The case at the left and what is done with it at the right; below each other where narrow."""

from __future__ import annotations

from PySide6.QtWidgets import QBoxLayout, QWidget

SIDE_BY_SIDE = 700
"""Width in px from which both stand beside each other."""


class TwoSides(QBoxLayout):
    """Shares its widget between two, 5 to 4 or as told; ``turn`` as it gets wide or narrow."""

    def __init__(
        self, parent: QWidget, left: QWidget, right: QWidget, shares: tuple[int, int] = (5, 4)
    ) -> None:
        super().__init__(QBoxLayout.Direction.LeftToRight, parent)
        self.setContentsMargins(0, 0, 0, 0)
        self.addWidget(left, shares[0])
        self.addWidget(right, shares[1])

    def turn(self, width: int) -> None:
        """As a widget of this width in px needs it."""
        across, down = QBoxLayout.Direction.LeftToRight, QBoxLayout.Direction.TopToBottom
        self.setDirection(across if width >= SIDE_BY_SIDE else down)
