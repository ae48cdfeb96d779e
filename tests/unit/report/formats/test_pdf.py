"""Breaks of a PDF: no heading alone at the foot, no figure parted from its unit."""

from __future__ import annotations

import re
from io import BytesIO
from itertools import pairwise

import pytest
from pypdf import PdfReader
from reportlab.graphics.shapes import String
from reportlab.pdfbase.pdfmetrics import stringWidth

from advisor.report.blocks import (
    Block,
    Document,
    Item,
    Items,
    Sketch,
    Text,
    Tick,
    WorkStep,
    WorkSteps,
)
from advisor.report.blocks import Section as Part
from advisor.report.formats import pdf as pdf_form
from advisor.report.formats.pdf_bars import FONT
from advisor.report.formats.pdf_drawings import TICK, sketch_drawing
from advisor.wording.sentences import tied

LONG = "Keep the hot air moving, look behind for foam, and have the extinguisher at hand. " * 3
STEPS = WorkSteps("Weld", (WorkStep("1", "Begin here", (LONG, LONG)),))
ARGUED = Items((Item("Glued method", ("Its usage",), strong=True),
                Item("Its weak point", ("First note", "Second note"), level=1)))  # fmt: skip


def document(*sections: Part) -> Document:
    return Document(
        language="en", heading="Job", subtitle="Part", meta=(), stamp="", stamp_text="",
        front=sections, working_apart=False, working_heading="", working_intro="", working=(),
        footer="", footer_detail="", author="",
    )  # fmt: skip


def pages(model: Document) -> list[str]:
    return [page.extract_text() for page in PdfReader(BytesIO(pdf_form.render(model))).pages]


def first_with(text: str, said: list[str]) -> int:
    return next(number for number, page in enumerate(said) if text in page)


@pytest.mark.parametrize(
    ("title", "block", "opening", "following"),
    [("Heading", STEPS, "Heading", "Begin here"), ("Heading", ARGUED, "Heading", "Its weak point"),
     ("", ARGUED, "Glued method", "First note")],
)  # fmt: skip
def test_what_opens_a_part_stands_with_what_follows(
    title: str, block: Block, opening: str, following: str
) -> None:
    broke = 0
    for lines in range(20, 50):
        filled = tuple(Text("Line") for _ in range(lines))
        if title:
            said = pages(document(Part("", filled), Part(title, (block,))))
        else:
            said = pages(document(Part("", (*filled, block))))
        assert first_with(opening, said) == first_with(following, said), lines
        broke += first_with(following, said) == 1
    assert 0 < broke < 30


def test_a_line_never_ends_between_a_figure_and_its_unit() -> None:
    for filler in range(60, 100):
        text = "x" * filler + " gives 36 % of it, 12 mm (0.47 in) for EUR 62 at 60 °C and so on"
        said = "\n".join(pages(document(Part("", (Text(text),)))))
        assert not re.search(r"36\s*\n|12\s*\n|0\.47\s*\n|EUR\s*\n|60\s*\n", said), said


def test_ties_change_only_spaces() -> None:
    text = "36 % of 12 mm, EUR 62, 4 inches, 3 of 100, 5 min"
    bound = tied(text)
    assert bound.replace("\u00a0", " ") == text
    assert bound.split(" ") == ["36\u00a0%", "of", "12\u00a0mm,", "EUR\u00a062,", "4", "inches,",
                               "3", "of", "100,", "5\u00a0min"]  # fmt: skip


def test_marks_of_a_narrow_drawing_do_not_run_into_each_other() -> None:
    ticks = tuple(Tick(i / 6, f"{i / 10:g} yd") for i in range(7))
    narrow = Sketch(500.0, 1400.0, (), ticks, "", ())
    wide = Sketch(1400.0, 500.0, (), ticks, "", ())
    for sketch, least, most in ((narrow, 2, 6), (wide, 7, 7)):
        marks = [s for s in sketch_drawing(sketch, 480.0).contents if isinstance(s, String)]
        assert least <= len(marks) <= most
        for one, other in pairwise(marks):
            assert one.x + stringWidth(one.text, FONT, TICK) < other.x
