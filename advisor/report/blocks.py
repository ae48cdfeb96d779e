"""A report as plain blocks: every word ready-made, so that a renderer only lays out."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from advisor.drawing.bench.bench_shapes import BenchDrawing
from advisor.drawing.cutting_layout import CutLayout
from advisor.drawing.section_shapes import Layers
from advisor.drawing.timeline import Timeline

#: Sizes that a report is laid out for.
PAPERS = ("A4", "Letter")


class Tone(StrEnum):
    """What a boxed or emphasised text is for; never said by colour alone."""

    PLAIN = "plain"
    GOOD = "good"
    BAD = "bad"
    WARN = "warn"
    SMALL = "small"
    """Explanations and notes."""


@dataclass(frozen=True)
class Text:
    """One paragraph."""

    text: str
    tone: Tone = Tone.PLAIN
    strong: bool = False


@dataclass(frozen=True)
class Box:
    """A framed statement with a label in words."""

    label: str
    text: str
    tone: Tone = Tone.PLAIN


@dataclass(frozen=True)
class Item:
    """One entry of a list; ``notes`` stand under it in smaller type."""

    text: str
    notes: tuple[str, ...] = ()
    level: int = 0
    strong: bool = False
    to: str = ""
    """Anchor of the section where more of it stands; empty where there is none."""


class Mark(StrEnum):
    """What stands before the entries of a list."""

    BULLET = "bullet"
    NUMBER = "number"
    NONE = "none"


@dataclass(frozen=True)
class Items:
    """A list."""

    items: tuple[Item, ...]
    mark: Mark = Mark.BULLET


@dataclass(frozen=True)
class Contents:
    """An index: titles with the anchors of their sections."""

    entries: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Pairs:
    """Labels with their answers."""

    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Column:
    """A table column; ``weight`` is its share of the width."""

    title: str
    weight: float
    right: bool = False
    under: bool = False
    """Remarks, which may stand under their row where there is little room."""


@dataclass(frozen=True)
class Row:
    """A table row; ``level`` indents the first cell."""

    cells: tuple[str, ...]
    level: int = 0
    strong: bool = False


@dataclass(frozen=True)
class Table:
    """A table."""

    columns: tuple[Column, ...]
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class Tick:
    """A mark on the axis of a bar chart, at a share of its width."""

    at: float
    label: str


@dataclass(frozen=True)
class Bar:
    """A method's usage against capacity; positions are shares of the axis width."""

    title: str
    verdict: str
    detail: str
    low: float
    typical: float
    high: float
    beyond: bool
    """True where the spread runs off the axis."""
    tone: Tone
    why: str = ""
    """The load path that breaks it, for a failing one."""


@dataclass(frozen=True)
class Bars:
    """Bars over one axis with the capacity line."""

    ticks: tuple[Tick, ...]
    capacity: float
    """Where on the axis a joint carries all it can."""
    bars: tuple[Bar, ...]


@dataclass(frozen=True)
class WorkStep:
    """One step with the cautions that belong beside it."""

    number: str
    text: str
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class WorkSteps:
    """Steps of one method."""

    title: str
    steps: tuple[WorkStep, ...]


@dataclass(frozen=True)
class Oblong:
    """A rectangle of a sketch, in its units, with a label inside."""

    x: float
    y: float
    width: float
    height: float
    label: str
    tone: Tone = Tone.PLAIN


@dataclass(frozen=True)
class Sketch:
    """A drawing to scale: rectangles on a ground, and the same said in words.

    x runs to the right, y downwards; ``unit`` of length is the same both ways where
    ``true_scale`` is set, else the drawing is stretched to its column.
    """

    width: float
    height: float
    oblongs: tuple[Oblong, ...]
    ticks: tuple[Tick, ...]
    caption: str
    words: tuple[str, ...]
    """One line for each rectangle, for a reader without the drawing."""
    true_scale: bool = True
    of: CutLayout | Timeline | None = None
    """What it shows, for a reader that draws it itself."""


@dataclass(frozen=True)
class BenchFigure:
    """A drawing of the bench sheet."""

    of: BenchDrawing


@dataclass(frozen=True)
class Photo:
    """A picture with a word under it."""

    caption: str
    jpeg: bytes = field(repr=False)


@dataclass(frozen=True)
class Photos:
    """Pictures side by side, two in a row; an empty one leaves its place free."""

    rows: tuple[tuple[Photo | None, Photo | None], ...]


@dataclass(frozen=True)
class SectionCut:
    """The section through a damage, without forces: room to draw them by hand above it."""

    layers: Layers
    caption: str


Block = (
    Text | Box | Items | Contents | Pairs | Table | Bars | WorkSteps | Sketch | BenchFigure
    | Photos | SectionCut
)


@dataclass(frozen=True)
class Section:
    """A heading and what stands under it."""

    title: str
    blocks: tuple[Block, ...]
    keep: bool = False
    """True where the section should not be torn over two pages."""
    anchor: str = ""
    """The name by which an index or an entry leads here."""


@dataclass(frozen=True)
class Document:
    """A report: its first part is for the customer, the second is the working."""

    language: str
    heading: str
    subtitle: str
    meta: tuple[tuple[str, str], ...]
    stamp: str
    """Printed large across the head, as ``PROVISIONAL``; empty where none is due."""
    stamp_text: str
    front: tuple[Section, ...]
    working_apart: bool
    """True where the working begins on a page of its own."""
    working_heading: str
    working_intro: str
    working: tuple[Section, ...]
    footer: str
    footer_detail: str
    author: str
    page_word: str = "Page"
    front_on_one_page: bool = False
    """True where the first part must fit one page, made smaller if need be."""
    working_on_new_page: bool = False
    """True where the working never stands on a page of the first part, as answers to questions."""
    paper: str = "A4"
    """One of `PAPERS`."""


def kind(block: Block) -> str:
    """Name of a block's type, for templates."""
    return type(block).__name__.lower()
