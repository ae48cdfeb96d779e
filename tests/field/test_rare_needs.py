"""A need of a few per cent of the simulated cases is told to nobody: over field and demo cases.

In the JSON, on the terminal, in the rationale, the quote and the job sheet.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator

import pytest

from advisor.advice.advise import Advised, advise_quick
from advisor.facts.case import Case
from advisor.job.sheet import job_sheet, together
from advisor.report.content.terminal_page import brief_text
from advisor.report.json_forms.advice import advice_json
from advisor.report.json_forms.job import job_json
from advisor.report.quote import job_text
from advisor.report.rationale import build_rationale, rationale_html, rationale_text
from tests.field.test_promises import CASES, PACK


def rare_needs(found: Advised) -> dict[str, float]:
    """Needs that are there in too few of the simulated cases to be told, with their share."""
    assert found.working is not None
    situation = found.working.situation
    least = PACK.prices.tells_need_from
    shares = {need: situation.worlds.mean(mask) for need, mask in situation.needs.items()}
    return {
        need: share
        for need, share in shares.items()
        if share < least and need != situation.primary
    }


def papers(told: Case, found: Advised) -> Iterator[tuple[str, str]]:
    """Everything that is written of a case, by name."""
    advice = found.advice
    sheet = job_sheet(told, PACK, advice, working=found.working)
    job = together([sheet], PACK)
    model = build_rationale(advice, told)
    yield "advice as JSON", json.dumps(advice_json(advice))
    yield "job as JSON", json.dumps(job_json(job))
    yield "terminal", brief_text(advice)
    yield "rationale", rationale_text(model)
    yield "rationale as a page", rationale_html(model)
    yield "quote and job sheet", job_text(job)


def said_of(need: str, text: str) -> bool:
    """Whether a text speaks of a need by its title."""
    flat = re.sub(r"\s+", " ", text).lower()
    return PACK.needs[need].title.lower() in flat


@pytest.mark.parametrize("name", CASES)
def test_a_rare_need_is_told_nowhere(name: str) -> None:
    found = advise_quick(CASES[name], PACK)
    if found.working is None:
        return
    for need in rare_needs(found):
        assert need not in found.advice.needs
        for paper, text in papers(CASES[name], found):
            assert not said_of(need, text), (need, paper)


@pytest.mark.parametrize("name", CASES)
def test_what_is_likely_is_told_in_full(name: str) -> None:
    """The same reading finds the needs that are told, so it would find the rare ones."""
    found = advise_quick(CASES[name], PACK)
    advice = found.advice
    if not advice.needs or advice.verdict == "refer":
        return
    texts = dict(papers(CASES[name], found))
    for need in advice.needs:
        assert said_of(need, texts["rationale"]) and said_of(need, texts["rationale as a page"])
        assert need in json.loads(texts["advice as JSON"])["needs"]


def test_there_are_rare_needs_to_be_silent_about() -> None:
    every = [advise_quick(told, PACK) for told in CASES.values()]
    rare = [rare_needs(found) for found in every if found.working is not None]
    assert sum(bool(needs) for needs in rare) >= 5
