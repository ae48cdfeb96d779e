"""``trim-advisor practice``: lists, sets, a whole round in the terminal, reports."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from tests.unit.cli.command import Command

#: All hazards asked, a first choice, one question, one force, the force that decides, the plan.
ROUND = "a\n\nhand_stitch\n60\n1\n\n1 a 1 max\nsideways\n\n2\n\n80\nours holds\n"


@pytest.fixture(autouse=True)
def own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))


def typed(text: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(text))


def test_the_list_names_cases_topics_and_learners_and_no_answer(command: Command) -> None:
    told = json.loads(command("practice", "list", "--json").out)
    assert told["format"] == 1 and len(told["cases"]) >= 12
    assert "small_damage" in told["topics"] and told["learners"] == []
    assert all(set(case) == {"case", "title", "source"} for case in told["cases"])


def test_a_whole_round_is_kept_and_reported(
    command: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    typed(ROUND, monkeypatch)
    ran = command("practice", "take", "HB-2041", "--learner", "Gull", "--alone")
    assert ran.code == 0, ran.err
    assert "A transfer test is due: practice take --learner Gull --test before" in ran.out
    assert "Right: hand stitch" in ran.out and "To remember: " in ran.out
    assert "sideways: not understood" in ran.out and "Kept for Gull." in ran.out
    told = json.loads(command("practice", "report", "--learner", "gull", "--json").out)
    assert told["reports"][0]["rounds"] == 1 and told["reports"][0]["good"] == 1
    ran = command("practice", "report", "--side-by-side")
    assert "All together: 1 round, 1 good" in ran.out and "Gull: 1 round," in ran.out
    assert "measured on trim technicians" in ran.out
    assert "Disagrees on HB-2041: ours holds" in ran.out
    assert command("practice", "erase", "Gull").code == 0
    ran = command("practice", "report", "--learner", "Gull")
    assert ran.code == 3 and "no learner has this alias" in ran.err


def test_a_beginner_gets_a_worked_example(
    command: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    typed("hand_stitch\n90\n1\n\n", monkeypatch)
    ran = command("practice", "take", "--learner", "Tern", "--seed", "3")
    assert ran.code == 0, ran.err
    assert "Worked example" in ran.out and "What decides: " in ran.out
    assert "by asking" in ran.out and "Ask or look" not in ran.out


def test_a_round_that_is_broken_off_keeps_nothing(
    command: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    typed("a\n\nhand_stitch\n", monkeypatch)
    ran = command("practice", "take", "HB-2041", "--learner", "Gull", "--alone")
    assert ran.code == 130
    assert "Gull: 0 rounds" in command("practice", "report", "--learner", "Gull").out


def test_a_set_is_made_listed_and_taken_from(
    command: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = command.folder / "class.yaml"
    made = ("practice", "make", "--topic", "seams", "--count", "2", "--seed", "4", "--to", path)
    ran = command(*made)
    assert (ran.code, ran.out) == (0, f"{path}: 2 cases, seed 4\n")
    first = path.read_bytes()
    command(*made)
    assert path.read_bytes() == first
    listed = command("practice", "list", "--set", path).out
    assert listed.count("P-4-") == 2 and "none yet" in listed
    typed("\nrefer\n50\n\n\n1\n\n50\n1\n", monkeypatch)
    ran = command("practice", "take", "--set", path)
    assert "Not refer the job" in ran.out, ran.err
    demo = command.folder / "demo.yaml"
    ran = command("practice", "make", "--from", "demo", "--topic", "hazards", "--to", demo)
    assert ran.code == 0 and "HB-2048" in demo.read_text()


def test_wrong_usage_and_bad_files_write_nothing(command: Command) -> None:
    path = command.folder / "class.yaml"
    ran = command("practice", "make", "--topic", "seam", "--to", path)
    assert ran.code == 2 and "did you mean seams?" in ran.err and not path.exists()
    assert command("practice", "take", "HB-1").code == 2
    assert command("practice", "take", "--test", "before").code == 2
    spoiled = command.put("format: 1\ncases:\n  - right: glue\n", "spoiled.yaml")
    ran = command("practice", "list", "--set", spoiled)
    assert (ran.code, ran.out) == (3, "") and f"{spoiled}:3:" in ran.err
    assert command("practice", "take", "--learner", "x" * 50).code == 3
    ran = command("practice", "make", "--count", "1", "--seed", "1", "--to", path / "no" / "x.yaml")
    assert ran.code == 3
