"""What is said of a verdict, on the page and in the JSON."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from advisor.papers.burn import json_form
from advisor.papers.burn.json_form import burn_json
from advisor.papers.burn.judge import Verdict
from advisor.papers.burn.page import build_page, compared_words, sentence
from advisor.report.formats.text import render
from tests.burn_records import columns, judged, record
from tests.published.test_published_burn import MORE, PAIRS, Pair

SCHEMA = json.loads((Path(json_form.__file__).parent / "schema/burn-1.json").read_text("utf-8"))
THIN = columns(burn_length="6 6 154.94 mm", flame_time="1 s", drip_flame_time="no drips")


def page(content: dict[str, Any]) -> str:
    return " ".join(render(build_page(judged(content))).split())


@pytest.mark.parametrize("pair", PAIRS + MORE, ids=lambda pair: pair.name)
def test_the_json_keeps_to_its_schema(pair: Pair) -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    form = json.loads(json.dumps(burn_json(judged(pair.record))))
    jsonschema.validate(form, SCHEMA)
    assert form["verdict"] == pair.verdict.value


def test_readings_in_another_unit_show_the_limit_in_both() -> None:
    listed = columns(burn_length="152 152 153 mm", flame_time="1 s", drip_flame_time="no drips")
    assert "6 in = 152.4 mm" in page(record("part_25 panel vertical_60", listed))


def test_readings_in_two_units_are_shown_in_that_of_the_limit() -> None:
    listed = columns(burn_length="6.0 6.0 in", flame_time="1 s", drip_flame_time="no drips")
    listed.append({**listed[0], "burn_length": "154.94 mm"})
    content = record("part_25 panel vertical_60", listed)
    text = page(content)
    assert "burn length: mean 6.0333... in, limit 6 in." in text
    told = compared_words(judged(content).compared[0])
    assert told == "mean of 3: 6.0333... in (units read: in, mm)"
    assert "would be on the limit if rounded to 0.1 in" in text


def test_a_verdict_that_lacks_something_still_says_what_is_over() -> None:
    listed = columns(burn_length="9 9 in", flame_time="1 s", drip_flame_time="no drips")
    found = judged(record("part_25 panel vertical_60", listed))
    assert found.verdict is Verdict.INCOMPLETE
    assert sentence(found) == (
        "Data are missing; no verdict on the values. Some of the values given are not within "
        "limits."
    )
    assert "- 2 of at least 3 specimens." in render(build_page(found))


def test_a_rule_that_is_not_known_says_who_decides() -> None:
    text = page({"format": 1, "record": "HB-1", "rule_set": "not_listed"})
    assert "| REVIEW |" in text
    assert "No limits are known here for this rule" in text
    assert "whoever answers for the vehicle" in text


def test_the_rule_set_is_never_guessed() -> None:
    assert "never guessed from age or type" in page({"format": 1, "record": "HB-1"})


@pytest.mark.parametrize(("seats", "also"), [
    ({}, ["heat_release from 20", "smoke_density from 20"]),
    ({"passengers": 19}, []),
    ({"passengers": 20}, ["heat_release from None", "smoke_density from None"]),
])  # fmt: skip
def test_other_tests_of_the_item(seats: dict[str, int], also: list[str]) -> None:
    form = burn_json(judged(record("part_25 panel vertical_60", THIN, **seats)))
    assert [f"{one['test']} from {one['from_passengers']}" for one in form["also_asked"]] == also


def test_a_short_timing_is_for_review() -> None:
    """Part 25 Appendix F Part I (b)(5), from memory: 10 in are timed."""
    listed = columns(distance="5 in", time="150 s", went_out=["did_not"] * 3)
    form = burn_json(judged(record("part_25 clear_plastic horizontal", listed)))
    assert form["verdict"] == "REVIEW" and form["from_memory"]
    assert form["said"].endswith("The values are within the limits they were compared with.")
    assert "timed over 5 in; the method times 10 in" in form["findings"][0]["text"]


def test_the_worst_specimen_is_named_by_its_number() -> None:
    """In FMVSS 302 the worst of those that do not meet, not a faster one that went out."""
    listed = columns(distance="51 254 mm", time="20 140 s",
                     went_out=["before_last_mark", "did_not"])  # fmt: skip
    (one,) = burn_json(judged(record("fmvss_302 interior_component horizontal_302", listed)))[
        "limits"
    ]
    assert (one["worst_specimen"], one["meeting"], one["within"]) == (2, 1, False)
    assert one["worst"]["shown"] == "108.8571... mm/min"


@pytest.mark.parametrize(("test", "also"), [
    ("horizontal_iso_3795", ["drip_r118"]), ("vertical_r118", ["drip_r118"]),
    ("drip_r118", ["horizontal_iso_3795"]),
])  # fmt: skip
def test_a_test_that_another_stands_in_for_is_not_asked_beside_it(
    test: str, also: list[str]
) -> None:
    """UN R118, two summaries: the vertical test covers the horizontal one."""
    found = judged(record(f"un_r118 ceiling_or_high {test}", []))
    assert [one.test for one in found.also_asked] == also


def test_how_it_was_kept_is_told() -> None:
    content = record("part_25 panel vertical_60", THIN)
    content["conditioning"] = {"temperature": "70 degF", "humidity": "50 %", "equilibrium": True}
    assert "Conditioned 70 degF, 50 %, to moisture equilibrium" in page(content)


@pytest.mark.parametrize(("pair", "said"), [
    ("A9", "burn length along the fill: mean 8.1333... in, limit 8 in."),
    ("C2", "penetration: 1 of 3 specimens, none is allowed."),
    ("D4", "loss of weight: 1 of 3 within 10 %, 2/3 of them must be; the worst 11 %."),
    ("F10", "burn rate: 2 of 3 within 102 mm/min, each of them must be; the worst 110 mm/min."),
    ("F11 as (v)", "burn rate: mean 101.8 mm/min, limit 4 in/min = 101.6 mm/min."),
    ("A13", "No specimens along the fill; both directions are tested."),
    ("A14", "2 of at least 3 specimens."),
    ("A15", "specimen 2: drip_flame_time is blank. A blank is not 0."),
    ("A16", "conditioning.humidity is 56 %; the method requires 45 % to 55 %."),
    ("A17", "Conditioned for 20 h; the method requires 24 h or moisture equilibrium."),
    ("E3", "The test is required from 20 passengers on; this vehicle has 19."),
    ("P3", "The test horizontal_302 is no evidence for textile under 14 CFR Part 25, Appendix F; "
           "required: one of vertical_12, vertical_60."),
    ("too thick", "Tested 1/2 in thick, used down to 10 mm: the specimen may be no thicker than "
                  "the thinnest that is to be covered."),
    ("no limit", "agreed_limit is not given; the standard itself sets none."),
    ("warm", "conditioning.temperature is 22 degC; the method requires 21 degC and names no "
             "tolerance; whether it is near enough is not known here."),
])  # fmt: skip
def test_what_is_said_of_a_record(pair: str, said: str) -> None:
    content = next(one.record for one in PAIRS + MORE if one.name == pair)
    assert said in [one["text"] for one in burn_json(judged(content))["findings"]]


def test_a_blank_is_told_with_its_direction() -> None:
    groups = {name: [{**one, "flame_time": None} for one in THIN[:1]] for name in ("warp", "fill")}
    found = burn_json(judged(record("part_25 panel vertical_60", groups)))["findings"]
    blanks = [one["text"] for one in found if "blank" in one["text"]]
    assert blanks == [f"{along}, specimen 1: flame_time is blank. A blank is not 0."
                      for along in ("warp", "fill")]  # fmt: skip


def test_the_far_side_counts_against_the_length_alone() -> None:
    listed = columns(burn_length="12 in", weight_loss="8 %", far_side_reached=[False, True, True])
    limits = burn_json(judged(record("part_25 cushion cushion_burner", listed)))["limits"]
    assert [(one["reading"], one["meeting"], one["within"]) for one in limits] == [
        ("weight_loss", None, True), ("weight_loss", 3, True), ("cushion_burn_length", 1, False),
    ]  # fmt: skip
