"""A photo of the damaged part in the place of its section, as large as there is room for."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPixmap
from PySide6.QtWidgets import QSizePolicy, QWidget

from advisor.gui import theme


class PhotoView(QWidget):
    """Shows one photo whole."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._picture = QPixmap()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def show_photo(self, data: bytes, said: str) -> None:
        """A photo as JPEG, and what it is for someone who cannot see it."""
        self._picture = QPixmap()
        self._picture.loadFromData(data)
        self.setAccessibleName(said)
        self.update()

    def minimumSizeHint(self) -> QSize:
        """As the section that it stands in the place of."""
        return QSize(330, theme.px(92))

    def paintEvent(self, event: QPaintEvent) -> None:
        """The photo in the middle."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor(theme.PAPER))
        if not self._picture.isNull():
            scaled = self._picture.scaled(
                self.size(), Qt.AspectRatioMode.KeepAspectRatio,
                Qt.TransformationMode.SmoothTransformation,
            )  # fmt: skip
            room = self.size() - scaled.size()
            painter.drawPixmap(QPoint(room.width() // 2, room.height() // 2), scaled)
        painter.end()
