"""The advice on the terminal: nothing reads like work to be done where there is none."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from advisor.advice.result import Advice, Status
from advisor.report.content.terminal_page import brief_text


def test_what_is_declined_is_no_plan(make_advice: Callable[[str], Advice]) -> None:
    plan = make_advice("plan").plan
    assert plan is not None
    told = brief_text(replace(make_advice("decline"), plan=plan, plans=(plan,))).splitlines()
    assert "Best that was found, not advised" in told
    assert "Plan" not in told and "Best so far (provisional)" not in told


@pytest.mark.parametrize(("share", "word"), [(0.49, "fails"), (0.5, "may fail")])
def test_what_fails_in_the_lesser_part_may_fail(
    share: float, word: str, make_advice: Callable[[str], Advice]
) -> None:
    advice = make_advice("plan")
    failing = replace(advice.methods[0], status=Status.FAILS, hold_probability=share, usage=None)
    told = brief_text(replace(advice, methods=(failing,)))
    line = next(line for line in told.splitlines() if line.startswith(f"  {failing.title}  "))
    assert line.removeprefix(f"  {failing.title}").strip() == word
