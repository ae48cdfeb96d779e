"""What a method is called in a case."""

from __future__ import annotations

import pytest

from advisor.advice.advise import advise
from advisor.advice.choosing.methods import MethodOutcome, title_here
from advisor.advice.result import Verdict
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.rulegraph.model.pack import RulePack
from tests.unit.advice.given_cases import case, demo


@pytest.mark.parametrize(
    ("facts", "title"),
    [
        ({"damage__kind": "fallen_lining", "damage__failed_layer": "foam"}, "Bond a new lining"),
        ({"damage__kind": "fallen_lining", "damage__failed_layer": "glue"},
         "Bond the lining on again"),
        ({"damage__kind": "lifted_edge"}, "Glue the edge down"),
        ({"damage__kind": "seam_open"}, "Glue"),
    ],
)  # fmt: skip
def test_glue_is_called_by_what_is_done(facts: dict[str, str], title: str, pack: RulePack) -> None:
    part = "headlining" if facts["damage__kind"] == "fallen_lining" else "dash_pad"
    worlds = SampledWorlds(case(part__kind=part, vehicle__kind="car", **facts), pack, 256)
    method = pack.methods["adhesive_bond"]
    assert title_here(method, worlds) == title
    assert MethodOutcome(method, worlds).title == title


def test_the_title_is_the_same_wherever_the_method_is_named(pack: RulePack) -> None:
    advice = advise(demo("fallen_headlining", pack), pack)
    title = "Bond a new lining"
    assert advice.plan is not None
    assert advice.plan.titles == (title,)
    assert advice.plan.lead_title == title
    assert advice.headline.startswith(f"{title}: holds in ")
    assert {m.method: m.title for m in advice.methods}["adhesive_bond"] == title


def test_methods_of_a_plan_are_told_in_the_order_of_the_work(pack: RulePack) -> None:
    """The padding first, though it is the seam that leads; by machine or by hand is a tie."""
    advice = advise(demo("armrest_crumbled_foam", pack), pack, flips=False)
    assert advice.plan is not None
    assert advice.plan.lead in ("machine_restitch", "hand_stitch")
    assert advice.plan.methods == ("foam_replace", advice.plan.lead)
    seam = advice.plan.lead_title
    assert advice.headline.startswith(f"Renew the padding, then {seam[0].lower()}{seam[1:]}: ")


def test_warming_an_edge_is_a_step_of_gluing_it_down(pack: RulePack) -> None:
    """Between the cement and the pressing down; as a method of its own it is not told twice."""
    advice = advise(demo("lifted_dash_edge", pack), pack, flips=False)
    assert advice.headline.startswith("Glue the edge down: ")
    assert advice.plan is not None and advice.plan.methods == ("adhesive_bond",)
    texts = [step.text for step in advice.plan.steps]
    (warm,) = (i for i, text in enumerate(texts) if "warm the skin" in text)
    assert any("cement" in text.lower() for text in texts[:warm]) and warm < len(texts) - 1


def test_a_new_part_is_not_advised_where_there_is_none(pack: RulePack) -> None:
    told = demo("donor_piece", pack)
    advice = advise(told, pack, flips=False)
    assert advice.verdict is Verdict.DECLINE
    assert advice.headline.endswith("Tell the customer.")
    had = advise(told.with_fact("part.available", True), pack, flips=False)
    assert had.verdict is Verdict.PLAN


def test_a_referral_begins_with_the_hazard_that_stops_the_job(pack: RulePack) -> None:
    told = demo("airbag_seam", pack).without("gate.belt").without("gate.child_seat")
    advice = advise(told, pack, flips=False)
    assert advice.verdict is Verdict.REFER
    assert advice.reasons[0].path == ("gate.airbag",)
    assert {reason.path[0] for reason in advice.reasons} >= {"gate.airbag", "gate.belt"}
