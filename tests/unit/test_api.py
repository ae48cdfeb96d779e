"""The front door for programs: its own examples run, and its page says what is there."""

from __future__ import annotations

import doctest
import os
import re
import subprocess
import sys
from dataclasses import fields
from pathlib import Path

import pytest

from advisor import api, paths

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "api.md").read_text(encoding="utf-8")
(SCRIPT,) = re.findall(r"^```python\n(.*?)^```$", PAGE, re.DOTALL | re.MULTILINE)
FIELDS = PAGE.partition("## Fields")[2]
ARMREST = {"part.kind": "armrest", "vehicle.kind": "bus", "damage.kind": "seam_open"}


@pytest.fixture(scope="module")
def rules() -> api.Rules:
    return api.load_rules(paths.rules_folder())


def test_the_examples_of_the_front_door_do_what_they_say() -> None:
    done = doctest.testmod(api, optionflags=doctest.ELLIPSIS)
    assert done.failed == 0 and done.attempted >= 30


def test_every_name_is_documented_and_on_the_page() -> None:
    for name in api.__all__:
        assert f"`{name}" in PAGE or f"api.{name}" in PAGE or name == "Units", name
        assert getattr(api, name).__doc__ or name == "Units", name


@pytest.mark.parametrize(
    ("name", "said"),
    re.findall(r"^\| `([A-Z]\w+)` \| (.+) \|$", FIELDS, re.MULTILINE),
    ids=lambda text: text if text.isidentifier() else "",
)
def test_every_field_on_the_page_is_there(name: str, said: str) -> None:
    kind = getattr(api, name)
    there = {field.name for field in fields(kind)} | set(vars(kind))
    named = re.findall(r"`(\w+)`", said)
    assert named and set(named) <= there


def test_the_words_of_verdict_status_and_hazard_are_on_the_page() -> None:
    for words in (api.Verdict, api.Status, api.GateState):
        assert all(f"`{word}`" in FIELDS for word in words)


def test_the_script_on_the_page_runs(tmp_path: Path) -> None:
    script, case = tmp_path / "script.py", tmp_path / "case.yaml"
    script.write_text(SCRIPT, encoding="utf-8")
    case.write_bytes((paths.demo_folder() / "split_armrest.yaml").read_bytes())
    here = {**os.environ, "PYTHONPATH": str(ROOT), "XDG_CONFIG_HOME": str(tmp_path)}
    done = subprocess.run(
        [sys.executable, str(script), str(case)], env=here, capture_output=True, text=True,
        encoding="utf-8", check=False,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("HB-2041: plan. ")
    assert "Estimate, not a test result" in case.with_suffix(".txt").read_text(encoding="utf-8")


def test_the_script_on_the_page_passes_the_strictest_type_check(tmp_path: Path) -> None:
    """As a program of its own, which sees the package by its types only."""
    mypy = pytest.importorskip("mypy.api")
    script = tmp_path / "script.py"
    script.write_text(SCRIPT, encoding="utf-8")
    wrong = tmp_path / "wrong.py"
    wrong.write_text("from advisor import api\nwords: int = api.load_rules().title\n", "utf-8")
    said, _, code = mypy.run([
        "--strict", "--config-file", str(ROOT / "pyproject.toml"), "--follow-imports", "silent",
        str(script), str(wrong),
    ])  # fmt: skip
    assert code == 1
    told = [Path(line.split(".py:")[0]).name for line in said.splitlines()[:-1]]
    assert told == ["wrong"], said
    assert (ROOT / "advisor" / "py.typed").exists()


def test_a_built_case_is_what_a_file_would_give(rules: api.Rules, tmp_path: Path) -> None:
    path = tmp_path / "case.yaml"
    path.write_text(
        "format: 1\ncase: QA-1\ntitle: Left seat\nfacts:\n  part.kind: armrest\n"
        "  vehicle.kind: bus\n  damage.kind: [seam_open, thread_run]\n"
        "  damage.length: 90 mm\n  damage.growing: yes\nearlier_repairs:\n"
        "  - method: adhesive_bond\nphotos: [one.jpg]\nnote: wet\n",
        encoding="utf-8",
    )
    built = api.build_case(
        "QA-1",
        rules,
        {
            "part.kind": "armrest",
            "vehicle.kind": "bus",
            "damage.kind": ("seam_open", "thread_run"),
            "damage.length": "90 mm",
            "damage.growing": True,
        },
        title="Left seat",
        earlier_repairs=[{"method": "adhesive_bond"}],
        photos=["one.jpg"],
        note="wet",
    )
    assert built == api.read_case(path, rules)
    assert api.build_case("QA-1", rules, {}).earlier_repairs is None
    assert api.build_case("QA-1", rules, {}, earlier_repairs=[]).earlier_repairs == ()


def test_all_faults_of_a_built_case_are_told_without_a_place_in_a_file(rules: api.Rules) -> None:
    with pytest.raises(api.BadInput) as caught:
        api.build_case(
            "QA/1", rules, {"part.knid": "armrest", "damage.length": "9 kg", "vehicle.kind": 3},
            earlier_repairs=[{"method": "glue"}],
        )  # fmt: skip
    said = [fault.text for fault in caught.value.faults]
    assert len(said) == 5 and all(text.startswith("QA/1: ") for text in said)
    assert any("part.knid: no such fact" in text and "part.kind?" in text for text in said)
    assert any("damage.length: " in text for text in said)


def test_an_advice_of_another_case_or_other_rules_is_not_priced(rules: api.Rules) -> None:
    one, other = (api.build_case(name, rules, ARMREST) for name in ("QA-1", "QA-2"))
    advice = api.advise(one, rules, simulated_cases=64, in_full=False)
    with pytest.raises(ValueError, match="the advice is of other case: QA-1; accepted: QA-2"):
        api.job_sheet(other, rules, advice)
    with pytest.raises(ValueError, match="63 simulated cases; accepted: 64 or more"):
        api.advise(one, rules, simulated_cases=63)
