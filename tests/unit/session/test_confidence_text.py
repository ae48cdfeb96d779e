"""How settled a choice is, in sentences, and which question is asked next."""

from __future__ import annotations

from dataclasses import replace

import pytest

from advisor.advice.result import Driver, Flip
from advisor.session.confidence_text import (
    driver_lines,
    overlap_line,
    risk_line,
    sample_line,
    share_words,
)
from advisor.session.screens import next_open, settled_text
from tests.unit.session.small_pack import SmallPack, small_advise, started

ADVICE = small_advise(started(), SmallPack())
FLIP = Flip("core.state", "State of the foam", "springs back", "Crumbles", "x",
            "If the foam crumbles, a new cover leads", ("crumbles",))


@pytest.mark.parametrize(
    ("share", "words"),
    [(0.98, "nearly all"), (0.52, "half"), (0.26, "a quarter"), (0.34, "a third"),
     (0.11, "a tenth"), (0.04, "a twentieth"), (0.76, "three quarters")],
)
def test_shares_are_told_as_fractions(share: float, words: str) -> None:
    assert share_words(share) == words


def test_drivers_are_told_most_first_and_small_ones_not_at_all() -> None:
    drivers = (Driver("skin.age", "Age of the skin", 0.5),
               Driver("core.state", "State of the foam", 0.25), Driver("x", "Small", 0.01))
    told = driver_lines(replace(ADVICE, drivers=drivers), {"core.state"})
    assert told == ["Half of the spread comes from: age of the skin",
                    "a quarter from: state of the foam (not answered yet)"]
    assert overlap_line(replace(ADVICE, drivers=drivers)) == ""
    assert overlap_line(replace(ADVICE, drivers=drivers * 2)).startswith("These overlap")


def test_the_risk_of_deciding_now_is_told_in_money() -> None:
    assert "about EUR 66 on average" in risk_line(replace(ADVICE, deciding_now=66.2))
    assert "less than EUR 1 on average" in risk_line(replace(ADVICE, deciding_now=0.2))
    assert risk_line(replace(ADVICE, plan=None)) == ""


def test_a_thinned_sample_is_told() -> None:
    assert sample_line(ADVICE) == "64 cases computed."
    assert "measured count for 12." in sample_line(replace(ADVICE, effective_worlds=12.0))


def test_what_was_left_open_is_not_asked_again_but_a_hazard_is() -> None:
    case = started().without("core.state")
    advice = small_advise(case, SmallPack())
    assert next_open(advice) == "core.state"
    assert next_open(advice, {"core.state"}) is None
    assert settled_text(advice, {"core.state"}) == (
        "Nothing more is worth asking, but for what was left open."
    )
    advice = small_advise(case.without("hazard.airbag"), SmallPack())
    assert next_open(advice, {"hazard.airbag", "core.state"}) == "hazard.airbag"


