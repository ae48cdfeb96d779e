"""The bar on top: what the case is called, its stages, undo and redo, and the menu."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QMenu, QToolButton, QVBoxLayout, QWidget

from advisor.gui import theme
from advisor.gui.navigator import Navigator
from advisor.gui.widgets.fitted_words import ElidedLabel
from advisor.gui.window.stage_bar import StageBar

NARROW = 900
"""Below this width in px the name of the case gives way to the stages."""


class TopBar(QWidget):
    """Dark, above every screen of a case."""

    def __init__(self, navigator: Navigator, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("topbar")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.stages = StageBar(navigator, self)
        self.title, self.kept = ElidedLabel(self), QLabel(self)
        self.title.setObjectName("railname")
        self.kept.setObjectName("railsmall")
        self.undo = self._tool("Undo", "undo", "Ctrl+Z")
        self.redo = self._tool("Redo", "redo", "Ctrl+Y")
        self.photo = self._tool("Photo", "camera", "Photos of the damage")
        self.menu_button = self._tool("Menu", "menu", "F10")
        self.menu = QMenu(self)
        self.menu_button.setMenu(self.menu)
        self.menu_button.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.names = QWidget(self)
        column = QVBoxLayout(self.names)
        column.setContentsMargins(12, 4, 8, 4)
        column.setSpacing(0)
        column.addWidget(self.title)
        column.addWidget(self.kept)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 6, 0)
        row.setSpacing(2)
        row.addWidget(self.names, 3)
        row.addWidget(self.stages, 5)
        for button in (self.undo, self.redo, self.photo, self.menu_button):
            row.addWidget(button)

    def _tool(self, name: str, icon: str, tip: str) -> QToolButton:
        button = QToolButton(self)
        button.setObjectName("places")
        button.setAccessibleName(name)
        button.setToolTip(f"{name}: {tip}" if tip else name)
        button.setProperty("drawn", icon)
        button.setFixedSize(theme.TARGET, theme.TARGET)
        return button

    def dress(self) -> None:
        """Draw the icons in the theme in use."""
        from advisor.gui.widgets.icons import icon

        for button in self.findChildren(QToolButton):
            name = button.property("drawn")
            if name:
                button.setIcon(icon(str(name), "RAIL_INK", theme.px(24)))
                button.setIconSize(QSize(theme.px(24), theme.px(24)))
                side = theme.TARGET
                button.setFixedSize(side, side)

    def show_name(self, name: str, kept: str) -> None:
        """What the case is called, and whether it is kept."""
        self.title.setText(name)
        self.title.setToolTip(name)
        self.kept.setText(kept)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The name where there is room."""
        super().resizeEvent(event)
        self.names.setVisible(self.width() >= theme.px(NARROW))
