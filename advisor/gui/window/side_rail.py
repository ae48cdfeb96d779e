"""The rail at the left: the places of the program."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QSizePolicy, QToolButton, QVBoxLayout, QWidget

from advisor.gui import theme

WIDE = 88


class SideRail(QWidget):
    """One button a place; ``here`` is pressed in."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("places")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.buttons: dict[str, QToolButton] = {}
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(4, 6, 4, 6)
        self._column.setSpacing(4)
        self._column.addStretch(1)
        self._above = 0
        """Places above the room that is left."""

    def add(
        self, name: str, icon: str, tip: str, go: Callable[[], object], below: bool = False
    ) -> None:
        """A place with its icon; ``below`` puts it at the foot."""
        button = QToolButton(self)
        button.setObjectName("places")
        button.setText(name)
        button.setAccessibleName(name)
        button.setToolTip(tip)
        button.setProperty("drawn", icon)
        button.setCheckable(True)
        button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextUnderIcon)
        button.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        button.clicked.connect(lambda: go())
        self._column.insertWidget(self._column.count() if below else self._above, button)
        self._above += not below
        self.buttons[name] = button

    def show_here(self, name: str) -> None:
        """Press in the place that is shown."""
        for title, button in self.buttons.items():
            button.setChecked(title == name)

    def dress(self) -> None:
        """Draw the icons in the theme in use."""
        from PySide6.QtGui import QIcon

        from advisor.gui.widgets.icons import icon, icon_file, picture

        self.setFixedWidth(max(WIDE, theme.px(WIDE)))
        for button in self.buttons.values():
            drawn, size = str(button.property("drawn")), theme.px(24)
            found = icon(drawn, "RAIL_INK", size)
            # The place that is pressed in has another ground.
            here = picture(icon_file(drawn), QSize(size, size), "RAIL_HERE_INK")
            found.addPixmap(here, QIcon.Mode.Normal, QIcon.State.On)
            button.setIcon(found)
            button.setIconSize(QSize(theme.px(24), theme.px(24)))
            button.setMinimumHeight(theme.px(58))
