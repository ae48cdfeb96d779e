"""The section through a damage on a PDF page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.drawing.section_geometry import draw
from advisor.drawing.section_shapes import Drawing as Shapes
from advisor.drawing.section_shapes import Layers
from advisor.report.formats.pdf_bars import FONT, INK

if TYPE_CHECKING:
    from reportlab.graphics.shapes import Drawing, Group

FILLS = {"skin": "#6a3b2a", "foam": "#f3e0ae", "carrier": "#a9b4b9", "void": "#ffffff"}
HEAD, HIGH = 58.0, 96.0
"""Room above the part for forces that are drawn by hand, and height of the part, in points."""


def section_group(shapes: Shapes, shift: float, top: float) -> Group:
    """The layers ``shift`` to the right, hanging from ``top``."""
    from reportlab.graphics.shapes import Group, Polygon, PolyLine
    from reportlab.lib.colors import HexColor

    group = Group()
    for shape in shapes.shapes:
        points = [v for x, y in shape.points for v in (x + shift, top - y)]
        area = Polygon(points, fillColor=HexColor(FILLS[shape.fill]),
                       strokeColor=HexColor(INK), strokeWidth=0.8)  # fmt: skip
        if shape.dashed:
            area.strokeDashArray = [3.0, 2.0]
        group.add(area)
    for stroke in shapes.strokes:
        points = [v for x, y in stroke.points for v in (x + shift, top - y)]
        group.add(PolyLine(points, strokeColor=HexColor(INK), strokeWidth=0.8))
    return group


def cut_drawing(layers: Layers, width: float) -> Drawing:
    """The section alone with its words, and room above it."""
    from reportlab.graphics.shapes import Drawing, String
    from reportlab.lib.colors import HexColor

    wide = min(width, 420.0)
    shapes = draw(layers, wide, HEAD + HIGH + 40.0, HEAD)
    drawing = Drawing(wide, HEAD + HIGH)
    drawing.add(section_group(shapes, 0.0, HEAD + HIGH))
    for note in shapes.notes:
        x, y = note.at
        drawing.add(String(x, HEAD + HIGH - y - 3, note.text, fontName=FONT, fontSize=8,
                           fillColor=HexColor(INK)))  # fmt: skip
    return drawing
