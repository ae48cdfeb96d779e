"""The page for users must say what the program does."""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from advisor.facts.case import EarlierRepair
from advisor.facts.case_file import read_case
from advisor.facts.faults import BadInput
from advisor.facts.quantity import parse_quantity
from advisor.facts.units import EXAMPLES
from advisor.paths import rules_folder
from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.pack import RulePack

PAGE = (Path(__file__).parents[3] / "docs" / "case-file.md").read_text(encoding="utf-8")
ROWS = {
    "Length": "length", "Area": "area", "Force": "force", "Force per length": "line_force",
    "Pressure": "pressure", "Mass": "mass", "Temperature": "temperature", "Time": "time",
    "Age": "age", "Rate": "rate", "Volume": "volume", "How often": "per_year",
    "Plain number (Shore hardness, a count)": "number",
}  # fmt: skip

Put = Callable[[str | bytes], Path]


@pytest.fixture(scope="module")
def pack() -> RulePack:
    """The shipped rules, without a shop's own folder."""
    return load_pack(rules_folder())


def test_the_example_reads(put: Put, pack: RulePack) -> None:
    example = re.findall(r"```yaml\n(.*?)```", PAGE, re.DOTALL)[0]
    case = read_case(put(example), pack.facts, methods=pack.methods)
    assert len(case.facts) == 10
    assert case.facts["skin.material"] == ("leather", "vinyl_backed")
    assert case.earlier_repairs == (
        EarlierRepair(
            "adhesive_bond", "glued from the face", "opened along the whole seam", "3 weeks"
        ),
    )


def test_every_unit_in_the_table_is_accepted() -> None:
    table = re.findall(r"^\| ([^|]+) \| (`[^|]+`) \|$", PAGE, re.MULTILINE)
    rows = {name: re.findall(r"`([^`]+)`", cells) for name, cells in table if name in ROWS}
    assert {ROWS[name] for name in rows} == set(EXAMPLES)
    for name, examples in rows.items():
        for example in examples:
            parse_quantity(example, ROWS[name])


def test_every_fact_named_on_the_page_exists(pack: RulePack) -> None:
    named = re.findall(r"^  ([a-z]+\.[a-z_.]+):|: ([a-z]+\.[a-z_]+): ", PAGE, re.MULTILINE)
    assert len(named) >= 13
    assert {first or second for first, second in named} <= set(pack.facts)


def test_the_messages_shown_are_the_messages_given(put: Put, pack: RulePack) -> None:
    path = put(
        "format: 1\ncase: a\nfacts:\n  part.kind: armrest\n  skin.material: lether\n"
        "  damage.length: 2 m\n  damage.closing_pull: 3 lb\n"
    )
    with pytest.raises(BadInput) as caught:
        read_case(path, pack.facts)
    assert str(caught.value).replace(f"{path.parent}{os.sep}", "") in PAGE
