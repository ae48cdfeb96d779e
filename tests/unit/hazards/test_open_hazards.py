"""While a hazard is open no output has a price, minutes, steps or a place to sign.

Every output of every demo and field case is searched, once with all hazards open and once
with one open; the hazards themselves are all named, with how each is cleared.
"""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterator
from datetime import date
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from advisor.advice.advise import advise
from advisor.advice.result import Advice, Verdict
from advisor.facts.case import Case
from advisor.facts.case_file import read_case
from advisor.job.model import VehicleJob
from advisor.job.sheet import job_sheet, together
from advisor.paths import demo_folder
from advisor.report.content.terminal_page import brief_text
from advisor.report.formats.any_form import WRITERS
from advisor.report.json_forms.advice import advice_json
from advisor.report.json_forms.job import job_json
from advisor.report.quote import build_quote, job_text
from advisor.report.rationale import build_rationale
from advisor.rulegraph.model.pack import RulePack

FIELD = Path(__file__).parents[2] / "field"
FILES = [*sorted(demo_folder().glob("*.yaml")), *sorted(FIELD.glob("fc-*.yaml"))]
DAY = date(2026, 5, 4)

#: What would be a price, a time of work, or a place to sign.
PROMISES = {
    "price": re.compile(r"\b(EUR|USD)\b|\bprice\s*:?\s*(about\s*)?\d|\b\d+\s*(EUR|USD)\b"),
    "minutes": re.compile(r"\d\s*(min|minutes?|hours?|h)\b"),
    "signature": re.compile(r"I agree to this work|\.{20,}|\bSignature\b|\bsign here\b", re.I),
}
#: Keys of the JSON that hold money, time or steps.
HELD_BACK = {
    "price", "minutes", "set_up_minutes", "expected_cost", "comeback_cost", "looks_charge",
    "deciding_now", "deposit", "quote",
}  # fmt: skip


def opened(case: Case, pack: RulePack) -> Iterator[Case]:
    """The case with all hazard answers taken out, and with one."""
    gates = [name for name in case.facts if name in pack.facts and pack.facts[name].gate]
    facts = {name: value for name, value in case.facts.items() if name not in gates}
    yield Case(case.name, case.title, facts, case.earlier_repairs)
    for gate in gates[:1]:
        yield case.without(gate)


def letters(text: str) -> str:
    return re.sub(r"[\W_]+", "", text)


def promised(text: str, pack: RulePack) -> dict[str, list[str]]:
    """What of a price, minutes, a place to sign or a step of any method stands in a text."""
    flat = " ".join(text.split())
    found = {kind: pattern.findall(flat) for kind, pattern in PROMISES.items()}
    run = letters(flat)
    found["steps"] = [
        step.text
        for method in pack.methods.values()
        for step in method.steps
        if letters(step.text) in run
    ]
    return {kind: places for kind, places in found.items() if places}


def outputs(
    advice: Advice, case: Case, job: VehicleJob,
    suffixes: tuple[str, ...] = (".txt", ".html", ".pdf"),
) -> Iterator[tuple[str, str]]:  # fmt: skip
    """Every output as text, by name."""
    yield "advise", brief_text(advice)
    yield "job", job_text(job)
    rationale, quote = build_rationale(advice, case, today=DAY), build_quote(job, today=DAY)
    for suffix in suffixes:
        for name, written in (
            ("rationale", WRITERS[suffix](rationale)), ("quote", WRITERS[suffix](quote)),
        ):  # fmt: skip
            yield f"{name}{suffix}", plain(written, suffix)


def plain(written: bytes, suffix: str) -> str:
    if suffix == ".pdf":
        reader = PdfReader(io.BytesIO(written))
        return " ".join(page.extract_text() for page in reader.pages)
    text = written.decode("utf-8")
    if suffix == ".html":
        text = unescape(re.sub(r"<style.*?</style>|<[^>]+>", " ", text, flags=re.S))
    return text


def held_back(form: Any, where: str = "") -> Iterator[str]:
    """Places in a JSON form that hold money, time or steps."""
    if isinstance(form, dict):
        for key, value in form.items():
            asks = ".ask[" in where or ".facts[" in where
            if key in HELD_BACK and value is not None and not asks:
                yield f"{where}.{key}"
            elif key == "steps" and value:
                yield f"{where}.steps"
            else:
                yield from held_back(value, f"{where}.{key}")
    elif isinstance(form, list):
        for i, value in enumerate(form):
            yield from held_back(value, f"{where}[{i}]")


@pytest.mark.parametrize("file", FILES, ids=[file.stem for file in FILES])
def test_nothing_is_promised_while_a_hazard_is_open(file: Path, pack: RulePack) -> None:
    case = read_case(file, pack.facts, methods=pack.methods)
    for one in opened(case, pack):
        advice = advise(one, pack, 256)
        if not advice.open_hazards:
            continue
        assert advice.verdict in (Verdict.ASK, Verdict.REFER)
        job = together([job_sheet(one, pack, advice)], pack)
        assert [*held_back(advice_json(advice))] == []
        assert [*held_back(job_json(job))] == []
        # The pages of field cases are laid out as those of the demo cases are.
        suffixes = (".txt",) if file.parent == FIELD else (".txt", ".html", ".pdf")
        for name, text in outputs(advice, one, job, suffixes):
            assert promised(text, pack) == {}, (file.stem, name)
            if advice.verdict is Verdict.ASK:
                for question in (asked for asked in advice.ask if asked.gate):
                    assert letters(question.ask) in letters(text), (file.stem, name)
                    assert letters(question.how) in letters(text), (file.stem, name)


def test_the_search_finds_what_is_promised_once_hazards_are_cleared(pack: RulePack) -> None:
    """The same search over a settled case finds a price, minutes, steps and a place to sign."""
    case = read_case(demo_folder() / "split_armrest.yaml", pack.facts, methods=pack.methods)
    advice = advise(case, pack, 256)
    job = together([job_sheet(case, pack, advice)], pack)
    found = {kind for _, text in outputs(advice, case, job) for kind in promised(text, pack)}
    assert found == {*PROMISES, "steps"}
    assert {place.rpartition(".")[2] for place in held_back(advice_json(advice))} >= {
        "price", "minutes", "steps", "expected_cost",
    }  # fmt: skip
    assert [*held_back(json.loads(json.dumps(job_json(job))))]


def test_an_open_hazard_of_one_part_holds_back_the_whole_job(pack: RulePack) -> None:
    read = [
        read_case(demo_folder() / f"{name}.yaml", pack.facts, methods=pack.methods)
        for name in ("split_armrest", "worn_bolster")
    ]
    cases = [read[0].without("gate.airbag"), read[1]]
    advices = [advise(case, pack, 256) for case in cases]
    sheets = [
        job_sheet(case, pack, advice) for case, advice in zip(cases, advices, strict=True)
    ]
    job = together(sheets, pack)
    assert job.price is None and job.visits == ()
    assert [*held_back(job_json(job))] == []
    assert "Another part of this job has hazards to clear first." in job_text(job)
