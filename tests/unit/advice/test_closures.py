"""Zips, studs, windows, fixings, boards: what must move, what is counted, what is not spoken of.

Facts of the trade are common practice, no source, unless one is named beside them.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from advisor.advice.advise import advise
from advisor.advice.choosing.working import work_out
from advisor.advice.result import Advice, Verdict
from advisor.facts.case import Case
from advisor.job.sheet import job_sheet
from advisor.rulegraph.model.pack import RulePack
from tests.field.gates import with_other_gates_cleared
from tests.unit.advice.given_cases import case, point_valued

WORLDS = 512
#: What joins the two sides of a hinge, a latch or a visor's rod and holds it stiff.
STIFF = ("mechanical_fastener", "plastic_weld", "adhesive_bond")
#: What comes by the piece: the damage, answers beside it, and the method.
BY_THE_PIECE = [
    ("boat_canopy", "zip_broken", {"zip__state": "slider_worn"}, "zip_slider"),
    ("boat_canopy", "zip_broken", {"zip__state": "tape_weak"}, "zip_renew"),
    ("boat_canopy", "closure_torn",
     {"fixing__kind": "stud", "closure__cloth": "torn"}, "stud_renew"),
    ("boat_canopy", "window_spent", {"window__state": "brittle"}, "window_renew"),
    ("door_panel", "elastic_slack", {}, "elastic_renew"),
    ("box_cushion", "button_gone", {"button__fails": "twine_cut"}, "button_renew"),
    ("trim_fixing", "broken_fixing", {"fixing__kind": "loose_clip"}, "clip_renew"),
    ("trim_fixing", "broken_fixing",
     {"fixing__kind": "tower", "fixing__total": 30, "carrier__material": "abs"}, "tower_rebuild"),
    ("trim_fixing", "broken_fixing",
     {"fixing__kind": "screw_boss", "boss__failed": "split"}, "boss_sleeve"),
    ("rigid_trim", "broken_fixing",
     {"fixing__kind": "stuck_on", "carrier__material": "abs"}, "adhesive_bond.piece"),
    ("trim_fixing", "broken_fixing",
     {"fixing__kind": "insert", "carrier__material": "abs"}, "insert_reset"),
    ("trim_fixing", "broken_fixing",
     {"fixing__kind": "hinge", "hinge__failed": "pin"}, "hinge_renew"),
    ("trim_fixing", "broken_fixing",
     {"fixing__kind": "latch", "latch__failed": "spring"}, "latch_renew"),
    ("hinged_board", "screws_torn_out", {"wood__state": "dry"}, "bolt_through"),
    ("hinged_board", "screws_torn_out", {"wood__state": "dry"}, "hole_plug_epoxy"),
]  # fmt: skip


def told(pack: RulePack, part: str, damage: str, **facts: Any) -> Case:
    vehicle = "boat" if part in ("boat_canopy", "hinged_board", "box_cushion") else "car"
    known = {"part__kind": part, "vehicle__kind": vehicle, "damage__kind": damage,
             "skin__feel": "supple", "access__back": "comes_off", "part__available": False}
    return with_other_gates_cleared(case(**{**known, **facts}), pack)  # fmt: skip


def advised(pack: RulePack, part: str, damage: str, **facts: Any) -> Advice:
    return advise(told(pack, part, damage, **facts), pack, WORLDS, flips=False)


@pytest.mark.parametrize("kind", ["hinge", "latch", "visor_pivot"])
@pytest.mark.parametrize("part", ["trim_fixing", "console_lid", "sun_visor", "rigid_trim"])
def test_what_has_to_move_is_never_held_stiff(part: str, kind: str, pack: RulePack) -> None:
    working = work_out(told(pack, part, "broken_fixing", fixing__kind=kind), pack, WORLDS)
    for name in STIFF:
        outcome = working.situation.outcomes[name]
        assert not outcome.answers("fixing").any(), name
    assert working.plans and working.plans[0].lead.partition("_")[0] in ("hinge", "latch", "visor")


def test_a_lid_cracked_through_its_hinge_is_not_joined_stiff(pack: RulePack) -> None:
    known = told(pack, "console_lid", "carrier_crack", hinge__failed="knuckle",
                 carrier__material="abs", load__leaned_on=True)  # fmt: skip
    working = work_out(known, pack, WORLDS)
    for name in ("plastic_weld", "solvent_weld", "adhesive_bond", "backing_patch.strip"):
        assert not working.situation.outcomes[name].possible.any(), name
    assert working.plans[0].lead == "hinge_renew"


@pytest.mark.parametrize(
    ("part", "damage", "facts", "method"), BY_THE_PIECE, ids=lambda value: str(value)[:30]
)
def test_each_further_piece_costs_more_and_less_than_the_first(
    part: str, damage: str, facts: dict[str, Any], method: str, pack: RulePack
) -> None:
    """Unpacking is done once, a set of dies is set out once."""
    price = {}
    for count in (1, 2, 3, 8):
        known = told(pack, part, damage, damage__count=count, damage__length=400.0, **facts)
        outcome = work_out(known, pack, WORLDS).situation.outcomes[method]
        assert outcome.possible.all(), outcome.refused
        price[count] = float(np.mean(outcome.minutes + outcome.material))
    assert price[1] < price[2] < price[3] < price[8]
    assert price[2] - price[1] < price[1]
    assert price[8] - price[3] == pytest.approx(5 * (price[2] - price[1]), rel=0.25)


def test_a_stud_bears_by_its_layers_of_cloth(pack: RulePack) -> None:
    """Worked by hand: three layers of a hem of 15 mm at the strength of the cloth.

    Bearing on the width of a stud is an own derivation; the wind and the tightness of the cover
    act over the 300 mm to the next stud.
    """
    pack = point_valued(pack)
    known = told(pack, "boat_canopy", "closure_torn", fixing__kind="stud",
                 closure__cloth="clean_hole", skin__material="roof_canvas")  # fmt: skip
    working = work_out(known, pack, 64)
    values = working.situation.worlds.values
    cloth = 3.0 * values["skin.line_strength"][0] * 15.0
    assert values["stud_renew.cloth"][0] == pytest.approx(cloth)
    joint = working.situation.outcomes["stud_renew"].joints[0]
    cyclic = 300.0 * values["load.wind"][0]
    shares = values["skin.cyclic_factor"][0] * values["skin.heat_in_use"][0]
    assert joint.modes[0].terms["cyclic"][0] == pytest.approx(cyclic / (cloth * shares))


def test_a_reinforcement_bears_more_than_the_hem_alone(pack: RulePack) -> None:
    usage = {}
    for cloth in ("clean_hole", "torn"):
        known = told(pack, "boat_canopy", "closure_torn", fixing__kind="stud",
                     closure__cloth=cloth)  # fmt: skip
        outcome = work_out(known, pack, WORLDS).situation.outcomes["stud_renew"]
        usage[cloth] = float(np.median(outcome.joints[0].usage))
    assert usage["torn"] < 0.9 * usage["clean_hole"]


def test_a_torn_seat_does_not_read_what_a_latch_would_need(pack: RulePack) -> None:
    advice = advised(pack, "seat_cushion", "tear", skin__material="vinyl_backed")
    named = {method.method for method in advice.methods}
    assert "backing_patch" in named
    assert not named & {"stud_renew", "latch_renew", "hinge_renew", "zip_renew", "clip_renew"}


def test_the_number_of_clips_is_asked_before_anything_is_quoted(pack: RulePack) -> None:
    known = {"fixing__kind": "loose_clip", "carrier__material": "pp"}
    advice = advised(pack, "trim_fixing", "broken_fixing", **known)
    assert advice.verdict is Verdict.ASK and "damage.count" in [q.fact for q in advice.ask[:3]]
    counted = advised(pack, "trim_fixing", "broken_fixing", damage__count=4, **known)
    assert "damage.count" not in [question.fact for question in counted.ask]


@pytest.mark.parametrize(("count", "to_buy"), [(1, 2), (4, 5), (15, 17), (20, 22)])
def test_clips_are_bought_whole_with_a_tenth_more(
    count: int, to_buy: int, pack: RulePack
) -> None:
    known = told(pack, "trim_fixing", "broken_fixing", fixing__kind="loose_clip",
                 carrier__material="pp", damage__count=count)  # fmt: skip
    sheet = job_sheet(known, pack, advise(known, pack, WORLDS, flips=False))
    amounts = {amount.title: amount for group in sheet.groups for amount in group.amounts}
    assert amounts["Clips to buy"].value.typical == to_buy


def test_soft_wood_gets_a_new_board_and_no_plug(pack: RulePack) -> None:
    advice = advised(pack, "hinged_board", "screws_torn_out", carrier__material="plywood",
                     wood__state="soft", damage__count=4)  # fmt: skip
    assert advice.plan is not None and advice.plan.lead == "replace_part"
    dry = advised(pack, "hinged_board", "screws_torn_out", carrier__material="plywood",
                  wood__state="dry", damage__count=4)  # fmt: skip
    assert dry.plan is not None and dry.plan.lead == "bolt_through"


def test_doing_a_zip_over_is_no_new_roof(pack: RulePack) -> None:
    known = told(pack, "boat_canopy", "zip_broken", zip__state="slider_worn", damage__length=900.0)
    working = work_out(known, pack, WORLDS)
    roof = float(np.mean(working.situation.outcomes["recover_panel"].minutes))
    zip_again = float(np.mean(working.situation.outcomes["zip_renew"].minutes))
    lead = working.plans[0]
    assert zip_again < 0.3 * roof
    assert float(np.mean(lead.comeback)) < 0.1 * roof


def test_a_leak_behind_a_lining_is_stopped_before_it_is_glued(pack: RulePack) -> None:
    known = {"skin__material": "carpet", "core__material": "none", "damage__failed_layer": "glue"}
    wet = advised(pack, "side_lining", "fallen_lining", **known, place__leak=True).plan
    dry = advised(pack, "side_lining", "fallen_lining", **known, place__leak=False).plan
    assert wet is not None and dry is not None
    assert set(wet.methods) - set(dry.methods) == {"dry_out"}
    assert wet.steps[0].text.startswith("Pour water")


def test_glue_off_a_wall_asks_for_a_leak_before_a_quote(pack: RulePack) -> None:
    known = {"skin__material": "carpet", "core__material": "none", "damage__failed_layer": "glue"}
    advice = advised(pack, "side_lining", "fallen_lining", **known)
    assert any(q.fact == "place.leak" and q.worth_asking for q in advice.ask)
