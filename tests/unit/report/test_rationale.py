"""The rationale as text, HTML and PDF."""

from __future__ import annotations

import html
import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from html.parser import HTMLParser
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from advisor.advice.result import Advice, Question, Reason, Status, Verdict
from advisor.facts.case import Case
from advisor.facts.quantity import System
from advisor.report.formats import pdf as pdf_form
from advisor.report.rationale import (
    RationaleModel,
    build_rationale,
    rationale_html,
    rationale_pdf,
    rationale_text,
    write_rationale,
)

DAY = date(2026, 11, 25)
FOOTER = "Estimate, not a test result. Not an approval."


def plain(text: str) -> str:
    """``text`` on one line, with single spaces."""
    return re.sub(r"\s+", " ", text)


def pdf_pages(model: RationaleModel) -> list[str]:
    reader = PdfReader(BytesIO(pdf_form.render(model)))
    return [plain(page.extract_text()) for page in reader.pages]


def page_words(model: RationaleModel) -> str:
    """Words of the HTML page without tags."""
    body = re.sub(r"<style>.*?</style>", "", rationale_html(model), flags=re.DOTALL)
    return plain(html.unescape(re.sub(r"<[^>]+>", " ", body)))


FORMS: dict[str, Callable[[RationaleModel], str]] = {
    "text": lambda model: plain(rationale_text(model)),
    "html": page_words,
    "pdf": lambda model: plain(" ".join(pdf_pages(model))),
}


@pytest.fixture(params=sorted(FORMS))
def say(request: pytest.FixtureRequest, case: Case) -> Callable[[Advice], str]:
    """All words of the rationale in one of its forms."""
    form = FORMS[request.param]
    return lambda advice: form(build_rationale(advice, case, System.METRIC, DAY))


def test_every_verdict_is_said_and_signed(advice: Advice, say: Callable[[Advice], str]) -> None:
    said = say(advice)
    assert advice.headline in said
    assert advice.title in said and "HB-2041" in said and "25 November 2026" in said
    assert FOOTER in said
    for mark in ("0.3.0", "9f2c41d7a0b3", "3141592653", "4,096 simulated cases"):
        assert mark in said


def test_the_plan_is_offered(
    say: Callable[[Advice], str], make_advice: Callable[[str], Advice]
) -> None:
    said = say(make_advice("plan"))
    assert "EUR 130 (92 to 185)" in said
    assert "Holds in 96 of 100 simulated cases" in said
    assert "We simulated your part 4,096 times" in said
    assert "Hand stitch through the existing holes, then recolour." in said
    assert "3.6 kg" in said
    assert "PROVISIONAL" not in said.upper()


def test_failing_methods_tell_their_load_path(
    say: Callable[[Advice], str], make_advice: Callable[[str], Advice]
) -> None:
    said = say(make_advice("plan"))
    assert "FAILS" in said
    for path in ("glue line creeps", "patch peels at its edge"):
        assert f"Shrunk skin > pull across the seam, all the time > {path}" in said
    assert "there is no solid plastic to weld" in said
    assert "Based on: Part and Backing" in said and "Part > Backing" not in said


def test_a_proposed_method_is_not_called_failing(
    say: Callable[[Advice], str], make_advice: Callable[[str], Advice]
) -> None:
    advice = make_advice("plan")
    unsure = replace(advice.methods[0], status=Status.FAILS, hold_probability=0.72)
    said = say(replace(advice, methods=(unsure, *advice.methods[1:])))
    assert "MAY FAIL, holds in 72 of 100, proposed" in said
    assert "FAILS, proposed" not in said


def test_left_out_loads_are_in_the_working(
    case: Case, make_advice: Callable[[str], Advice]
) -> None:
    advice = make_advice("plan")
    elsewhere = replace(advice.loads[0], site="edge", title="Peel at the edge")
    model = build_rationale(
        replace(advice, loads=(*advice.loads, elsewhere)), case, System.METRIC, DAY
    )
    first = plain(rationale_text(replace(model, working=())))
    assert "Peel at the edge" not in first and "are in the details" in first
    assert "Peel at the edge" in plain(rationale_text(model))
    whole = build_rationale(advice, case, System.METRIC, DAY)
    assert "are in the details" not in rationale_text(whole)


def test_a_helper_is_not_called_proposed_and_failing(
    say: Callable[[Advice], str], make_advice: Callable[[str], Advice]
) -> None:
    advice = make_advice("plan")
    assert advice.plan is not None
    filler = next(m for m in advice.methods if m.method == "flexible_filler")
    plan = replace(advice.plan, methods=("hand_stitch", filler.method), steps=())
    argued = Reason("Filler argued", children=filler.because)
    said = say(replace(advice, plan=plan, reasons=(*advice.reasons, argued)))
    assert "FAILS ALONE, used as a helper" in said
    assert "Filler argued" not in said


def test_the_end_of_a_long_path_stands_beside_the_bar(
    case: Case, make_advice: Callable[[str], Advice]
) -> None:
    advice = make_advice("plan")
    glue = next(m for m in advice.methods if m.method == "adhesive_bond")
    steps = ("First cause", "Second", "Third", "Pull", "Glue creeps")
    reason = replace(glue.because[0], path_titles=steps)
    model = build_rationale(
        replace(advice, methods=(replace(glue, because=(reason,)),)), case, System.METRIC, DAY
    )
    said = plain(rationale_text(replace(model, working=())))
    assert "Breaks by: Third > Pull > Glue creeps" in said and "First cause" not in said
    assert "Load path: First cause > Second > Third" in plain(rationale_text(model))


def test_a_referral_does_not_say_everything_twice(
    say: Callable[[Advice], str], make_advice: Callable[[str], Advice]
) -> None:
    refer = make_advice("refer")
    (gate,) = refer.gates
    said = say(replace(refer, headline=f"Do not repair this here. {gate.text}", reasons=()))
    assert plain(said.replace("|", " ")).count("the cover seam opens when the bag fires") == 1
    assert "Who this goes to" not in said and "STOPS THE JOB" in said


def test_the_working_is_complete(
    say: Callable[[Advice], str], make_advice: Callable[[str], Advice]
) -> None:
    said = say(make_advice("plan"))
    for words in (
        "shrunk skin 0.10 0.22 0.45", "Gap at rest", "0.9 to 1.3 mm",
        "If the skin were brittle instead of supple, a new cover would be best.",
        "Do not sand; it may hold fibres.", "Wear eye protection at the hot-air gun.",
        "(looked up)", "(from memory)", "(common practice, no source)", "(estimate)",
        "Tried before", "contact glue, opened again, lasted 3 weeks",
        "fails first: thread fatigue",
        "Not needed for this damage: hot staples and backfill the foam.",
    ):  # fmt: skip
        assert words in said, words


def test_cautions_stand_beside_their_step(case: Case, make_advice: Callable[[str], Advice]) -> None:
    model = build_rationale(make_advice("plan"), case, System.METRIC, DAY)
    for said in (plain(rationale_text(model)), page_words(model)):
        step = said.index("Warm the skin to 40")
        caution = said.index("Hot air burns skin", step)
        assert step < caution < said.index("Lace through every old hole", step)


def test_a_question_comes_first_and_the_plan_is_stamped(
    say: Callable[[Advice], str], make_advice: Callable[[str], Advice]
) -> None:
    advice = make_advice("ask")
    said = say(advice)
    assert "Clear these hazards first." in said and "Is there an airbag" in said
    assert "How hard must you pull" not in said
    said = say(replace(advice, gates=(), ask=tuple(one for one in advice.ask if not one.gate)))
    assert "PROVISIONAL" in said.upper() and "Do not start work on this." in said
    assert "What we propose".upper() not in said.upper()
    order = ["How hard must you pull", "EUR 130"]
    places = [said.index(words) for words in order]
    assert places == sorted(places)
    assert "How old is the skin?" not in said
    assert "Lace through" not in said


def test_nothing_is_offered_where_the_job_is_referred(
    say: Callable[[Advice], str], make_advice: Callable[[str], Advice]
) -> None:
    refer = make_advice("refer")
    said = say(replace(refer, plan=make_advice("plan").plan))
    assert "Refer to the maker's dealer: the cover seam opens when the bag fires." in said
    assert "A repaired seam can hold the bag back when it must open." in said
    for words in ("EUR", "Lace through", "HOLDS", "proposed"):
        assert words not in said


def test_nothing_is_offered_where_the_job_is_declined(
    say: Callable[[Advice], str], make_advice: Callable[[str], Advice]
) -> None:
    said = say(replace(make_advice("decline"), plan=make_advice("plan").plan))
    assert "have the pad re-covered" in said and "FAILS" in said
    for words in ("Will it hold", "Lace through", "(proposed)", ", proposed"):
        assert words not in said


def test_a_case_hardly_begun(
    say: Callable[[Advice], str], make_advice: Callable[[str], Advice]
) -> None:
    what = Question("part.kind", "Part", "Which part is it?", "", 0.0, 1.0, False, "All", True)
    bare = replace(
        make_advice("ask"), plan=None, provisional=False, plans=(), methods=(), loads=(),
        gates=(), ask=(what,), flips=(), facts=(), reasons=(), needs=(), notes=(), cautions=(),
    )  # fmt: skip
    said = say(bare)
    assert "Which part is it?" in said and FOOTER in said
    assert "Why" not in said and "EUR" not in said


def test_a_strange_measurement_is_on_the_first_page(
    case: Case, make_advice: Callable[[str], Advice]
) -> None:
    odd = "Something else is pulling: is the skin loose from the foam?"
    advice = replace(make_advice("plan"), findings=(odd,))
    assert odd in pdf_pages(build_rationale(advice, case, System.METRIC, DAY))[0]


def test_method_arguments_do_not_flood_the_first_part(
    case: Case, make_advice: Callable[[str], Advice]
) -> None:
    advice = make_advice("plan")
    many = tuple(
        Reason(f"Argument {m.method} ends", ("node",), (), (), None, m.because)
        for m in advice.methods
    )
    gate = Reason("The airbag was asked about", ("hazard.airbag",))
    advice = replace(advice, reasons=(gate, *many))
    model = build_rationale(advice, case, System.METRIC, DAY)
    said = rationale_text(replace(model, working=()))
    assert "Argument hand_stitch" in said and "Argument adhesive_bond" not in said
    assert "was asked about" not in said


@pytest.mark.parametrize("system", list(System))
def test_text_lines_fit(advice: Advice, case: Case, system: System) -> None:
    long = replace(advice, title="A" * 300, headline="word " * 60 + "B" * 120)
    for shown in (advice, long):
        text = rationale_text(build_rationale(shown, case, system, DAY))
        assert max(len(line) for line in text.splitlines()) <= 88
        assert not [line for line in text.splitlines() if line != line.rstrip()]
        assert "\n\n\n\n" not in text


def test_inches_reach_the_reader(case: Case, make_advice: Callable[[str], Advice]) -> None:
    text = rationale_text(build_rationale(make_advice("plan"), case, System.IMPERIAL, DAY))
    assert "lbf/in" in text and "N/mm" not in text
    assert "0.035 to 0.051 in" in text and "0.157 in" in text


HOSTILE = '<script>alert("x")</script> & "quoted" <b>bold</b> \x00\x1b[31m'


class Outside(HTMLParser):
    """Collects what a page would fetch or run."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in ("script", "link", "img", "iframe", "object", "base"):
            self.found.append(tag)
        for name, value in attrs:
            fetches = name in ("src", "href", "xlink:href", "action") or name.startswith("on")
            if fetches and not (value or "").startswith("#"):
                self.found.append(f"{tag} {name}={value}")


def hostile(advice: Advice) -> Advice:
    methods = tuple(replace(m, title=HOSTILE, limiting_title=HOSTILE) for m in advice.methods)
    plan = advice.plan and replace(advice.plan, titles=(HOSTILE, HOSTILE), tools=(HOSTILE,))
    return replace(
        advice, title=HOSTILE, case=HOSTILE, headline=HOSTILE, methods=methods, plan=plan,
        notes=(HOSTILE,), cautions=(HOSTILE,),
    )  # fmt: skip


def test_the_page_stands_alone(advice: Advice, case: Case) -> None:
    for shown in (advice, hostile(advice)):
        page = rationale_html(build_rationale(shown, case, System.METRIC, DAY))
        reader = Outside()
        reader.feed(page)
        assert not reader.found
        assert "http" not in page and "url(" not in page.replace("url(#", "")
        assert "<svg" in page or shown.verdict is Verdict.REFER


def test_markup_in_a_title_is_shown_not_obeyed(advice: Advice, case: Case) -> None:
    model = build_rationale(hostile(advice), case, System.METRIC, DAY)
    page = rationale_html(model)
    assert "<script" not in page and "&lt;script&gt;" in page and "<b>bold" not in page
    assert "\x1b" not in page and "\x00" not in page
    assert '<script>alert("x")</script>' in " ".join(pdf_pages(model))
    text = rationale_text(model)
    assert '<script>alert("x")</script>' in plain(text)
    assert "\x1b" not in text and "\x00" not in text


def test_every_page_of_the_pdf_is_signed(advice: Advice, case: Case, tmp_path: Path) -> None:
    target = tmp_path / "out.pdf"
    rationale_pdf(build_rationale(advice, case, System.METRIC, DAY), target)
    reader = PdfReader(target)
    pages = [plain(page.extract_text()) for page in reader.pages]
    for number, said in enumerate(pages, 1):
        assert FOOTER in said
        assert f"Page {number} of {len(pages)}" in said
        assert "seed 3141592653" in said
        assert ("PROVISIONAL" in said) == (advice.verdict is Verdict.ASK)
    assert reader.metadata is not None
    assert reader.metadata.title == f"Repair advice: {advice.title}"
    width, height = reader.pages[0].mediabox.width, reader.pages[0].mediabox.height
    assert (round(width), round(height)) == (595, 842)
    assert advice.headline in pages[0]


def test_the_customer_needs_one_page(case: Case, make_advice: Callable[[str], Advice]) -> None:
    for verdict in ("plan", "ask", "decline"):
        pages = pdf_pages(build_rationale(make_advice(verdict), case, System.METRIC, DAY))
        assert "The methods compared" in pages[0] and "The details" in pages[1]


def test_a_pdf_is_the_same_twice(case: Case, make_advice: Callable[[str], Advice]) -> None:
    model = build_rationale(make_advice("plan"), case, System.METRIC, DAY)
    assert pdf_form.render(model) == pdf_form.render(model)


def test_a_long_report_still_lays_out(case: Case, make_advice: Callable[[str], Advice]) -> None:
    advice = make_advice("plan")
    deep = Reason("Bottom")
    for n in range(12):
        deep = Reason(f"Level {n}", children=(deep,))
    flood = replace(advice.methods[3], because=(deep, Reason("long " * 2000)))
    pages = pdf_pages(
        build_rationale(replace(advice, methods=(flood,) * 20), case, System.METRIC, DAY)
    )
    assert "Bottom" in " ".join(pages) and len(pages) > 10


@pytest.mark.parametrize(
    ("name", "start"), [("a.pdf", b"%PDF"), ("a.HTML", b"<!DOCTYPE html>"), ("a.txt", b"REPAIR")]
)
def test_the_suffix_chooses_the_form(
    name: str, start: bytes, tmp_path: Path, case: Case, make_advice: Callable[[str], Advice]
) -> None:
    write_rationale(make_advice("plan"), case, tmp_path / name, today=DAY)
    assert (tmp_path / name).read_bytes().startswith(start)
    assert [path.name for path in tmp_path.iterdir()] == [name]


@pytest.mark.parametrize("name", ["a.docx", "a"])
def test_another_suffix_is_refused(
    name: str, tmp_path: Path, case: Case, make_advice: Callable[[str], Advice]
) -> None:
    with pytest.raises(ValueError, match=r"accepted: \.pdf, \.html, \.txt"):
        write_rationale(make_advice("plan"), case, tmp_path / name)
    assert not list(tmp_path.iterdir())


def test_a_failed_write_leaves_the_old_file(
    tmp_path: Path,
    case: Case,
    make_advice: Callable[[str], Advice],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    target = tmp_path / "a.txt"
    target.write_text("old", encoding="utf-8")

    def full(_: int) -> None:
        raise OSError("No space left on device")

    monkeypatch.setattr("advisor.facts.whole_file.os.fsync", full)
    with pytest.raises(OSError, match="No space"):
        write_rationale(make_advice("plan"), case, target)
    assert target.read_text(encoding="utf-8") == "old"
    assert [path.name for path in tmp_path.iterdir()] == ["a.txt"]


def test_heavy_libraries_are_loaded_late() -> None:
    import subprocess
    import sys

    code = (
        "import sys, advisor.report.rationale, advisor.report.json_forms.advice;"
        "print([m for m in ('jinja2', 'reportlab', 'pint') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
