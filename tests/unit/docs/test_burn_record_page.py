"""The page on burn records must say what the program does."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from advisor.facts.faults import BadInput
from advisor.papers.burn.json_form import burn_json
from advisor.papers.burn.judge import Verdict, judge
from advisor.papers.burn.record import BurnRecord, Material, burn_record_in
from advisor.papers.burn.rule_sets import READINGS, shipped_rules

PAGE = (Path(__file__).parents[3] / "docs" / "burn-record.md").read_text(encoding="utf-8")
RULES = shipped_rules()


def rows(heading: str) -> list[list[str]]:
    _, _, rest = PAGE.partition(f"## {heading}\n")
    table = [line for line in rest.partition("\n## ")[0].splitlines() if line.startswith("|")]
    return [line.strip("| ").split(" | ") for line in table[2:]]


def code(text: str) -> set[str]:
    return set(re.findall(r"`([a-z_0-9]+)`", text))


def test_the_example_has_the_verdict_that_is_told() -> None:
    (example,) = re.findall(r"```yaml\n(.*?)```", PAGE, re.DOTALL)
    found = judge(burn_record_in(example, "record.yaml", RULES), RULES)
    assert found.verdict is Verdict.FAIL
    told = [one["mean"]["shown"] for one in burn_json(found)["limits"] if one["within"] is False]
    assert told == ["8.1333... in"] and f"is {told[0]}" in PAGE.replace("\n", " ")


def test_every_rule_set_item_and_test_is_listed() -> None:
    listed = rows("Rule sets, items and tests")
    assert {name for row in listed for name in code(row[0])} == set(RULES.sets)
    for sets, items in listed:
        for name in code(sets):
            rules = RULES.sets[name]
            tests = {test for item in rules.items.values() for test in item.tests}
            assert set(rules.items) | tests <= code(items), name


def test_the_readings_of_every_test_are_listed() -> None:
    listed = {test: code(row[1]) for row in rows("What is read on a specimen")
              for test in code(row[0])}  # fmt: skip
    wanted = {
        name: {field for quantity in test.reads for field in READINGS[quantity]}
        for name, test in RULES.tests.items()
    }
    assert listed == wanted


def test_every_entry_and_verdict_is_told() -> None:
    entries = code(" ".join(" | ".join(row) for row in rows("The entries")))
    assert set(BurnRecord.model_fields) | set(Material.model_fields) <= entries
    assert [row[0] for row in rows("The verdicts")] == [verdict.value for verdict in Verdict]


def test_the_messages_shown_are_those_of_the_program() -> None:
    told = re.findall(r"^record\.yaml:.*$", PAGE, re.MULTILINE)
    text = (
        "format: 1\nrecord: HB-1\ntitle: cloth\nrule_set: part25\nitem: textile\n"
        "test: vertical_12\n\n\n\nspecimens:\n  any:\n    - {burn_length: 6.1, flame_time: 1 s}\n"
    )
    with pytest.raises(BadInput) as caught:
        burn_record_in(text, "record.yaml", RULES)
    assert [fault.text for fault in caught.value.faults] == told
