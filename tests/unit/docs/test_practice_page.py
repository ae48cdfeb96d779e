"""The page on practice must say what the program does."""

from __future__ import annotations

import re
from dataclasses import fields
from pathlib import Path

from advisor.cli.practice import LEVELS, practice
from advisor.practice.fading import STEP_AFTER
from advisor.practice.generating.boundaries import ERRORS, MARGIN
from advisor.practice.generating.generate import SURE_WORLDS
from advisor.practice.mastery import ENOUGH
from advisor.practice.scoring import GOOD_ENOUGH
from advisor.practice.trainer import LearnerReport
from advisor.practice.transfer import DUE_AFTER, TEST_CASES

PAGE = (Path(__file__).parents[3] / "docs" / "practice.md").read_text(encoding="utf-8")


def test_every_field_of_the_report_is_on_the_page() -> None:
    _, _, told = PAGE.partition("The **JSON** of")
    said = set(re.findall(r"`(\w+)`", told.partition("\n\n")[0]))
    assert {field.name for field in fields(LearnerReport)} <= said


def test_every_command_and_level_is_on_the_page() -> None:
    said = set(re.findall(r"^trim-advisor practice (\w+)", PAGE, re.MULTILINE))
    assert said == set(practice.commands)
    assert "|".join(level for level in LEVELS if level != "any") in PAGE


def test_figures_of_the_page_are_those_of_the_program() -> None:
    assert f"by {100 * MARGIN:.0f} % of the cost or more, and by {ERRORS:.0f} standard" in PAGE
    assert f"over {SURE_WORLDS} simulated cases" in PAGE
    assert f"within {100 * GOOD_ENOUGH:.0f} % of the right one" in PAGE
    assert f"below {ENOUGH} answers" in PAGE
    assert f"{TEST_CASES} cases, one of each topic" in PAGE
    assert f"after {DUE_AFTER['after_40']} and after {DUE_AFTER['after_80']} rounds" in PAGE
    assert STEP_AFTER == 2 and "two worked examples" in PAGE and "two with hints" in PAGE


def test_it_says_on_whom_nothing_was_measured() -> None:
    assert "Nothing here was measured on trim technicians" in PAGE
