"""A report as a PDF, A4 or Letter, with bundled fonts and the footer on every page."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from io import BytesIO
from typing import TYPE_CHECKING, Any

from advisor.paths import asset
from advisor.report.blocks import Bars, Document, Section
from advisor.report.formats.pdf_bars import FONT, QUIET
from advisor.report.formats.pdf_blocks import BOLD, LINE, MM, Flow
from advisor.report.formats.text import one_line

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas
    from reportlab.platypus import Flowable

SIDE, TOP, FOOT = 17 * MM, 14 * MM, 22 * MM
NEARLY_A_PAGE = 140 * MM
#: How much wider a full page is laid out before it is made smaller, least first.
STRETCHES = tuple(1.0 + 0.04 * step for step in range(26))


def render(document: Document) -> bytes:
    """``document`` as the bytes of a PDF; the same document gives the same bytes."""
    register_fonts()
    _, pages, places = _build(document, 0, {})
    content, _, _ = _build(document, pages, places)
    return content


def page_size(paper: str) -> tuple[float, float]:
    """Width and height of a paper of `PAPERS`, in points."""
    from reportlab.lib.pagesizes import A4, letter

    wide, high = letter if paper == "Letter" else A4
    return float(wide), float(high)


def register_fonts() -> None:
    """The bundled fonts, once."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    registered = pdfmetrics.getRegisteredFontNames()
    for name in (FONT, BOLD):
        if name not in registered:
            pdfmetrics.registerFont(TTFont(name, str(asset(f"{name}.ttf"))))
    pdfmetrics.registerFontFamily(FONT, normal=FONT, bold=BOLD, italic=FONT, boldItalic=BOLD)


def _build(
    document: Document, pages: int, places: Mapping[str, int]
) -> tuple[bytes, int, dict[str, int]]:
    """Lay out once; the content, its pages, and the page of each anchor.

    ``pages`` to print in the footers and ``places`` for an index are known from a first run.
    """
    from reportlab.platypus import SimpleDocTemplate

    size = page_size(document.paper)
    stream = BytesIO()
    found: dict[str, int] = {}

    class Template(SimpleDocTemplate):
        """Notes the page of each heading that an index leads to."""

        def afterFlowable(self, flowable: Flowable) -> None:  # noqa: N802 - reportlab's name
            anchor, title = getattr(flowable, "leads_here", ("", ""))
            if anchor:
                found[anchor] = int(self.page)
                self.canv.addOutlineEntry(title, anchor, 0, 0)

    template = Template(
        stream,
        pagesize=size,
        leftMargin=SIDE,
        rightMargin=SIDE,
        topMargin=TOP,
        bottomMargin=FOOT,
        title=f"{document.heading}: {document.subtitle}",
        author=document.author,
        subject=document.footer_detail,
        lang=document.language,
        invariant=1,
    )
    # The frame keeps 6 pt of padding on either side.
    flow = Flow(size[0] - 2 * SIDE - 12, places)

    def footer(canvas: Canvas, _: Any) -> None:
        _footer(canvas, document, pages, size[0])


    template.build(_story(document, flow), onFirstPage=footer, onLaterPages=footer)
    return stream.getvalue(), int(template.page), found


def _story(document: Document, flow: Flow) -> list[Flowable]:
    from reportlab.platypus import CondPageBreak, PageBreak, Spacer

    if document.front_on_one_page:
        story: list[Flowable] = [_on_one_page(document, flow)]
    else:
        story = _front(document, flow, _section)
    if not document.working:
        return story
    if document.front_on_one_page or document.working_on_new_page:
        story.append(PageBreak())
    # A page of which the customer's part took little is not left empty.
    story.append(CondPageBreak(NEARLY_A_PAGE if document.working_apart else 60 * MM))
    story.append(Spacer(1, 14))
    story.append(flow.title(document.working_heading))
    story.append(flow.paragraph(document.working_intro, "small"))
    for section in document.working:
        story += _section(section, flow)
    return story


def _front(
    document: Document, flow: Flow, lay: Callable[[Section, Flow], list[Flowable]]
) -> list[Flowable]:
    """Head and first part of a document."""
    return [*flow.head(document), *(f for s in document.front for f in lay(s, flow))]


def _on_one_page(document: Document, flow: Flow) -> Flowable:
    """The first part on one page; made smaller only where it would not fit.

    What is made smaller is laid out wider first, so that it still takes the whole width.
    """
    from reportlab.platypus import KeepInFrame

    # The frame keeps 6 pt of padding at top and foot.
    height = page_size(document.paper)[1] - TOP - FOOT - 12.5
    for wider in STRETCHES:
        story = _front(document, Flow(flow.width * wider), _body)
        if _tall(story, flow.width * wider) <= height * wider:
            break
    return KeepInFrame(flow.width, height, story, mode="shrink")


def _tall(story: list[Flowable], width: float) -> float:
    """Height of flowables one under the other, the larger space between two of them."""
    tall, after = 0.0, 0.0
    for flowable in story:
        tall += flowable.wrap(width, 1e6)[1] + max(after, flowable.getSpaceBefore())
        after = flowable.getSpaceAfter()
    return tall + after


def _body(section: Section, flow: Flow) -> list[Flowable]:
    """A section wherever it falls."""
    head = [flow.heading(section.title, section.anchor)] if section.title else []
    return [*head, *(part for block in section.blocks for part in flow.block(block))]


def _section(section: Section, flow: Flow) -> list[Flowable]:
    """A section; its heading never stands alone at the foot of a page."""
    from reportlab.platypus import CondPageBreak, KeepTogether

    body = _body(section, flow)
    if section.keep:
        return [KeepTogether(body)]
    tall = any(isinstance(block, Bars) for block in section.blocks)
    least = max((60 if tall else 28) * MM, _opening(body, flow.width))
    return [CondPageBreak(least), *body]


def _opening(body: list[Flowable], width: float) -> float:
    """Height of a heading and what must stand under it: of a table its first two rows."""
    from reportlab.platypus import Table

    shown: list[Flowable] = []
    for flowable in body[:2]:
        flowable.wrap(width, 1e6)
        if isinstance(flowable, Table):
            heights: list[float] = getattr(flowable, "_rowHeights")[:2]  # noqa: B009
            return _tall(shown, width) + sum(heights)
        shown.append(flowable)
    return _tall(shown, width)


def _footer(canvas: Canvas, document: Document, pages: int, width: float) -> None:
    canvas.saveState()
    canvas.setStrokeColor(LINE)
    canvas.setLineWidth(0.7)
    canvas.line(SIDE, 17 * MM, width - SIDE, 17 * MM)
    canvas.setFillColor(QUIET)
    canvas.setFont(BOLD, 8)
    canvas.drawString(SIDE, 13 * MM, document.footer)
    number = f"{document.page_word} {canvas.getPageNumber()} of {pages}"
    canvas.drawRightString(width - SIDE, 13 * MM, number)
    canvas.setFont(FONT, 7)
    canvas.drawString(SIDE, 9.5 * MM, _fitted(document.footer_detail, width - 2 * SIDE))
    if document.stamp:
        canvas.setFont(BOLD, 8)
        canvas.drawCentredString(width / 2, 13 * MM, document.stamp.upper())
    canvas.restoreState()


def _fitted(text: str, width: float) -> str:
    """``text`` cut to ``width`` at 7 pt: a case may have a very long name."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    clean = one_line(text)
    while clean and stringWidth(clean, FONT, 7) > width:
        clean = clean[: -4 if clean.endswith("...") else -1].rstrip(".") + "..."
    return clean
