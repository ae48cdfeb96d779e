"""Answers that contradict each other are cleared first: no figure is told before."""

from __future__ import annotations

from typing import Any

import pytest

from advisor.advice.advise import advise, advise_quick, in_full
from advisor.advice.result import Advice, Status, Verdict
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.advice.what_if.trials import Trials
from advisor.report.content.terminal_page import brief_text
from advisor.report.json_forms.advice import advice_json
from advisor.rulegraph.model.pack import RulePack
from tests.unit.advice.choosing.test_hazards import answered
from tests.unit.advice.given_cases import case, split_seam

#: Answers that cannot all be true, and the one to look at again. Common practice, no source.
CONTRADICTING: tuple[tuple[dict[str, Any], str], ...] = (
    ({"part__kind": "seat_backrest", "damage__kind": "core_collapsed",
      "core__state": "springs_back"}, "core.state"),
    ({"part__kind": "armrest", "damage__kind": "core_collapsed", "core__material": "none"},
     "core.material"),
    ({"part__kind": "door_panel", "damage__kind": "seam_open", "skin__material": "none"},
     "skin.material"),
    ({"part__kind": "door_panel", "damage__kind": "tear", "skin__material": "coating",
      "core__material": "none"}, "skin.material"),
    ({"part__kind": "headlining", "damage__kind": "fallen_lining", "skin__material": "none"},
     "skin.material"),
    ({"part__kind": "kick_panel", "damage__kind": "elastic_slack", "skin__material": "none"},
     "skin.material"),
    ({"part__kind": "seat_cushion", "damage__kind": "snag", "skin__material": "leather"},
     "skin.material"),
    ({"part__kind": "seat_cushion", "damage__kind": "peeling_film", "skin__material": "leather"},
     "skin.material"),
    ({"part__kind": "console_trim", "damage__kind": "lacquer_cracked",
      "skin__material": "leather"}, "skin.material"),
    ({"part__kind": "armrest", "damage__kind": "seam_open", "damage__failed": "skin",
      "damage__hole_state": "intact"}, "damage.failed"),
    ({"part__kind": "door_panel", "damage__kind": "lifted_edge", "skin__material": "none"},
     "skin.material"),
    ({"part__kind": "console_trim", "damage__kind": "sticky_coating",
      "skin__material": "leather"}, "skin.material"),
)  # fmt: skip


def is_held_back(advice: Advice, fact: str) -> bool:
    """It asks for that fact again, with the finding first, and tells no figure."""
    form = advice_json(advice)
    first = next(question for question in advice.ask if not question.gate)
    assert first.fact == fact and first.why == advice.findings[0]
    assert advice.findings[0] in advice.headline
    assert advice.reasons[0].text == advice.findings[0]
    nothing = (form["plan"], form["plans"], form["methods"], form["loads"], form["deciding_now"])
    return advice.verdict is Verdict.ASK and nothing == (None, [], [], [], None)


@pytest.mark.parametrize(("facts", "fact"), CONTRADICTING)
def test_a_contradiction_is_cleared_before_any_plan(
    facts: dict[str, Any], fact: str, pack: RulePack
) -> None:
    told = answered(case(vehicle__kind="car", **facts), pack)
    assert is_held_back(advise(told, pack, 256), fact)
    cleared = advise(told.without(fact), pack, 256)
    assert cleared.methods and not cleared.findings


def test_every_contradiction_is_tried(pack: RulePack) -> None:
    found = set()
    for facts, _ in CONTRADICTING:
        told = case(vehicle__kind="car", **facts)
        found |= {one.key for one in pack.coverage.contradictions if one.when.known(told)}
    assert found == {one.key for one in pack.coverage.contradictions}


def test_a_measurement_that_nothing_fits_gives_no_figures_of_the_unmeasured(
    pack: RulePack,
) -> None:
    """80 mm is no gap of a seam on an armrest; without it there is a plan."""
    told = split_seam(damage__gap=80.0)
    advice = advise(told, pack, 1024)
    assert is_held_back(advice, "damage.gap")
    assert advise(told.without("damage.gap"), pack, 1024).plan is not None
    page = brief_text(advice)
    assert "EUR" not in page and "holds in" not in page


def test_measurements_that_fit_alone_and_not_together_are_a_finding(pack: RulePack) -> None:
    """A wide gap that next to no pull closes: each is possible, both are not."""
    told = split_seam(damage__gap=20.0, damage__closing_pull=0.5)
    for alone in ("damage.gap", "damage.closing_pull"):
        assert not SampledWorlds(told.without(alone), pack, 16_384).misfits
    advice = advise(told, pack)
    assert is_held_back(advice, "damage.gap")
    assert advice.findings[0].startswith("Together with the other measurements: the gap")


def test_a_closed_hazard_still_refers_whatever_contradicts(pack: RulePack) -> None:
    told = case(vehicle__kind="car", **CONTRADICTING[0][0], gate__airbag="in_section")
    advice = advise(told, pack, 256)
    assert advice.verdict is Verdict.REFER
    assert all(method.status is Status.BLOCKED for method in advice.methods)


def test_no_flip_leads_into_a_contradiction(pack: RulePack) -> None:
    told = answered(
        case(part__kind="seat_backrest", vehicle__kind="car", damage__kind="core_collapsed",
             core__state="crumbles"), pack
    )  # fmt: skip
    trials = Trials(SampledWorlds(told, pack, 512))
    assert trials.lead("core.state", ("springs_back",)) is None
    assert trials.lead("core.state", ("tired",)) is not None


def test_nothing_more_is_worked_out_for_a_contradiction(pack: RulePack) -> None:
    told = answered(case(vehicle__kind="car", **CONTRADICTING[0][0]), pack)
    *_, last = in_full(advise_quick(told, pack, 256))
    assert last.advice.flips == () and last.advice.drivers == ()
