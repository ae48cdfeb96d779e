"""The page of formulas is fresh, and links between the pages lead somewhere."""

from __future__ import annotations

import importlib.util
import re
import shutil
import subprocess
import sys
import tomllib
from dataclasses import replace
from pathlib import Path
from types import ModuleType

import pytest

from advisor import paths
from advisor.cli.entry_point import COMMANDS
from advisor.mechanics.relation import RELATIONS
from advisor.rulegraph import load
from advisor.rulegraph.model.pack import RulePack

DOCS = Path(__file__).parents[3] / "docs"
ROOT = DOCS.parent
PAGES = sorted([*DOCS.rglob("*.md"), ROOT / "README.md", ROOT / "DEVELOPERS.md"])


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


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_links_lead_somewhere(page: Path) -> None:
    for target in re.findall(r"\]\(([^)\s]+)\)", page.read_text(encoding="utf-8")):
        file, _, anchor = target.partition("#")
        path = (page.parent / file) if file else page
        assert path.exists(), target
        if anchor:
            assert anchor in anchors(path.read_text(encoding="utf-8")), target


def test_every_picture_is_on_a_page() -> None:
    told = "".join(page.read_text(encoding="utf-8") for page in PAGES)
    pictures = sorted(path.name for path in (DOCS / "screenshots").iterdir())
    assert pictures and all(f"screenshots/{name})" in told for name in pictures)


# ---- README and DEVELOPERS ------------------------------------------------------------------


def test_the_commands_of_the_readme_are_those_that_ci_runs() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    ci = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    blocks = re.findall(r"```\n(.*?)```", readme, re.DOTALL)
    (test,) = [block.strip() for block in blocks if "-m pytest" in block]
    assert test == next(line for line in readme.splitlines() if "-m pytest" in line)
    assert "grep -m1 -- '-m pytest' README.md" in ci
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    developers = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    wanted = re.findall(r'-e "?\.\[([a-z,]+)\]', readme + developers + ci)
    extras = {extra for names in wanted for extra in names.split(",")}
    assert extras == set(project["optional-dependencies"])
    assert "trim-advisor" in project["scripts"]
    assert paths.demo_folder().joinpath("split_armrest.yaml").exists()


def test_every_command_of_the_program_is_in_the_readme() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    said = set(re.findall(r"^trim-advisor (\w+)(?: (check|facts))?", readme, re.MULTILINE))
    words = {" ".join(filter(None, pair)) for pair in said}
    assert words >= {"demo", "advise", "rationale", "job", "rules check", "rules facts"}
    shown = {name for name in COMMANDS if name != "window"}
    assert {word.split()[0] for word in words} - {"CASE"} == shown


def test_the_map_names_every_folder_and_files_that_are_there() -> None:
    """Each row's files are in the row's folder; no folder of the package is left out."""
    page = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    _, _, table = page.partition("| folder | what is in it |")
    rows = [line.split("|")[1:-1] for line in table.split("\n\n")[0].splitlines()[2:]]
    named = {name for row in rows for name in re.findall(r"`([^`]+)`", row[0])}
    assert all((ROOT / name).exists() for name in named)
    folders = {f"advisor/{path.name}" for path in (ROOT / "advisor").iterdir() if path.is_dir()}
    assert {folder for folder in folders if "__" not in folder} <= named
    for folder, *cells in rows:
        home = ROOT / folder.strip().strip("`")
        for file in re.findall(r"`([\w*/-]+\.(?:py|yaml|md))`", " ".join(cells)):
            assert list(home.glob(file)), (folder, file)


# ---- glossary -------------------------------------------------------------------------------


def test_every_older_word_of_the_glossary_is_one_that_files_or_programs_hold() -> None:
    page = (DOCS / "glossary.md").read_text(encoding="utf-8")
    rows = [line.split(" | ") for line in page.splitlines() if line.startswith("| ")]
    words = {word for row in rows for word in re.findall(r"`(-*\w[\w.-]*)/?`", row[1])}
    assert len(words) > 25
    held = "".join(
        path.read_text(encoding="utf-8")
        for folder, kind in (("rules", "*.yaml"), ("advisor", "*.py"), ("advisor", "*.json"))
        for path in sorted((ROOT / folder).rglob(kind))
    )
    assert not {word for word in words if word not in held}


def test_the_words_of_the_design_are_in_the_glossary() -> None:
    page = (DOCS / "glossary.md").read_text(encoding="utf-8")
    for word in (
        "case", "fact", "given", "open", "question", "hazard", "cause", "demand", "site",
        "section", "simulated case", "need", "method", "capacity", "usage", "limit",
        "hold probability", "plan", "lead", "flip", "verdict", "rationale", "job sheet",
    ):  # fmt: skip
        assert re.search(rf"^\| (?:[\w ]+, )?{word}(?:, [\w ]+)? \|", page, re.MULTILINE), word
