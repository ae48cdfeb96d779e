"""Flips and questions in the units that a report is written in; the JSON keeps to its own."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import jsonschema
import pytest

import advisor.report.json_forms
from advisor.advice.result import Advice, Flip, Question
from advisor.facts.case import Case, Span
from advisor.facts.quantity import System
from advisor.report.content.terminal_page import brief_text
from advisor.report.json_forms.advice import advice_json
from advisor.report.rationale import build_rationale, rationale_text
from advisor.wording.amounts import Bounds
from advisor.wording.phrases import computed, filled, read_phrase

SCHEMA = Path(advisor.report.json_forms.__file__).parent / "schema" / "advise-1.json"
THICK = Bounds(1.9, None, "length")
FLIP = Flip(
    "skin.thickness", "Skin thickness", "1 mm", THICK.words(), "hand_stitch", "", Span(2.1, 2.1),
    "mm", "Hand stitch", Span(1.0, 1.0, "1 mm"), THICK,
)  # fmt: skip
FLIP = replace(FLIP, text=FLIP.text_in(System.METRIC))
PULL = Bounds(None, 13.9, "force")
QUESTION = Question(
    "damage.closing_pull", "Closing pull", read_phrase("What pull closes it over a 50 mm bar?"),
    read_phrase("Hook a scale to the 50 mm bar."), 14.2, 2.0, False,
    filled("If {}: hand stitch", computed(PULL)), True, 0.1,
)  # fmt: skip


@pytest.fixture
def told(make_advice: Callable[[str], Advice]) -> Advice:
    return replace(make_advice("ask"), flips=(FLIP,), ask=(QUESTION,))


def rationale(advice: Advice, case: Case, system: System) -> str:
    text = rationale_text(build_rationale(advice, case, system=system, today=date(2026, 11, 25)))
    return re.sub(r"\s+", " ", text)


def brief(advice: Advice, case: Case, system: System) -> str:
    return re.sub(r"\s+", " ", brief_text(advice, system))


FORMS = pytest.mark.parametrize("form", [brief, rationale])


@FORMS
def test_metric(form: Callable[[Advice, Case, System], str], told: Advice, case: Case) -> None:
    text = form(told, case, System.METRIC)
    assert "If “skin thickness” were “over 1.9 mm” instead of “1 mm”: hand stitch" in text
    assert "If under 14 N: hand stitch." in text
    assert "over a 50 mm bar?" in text and "to the 50 mm bar." in text


@FORMS
def test_imperial(form: Callable[[Advice, Case, System], str], told: Advice, case: Case) -> None:
    text = form(told, case, System.IMPERIAL)
    assert "If “skin thickness” were “over 0.075 in” instead of “0.0394 in”: hand stitch" in text
    assert "If under 3.1 lbf: hand stitch." in text
    assert "over a 50 mm (2 in) bar?" in text and "to the 50 mm (2 in) bar." in text
    assert "14 N" not in text and "1.9 mm" not in text


@pytest.mark.parametrize(
    ("value", "unit", "written"),
    [(Span(2.1, 2.1), "mm", 2.1), (("brittle",), "", "brittle"), (True, "", True),
     (None, "", None)],
)  # fmt: skip
def test_the_value_of_a_flip_in_the_json(
    value: object, unit: str, written: object, told: Advice
) -> None:
    flip = replace(FLIP, value=value, unit=unit)  # type: ignore[arg-type]
    form = json.loads(json.dumps(advice_json(replace(told, flips=(flip,)))))
    jsonschema.validate(form, json.loads(SCHEMA.read_text(encoding="utf-8")))
    found = form["flips"][0]
    assert (found["value"], found["unit"]) == (written, unit)
    assert found["to"] == "over 1.9 mm" and found["from"] == "1 mm"


def test_the_schema_refuses_a_flip_with_a_list(told: Advice) -> None:
    form = advice_json(told)
    form["flips"][0]["value"] = ["brittle", "stiff"]
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(form, json.loads(SCHEMA.read_text(encoding="utf-8")))
