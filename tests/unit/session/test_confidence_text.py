"""How certain a choice is, in sentences, and which question is asked next."""

from __future__ import annotations

from dataclasses import replace

import pytest

from advisor.advice.result import Driver, Flip
from advisor.session.confidence_text import (
    driver_lines,
    overlap_line,
    risk_line,
    sample_line,
)
from advisor.session.screens import next_open, settled_text
from tests.unit.session.small_pack import SmallPack, small_advise, started

ADVICE = small_advise(started(), SmallPack())
FLIP = Flip("core.state", "State of the foam", "springs back", "Crumbles", "x",
            "If the foam crumbles, a new cover leads", ("crumbles",))


@pytest.mark.parametrize(
    ("share", "words"),
    [(0.98, "Nearly all"), (0.52, "About 52 %"), (0.26, "About 26 %"), (0.166, "About 17 %"),
     (0.04, "About 4 %")],
)
def test_shares_of_the_uncertainty_are_percentages(share: float, words: str) -> None:
    (line,) = driver_lines(replace(ADVICE, drivers=(Driver("x", "Cloth", share),)), ())
    assert line == f"{words} of the uncertainty comes from: cloth"


def test_drivers_are_listed_most_first_and_small_ones_not_at_all() -> None:
    drivers = (Driver("skin.age", "Age of the skin", 0.5),
               Driver("core.state", "State of the foam", 0.25), Driver("x", "Small", 0.01))
    lines = driver_lines(replace(ADVICE, drivers=drivers), {"core.state"})
    assert lines == ["About 50 % of the uncertainty comes from: age of the skin",
                     "about 25 % from: state of the foam (not answered yet)"]
    assert overlap_line(replace(ADVICE, drivers=drivers)) == ""
    assert overlap_line(replace(ADVICE, drivers=drivers * 2)).startswith("These overlap")


def test_the_risk_of_deciding_now_is_an_amount_of_money() -> None:
    assert "about EUR 66 on average" in risk_line(replace(ADVICE, deciding_now=66.2))
    assert "less than EUR 1 on average" in risk_line(replace(ADVICE, deciding_now=0.2))
    assert risk_line(replace(ADVICE, plan=None)) == ""


def test_how_many_simulated_cases_agree_is_said_where_few_do() -> None:
    assert sample_line(ADVICE) == "64 simulated cases."
    assert sample_line(replace(ADVICE, effective_worlds=12.0)) == (
        "64 simulated cases; about 12 of them agree with your answers and measurements."
    )
    assert sample_line(replace(ADVICE, worlds=4096, effective_worlds=3512.3)) == (
        "4,096 simulated cases; about 3,500 of them agree with your answers and measurements."
    )


def test_what_was_left_open_is_not_asked_again_but_a_hazard_is() -> None:
    case = started().without("core.state")
    advice = small_advise(case, SmallPack())
    assert next_open(advice) == "core.state"
    assert next_open(advice, {"core.state"}) is None
    assert settled_text(advice, {"core.state"}) == (
        "No further question is worth asking, except what was left open."
    )
    advice = small_advise(case.without("hazard.airbag"), SmallPack())
    assert next_open(advice, {"hazard.airbag", "core.state"}) == "hazard.airbag"


