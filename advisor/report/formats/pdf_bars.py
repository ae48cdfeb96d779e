"""Usage bars as drawings of a PDF page."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from advisor.report.blocks import Bar, Bars, Tone

if TYPE_CHECKING:
    from reportlab.graphics.shapes import Drawing

FONT = "DejaVuSans"
INK, QUIET, GROUND = "#1c1c1c", "#444444", "#eceff1"
GOOD, BAD, STRIPE = "#86c2bb", "#f3bdae", "#a5391f"
BAR_HEIGHT = 13.0


def axis_drawing(block: Bars, width: float) -> Drawing:
    """Marks over the bars, ``width`` points wide."""
    from reportlab.graphics.shapes import Drawing, String
    from reportlab.lib.colors import HexColor

    drawing = Drawing(width, 10)
    for tick in block.ticks:
        anchor: Literal["start", "middle", "end"] = (
            "start" if tick.at == 0 else "end" if tick.at == 1 else "middle"
        )
        drawing.add(
            String(
                tick.at * width, 2, tick.label,
                fontName=FONT, fontSize=7, textAnchor=anchor, fillColor=HexColor(QUIET),
            )
        )  # fmt: skip
    return drawing


def bar_drawing(bar: Bar, capacity: float, width: float) -> Drawing:
    """Bar to the typical usage, the spread as a thin line, the capacity as an upright."""
    from reportlab.graphics.shapes import Drawing, Line, Rect
    from reportlab.lib.colors import HexColor

    drawing = Drawing(width, BAR_HEIGHT)
    low, high = 2.5, BAR_HEIGHT - 2.5
    fails = bar.tone is Tone.BAD

    def rect(to: float, colour: str) -> Rect:
        shape = Rect(0, low, to, high - low)
        shape.fillColor, shape.strokeColor = HexColor(colour), None
        return shape

    drawing.add(rect(width, GROUND))
    drawing.add(rect(bar.typical * width, BAD if fails else GOOD))
    if fails:  # stripes, so that a copy in grey still tells the two apart
        x = 5.0
        while x < bar.typical * width - 5:
            drawing.add(Line(x, low, x + 5, high, strokeColor=HexColor(STRIPE), strokeWidth=0.9))
            x += 6
    middle = BAR_HEIGHT / 2
    start, end, at = (share * width for share in (bar.low, bar.high, capacity))
    for ends, weight in (
        ((start, middle, end, middle), 1.4),
        ((start, middle - 2.5, start, middle + 2.5), 1.4),
        ((end, middle - 2.5, end, middle + 2.5), 1.4),
        ((at, 0, at, BAR_HEIGHT), 2.0),
    ):
        drawing.add(Line(*ends, strokeColor=HexColor(INK), strokeWidth=weight))
    return drawing
