"""The rule sets as they ship, and faults in a folder of them."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from advisor.facts.faults import BadInput
from advisor.papers.burn.judge import TITLES
from advisor.papers.burn.rule_sets import FOLDER, KINDS, read_rules, shipped_rules


def test_every_item_can_be_judged_or_says_why_not() -> None:
    for rules in shipped_rules().sets.values():
        assert bool(rules.items) != (rules.review is not None), rules.rule_set
        for name, item in rules.items.items():
            asked = item.tests or item.tests_not_required or item.not_required
            assert asked, (rules.rule_set, name)
            assert all(one.limits or one.review for one in item.tests.values()), name


def test_every_source_is_used_and_memory_says_of_what() -> None:
    text = "".join(
        path.read_text("utf-8") for path in FOLDER.glob("*.yaml") if path.name != "sources.yaml"
    )
    for source in shipped_rules().sources:
        assert f"source: {source}\n" in text or f"source: {source}," in text, source
    assert text.count("source: memory") == text.count("from_memory")


def test_every_reading_has_a_title() -> None:
    assert TITLES.keys() == KINDS.keys()


@pytest.mark.parametrize(("file", "old", "new", "said"), [
    ("part_25.yaml", "source: old_25_853", "source: old_25", "no such source in"),
    ("part_25.yaml", '"2.5 in/min"', '"2.5 in"', "not a unit for this"),
    ("part_25.yaml", "quantity: rate", "quantity: burn_length", "horizontal does not read it"),
    ("part_25.yaml", "horizontal:", "horizontall:", "no such test"),
    ("part_25.yaml", ", share: 2/3", "", "share with judged: share"),
    ("fmvss_302.yaml", "at_most: 102 mm/min", "agreed: no", "say at_most"),
    ("fmvss_302.yaml", "status: looked_up", "status: seen", "not one of the accepted words"),
    ("tests.yaml", "least: 3", "least: none", "not a whole number"),
])  # fmt: skip
def test_a_fault_in_a_folder_is_told(
    file: str, old: str, new: str, said: str, tmp_path: Path
) -> None:
    folder = tmp_path / "limits"
    shutil.copytree(FOLDER, folder)
    text = (folder / file).read_text("utf-8")
    assert old in text
    (folder / file).write_text(text.replace(old, new, 1), "utf-8")
    with pytest.raises(BadInput) as caught:
        read_rules(folder)
    assert said in str(caught.value)
