"""Every rule that a reason names has its place in the files, and the line holds it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from advisor.advice.advise import advise_quick
from advisor.facts.case_file import read_case
from advisor.paths import demo_folder, rules_folder
from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.rules import METHOD
from advisor.session.rule_places import rule_place

PACK = load_pack()


def line_of(place: str, folder: Path) -> str:
    """The line of the file that a place names."""
    file, number = re.fullmatch(r"(\S+), line (\d+)", place).groups()  # type: ignore[union-attr]
    return (folder / file).read_text("utf-8").splitlines()[int(number) - 1]


def test_every_fact_node_and_method_of_the_pack_has_a_place() -> None:
    names = (*PACK.facts, *PACK.nodes, *(METHOD + key for key in PACK.methods))
    assert [name for name in names if not rule_place(name, (rules_folder(),))] == []


@pytest.mark.parametrize(
    ("name", "line"),
    [
        ("damage.kind", "damage.kind:"), ("load.push_off", "  load.push_off:"),
        ("usage.hand_stitch.ligament", "      ligament:"),
        ("method.adhesive_bond", "method: adhesive_bond"),
        # A variant takes its modes over: what makes it one is told.
        ("usage.hand_stitch.every_other_hole.hole", "variant: every_other_hole"),
    ],
)  # fmt: skip
def test_the_line_holds_the_name(name: str, line: str) -> None:
    assert line_of(rule_place(name, (rules_folder(),)), rules_folder()) == line


@pytest.mark.parametrize("demo", ["split_armrest", "cracked_panel", "fallen_headlining"])
def test_every_reason_with_a_load_path_has_its_rule(demo: str) -> None:
    case = read_case(demo_folder() / f"{demo}.yaml", PACK.facts)
    reasons = [reason for reason in advise_quick(case, PACK).advice.reasons if reason.path]
    assert reasons
    for reason in reasons:
        place = rule_place(reason.path[-1], (rules_folder(),))
        assert line_of(place, rules_folder()).strip(), reason.text


def test_a_shops_own_file_goes_first(tmp_path: Path) -> None:
    (tmp_path / "loads").mkdir()
    (tmp_path / "loads" / "own.yaml").write_text("nodes:\n  load.push_off:\n    unit: N\n")
    folders = (tmp_path, rules_folder())
    assert rule_place("load.push_off", folders) == "loads/own.yaml, line 2"
    assert rule_place("damage.kind", folders).startswith("facts/2_damage.yaml, line ")
    assert rule_place("none.such", folders) == ""


def test_a_shops_own_file_may_be_laid_out_otherwise(tmp_path: Path) -> None:
    for sub, text in (
        ("loads", '{"nodes":\n {"load.push_off": {unit: N},\n  load.lean:\n   {unit: N}}}\n'),
        ("methods", '# ours\n"method" : own_way\njoints: [{site: skin,\n modes: {gives:\n {}}}]\n'),
        ("parts", "priors: [\n"),
    ):
        (tmp_path / sub).mkdir()
        (tmp_path / sub / "own.yaml").write_text(text)
    found = [
        rule_place(name, (tmp_path,))
        for name in ("load.push_off", "load.lean", "method.own_way", "usage.own_way.gives")
    ]
    assert found == [
        "loads/own.yaml, line 2", "loads/own.yaml, line 3",
        "methods/own.yaml, line 2", "methods/own.yaml, line 4",
    ]  # fmt: skip
