"""``advise --json``: its shape, its numbers, and that the schema can refuse."""

from __future__ import annotations

import copy
import json
import math
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import jsonschema
import pytest

import advisor.report.json_forms
from advisor.advice.result import Advice, Status
from advisor.report.json_forms.advice import advice_json, number
from advisor.wording.figures import Range

SCHEMA = Path(advisor.report.json_forms.__file__).parent / "schema" / "advise-1.json"

#: The keys of the form that every reader may rely on, by where they stand.
PROMISED = {
    "format", "case", "rules", "seed", "worlds", "verdict", "plan", "methods", "loads",
    "ask", "flips", "cautions",
}  # fmt: skip
PROMISED_PLAN = {"methods", "lead", "hold_probability", "price"}
PROMISED_METHOD = {"method", "status", "hold_probability", "limiting", "because"}
PROMISED_LOAD = {"demand", "low", "typical", "high", "unit", "by_cause"}


@pytest.fixture(scope="module")
def validator() -> jsonschema.Draft202012Validator:
    schema = json.loads(SCHEMA.read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


def through_json(advice: Advice) -> dict[str, Any]:
    written = json.dumps(advice_json(advice), allow_nan=False)
    read: dict[str, Any] = json.loads(written)
    return read


def test_every_verdict_fits_the_schema(
    advice: Advice, validator: jsonschema.Draft202012Validator
) -> None:
    validator.validate(through_json(advice))


def test_the_promised_keys_are_there(make_advice: Callable[[str], Advice]) -> None:
    form = through_json(make_advice("ask"))
    assert set(form) >= PROMISED
    assert set(form["plan"]) >= PROMISED_PLAN
    assert set(form["plan"]["price"]) == {"low", "typical", "high", "currency", "tax"}
    assert all(set(m) >= PROMISED_METHOD for m in form["methods"])
    assert all(set(load) >= PROMISED_LOAD for load in form["loads"])
    assert all(set(q) >= {"fact", "value", "minutes", "gate"} for q in form["ask"])
    assert all(set(flip) >= {"fact", "from", "to", "then"} for flip in form["flips"])
    reasons = [reason for method in form["methods"] for reason in method["because"]]
    assert reasons and all({"text", "path", "source"} <= set(reason) for reason in reasons)


def test_figures_arrive_where_they_belong(make_advice: Callable[[str], Advice]) -> None:
    form = through_json(make_advice("plan"))
    assert form["plan"]["price"] == {
        "low": 92, "typical": 128, "high": 187, "currency": "EUR", "tax": "",
    }
    assert form["effective_worlds"] == 2710
    assert form["loads"][0]["by_cause"] == {"skin_shrinkage": 0.22, "cold": 0.13}
    glue = next(m for m in form["methods"] if m["method"] == "adhesive_bond")
    assert glue["status"] == "fails"
    assert glue["usage"] == {"low": 1.6, "typical": 3.4, "high": 7.9}
    assert glue["because"][0]["path"] == ["skin_shrinkage", "tension_sustained", "adhesive_bond"]
    assert form["flips"][0]["from"] == "supple" and form["flips"][0]["to"] == "brittle"


@pytest.mark.parametrize("verdict", ["refer", "decline"])
def test_no_plan_is_given_where_none_may_be_offered(
    verdict: str, make_advice: Callable[[str], Advice]
) -> None:
    weighed = replace(make_advice(verdict), plan=make_advice("plan").plan)
    assert through_json(weighed)["plan"] is None


def test_a_leader_so_far_is_marked(make_advice: Callable[[str], Advice]) -> None:
    assert through_json(make_advice("ask"))["plan"]["provisional"] is True
    assert through_json(make_advice("plan"))["plan"]["provisional"] is False


def test_a_joint_that_carries_nothing_has_no_number(make_advice: Callable[[str], Advice]) -> None:
    advice = make_advice("plan")
    nothing = replace(advice.methods[3], usage=Range(2.0, 1e6, math.inf))
    form = through_json(replace(advice, methods=(nothing,)))
    assert form["methods"][0]["usage"] == {"low": 2, "typical": None, "high": None}


def test_a_figure_that_is_no_number_is_named(make_advice: Callable[[str], Advice]) -> None:
    with pytest.raises(ValueError, match="settled"):
        advice_json(replace(make_advice("plan"), settled=math.nan))


@pytest.mark.parametrize(
    ("value", "written"),
    [(0.123456, 0.1235), (4096.0, 4096), (123456.0, 123500), (0.0, 0), (-1.00004, -1)],
)
def test_numbers_have_four_digits(value: float, written: float) -> None:
    assert number(value, "x") == written
    assert isinstance(number(value, "x"), int) == float(written).is_integer()


def _set(form: dict[str, Any], path: str, value: object) -> None:
    *way, last = path.split(".")
    for part in way:
        form = form[int(part)] if part.isdigit() else form[part]  # type: ignore[index]
    form[last] = value


@pytest.mark.parametrize(
    ("path", "wrong"),
    [
        ("format", 2), ("verdict", "maybe"), ("settled", 1.2), ("plan", None),
        ("plan.provisional", True), ("plan.price.currency", ""), ("plan.methods", []),
        ("methods.0.status", "good"), ("methods.0.hold_probability", "0.9"),
        ("loads.0.unit", ""), ("loads.0.by_cause", {"cold": "much"}), ("seed", 1.5),
    ],
)  # fmt: skip
def test_the_schema_refuses(
    path: str,
    wrong: object,
    make_advice: Callable[[str], Advice],
    validator: jsonschema.Draft202012Validator,
) -> None:
    form = copy.deepcopy(through_json(make_advice("plan")))
    assert validator.is_valid(form)
    _set(form, path, wrong)
    assert not validator.is_valid(form)


def test_the_page_for_readers_names_every_key() -> None:
    """docs/advise-json.md keeps up with the schema."""
    page = Path(__file__).parents[4] / "docs" / "advise-json.md"
    words = page.read_text(encoding="utf-8")
    schema = json.loads(SCHEMA.read_text(encoding="utf-8"))
    shapes = [schema, *schema["$defs"].values()]
    keys = {key for shape in shapes for key in shape["properties"]}
    missing = {key for key in keys if f"`{key}`" not in words and f".{key}`" not in words}
    assert not missing


def test_every_key_is_in_the_schema(make_advice: Callable[[str], Advice]) -> None:
    schema = json.loads(SCHEMA.read_text(encoding="utf-8"))
    shapes = [schema, schema["properties"]["rules"], *schema["$defs"].values()]
    known = {key for shape in shapes for key in shape.get("properties", {})}

    def keys(value: object) -> Iterator[str]:
        if isinstance(value, list):
            for entry in value:
                yield from keys(entry)
        elif isinstance(value, dict):
            for key, entry in value.items():
                yield key
                if key != "by_cause":  # its keys are nodes
                    yield from keys(entry)

    assert set(keys(through_json(make_advice("plan")))) <= known | {"by_cause"}


def test_every_status_is_in_the_schema(validator: jsonschema.Draft202012Validator) -> None:
    told = validator.schema["$defs"]["method"]["properties"]["status"]["enum"]
    assert set(told) == {status.value for status in Status}
