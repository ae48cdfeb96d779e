"""The quote and the job command: one page, whole text, JSON by its schema, clear errors."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner
from pypdf import PdfReader

from advisor.cli.entry_point import app
from advisor.facts.quantity import System
from advisor.job.measured_and_agreed import Hollow, HollowShape
from advisor.job.parse_agreed import WishError, read_wishes
from advisor.job.sheet import job_sheet, together
from advisor.paths import PACKAGE, demo_folder
from advisor.report.json_forms.job import job_json
from advisor.report.quote import build_quote, job_text, write_quote
from tests.unit.job.demo_jobs import advised, shipped

DAY = date(2026, 5, 4)
SCHEMA = json.loads(
    (PACKAGE / "report" / "json_forms" / "schema" / "job-1.json").read_text("utf-8")
)
NAMES = sorted(path.stem for path in demo_folder().glob("*.yaml"))


def job_of(*names: str):  # type: ignore[no-untyped-def]
    pack = shipped()
    sheets = [job_sheet(advised(name)[0], pack, advised(name)[1]) for name in names]
    return together(sheets, pack)


@pytest.mark.parametrize("name", NAMES)
def test_json_is_as_documented(name: str) -> None:
    jsonschema.validate(job_json(job_of(name)), SCHEMA)


@pytest.mark.parametrize("names", [("split_armrest",), ("brittle_bench",),
                                   ("torn_deck_cushion", "brittle_bench", "fallen_headlining")])
def test_the_quote_is_one_page_to_read_and_sign(names: tuple[str, ...], tmp_path: Path) -> None:
    job = job_of(*names)
    write_quote(job, tmp_path / "quote.pdf", today=DAY, annex=True)
    pages = [page.extract_text() for page in PdfReader(tmp_path / "quote.pdf").pages]
    first = " ".join(pages[0].split())
    for said in ("What we do", "Why", "Before tax", "Not covered", "Signature, date",
                 "4 May 2026", "Valid until: 3 June 2026", "Not an approval"):
        assert said in first, said
    assert f"{job.price.total.high:.2f}" in first
    assert "Job sheet" not in first
    assert "Job sheet" in pages[1]
    assert not any("Signature" in page for page in pages[1:])


def test_the_same_job_gives_the_same_file(tmp_path: Path) -> None:
    for name in ("a.pdf", "b.pdf"):
        write_quote(job_of("split_armrest"), tmp_path / name, today=DAY)
    assert (tmp_path / "a.pdf").read_bytes() == (tmp_path / "b.pdf").read_bytes()


@pytest.mark.parametrize("system", list(System))
def test_text_fits_a_terminal_and_keeps_cautions_beside_their_step(system: System) -> None:
    text = job_text(job_of("split_armrest"), system)
    assert max(map(len, text.splitlines())) <= 88
    lines = text.splitlines()
    glue = next(i for i, line in enumerate(lines) if "one drop of gel glue" in line)
    assert any("CAUTION: Instant glue" in line for line in lines[glue : glue + 9])


def test_imperial_changes_what_is_shown() -> None:
    metric = job_text(job_of("cracked_panel"), System.METRIC)
    imperial = job_text(job_of("cracked_panel"), System.IMPERIAL)
    assert "°C" in metric
    assert "°F" in imperial
    assert "mm/min" in metric
    assert "in/min" in imperial


def test_html_draws_the_layout(tmp_path: Path) -> None:
    write_quote(job_of("brittle_bench"), tmp_path / "q.html", today=DAY, annex=True)
    page = (tmp_path / "q.html").read_text("utf-8")
    assert page.count('class="oblong') >= 6
    assert "<script" not in page


def test_a_referred_job_says_why_and_offers_nothing() -> None:
    document = build_quote(job_of("airbag_seam"), today=DAY)
    assert document.heading == "No quote"
    assert document.working == ()
    text = job_text(job_of("airbag_seam"))
    assert "Do not repair this here" in text
    assert "Agreed" not in text


def test_a_withheld_part_stands_beside_the_others() -> None:
    text = job_text(job_of("airbag_seam", "split_armrest"))
    assert "NO WORK ON" in text
    assert "Signature" in text


def test_the_command(tmp_path: Path) -> None:
    case = str(demo_folder() / "brittle_bench.yaml")
    runner = CliRunner()
    found = runner.invoke(app, ["job", case, "--json", "--panel", "1900x550",
                                    "--worlds", "256"])
    assert found.exit_code == 0, found.output
    form = json.loads(found.output)
    jsonschema.validate(form, SCHEMA)
    assert form["jobs"][0]["cutting"]["ways"][0]["buy_yd"] == 2.5
    target = tmp_path / "q.txt"
    found = runner.invoke(app, ["job", case, "--to", str(target), "--worlds", "256"])
    assert found.output == f"{target} written.\n"
    assert "QUOTE" in target.read_text("utf-8")


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--panel", "1900"], "panel '1900': accepted is length x width in mm"),
        (["--panel", "1900xwide"], "'1900xwide': 'wide' is not a number in mm"),
        (["--hollow", "1x2"], "hollow '1x2': accepted is length x width x depth in mm"),
        (["--hollow", "1x2xnan"], "nan is not between 0 and 20000 mm"),
        (["--panel", "100x20x1.5"], "how many is a whole number up to 40"),
        (["--certainty", "0.2"], "0.2 is not in the range"),
        (["--to", "quote.doc"], "the name must end in .pdf, .html or .txt"),
    ],
)
def test_wrong_options_are_told(options: list[str], said: str) -> None:
    case = str(demo_folder() / "split_armrest.yaml")
    found = CliRunner().invoke(app, ["job", case, *options])
    assert found.exit_code == 2
    assert said in found.output


def test_reading_wishes() -> None:
    wishes = read_wishes({"panels": ["1900 x 550", "1900×100×2"], "hollow": "120x80x25"})
    assert wishes.hollow == Hollow(120.0, 80.0, 25.0)
    assert wishes.panels is not None
    assert [(p.length, p.count, p.may_join) for p in wishes.panels] == [
        (1900.0, 1, False), (1900.0, 2, True),
    ]  # fmt: skip
    with pytest.raises(WishError):
        read_wishes({"hollow": "0x1x1"})


@pytest.mark.parametrize(
    ("written", "hollow"),
    [
        ("wedge 120x80x25", Hollow(120, 80, 25, HollowShape.WEDGE)),
        ("Block: 12 x 8 x 2.5 cm", Hollow(120, 80, 25, HollowShape.BLOCK)),
        ("shallow 5x3x1 in", Hollow(127, 76.2, 25.4, HollowShape.SHALLOW)),
    ],
)
def test_a_hollow_has_a_shape_and_a_unit(written: str, hollow: Hollow) -> None:
    found = read_wishes({"hollow": written}).hollow
    assert found is not None
    assert (found.length, found.width, found.depth) == pytest.approx(
        (hollow.length, hollow.width, hollow.depth)
    )
    assert found.shape is hollow.shape


def test_panels_may_be_named_and_counts_have_no_unit() -> None:
    panels = read_wishes({"panels": ["Top face 48x22 in", "Ends: 22 x 4 x 2 in"]}).panels
    assert panels is not None
    assert [(p.title, round(p.length, 1), p.count) for p in panels] == [
        ("Top face", 1219.2, 1), ("Ends", 558.8, 2),
    ]  # fmt: skip


def test_all_wrong_wishes_are_told_at_once() -> None:
    with pytest.raises(WishError) as caught:
        read_wishes({"hollow": "cone 1x2x3", "panels": ["12", "1x2x3x4"], "humidity": 0.1,
                     "bridge": -3.0})  # fmt: skip
    assert len(caught.value.faults) == 5
    for said in ("(dish, shallow, wedge, block)", "panel '12'", "humidity 0.1: accepted is a share",
                 "bridge -3: accepted is 0 to 5000 mm"):  # fmt: skip
        assert any(said in fault for fault in caught.value.faults), said
