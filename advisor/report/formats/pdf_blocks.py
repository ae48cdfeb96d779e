"""Blocks of a report as flowables of a PDF page."""

from __future__ import annotations

from collections.abc import Mapping
from io import BytesIO
from typing import TYPE_CHECKING, Any
from xml.sax.saxutils import escape

from advisor.facts.units import INCH
from advisor.report.blocks import (
    Bars,
    BenchFigure,
    Block,
    Box,
    Contents,
    Document,
    Items,
    Mark,
    Pairs,
    Photo,
    Photos,
    SectionCut,
    Sketch,
    Table,
    Text,
    Tone,
    WorkSteps,
)
from advisor.report.formats.pdf_bars import FONT, INK, QUIET, axis_drawing, bar_drawing
from advisor.report.formats.text import one_line
from advisor.wording.sentences import tied

BOLD = f"{FONT}-Bold"

if TYPE_CHECKING:
    from reportlab.lib.styles import ParagraphStyle
    from reportlab.platypus import Flowable, Paragraph

MM = 72 / INCH
LINE, RULE, WARN = "#34495a", "#d8dcdf", "#7a4b00"
FRAMES: Mapping[Tone, tuple[str, str]] = {
    Tone.PLAIN: (LINE, "#f4f6f7"),
    Tone.SMALL: (LINE, "#f4f6f7"),
    Tone.GOOD: ("#1d5b57", "#eef6f4"),
    Tone.BAD: ("#8a2d1c", "#fbefec"),
    Tone.WARN: (WARN, "#fff4dc"),
}
TITLE_SHARE = 0.27
STEP_SHARES = [0.05, 0.43, 0.52]
"""Number, step, cautions: these are the longest."""
HIGHEST_PHOTO = 220.0
"""Points; two pairs find room on a page beside their words."""
BUTT = 0
"""Line cap that ends a line at its end."""

Rules = list[tuple[Any, ...]]


def clean(text: str) -> str:
    """``text`` for a paragraph: control characters gone, units tied, markup escaped."""
    return escape(tied(one_line(text)))


def _styles() -> dict[str, ParagraphStyle]:
    from reportlab.lib.colors import HexColor
    from reportlab.lib.styles import ParagraphStyle

    def style(name: str, size: float, **extra: Any) -> ParagraphStyle:
        given: dict[str, Any] = {
            "fontName": FONT,
            "leading": size * 1.32,
            "spaceAfter": 2.5,
            "textColor": INK,
        }
        given |= extra
        given["textColor"] = HexColor(given["textColor"])
        return ParagraphStyle(name, fontSize=size, **given)

    return {
        "body": style("body", 9.4),
        "lead": style("lead", 9.4, spaceBefore=4),
        "cell": style("cell", 8.8, spaceAfter=0),
        "right": style("right", 8.8, spaceAfter=0, alignment=2),
        "small": style("small", 8, textColor=QUIET),
        "verdict": style("verdict", 11.5, spaceAfter=0),
        "label": style("label", 8, spaceAfter=1),
        "kind": style("kind", 9, fontName=BOLD, textColor=LINE, spaceAfter=0),
        "title": style("title", 15, fontName=BOLD, spaceAfter=1),
        "heading": style("heading", 11.2, fontName=BOLD, textColor=LINE, spaceBefore=8),
        "method": style("method", 9.4, fontName=BOLD, spaceBefore=5, keepWithNext=1),
    }


class Flow:
    """Turns blocks into flowables for a column of ``width`` points."""

    def __init__(self, width: float, pages: Mapping[str, int] | None = None) -> None:
        """``pages`` are those of anchors, as an earlier run has found them."""
        self.width, self.pages = width, pages or {}
        self.styles = _styles()

    def paragraph(self, text: str, style: str, *, bold: bool = False) -> Paragraph:
        """``text``, escaped, in one of the styles above."""
        from reportlab.platypus import Paragraph

        marked = f"<b>{clean(text)}</b>" if bold else clean(text)
        return Paragraph(marked, self.styles[style])

    def title(self, text: str) -> Paragraph:
        """A title that opens a part."""
        return self.paragraph(text, "title")

    def head(self, document: Document) -> list[Flowable]:
        """Heading, subject, case and date, and the stamp where one is due."""
        from reportlab.platypus import Paragraph

        meta = " · ".join(f"{label}: {value}" for label, value in document.meta)
        lines: list[Flowable] = [
            self.paragraph(document.heading, "kind"),
            self.title(document.subtitle),
            self.paragraph(meta, "small"),
        ]
        if document.stamp:
            text = f"<font size='14'><b>{clean(document.stamp.upper())}</b></font>"
            markup = f"{text}&nbsp;&nbsp; {clean(document.stamp_text)}"
            lines.append(self._framed([Paragraph(markup, self.styles["verdict"])], Tone.WARN))
        return lines

    def block(self, block: Block) -> list[Flowable]:
        """The flowables of one block."""
        if isinstance(block, Text):
            style = "small" if block.tone is Tone.SMALL else "body"
            style = "lead" if block.strong else style
            return [self.paragraph(block.text, style, bold=block.strong)]
        if isinstance(block, Box):
            label = self.paragraph(block.label, "label", bold=True)
            return [self._framed([label, self.paragraph(block.text, "verdict")], block.tone)]
        if isinstance(block, Items):
            return self._items(block)
        if isinstance(block, Contents):
            return self._contents(block)
        if isinstance(block, Pairs):
            return self._pairs(block)
        if isinstance(block, Table):
            return self._table(block)
        if isinstance(block, Bars):
            return self._bars(block)
        if isinstance(block, BenchFigure):
            from advisor.report.formats.pdf_drawings import bench_drawing

            return [self.paragraph(block.of.title, "lead", bold=True),
                    bench_drawing(block.of, self.width), self.paragraph(block.of.caption, "body")]
        if isinstance(block, Sketch):
            from advisor.report.formats.pdf_drawings import sketch_drawing

            drawing = sketch_drawing(block, self.width)
            return [drawing, self.paragraph(block.caption, "small")]
        if isinstance(block, Photos):
            return [self._photos(block)]
        if isinstance(block, SectionCut):
            from advisor.report.formats.pdf_section import cut_drawing

            return [cut_drawing(block.layers, self.width),
                    self.paragraph(block.caption, "small")]
        return self._steps(block)

    def _photos(self, block: Photos) -> Flowable:
        rows = [
            [self._photo(photo) if photo is not None else [] for photo in row]
            for row in block.rows
        ]
        return self._grid(rows, [1, 1], [])

    def _photo(self, photo: Photo) -> list[Flowable]:
        from reportlab.lib.utils import ImageReader
        from reportlab.platypus import Image

        across, down = ImageReader(BytesIO(photo.jpeg)).getSize()
        wide = self.width / 2 - 8
        scale = min(wide / across, HIGHEST_PHOTO / down)
        picture = Image(BytesIO(photo.jpeg), across * scale, down * scale, hAlign="LEFT")
        return [picture, self.paragraph(photo.caption, "small")]

    def _grid(
        self, rows: list[list[Any]], shares: list[float], rules: Rules, repeat: int = 0
    ) -> Flowable:
        from reportlab.platypus import Table as Grid

        base: Rules = [
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("TOPPADDING", (0, 0), (-1, -1), 1.6),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 2.2),
            ("LEFTPADDING", (0, 0), (-1, -1), 3),
            ("RIGHTPADDING", (0, 0), (-1, -1), 3),
        ]
        widths = [self.width * share / sum(shares) for share in shares]
        return Grid(
            rows,
            colWidths=widths,
            style=base + rules,
            repeatRows=repeat,
            # A page that is made smaller would else set tables in the middle of its text.
            hAlign="LEFT",
            spaceAfter=4,
            spaceBefore=2,
        )

    def _framed(self, lines: list[Flowable], tone: Tone) -> Flowable:
        from reportlab.lib.colors import HexColor

        edge, ground = (HexColor(colour) for colour in FRAMES[tone])
        rules: Rules = [
            ("BACKGROUND", (0, 0), (-1, -1), ground),
            ("BOX", (0, 0), (-1, -1), 0.6, edge),
            ("LINEBEFORE", (0, 0), (0, -1), 5, edge, BUTT),
            ("LEFTPADDING", (0, 0), (-1, -1), 12),
            ("RIGHTPADDING", (0, 0), (-1, -1), 10),
            ("TOPPADDING", (0, 0), (-1, -1), 4),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 5),
        ]
        return self._grid([[lines]], [1.0], rules)

    def _pairs(self, block: Pairs) -> list[Flowable]:
        rows = [
            [self.paragraph(label, "cell", bold=True), self.paragraph(value, "cell")]
            for label, value in block.rows
        ]
        return [self._grid(rows, [0.2, 0.8], [])] if rows else []

    def _contents(self, block: Contents) -> list[Flowable]:
        rows = [
            [self._link(title, anchor, "cell"),
             self.paragraph(str(self.pages.get(anchor, "")), "right")]
            for title, anchor in block.entries
        ]  # fmt: skip
        return [self._grid(rows, [0.9, 0.1], [])] if rows else []

    def _link(self, text: str, anchor: str, style: str) -> Paragraph:
        from reportlab.platypus import Paragraph

        return Paragraph(f'<a href="#{anchor}">{clean(text)}</a>', self.styles[style])

    def heading(self, text: str, anchor: str = "") -> Paragraph:
        """The heading of a section, to which an anchor may lead."""
        from reportlab.platypus import Paragraph

        if not anchor:
            return self.paragraph(text, "heading")
        found = Paragraph(f'<a name="{anchor}"/>{clean(text)}', self.styles["heading"])
        setattr(found, "leads_here", (anchor, text))  # noqa: B010 - for the template
        return found

    def _table(self, block: Table) -> list[Flowable]:
        from reportlab.lib.colors import HexColor

        aligned = ["right" if column.right else "cell" for column in block.columns]
        rows: list[list[Any]] = [
            [
                self.paragraph(c.title, a, bold=True)
                for c, a in zip(block.columns, aligned, strict=True)
            ]
        ]
        rules: Rules = [
            ("LINEBELOW", (0, 0), (-1, 0), 0.8, HexColor(LINE)),
            ("LINEBELOW", (0, 1), (-1, -1), 0.4, HexColor(RULE)),
        ]
        for number, row in enumerate(block.rows, 1):
            rows.append(
                [
                    self.paragraph(cell, style, bold=row.strong)
                    for cell, style in zip(row.cells, aligned, strict=True)
                ]
            )
            rules.append(("LEFTPADDING", (0, number), (0, number), 3 + 12 * row.level))
        return [self._grid(rows, [c.weight for c in block.columns], rules, repeat=1)]

    def _items(self, block: Items) -> list[Flowable]:
        from reportlab.lib.styles import ParagraphStyle
        from reportlab.platypus import Paragraph

        lines: list[Flowable] = []
        number = 0
        for at, item in enumerate(block.items):
            number += item.level == 0
            mark = {Mark.BULLET: "•", Mark.NUMBER: f"{number}.", Mark.NONE: ""}[block.mark]
            if item.strong and item.level == 0:
                mark = ""
            left = 12 * item.level + (14 if mark else 0)
            parent = self.styles["method" if item.strong else "body"]
            style = ParagraphStyle("item", parent, leftIndent=left, bulletIndent=12 * item.level)
            said = clean(item.text)
            if item.to:
                said = f'<a href="#{item.to}">{said}</a>'
            lines.append(Paragraph(said, style, bulletText=mark or None))
            # What stands under an entry begins on the same page, its notes and the entries below.
            below = block.items[at + 1 : at + 2]
            leads = bool(below) and below[0].level > item.level
            lines[-1].keepWithNext = bool(item.notes) or leads
            note_style = ParagraphStyle(
                "note", self.styles["small"], leftIndent=left + 2, spaceAfter=1
            )
            lines += [Paragraph(clean(note), note_style) for note in item.notes]
            lines[-1].keepWithNext = leads
        return lines

    def _steps(self, block: WorkSteps) -> list[Flowable]:
        from reportlab.lib.colors import HexColor

        # The title is a row of the table, so that it never stands alone at the foot of a page
        # while the steps may still run over to the next.
        rows: list[list[Any]] = [[self.paragraph(block.title, "method"), "", ""]]
        rules: Rules = [
            ("LINEBELOW", (0, 0), (-1, -1), 0.4, HexColor(RULE)),
            ("SPAN", (0, 0), (-1, 0)),
            ("NOSPLIT", (0, 0), (-1, 1)),
        ]
        for at, step in enumerate(block.steps, 1):
            cautions = [self.paragraph(f"Caution: {c}", "cell") for c in step.cautions]
            rows.append(
                [self.paragraph(step.number, "right"), self.paragraph(step.text, "cell"), cautions]
            )
            if cautions:
                rules += [
                    ("BACKGROUND", (2, at), (2, at), HexColor(FRAMES[Tone.WARN][1])),
                    ("LINEBEFORE", (2, at), (2, at), 3, HexColor(WARN), BUTT),
                    ("LEFTPADDING", (2, at), (2, at), 7),
                    ("RIGHTPADDING", (1, at), (1, at), 9),
                ]
        return [self._grid(rows, STEP_SHARES, rules)]

    def _bars(self, block: Bars) -> list[Flowable]:
        width = self.width * (1 - TITLE_SHARE) - 6
        rows: list[list[Any]] = [["", axis_drawing(block, width)]]
        for bar in block.bars:
            said = f"{bar.detail}{' Runs off the scale.' if bar.beyond else ''}"
            right: list[Flowable] = [bar_drawing(bar, block.capacity, width)]
            right.append(self.paragraph(said, "small"))
            if bar.why:
                right.append(self.paragraph(bar.why, "small"))
            left = [
                self.paragraph(bar.title, "cell", bold=True),
                self.paragraph(bar.verdict, "cell"),
            ]
            rows.append([left, right])
        rules: Rules = [("BOTTOMPADDING", (0, 0), (-1, 0), 0), ("TOPPADDING", (0, 0), (-1, 0), 0)]
        return [self._grid(rows, [TITLE_SHARE, 1 - TITLE_SHARE], rules, repeat=1)]
