"""A report as plain text for a terminal, a mail or a file: at most 88 columns."""

from __future__ import annotations

import textwrap
from collections.abc import Callable
from functools import singledispatch
from pathlib import Path

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
    Photos,
    SectionCut,
    Sketch,
    Table,
    Text,
    WorkSteps,
)
from advisor.wording.sentences import tied

WIDTH = 88
TITLE_WIDTH = 30
GAP = 2
TEMPLATES = Path(__file__).resolve().parent / "templates"


def render(document: Document) -> str:
    """``document`` as text, ending in a line feed."""
    import jinja2

    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(TEMPLATES),
        undefined=jinja2.StrictUndefined,
        autoescape=False,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["block"] = lambda block: "\n".join(_lines(block))
    environment.filters["wrapped"] = lambda text: "\n".join(wrap(text, WIDTH))
    text = environment.get_template("document.txt.j2").render(document=document, width=WIDTH)
    return "\n".join(line.rstrip() for line in text.splitlines()).strip() + "\n"


def one_line(text: str) -> str:
    """``text`` without line breaks, control characters or direction marks."""
    return "".join(c if c.isprintable() else " " for c in text)


def wrap(text: str, width: int, first: str = "", later: str | None = None) -> list[str]:
    """Lines of at most ``width``; words longer than a line are cut. Control characters go."""
    clean = tied(one_line(text))
    rest = " " * len(first) if later is None else later
    lines = textwrap.wrap(clean, width, initial_indent=first, subsequent_indent=rest)
    return [line.replace("\u00a0", " ") for line in lines] or [first.rstrip()]


@singledispatch
def _lines(block: Block) -> list[str]:
    raise TypeError(f"no text form for {type(block).__name__}")


@_lines.register
def _text(block: Text) -> list[str]:
    return wrap(block.text, WIDTH)


@_lines.register
def _box(block: Box) -> list[str]:
    edge = "+" + "-" * (WIDTH - 2) + "+"
    inside = [block.label.upper(), *wrap(block.text, WIDTH - 4)]
    return [edge, *(f"| {line:<{WIDTH - 4}} |" for line in inside), edge]


@_lines.register
def _pairs(block: Pairs) -> list[str]:
    widest = max((len(label) for label, _ in block.rows), default=0)
    lines: list[str] = []
    for label, value in block.rows:
        lines += wrap(value, WIDTH, f"{label:<{widest}}  ")
    return lines


@_lines.register
def _items(block: Items) -> list[str]:
    lines: list[str] = []
    number = 0
    for item in block.items:
        number += item.level == 0
        mark = f"{number}. " if block.mark is Mark.NUMBER and item.level == 0 else "- "
        mark = "" if block.mark is Mark.NONE else mark
        indent = "  " * item.level
        lines += wrap(item.text, WIDTH, indent + mark)
        under = indent + " " * len(mark)
        for note in item.notes:
            lines += wrap(note, WIDTH, under, under + "  ")
    return lines


@_lines.register
def _contents(block: Contents) -> list[str]:
    return [line for title, _ in block.entries for line in wrap(title, WIDTH, "- ")]


@_lines.register
def _table(block: Table) -> list[str]:
    free = WIDTH - GAP * (len(block.columns) - 1)
    total = sum(column.weight for column in block.columns)
    widths = [int(free * column.weight / total) for column in block.columns]
    align: list[Callable[[str, int], str]] = [
        str.rjust if column.right else str.ljust for column in block.columns
    ]
    head = _row([column.title for column in block.columns], widths, align)
    lines = [*head, "-" * WIDTH]
    for row in block.rows:
        first = "  " * row.level + row.cells[0]
        lines += _row([first, *row.cells[1:]], widths, align)
    return lines


def _row(cells: list[str], widths: list[int], align: list[Callable[[str, int], str]]) -> list[str]:
    columns = []
    for cell, width in zip(cells, widths, strict=True):
        bare = cell.lstrip(" ")
        columns.append(wrap(bare, width, " " * (len(cell) - len(bare))))
    height = max(len(column) for column in columns)
    lines = []
    for n in range(height):
        parts = (
            put(column[n] if n < len(column) else "", width)
            for column, width, put in zip(columns, widths, align, strict=True)
        )
        lines.append((" " * GAP).join(parts).rstrip())
    return lines


@_lines.register
def _bars(block: Bars) -> list[str]:
    scale = WIDTH - TITLE_WIDTH - 1
    line = round(block.capacity * (scale - 1))
    lines = [" " * TITLE_WIDTH + _axis(block, scale)]
    for bar in block.bars:
        typical = round(bar.typical * (scale - 1))
        low, high = round(bar.low * (scale - 1)), round(bar.high * (scale - 1))
        cells = ["#" if at <= typical else " " for at in range(scale)]
        cells[low : high + 1] = ["=" if at <= typical else "-" for at in range(low, high + 1)]
        cells[line] = "|"
        strip = "".join(cells) + (">" if bar.beyond else "")
        titles = wrap(bar.title, TITLE_WIDTH - 2)
        lines.append(f"{titles[0]:<{TITLE_WIDTH}}{strip}")
        lines += titles[1:]
        lines += wrap(f"{bar.verdict}. {bar.detail}", WIDTH, "  ")
        lines += wrap(bar.why, WIDTH, "  ") if bar.why else []
    return lines


def _axis(block: Bars, scale: int) -> str:
    cells = [" "] * (scale + 1)
    for tick in block.ticks:
        start = round(tick.at * (scale - 1))
        start = max(0, min(start - len(tick.label) // 2, scale + 1 - len(tick.label)))
        cells[start : start + len(tick.label)] = tick.label
    return "".join(cells)


@_lines.register
def _steps(block: WorkSteps) -> list[str]:
    lines = wrap(block.title, WIDTH)
    for step in block.steps:
        lines += wrap(step.text, WIDTH, f"{step.number:>3}. ")
        for caution in step.cautions:
            lines += wrap(f"CAUTION: {caution}", WIDTH, "     ! ", "       ")
    return lines


@_lines.register
def _sketch(block: Sketch) -> list[str]:
    lines = wrap(block.caption, WIDTH)
    for said in block.words:
        lines += wrap(said, WIDTH, "  ")
    return lines


@_lines.register
def _section_cut(block: SectionCut) -> list[str]:
    return wrap(block.caption, WIDTH)


@_lines.register
def _photos(block: Photos) -> list[str]:
    said = [photo.caption for row in block.rows for photo in row if photo is not None]
    return wrap(f"In the PDF and the web page: {', '.join(said)}.", WIDTH)


@_lines.register
def _bench(block: BenchFigure) -> list[str]:
    lines = wrap(f"{block.of.title}. {block.of.caption}", WIDTH)
    for said in block.of.words:
        lines += wrap(said, WIDTH, "  ")
    return lines
