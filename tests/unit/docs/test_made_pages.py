"""Pages made by a script are about as fresh as the rules: a changed rule moves figures a little.

To the figure they are held by ``--check``, which whoever changes the rules runs.
"""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import pytest

from advisor.rulegraph.model.pack import RulePack
from tests.unit.docs.test_pages import DOCS

pytestmark = pytest.mark.slow


def script(name: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(name, DOCS / f"{name}.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[name] = module
    spec.loader.exec_module(module)
    return module


def rows(page: Path) -> list[list[str]]:
    """Cells of the table that the script wrote."""
    lines = [line for line in page.read_text(encoding="utf-8").splitlines() if line[:1] == "|"]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines[2:]]


def test_repairs_of_small_damage_are_about_those_of_the_page(pack: RulePack) -> None:
    made = script("make_small_damage")
    listed = rows(made.PAGE)
    fresh = list(made.repairs(pack))
    assert len(listed) == len(fresh) == 36
    told = {
        (made.SKINS[one.skin], made.PARTS[one.part], one.damage): (one.method, one.hold)
        for one in fresh
    }
    same = [row for row in listed if told[row[0], row[1], row[2]][0] == row[3]]
    assert len(same) >= 33, "stale: run python docs/make_small_damage.py and read it as a trimmer"
    for row in same:
        assert 100 * told[row[0], row[1], row[2]][1] == pytest.approx(float(row[4]), abs=6), row


def test_the_estimates_of_the_page_still_move_most(pack: RulePack) -> None:
    made = script("make_estimates")
    listed = [row[1].strip("`") for row in rows(made.PAGE)]
    assert len(listed) == made.SHOWN == len(set(listed))
    every = sorted(made.moved_by(pack), key=lambda moved: moved.rank, reverse=True)
    leading = [
        moved.estimate.name + (f", {moved.estimate.row}" if moved.estimate.row else "")
        for moved in every[: 2 * made.SHOWN]
    ]
    found = sum(name in leading for name in listed)
    assert found >= 15, "stale: run python docs/make_estimates.py"
    # What only shifts the figures of a few is listed too; what moves nothing is not.
    assert all(sum(moved.rank) > 0.0 for moved in every[: made.SHOWN])
    assert sum(sum(moved.rank) > 0.0 for moved in every) < 0.5 * len(every)


def test_every_estimate_listed_is_one(pack: RulePack) -> None:
    made = script("make_estimates")
    names = {(one.name, one.row) for one in made.estimates_of(pack)}
    assert len(names) > 150
    for name, row in names:
        if name in pack.facts:
            origin = pack.fact_rules[name].origin
            assert origin is not None and origin.status == "estimate"
        elif not row:
            assert pack.nodes[name].status == "estimate"
