"""What the rules say in metric is told in both units, once, in every written report.

40 °C = 104 °F, 6 mm = 0.236 in, 25 mm = 0.984 in, 60 °C = 140 °F by definition.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import fields, is_dataclass, replace
from datetime import date
from functools import lru_cache
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from advisor.advice.advise import advise
from advisor.advice.result import Advice, Flip, GateState, Reason, Step
from advisor.facts.case import Case
from advisor.facts.case_file import read_case
from advisor.facts.quantity import System
from advisor.job.model import VehicleJob
from advisor.job.sheet import job_sheet, together
from advisor.paths import demo_folder, rules_folder
from advisor.report.blocks import Document, Table
from advisor.report.content.terminal_page import brief_text
from advisor.report.formats import html as html_form
from advisor.report.formats import pdf as pdf_form
from advisor.report.formats import text as text_form
from advisor.report.json_forms.advice import advice_json
from advisor.report.quote import build_quote
from advisor.report.rationale import build_rationale
from advisor.rulegraph.load import load_pack
from advisor.wording.phrases import read_phrase

DAY = date(2026, 11, 25)
SAID = {name: read_phrase(text) for name, text in {
    "headline": "Sew it 6 mm farther in",
    "finding": "It is warmer than 60 °C there",
    "reason": "A hem of 25 mm carries it",
    "step": "Warm the skin to 40 °C",
    "caution": "Above 60 °C it gives off fumes",
    "gate": "Stay 25 mm away from the bag",
    "note": "Measured 6 mm beside the seam",
    "flip": "If “edge” were “over 6 mm from it”: sewing would be best.",
}.items()}  # fmt: skip
BOTH = {
    "6 mm": "6 mm (0.24 in)", "25 mm": "25 mm (0.98 in)", "40 °C": "40 °C (104 °F)",
    "60 °C": "60 °C (140 °F)",
}  # fmt: skip


def in_both(text: str) -> str:
    return re.sub(r"[0-9]+ (?:mm|°C)", lambda found: BOTH[found[0]], text)


@pytest.fixture
def told(make_advice: Callable[[str], Advice]) -> Advice:
    advice = make_advice("plan")
    assert advice.plan is not None
    plan = replace(advice.plan, steps=(Step("hand_stitch", SAID["step"], (SAID["caution"],)),))
    care = replace(advice.gates[1], text=SAID["gate"], state=GateState.CAUTION)
    return replace(
        advice, plan=plan, gates=(care,), cautions=(SAID["caution"],), findings=(SAID["finding"],),
        headline=SAID["headline"], reasons=(Reason(SAID["reason"]),), notes=(SAID["note"],),
        flips=(Flip("edge", "Edge", "", "", "", SAID["flip"]),),
    )  # fmt: skip


def words_of(form: str, document: Document) -> str:
    if form == "text":
        text = text_form.render(document)
    elif form == "html":
        text = re.sub(r"<[^>]+>", " ", html_form.render(document))
    else:
        pages = PdfReader(BytesIO(pdf_form.render(document))).pages
        text = " ".join(page.extract_text() for page in pages)
    return re.sub(r"\s+", " ", text)


@pytest.mark.parametrize("form", ["text", "html", "pdf"])
def test_every_sentence_of_the_rationale(form: str, told: Advice, case: Case) -> None:
    metric = words_of(form, build_rationale(told, case, System.METRIC, DAY))
    imperial = words_of(form, build_rationale(told, case, System.IMPERIAL, DAY))
    for said in SAID.values():
        assert said in metric
        assert in_both(said) in imperial
    assert not re.search(r"\) \([0-9]", imperial)


def test_every_sentence_of_the_terminal_page(told: Advice) -> None:
    metric = re.sub(r"\s+", " ", brief_text(told, System.METRIC))
    imperial = re.sub(r"\s+", " ", brief_text(told, System.IMPERIAL))
    for part in ("headline", "finding", "caution", "note", "flip"):
        assert SAID[part] in metric
        assert in_both(SAID[part]) in imperial
    assert max(map(len, brief_text(told, System.IMPERIAL).splitlines())) <= 96


def test_the_json_keeps_to_its_own_units(told: Advice) -> None:
    form = advice_json(told)
    assert form["headline"] == SAID["headline"]
    assert form["plan"]["steps"][0]["text"] == SAID["step"]
    assert form["cautions"] == [SAID["caution"]]


@lru_cache(maxsize=4)
def demo(name: str) -> tuple[VehicleJob, Case, Advice]:
    pack = load_pack(rules_folder())
    case = read_case(demo_folder() / f"{name}.yaml", pack.facts, methods=pack.methods)
    advice = advise(case, pack, 256, flips=False)
    return together([job_sheet(case, pack, advice)], pack), case, advice


def texts(part: object) -> Iterator[str]:
    if isinstance(part, str):
        yield str(part)
    elif isinstance(part, tuple):
        for one in part:
            yield from texts(one)
    elif is_dataclass(part):
        for field in fields(part):
            yield from texts(getattr(part, field.name))


@pytest.mark.parametrize("name", ["lifted_dash_edge", "cracked_panel"])
def test_no_sentence_stays_metric(name: str) -> None:
    job, case, advice = demo(name)
    alone = re.compile(r"[0-9] (?:mm|°C|N|N/mm|kg)\b(?!/)(?! \([^()]+ (?:in|°F|lbf|lbf/in|lb)\))")
    found = 0
    for document in (build_quote(job, System.IMPERIAL, DAY, annex=True),
                     build_rationale(advice, case, System.IMPERIAL, DAY)):  # fmt: skip
        for text in texts((document.front, document.working)):
            assert not alone.search(text), text
            assert not re.search(r"\) \([0-9]", text), text
            found += "°F)" in text
    assert found


def test_the_job_sheet_tells_its_steps_and_remarks_in_both() -> None:
    job, _, _ = demo("lifted_dash_edge")
    metric = words_of("text", build_quote(job, System.METRIC, DAY, annex=True))
    imperial = words_of("text", build_quote(job, System.IMPERIAL, DAY, annex=True))
    assert "below 60 °C by the thermometer" in metric
    assert "below 60 °C (140 °F) by the thermometer" in imperial
    assert "A strip of 40 mm (1.6 in) along" in imperial


def test_converted_amounts_stay_as_they_are() -> None:
    job, _, _ = demo("cracked_panel")
    amounts = [a for sheet in job.sheets for group in sheet.groups for a in group.amounts]
    tables = [
        block
        for section in build_quote(job, System.IMPERIAL, DAY, annex=True).working
        for block in section.blocks
        if isinstance(block, Table) and block.columns[1].title == "Amount"
    ]
    shown = [row.cells[1] for table in tables for row in table.rows]
    assert shown == [amount.text(System.IMPERIAL) for amount in amounts]
    assert any(" in " in text or text.endswith(" in") for text in shown)


def test_the_file_that_is_written_tells_both(
    told: Advice, case: Case, tmp_path: Path
) -> None:
    from advisor.report.rationale import write_rationale

    write_rationale(told, case, tmp_path / "a.txt", System.IMPERIAL, DAY)
    assert "40 °C (104 °F)" in (tmp_path / "a.txt").read_text(encoding="utf-8")
