"""Drawings on a PDF page: cutting layouts, timelines, and those of the bench sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from advisor.drawing.bench.bench_shapes import LETTER, LINES, BenchDrawing, placed
from advisor.drawing.section_shapes import Note, Shape, Stroke
from advisor.report.blocks import Oblong, Sketch, Tone
from advisor.report.formats.pdf_bars import FONT, INK, QUIET

if TYPE_CHECKING:
    from reportlab.graphics.shapes import Drawing, Polygon, Rect, String

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


#: Materials and lines of the bench sheet on paper, dark enough for a copy in grey.
MATERIALS = {"skin": "#b98a72", "foam": "#f3e0ae", "carrier": "#c9d1d5", "void": "#ffffff"}
INKS = {"ink": INK, "quiet": QUIET, "act": "#0a4f63", "bad": "#8a1a15"}
LARGEST = 340.0
"""Width of a drawing of the bench sheet at most, in points."""
HEAD = 7.0
"""Length of an arrow head, in units of the drawing."""


def bench_drawing(block: BenchDrawing, width: float) -> Drawing:
    """``block`` at most ``width`` points wide, its letters as large as it says."""
    from reportlab.graphics.shapes import Drawing

    scale = min(width, LARGEST) / block.width
    drawing = Drawing(block.width * scale, block.height * scale)
    high = block.height

    def at(points: tuple[tuple[float, float], ...]) -> list[float]:
        return [v * scale for x, y in points for v in (x, high - y)]

    for shape in block.shapes:
        drawing.add(_area(shape, at(shape.points)))
    for stroke in block.strokes:
        for part in _line(stroke, at(stroke.points), scale):
            drawing.add(part)
    for note in block.notes:
        drawing.add(_note(note, scale, high))
    return drawing


def _area(shape: Shape, points: list[float]) -> Polygon:
    from reportlab.graphics.shapes import Polygon
    from reportlab.lib.colors import HexColor

    area = Polygon(points, fillColor=HexColor(MATERIALS[shape.fill]),
                   strokeColor=HexColor(INK), strokeWidth=0.8)  # fmt: skip
    if shape.dashed:
        area.strokeDashArray = [3, 2]
    return area


def _line(stroke: Stroke, points: list[float], scale: float) -> list[Any]:
    from reportlab.graphics.shapes import Polygon, PolyLine
    from reportlab.lib.colors import HexColor

    look = LINES[stroke.look]
    colour = HexColor(INKS[look.colour])
    line = PolyLine(points, strokeColor=colour, strokeWidth=look.width * scale)
    if look.dashes:
        line.strokeDashArray = [dash * scale for dash in look.dashes]
    if not look.arrow:
        return [line]
    (x0, y0), (x1, y1) = points[-4:-2], points[-2:]
    long = max(((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5, 1e-9)
    dx, dy = HEAD * scale * (x1 - x0) / long, HEAD * scale * (y1 - y0) / long
    head = [x1, y1, x1 - dx - 0.5 * dy, y1 - dy + 0.5 * dx, x1 - dx + 0.5 * dy, y1 - dy - 0.5 * dx]
    return [line, Polygon(head, fillColor=colour, strokeColor=colour)]


def _note(note: Note, scale: float, high: float) -> String:
    from reportlab.graphics.shapes import String
    from reportlab.lib.colors import HexColor

    anchor, down = placed(note)
    y = high - note.at[1] - down
    return String(note.at[0] * scale, y * scale, note.text, fontName=FONT,
                  fontSize=LETTER * scale, textAnchor=anchor, fillColor=HexColor(INK))  # fmt: skip
