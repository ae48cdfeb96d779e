"""Icons and pictograms of our own: SVG files, drawn in the colours of the theme in use."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from PySide6.QtCore import QByteArray, QRectF, QSize, Qt
from PySide6.QtGui import QIcon, QPainter, QPixmap
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QApplication

from advisor import paths
from advisor.gui import theme

#: Colours as they stand in the files, and the token of the theme that takes their place.
TOKENS = {
    "#15191C": "INK", "#6A3B2A": "SKIN", "#96604A": "GRAIN", "#CDB894": "BACKING",
    "#F3E0AE": "FOAM", "#C9AC62": "CELLS", "#A9B4B9": "CARRIER", "#77848A": "HATCH",
    "#E0A526": "THREAD", "#8A1A15": "BAD", "#6E4300": "WARN", "#FFFFFF": "VOID",
}  # fmt: skip


def icon_file(name: str) -> Path:
    """File of a tool icon."""
    return paths.asset(f"icons/{name}.svg")


def icon(name: str, token: str = "INK", size: int = 24) -> QIcon:
    """A tool icon in the colour called ``token``; ``size`` in px before the screen's ratio."""
    return QIcon(picture(icon_file(name), QSize(size, size), token))


def picture(file: Path, size: QSize, ink: str = "INK") -> QPixmap:
    """A drawing as large as ``size`` allows, its outline in the colour called ``ink``."""
    app = QApplication.instance()
    ratio = app.devicePixelRatio() if isinstance(app, QApplication) else 1.0
    return _drawn(str(file), size.width(), size.height(), ink, theme.NAME, ratio)


@lru_cache(maxsize=512)
def _drawn(file: str, wide: int, high: int, ink: str, name: str, ratio: float) -> QPixmap:
    renderer = QSvgRenderer(QByteArray(recoloured(Path(file).read_text("utf-8"), ink).encode()))
    found = QPixmap(round(wide * ratio), round(high * ratio))
    found.setDevicePixelRatio(ratio)
    found.fill(Qt.GlobalColor.transparent)
    own = renderer.defaultSize()
    scale = min(wide / own.width(), high / own.height())
    box = QRectF(0, 0, own.width() * scale, own.height() * scale)
    box.moveCenter(QRectF(0, 0, wide, high).center())
    painter = QPainter(found)
    renderer.render(painter, box)
    painter.end()
    return found


def recoloured(svg: str, ink: str = "INK") -> str:
    """The drawing in the colours of the theme in use."""
    for written, token in TOKENS.items():
        shade = getattr(theme, ink if token == "INK" else token)
        svg = svg.replace(written, shade)
    return svg
