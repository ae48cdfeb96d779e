"""The page for the invoice: one page on either paper, and nothing that approves."""

from __future__ import annotations

from datetime import date
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from advisor.advice.advise import advise_quick
from advisor.drawing.section_layers import layers_of
from advisor.facts.case_file import read_case
from advisor.paths import demo_folder
from advisor.report.formats.pdf_invoice import render, strength_drawing
from advisor.report.invoice_page import (
    InvoicePage,
    ShopHead,
    build_invoice_page,
    two_sentences,
    write_invoice_page,
)
from advisor.rulegraph.load import load_pack
from advisor.wording.figures import Range

PACK = load_pack()
HEAD = ShopHead("Quayside Trim Workshop", "3 Slipway Yard", customer="Harbour Shuttle Service",
                vehicle="Shuttle 4", invoice="2026-0412", day=date(2026, 11, 30))  # fmt: skip
#: Sizes of the papers in points: ISO 216 and ANSI, from memory.
SIZES = {"A4": (595, 842), "Letter": (612, 792)}


def page_of(name: str, head: ShopHead = HEAD) -> InvoicePage:
    """The page of a demo case."""
    case = read_case(demo_folder() / f"{name}.yaml", PACK.facts)
    advice = advise_quick(case, PACK, rough=True).advice
    return build_invoice_page(advice, case, head, layers_of(advice, PACK))


@pytest.mark.parametrize("paper", SIZES)
@pytest.mark.parametrize("name", ["split_armrest", "armrest_crumbled_foam", "torn_deck_cushion"])
def test_it_is_one_page_of_that_paper_with_the_price_and_why(name: str, paper: str) -> None:
    page = page_of(name, ShopHead(**{**HEAD.__dict__, "paper": paper}))
    reader = PdfReader(BytesIO(render(page)))
    assert len(reader.pages) == 1
    box = reader.pages[0].mediabox
    assert (round(float(box.width)), round(float(box.height))) == SIZES[paper]
    text = " ".join(reader.pages[0].extract_text().split())
    for said in (page.price, "incl. VAT", "Quayside Trim Workshop", "2026-0412", "30.11.2026",
                 "Estimate, not a test result."):  # fmt: skip
        assert said in text, said
    assert 1 <= len(page.why) <= 4
    assert len(page.bars) <= 3


@pytest.mark.parametrize("name", ["split_armrest", "fallen_headlining", "cracked_panel"])
def test_the_drawing_stays_within_its_own_height(name: str) -> None:
    drawing = strength_drawing(page_of(name), 500.0)
    _, low, _, high = drawing.getBounds()
    assert low >= 0.0
    assert high <= drawing.height


def test_it_says_how_long_it_should_last_and_all_that_was_told() -> None:
    case = read_case(demo_folder() / "split_armrest.yaml", PACK.facts)
    advice = advise_quick(case, PACK, rough=True).advice
    page = build_invoice_page(advice, case, HEAD, None, years=Range(3, 5, 10))
    text = " ".join(PdfReader(BytesIO(render(page))).pages[0].extract_text().split())
    assert "Should last 3 to 10 years" in text
    for told in ("Damage: open seam", "Length of the damage: 120 mm", "Airbag: no airbag here"):
        assert told in text
    plain = build_invoice_page(advice, case, HEAD, None)
    assert "Should last" not in PdfReader(BytesIO(render(plain))).pages[0].extract_text()


def test_the_bar_of_the_work_proposed_has_the_count_of_all_the_work() -> None:
    page = page_of("armrest_crumbled_foam")
    count = page.hold.removeprefix("Holds in ").removesuffix(" simulated cases")
    assert page.bars[0].said == f"holds {count}"


@pytest.mark.parametrize("name", ["split_armrest", "lifted_dash_edge"])
def test_it_approves_and_releases_nothing(name: str) -> None:
    text = PdfReader(BytesIO(render(page_of(name)))).pages[0].extract_text().lower()
    for word in ("approved", "airworthy", "return to service", "certif", "guarantee"):
        assert word not in text
    assert "approves nothing" in text
    assert "warranty" not in text, "only in the shop's own words"


def test_a_warranty_stands_in_the_shops_own_words() -> None:
    page = page_of("split_armrest", ShopHead(warranty="Twelve months on our stitching."))
    assert "Twelve months on our stitching." in PdfReader(
        BytesIO(render(page))).pages[0].extract_text()


@pytest.mark.parametrize("name", ["airbag_seam", "aircraft_no_station"])
def test_a_stop_has_no_page_and_no_price(name: str, tmp_path: Path) -> None:
    page = page_of(name)
    assert page.refused.startswith("A hazard stops this job.")
    assert not page.price
    target = tmp_path / "page.pdf"
    with pytest.raises(ValueError, match="hazard stops"):
        write_invoice_page(page, target)
    assert not target.exists()


def test_while_a_hazard_is_open_there_is_no_page() -> None:
    case = read_case(demo_folder() / "split_armrest.yaml", PACK.facts).without("gate.airbag")
    advice = advise_quick(case, PACK, rough=True).advice
    page = build_invoice_page(advice, case, HEAD, None)
    assert "Hazards are not answered yet" in page.refused
    assert two_sentences(page) == page.refused


def test_two_sentences_hold_the_price_and_a_reason() -> None:
    page = page_of("split_armrest")
    said = two_sentences(page)
    assert page.price in said
    assert said.count(". ") >= 1 and len(said) < 260


def test_other_endings_and_papers_are_refused(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match=r"accepted: \.pdf"):
        write_invoice_page(page_of("split_armrest"), tmp_path / "page.txt")
    with pytest.raises(ValueError, match="accepted: A4, Letter"):
        page_of("split_armrest", ShopHead(paper="A5"))
