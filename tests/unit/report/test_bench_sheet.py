"""The bench sheet: drawings that can be read, steps and figures, and never a price."""

from __future__ import annotations

from datetime import date
from itertools import combinations
from pathlib import Path

import pytest
from pypdf import PdfReader

from advisor.drawing.bench.bench_shapes import LETTER, BenchDrawing, placed
from advisor.drawing.bench.of_sheet import BY_NAME, drawings_of
from advisor.facts.quantity import System
from advisor.job.sheet import job_sheet, together
from advisor.report.bench_sheet import build_bench_sheet, write_bench_sheet
from advisor.report.blocks import PAPERS
from advisor.report.formats.html import render
from advisor.report.formats.pdf import page_size, register_fonts
from advisor.report.formats.pdf_bars import FONT
from advisor.report.formats.text import render as as_text
from advisor.report.invoice_page import ShopHead, build_invoice_page
from advisor.report.quote import build_quote, write_quote
from advisor.rulegraph.model.bench_drawings import DRAWINGS
from advisor.wording.counts import of_hundred
from tests.unit.job.demo_jobs import advised, shipped

DAY = date(2026, 5, 4)
#: Figures at least as long as any that a sheet gives.
LONG = {
    "pitch": "0.16 in", "overrun": "0.51 in", "thread_length": "1160 mm", "groove": "60",
    "rod_diameter": "0.12 in", "passes": "12", "stop_drill": "0.12 in", "weld_speed": "75 mm/min",
    "staples": "120", "staple_spacing": "0.79 in", "strip_side": "0.98 in",
    "strip_length": "1250 mm", "patch_length": "1250 mm", "patch_width": "105 mm",
    "overlap": "0.98 in", "pad_length": "1250 mm", "pad_width": "1250 mm", "pad_depth": "1.25 in",
}


def job_of(*names: str):  # type: ignore[no-untyped-def]
    pack = shipped()
    sheets = [job_sheet(advised(name)[0], pack, advised(name)[1]) for name in names]
    return together(sheets, pack)


def boxes(drawing: BenchDrawing) -> list[tuple[str, float, float, float, float]]:
    """Where the words of a drawing stand, in the face of the PDF."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    register_fonts()
    found = []
    for note in drawing.notes:
        anchor, down = placed(note)
        wide = stringWidth(note.text, FONT, LETTER)
        left = note.at[0] - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
        foot = note.at[1] + down
        found.append((note.text, left, foot - 0.75 * LETTER, left + wide, foot + 0.22 * LETTER))
    return found


def test_every_drawing_that_a_file_may_name_is_drawn() -> None:
    assert tuple(BY_NAME) == DRAWINGS


@pytest.mark.parametrize("told", [LONG, {}], ids=["long figures", "no figures"])
@pytest.mark.parametrize("name", DRAWINGS)
def test_words_stay_inside_and_off_each_other(name: str, told: dict[str, str]) -> None:
    drawing = BY_NAME[name](lambda key: told.get(key, ""))
    found = boxes(drawing)
    for text, left, top, right, foot in found:
        assert left >= 0 and right <= drawing.width, text
        assert top >= 0 and foot <= drawing.height, text
    for one, other in combinations(found, 2):
        apart = (one[3] <= other[1] or other[3] <= one[1] or one[4] <= other[2]
                 or other[4] <= one[2])  # fmt: skip
        assert apart, f"{one[0]!r} on {other[0]!r}"
    points = [p for part in (*drawing.shapes, *drawing.strokes) for p in part.points]
    assert all(0 <= x <= drawing.width and -1 <= y <= drawing.height for x, y in points)


def test_two_needles_pass_every_hole_from_both_sides() -> None:
    """In a stitch with two needles both threads pass every sewn hole and lie on opposite faces
    between two (common practice, no source)."""
    for name, empty in (("stitch_path", 0), ("stitch_path_every_other_hole", 4)):
        drawing = BY_NAME[name](lambda key: "")
        first, second = (
            next(s for s in drawing.strokes if s.name == f"{which} needle").points
            for which in ("first", "second")
        )
        assert len(first) == len(second)
        for (x, y), (x2, y2) in zip(first, second, strict=True):
            assert abs(x - x2) < 4.0  # the same hole
            assert y != y2  # the other face
        left_open = [s for s in drawing.shapes if s.name == "hole left open"]
        assert len(left_open) == empty
        for hole in left_open:
            middle = sum(x for x, _ in hole.points) / 4
            assert all(abs(x - middle) > 4.0 for x, _ in (*first, *second))


def test_the_groove_has_the_angle_it_names() -> None:
    """A V of 60 degrees opens to 2 tan(30) of its depth: geometry."""
    drawing = BY_NAME["weld_groove"](lambda key: LONG.get(key, ""))
    left, right = (s.points for s in drawing.shapes if s.name == "plate")
    depth = max(y for _, y in left) - min(y for _, y in left)
    opens = right[0][0] - left[1][0]
    assert opens == pytest.approx(2 * 0.57735 * depth, rel=1e-3)


@pytest.mark.parametrize("system", list(System))
def test_a_drawing_says_the_figures_of_its_sheet(system: System) -> None:
    job = job_of("split_armrest")
    sheet = job.sheets[0]
    (drawing,) = drawings_of(sheet, "hand_stitch", system)
    said = " ".join((*drawing.words, drawing.caption))
    amounts = {a.key: a for group in sheet.groups for a in group.amounts}
    for key in ("pitch", "thread_length"):
        assert amounts[key].text(system).split(" (")[0] in said
    text = as_text(build_bench_sheet(job, system, DAY))
    assert drawing.title in text and drawing.caption[:30] in text


@pytest.mark.parametrize("name", ["split_armrest", "cracked_panel", "torn_deck_cushion",
                                  "brittle_bench", "armrest_crumbled_foam"])
def test_it_has_steps_and_cautions_and_no_money(name: str) -> None:
    job = job_of(name)
    document = build_bench_sheet(job, today=DAY)
    text = " ".join(as_text(document).split())
    for word in ("EUR", "VAT", "Price", "Signature", "Deposit"):
        assert word not in text, word
    sheet = job.sheets[0]
    at = [text.index(" ".join(str(step.text).split())[:40]) for step in sheet.steps]
    assert at == sorted(at)
    for caution in {c for step in sheet.steps for c in step.cautions} | set(sheet.cautions):
        assert " ".join(str(caution).split())[:40] in text, caution
    assert "<script" not in render(document)


def test_each_material_is_laid_ready_once() -> None:
    text = " ".join(as_text(build_bench_sheet(job_of("torn_deck_cushion"), today=DAY)).split())
    for once in ("acking cloth and", "olour and top coat"):
        laid = text.partition("Material")[2].partition("Patch placement")[0]
        assert laid.count(once) == 1, laid


def test_with_a_hazard_open_there_are_no_steps(tmp_path: Path) -> None:
    document = build_bench_sheet(job_of("unknown_split"), today=DAY)
    text = as_text(document)
    assert document.heading == "No bench sheet" and "NO WORK ON" in text
    assert "needle" not in text


@pytest.mark.parametrize("paper", PAPERS)
def test_both_papers_have_the_quote_on_one_page_of_their_size(paper: str, tmp_path: Path) -> None:
    job = job_of("torn_deck_cushion", "brittle_bench", "fallen_headlining")
    write_quote(job, tmp_path / "q.pdf", today=DAY, paper=paper)
    write_bench_sheet(job, tmp_path / "b.pdf", today=DAY, paper=paper)
    quote = PdfReader(tmp_path / "q.pdf")
    assert len(quote.pages) == 1
    assert "Signature, date" in quote.pages[0].extract_text()
    for page in (*quote.pages, *PdfReader(tmp_path / "b.pdf").pages):
        assert tuple(map(float, page.mediabox[2:])) == pytest.approx(page_size(paper), abs=0.01)


@pytest.mark.parametrize("name", ["armrest_crumbled_foam", "brittle_bench", "cracked_panel",
                                  "worn_bolster"])
def test_every_paper_says_the_same_time_and_chance(name: str) -> None:
    """One figure for one thing: quote, bench sheet and the page for the invoice."""
    case, advice = advised(name)[:2]
    job = job_of(name)
    page = build_invoice_page(advice, case, ShopHead(), None)
    quote = " ".join(as_text(build_quote(job, today=DAY)).split())
    bench = " ".join(as_text(build_bench_sheet(job, today=DAY)).split())
    about = page.time.split(" (")[0]
    assert about in quote and page.time in bench
    held = of_hundred(advice.plan.hold_probability)
    for paper in (quote, bench, page.hold):
        assert held in paper
    assert page.price.split(" (")[0] in quote
    assert "may open again" not in page.weak


def test_the_page_for_the_invoice_reads_as_sentences() -> None:
    """Titles of methods are orders (*Bond a new lining*), so none is the subject of a sentence."""
    for name in ("split_armrest", "fallen_headlining", "lifted_dash_edge"):
        case, advice = advised(name)[:2]
        why = build_invoice_page(advice, case, ShopHead(), None).why
        titles = [method.title for method in advice.methods]
        assert not any(one.startswith(title) for one in why for title in titles)
        assert any("The repair is loaded to" in one for one in why)
