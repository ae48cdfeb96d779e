"""Drawings to scale on a PDF page: cutting layouts and timelines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.report.blocks import Oblong, Sketch, Tone
from advisor.report.formats.pdf_bars import FONT, INK, QUIET

if TYPE_CHECKING:
    from reportlab.graphics.shapes import Drawing, Rect

GROUND, EDGE = "#f4f6f7", "#34495a"
FILLS = {Tone.WARN: ("#fff4dc", "#7a4b00")}
FILL = ("#d7e3ea", EDGE)
ROW = 14.0
"""Height of a rectangle where the drawing is not to scale, in points."""
TALLEST = 230.0
FOOT = 12.0
TICK = 7.0
"""Size of the letters at the marks."""


def sketch_drawing(block: Sketch, width: float) -> Drawing:
    """``block`` at most ``width`` points wide; one scale both ways where it is true."""
    from reportlab.graphics.shapes import Drawing, String
    from reportlab.lib.colors import HexColor
    from reportlab.pdfbase.pdfmetrics import stringWidth

    across = width / block.width
    if block.true_scale:
        across = min(across, TALLEST / block.height)
    rows = max(len(block.oblongs), 1)
    up = across if block.true_scale else ROW * rows / block.height
    tall = block.height * up
    drawing = Drawing(width, tall + FOOT)
    wide = block.width * across
    drawing.add(_rect(0.0, FOOT, wide, tall, (GROUND, EDGE)))
    for oblong in block.oblongs:
        _oblong(drawing, oblong, across, up, tall, wide, true_scale=block.true_scale)
    free = 0.0
    for tick in block.ticks:
        taken = stringWidth(tick.label, FONT, TICK)
        back = 0.0 if tick.at < 0.05 else 1.0 if tick.at > 0.95 else 0.5
        start = tick.at * wide - back * taken
        if start >= free:  # a narrow drawing has no room for every mark
            drawing.add(
                String(start, 2, tick.label, fontName=FONT, fontSize=TICK,
                       fillColor=HexColor(QUIET))
            )  # fmt: skip
            free = start + taken + TICK
    return drawing


def _oblong(
    drawing: Drawing, oblong: Oblong, across: float, up: float, tall: float, wide: float, *,
    true_scale: bool,
) -> None:  # fmt: skip
    from reportlab.graphics.shapes import String
    from reportlab.lib.colors import HexColor
    from reportlab.pdfbase.pdfmetrics import stringWidth

    colours = FILLS.get(oblong.tone, FILL)
    x, height = oblong.x * across, oblong.height * up
    width = max(oblong.width * across, 1.5)
    y = FOOT + tall - oblong.y * up - height
    drawing.add(_rect(x, y, width, height, colours, dashed=oblong.tone is Tone.WARN))
    size = min(8.0, max(height - 2.0, 4.0))
    label, start = oblong.label, x + 3.0
    if stringWidth(label, FONT, size) > width - 4.0:
        label, start = _elsewhere(oblong, x, width, wide, size, true_scale=true_scale)
    drawing.add(
        String(start, y + height / 2.0 - size * 0.35, label, fontName=FONT, fontSize=size,
               fillColor=HexColor(INK))
    )  # fmt: skip


def _elsewhere(
    oblong: Oblong, x: float, width: float, wide: float, size: float, *, true_scale: bool
) -> tuple[str, float]:
    """A label too long for its rectangle: its number alone, or the label beside it."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    if true_scale:
        return oblong.label.split("  ")[0], x + min(3.0, width / 4.0)
    taken = stringWidth(oblong.label, FONT, size)
    if x + width + 3.0 + taken <= wide:
        return oblong.label, x + width + 3.0
    if x - 3.0 - taken >= 0.0:
        return oblong.label, x - 3.0 - taken
    return oblong.label, max(min(x + 3.0, wide - taken), 1.0)


def _rect(
    x: float, y: float, width: float, height: float, colours: tuple[str, str], *,
    dashed: bool = False,
) -> Rect:
    from reportlab.graphics.shapes import Rect
    from reportlab.lib.colors import HexColor

    shape = Rect(x, y, width, height)
    shape.fillColor, shape.strokeColor = (HexColor(colour) for colour in colours)
    shape.strokeWidth = 0.8
    if dashed:
        shape.strokeDashArray = [3, 2]
    return shape
