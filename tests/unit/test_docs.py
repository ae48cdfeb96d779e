"""The page of formulas is fresh, and links between the pages lead somewhere."""

from __future__ import annotations

import importlib.util
import re
import shutil
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from types import ModuleType

import pytest

from advisor import paths
from advisor.mechanics.relation import RELATIONS
from advisor.rulegraph import load
from advisor.rulegraph.pack import RulePack

DOCS = Path(__file__).parents[2] / "docs"
PAGES = ("rules.md", "how-it-decides.md", "forces-and-joints.md", "case-file.md")


@pytest.fixture(scope="module")
def shipped() -> RulePack:
    return load.load_pack(paths.rules_folder())


@pytest.fixture(scope="module")
def generator() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_relations", DOCS / "make_relations.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_formula_page_is_fresh() -> None:
    command = [sys.executable, str(DOCS / "make_relations.py"), "--check"]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")


def test_a_stale_formula_page_is_told_and_mended(
    generator: ModuleType, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    page = tmp_path / "forces-and-joints.md"
    shutil.copy(DOCS / "forces-and-joints.md", page)
    good = page.read_text(encoding="utf-8")
    page.write_text(good.replace("`lap_capacity`", "`lap_load`", 1), encoding="utf-8")
    assert generator.main(["--check"], page) == 1
    assert "is stale: run python docs/make_relations.py" in capsys.readouterr().err
    assert generator.main([], page) == 0
    assert page.read_text(encoding="utf-8") == good
    assert generator.main(["--chekc"], page) == 2


def test_a_page_without_marks_is_refused(generator: ModuleType) -> None:
    with pytest.raises(ValueError, match="the page must hold the lines"):
        generator.fresh("# no marks")


def test_the_row_of_a_relation(generator: ModuleType, shipped: RulePack) -> None:
    page = (DOCS / "forces-and-joints.md").read_text(encoding="utf-8")
    names = re.findall(r"^\| `(\w+)` \|", page, re.MULTILINE)
    assert sorted(names) == sorted(RELATIONS)
    row = next(line for line in page.splitlines() if line.startswith("| `hole_capacity` |"))
    cells = row.split(" | ")
    assert cells[1].startswith("Line load at which the loaded holes tear out.<br>`q = ")
    assert cells[2] == "`hole_strength` N, `pitch` mm"
    assert cells[3] == "N/mm"
    assert "`pitch` 1.5 to 15 mm" in cells[4]
    wired = {node.relation for node in shipped.nodes.values() if node.relation}
    assert generator.wired(paths.rules_folder()) == wired
    assert row.endswith("| yes |")


def test_a_bar_in_a_formula_does_not_break_the_table(generator: ModuleType) -> None:
    def odd(x: float) -> float:
        """Size of a number.

        ``y = |x|``

        x: a number [1]
        Result: y [1]
        Valid: always.
        Source: definition.
        """
        return abs(x)

    first = next(iter(RELATIONS.values()))
    example = replace(first, name="odd", function=odd, inputs={"x": "1"}, valid={"x": (-9.0, 9.0)})
    row = generator._row(example, ())
    assert r"`y = \|x\|`" in row and row.count(" | ") == 6


# ---- all pages ------------------------------------------------------------------------------


def anchors(page: str) -> set[str]:
    headings = re.findall(r"^#+ (.*)$", page, re.MULTILINE)
    plain = (re.sub(r"[^\w\- ]", "", heading.lower()) for heading in headings)
    return {heading.replace(" ", "-") for heading in plain}


@pytest.mark.parametrize("name", PAGES)
def test_links_lead_somewhere(name: str) -> None:
    page = (DOCS / name).read_text(encoding="utf-8")
    for target in re.findall(r"\]\(([^)\s]+)\)", page):
        file, _, anchor = target.partition("#")
        path = (DOCS / file) if file else DOCS / name
        assert path.exists(), target
        if anchor:
            assert anchor in anchors(path.read_text(encoding="utf-8")), target
