"""The page for the invoice as PDF: A4 or Letter, one page, made smaller where it must be."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

from advisor.drawing.pull_and_strength import PullAndStrength
from advisor.drawing.section_geometry import draw
from advisor.drawing.section_shapes import Layers
from advisor.report.content.invoice import BarLine, InvoicePage, figure_of
from advisor.report.formats.pdf import page_size, register_fonts
from advisor.report.formats.pdf_bars import FONT, INK, QUIET
from advisor.report.formats.pdf_blocks import BOLD, MM, clean
from advisor.report.formats.pdf_section import section_group

if TYPE_CHECKING:
    from reportlab.graphics.shapes import Drawing, Group, Rect
    from reportlab.platypus import Flowable

GOLD, ACT, GOOD, BAD = "#e0a526", "#0a4f63", "#0b5631", "#8a1a15"
WARN = "#6a4000"
SOFT_GOOD, SOFT_BAD, SOFT_WARN = "#ddefe3", "#fae1dd", "#faeacb"
GROUND = "#f7f5f0"
SECTION, ROW, GAP = 100.0, 44.0, 7.0
NAMES = 76.0
"""Room on either side of the section, for the names of its layers, in points."""
LEGEND = (
    "Arrow: the pull that counts most. Outline: the other pulls with it. "
    "Striped post: what the joint carries for years. All on one scale."
)
#: Longest side of a photo on the page, px.
LONGEST = 1400


def render(page: InvoicePage) -> bytes:
    """The page as the bytes of a PDF; the same page gives the same bytes."""
    from reportlab.platypus import KeepInFrame, SimpleDocTemplate

    register_fonts()
    size = page_size(page.head.paper)
    stream = BytesIO()
    side = 16 * MM
    template = SimpleDocTemplate(
        stream, pagesize=size, leftMargin=side, rightMargin=side, topMargin=13 * MM,
        bottomMargin=20 * MM, title=f"Why this repair: {page.title}", invariant=1,
    )  # fmt: skip
    wide = size[0] - 2 * side - 12
    high = size[1] - 33 * MM - 14

    def footer(canvas: Any, _: Any) -> None:
        from reportlab.lib.colors import HexColor

        canvas.setFont(FONT, 7)
        canvas.setFillColor(HexColor(QUIET))
        words, y, line = page.footer.split(), 13 * MM, ""
        for word in [*words, ""]:
            longer = f"{line} {word}".strip()
            if not word or canvas.stringWidth(longer, FONT, 7) > wide:
                canvas.drawString(side + 6, y, line)
                y, line = y - 9, word
            else:
                line = longer

    story = KeepInFrame(wide, high, _story(page, wide), mode="shrink")
    template.build([story], onFirstPage=footer, onLaterPages=footer)
    return stream.getvalue()


def _style(size: float, bold: bool = False, colour: str = INK, right: bool = False) -> Any:
    from reportlab.lib.colors import HexColor
    from reportlab.lib.styles import ParagraphStyle

    return ParagraphStyle(
        f"i{size}{bold}{colour}{right}", fontName=BOLD if bold else FONT, fontSize=size,
        leading=1.3 * size, textColor=HexColor(colour), spaceAfter=2, alignment=2 if right else 0,
    )  # fmt: skip


def _say(text: str, size: float = 9.0, *, bold: bool = False, colour: str = INK,
         right: bool = False) -> Flowable:  # fmt: skip
    from reportlab.platypus import Paragraph

    return Paragraph(clean(text), _style(size, bold, colour, right))


def _grid(cells: list[list[Any]], shares: list[float], wide: float, ground: str = "") -> Flowable:
    from reportlab.lib.colors import HexColor
    from reportlab.platypus import Table

    rules: list[tuple[Any, ...]] = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (-1, -1), 4),
        ("RIGHTPADDING", (0, 0), (-1, -1), 4), ("TOPPADDING", (0, 0), (-1, -1), 3),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 3),
    ]  # fmt: skip
    if ground:
        rules.append(("BACKGROUND", (0, 0), (-1, -1), HexColor(ground)))
    widths = [wide * share / sum(shares) for share in shares]
    return Table(cells, colWidths=widths, style=rules, hAlign="LEFT", spaceAfter=5)


def _story(page: InvoicePage, wide: float) -> list[Flowable]:
    from reportlab.lib.colors import HexColor
    from reportlab.platypus import HRFlowable

    head, day = page.head, page.head.day
    named = [_say(head.name or "Workshop", 14, bold=True), _say(head.address, 8.5, colour=QUIET)]
    left: list[Any] = _picture(head.logo, 44, 44)
    what = [_say("Why this repair", 10, bold=True, right=True)]
    if head.invoice:
        what.append(_say(f"To invoice {head.invoice}", 9, right=True))
    if day is not None:
        what.append(_say(f"{day:%d.%m.%Y}", 9, right=True))
    story: list[Flowable] = [
        _grid([[left, named, what]] if left else [[named, what]],
              [0.1, 0.6, 0.3] if left else [0.7, 0.3], wide),
        HRFlowable(width=wide, thickness=2.5, color=HexColor(GOLD), spaceAfter=6),
        _grid([[
            [_say("Customer", 8, colour=QUIET), _say(head.customer or "-", 9.5, bold=True)],
            [_say("Vehicle and part", 8, colour=QUIET), _say(head.vehicle or page.title, 9.5,
                                                             bold=True)],
            [_say("Case", 8, colour=QUIET), _say(page.case, 9.5, bold=True)],
        ]], [1, 1, 1], wide),
        _grid([[
            [_say("What is done, and why", 8, colour=QUIET), _say(page.method, 15, bold=True),
             _say(" ".join(page.why), 9.5)],
            [_say(page.price, 13, bold=True), _say(page.hold, 9),
             _say(page.time and f"{page.time} of work", 9),
             _say(page.lasts and f"Should last {page.lasts}", 9)],
        ]], [0.66, 0.34], wide, GROUND),
    ]  # fmt: skip
    photo = _picture(page.photo, 0.32 * wide, 130)
    if page.rows:
        drawn: list[Any] = [
            _say("The pull against the strength", 10, bold=True),
            strength_drawing(page, (0.66 if photo else 1.0) * wide - 10),
            _say(LEGEND + (" Star: assumed." if page.layers and page.layers.assumed else ""), 7.5,
                 colour=QUIET),
        ]
        cells = [drawn, [_say("As it came in", 10, bold=True), *photo]] if photo else [drawn]
        story.append(_grid([cells], [0.66, 0.34] if photo else [1], wide))
    elif photo:
        story.append(_grid([[photo]], [1], wide))
    if page.bars:
        story.append(_say("What we compared: how much of its strength each would use", 10,
                          bold=True))
        story.append(_say("The upright line is the limit; past it the repair fails.", 7.5,
                          colour=QUIET))
        for bar in page.bars:
            story.append(_grid([[
                _say(bar.title, 8.8, bold=bar is page.bars[0]), bar_line(bar, 0.45 * wide),
                _say(bar.said, 8.8),
            ]], [0.31, 0.46, 0.23], wide))  # fmt: skip
    weak = [_say("What could still go wrong", 10, bold=True), _say(page.weak, 9)]
    if head.warranty:
        weak += [_say("Warranty", 10, bold=True), _say(head.warranty, 9)]
    story.append(_grid([[weak]], [1], wide))
    if page.told:
        told = [_say("What we were told or saw", 10, bold=True),
                _say(f"{'; '.join(page.told)}.", 8.5)]  # fmt: skip
        story.append(_grid([[told]], [1], wide))
    return story


def _picture(photo: str | bytes, wide: float, high: float) -> list[Any]:
    """A picture no larger than that; nothing where there is none that can be read."""
    from reportlab.lib.utils import ImageReader
    from reportlab.platypus import Image

    data = bare(photo)
    if not data:
        return []
    across, down = ImageReader(BytesIO(data)).getSize()
    scale = min(wide / across, high / down)
    return [Image(BytesIO(data), across * scale, down * scale, hAlign="LEFT")]


def bare(photo: str | bytes) -> bytes:
    """The pixels of a photo (a path, or its bytes) as a JPEG, turned upright: no place and no
    name of a camera. Empty for what is none.
    """
    from PIL import Image, ImageOps

    if not photo or (isinstance(photo, str) and not Path(photo).is_file()):
        return b""
    try:
        opened = Image.open(photo if isinstance(photo, str) else BytesIO(photo))
        upright = ImageOps.exif_transpose(opened).convert("RGB")
    except (OSError, ValueError):
        return b""
    upright.thumbnail((LONGEST, LONGEST))
    upright.info.clear()
    out = BytesIO()
    upright.save(out, "JPEG", quality=88)
    return out.getvalue()


def _rect(x: float, y: float, wide: float, high: float, fill: str, edge: str) -> Rect:
    """A rectangle; without ``fill`` only its outline."""
    from reportlab.graphics.shapes import Rect
    from reportlab.lib.colors import HexColor

    shape = Rect(x, y, wide, high)
    shape.fillColor = HexColor(fill) if fill else None
    shape.strokeColor, shape.strokeWidth = HexColor(edge), 0.7
    return shape


def bar_line(bar: BarLine, wide: float) -> Drawing:
    """Usage up to 1.35 times the limit, a break where it goes beyond, the limit as a post."""
    from reportlab.graphics.shapes import Drawing, Line, Polygon
    from reportlab.lib.colors import HexColor

    drawing = Drawing(wide, 14)
    post, end = wide / 1.35, wide
    to = min(bar.usage.typical * post, end)
    ink = GOOD if bar.holds else WARN if bar.may_hold else BAD
    soft, apart = (SOFT_WARN, 12) if bar.may_hold else (SOFT_BAD, 6)
    drawing.add(_rect(0, 4, end, 7, GROUND, QUIET))
    drawing.add(_rect(0, 4, to, 7, ink if bar.holds else soft, ink))
    if not bar.holds:
        x = 4.0
        while x < to - 4:
            drawing.add(Line(x, 4, x + 4, 11, strokeColor=HexColor(ink), strokeWidth=0.8))
            x += apart
    if bar.usage.typical * post > end:
        drawing.add(Polygon([end - 9, 2, end, 7.5, end - 9, 13], fillColor=HexColor("#ffffff"),
                            strokeColor=HexColor(ink)))  # fmt: skip
    drawing.add(Line(post, 0, post, 14, strokeColor=HexColor(INK), strokeWidth=2))
    return drawing


def strength_drawing(page: InvoicePage, wide: float) -> Drawing:
    """The section with the pull against the strength above it, and the rival's below."""
    from reportlab.graphics.shapes import Drawing

    section, deep = (None, 0.0) if page.layers is None else _section(page.layers, wide)
    high = ROW * len(page.rows) + deep
    drawing = Drawing(wide, high)
    strongest = max(row.strength.value.typical for row in page.rows)
    most = max(max(row.strength.value.typical, min(row.pull.value.typical + row.others,
                                                   3 * strongest)) for row in page.rows)
    scale = (0.5 * wide - GAP - 10) / max(most, 1e-9)
    top = high
    for index, row in enumerate(page.rows):
        _pull_row(drawing, page, row, top - ROW, wide, scale)
        top -= ROW
        if index == 0 and section is not None:
            top -= deep
            section.shift(0.0, top)
            drawing.add(section)
    return drawing


def _section(layers: Layers, wide: float) -> tuple[Group, float]:
    """The section in the middle of ``wide``, its layers named at the right."""
    from reportlab.graphics.shapes import String
    from reportlab.lib.colors import HexColor

    # What is drawn for the screen keeps room for words at its right and a legend below.
    width = wide - 2.0 * NAMES + 146.0
    shapes = draw(layers, width, SECTION + 30.0, 0.0)
    heights = [y for shape in shapes.shapes for _, y in shape.points]
    shift, high = 0.5 * wide - 0.5 * (14.0 + width - 146.0), max(heights) - min(heights) + 12.0
    top = high - 4.0 + min(heights)
    group = section_group(shapes, shift, top)
    for note in shapes.notes:
        x, y = note.at
        group.add(String(x + shift, top - y - 3, note.text, fontName=FONT, fontSize=7.5,
                         fillColor=HexColor(INK)))  # fmt: skip
    return group, high


def _pull_row(
    drawing: Drawing, page: InvoicePage, row: PullAndStrength, low: float, wide: float,
    scale: float,
) -> None:  # fmt: skip
    from reportlab.graphics.shapes import Line, Polygon, String
    from reportlab.lib.colors import HexColor

    said = f"{row.title} carries {figure_of(page, row, row.strength.value)}"
    pull = f"pull {figure_of(page, row, row.pull.value)}"
    y = low + 14.0
    drawing.add(String(2, low + 30, said, fontName=FONT, fontSize=8, fillColor=HexColor(INK)))
    drawing.add(String(wide - 2, low + 30, pull, fontName=FONT, fontSize=8, textAnchor="end",
                       fillColor=HexColor(INK)))  # fmt: skip
    fails, end = row.usage > 1.0, 0.5 * wide - GAP - 8
    ink, soft = (BAD, SOFT_BAD) if fails else (ACT, SOFT_GOOD)
    strength = min(row.strength.value.typical * scale, end)
    tip = min(row.pull.value.typical * scale, end)
    rest = min((row.pull.value.typical + row.others) * scale, end)
    for side in (-1.0, 1.0):
        x = 0.5 * wide + side * GAP

        def box(a: float, b: float, half: float, fill: str, edge: str,
                x: float = x, side: float = side) -> Rect:  # fmt: skip
            left = min(x + side * a, x + side * b)
            return _rect(left, y - half, abs(b - a), 2 * half, fill, edge)

        drawing.add(box(0, strength, 8, soft, BAD if fails else GOOD))
        if rest > tip:
            drawing.add(box(tip, rest, 5, "", ink))
        drawing.add(box(0, max(tip - 8, 0.0), 3, ink, ink))
        at = x + side * tip
        drawing.add(Polygon([at, y, at - side * 8, y + 6, at - side * 8, y - 6],
                            fillColor=HexColor(ink), strokeColor=None))  # fmt: skip
        post = x + side * strength
        drawing.add(Line(post, y - 12, post, y + 12, strokeColor=HexColor(INK), strokeWidth=3.4))
        drawing.add(Line(post, y - 10, post, y + 10, strokeColor=HexColor(GOLD), strokeWidth=1.3,
                         strokeDashArray=[2, 1.5]))  # fmt: skip
