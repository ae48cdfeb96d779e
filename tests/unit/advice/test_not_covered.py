"""What the rules do not know is never calculated: none of these, and pairs that cannot occur."""

from __future__ import annotations

import json
from itertools import product
from pathlib import Path

import pytest

from advisor.advice.advise import advise
from advisor.advice.result import Advice, GateState, Verdict
from advisor.facts.case import Case
from advisor.facts.case_file import read_case
from advisor.job.sheet import job_sheet, together
from advisor.report.content.terminal_page import brief_text
from advisor.report.json_forms.advice import advice_json
from advisor.report.quote import build_quote
from advisor.report.rationale import build_rationale, rationale_text
from advisor.rulegraph.model.pack import RulePack
from tests.unit.advice.choosing.test_hazards import CLOSING, answered, given
from tests.unit.advice.given_cases import case, demos

NONE = "none_of_these"
FIELD = Path(__file__).parents[2] / "field"


def advised(pack: RulePack, part: str, damage: str, **facts: object) -> Advice:
    told = case(part__kind=part, vehicle__kind="car", damage__kind=damage, **facts)
    return advise(told, pack, 64)


def is_withheld(advice: Advice) -> bool:
    """No plan, no method, no price; and it says why."""
    form = advice_json(advice)
    nothing = form["plan"] is None and not form["plans"] and not form["methods"]
    return advice.verdict is Verdict.ASK and nothing and advice.not_covered is not None


@pytest.mark.parametrize(
    ("part", "damage"), [(NONE, "tear"), ("armrest", NONE), (NONE, NONE)]
)
def test_none_of_these_is_never_calculated(part: str, damage: str, pack: RulePack) -> None:
    advice = advised(pack, part, damage)
    assert is_withheld(advice)
    told = advice.not_covered
    assert told is not None and told.check and not told.pair
    assert advice.headline == told.text and "nothing can be calculated" in told.text
    assert {question.fact for question in advice.ask if not question.gate} == set(
        pack.coverage.ask
    )


def test_one_of_several_answers_being_none_of_these_is_enough(pack: RulePack) -> None:
    told = case(part__kind="armrest", vehicle__kind="car")
    told = told.with_fact("damage.kind", ("seam_open", NONE))
    assert is_withheld(advise(told, pack, 64))


def test_hazards_are_asked_of_a_part_that_is_in_no_list(pack: RulePack) -> None:
    """All that any part is asked in such a vehicle; one that is there refers the job."""
    for vehicle in pack.facts["vehicle.kind"].keys:
        told = case(part__kind=NONE, vehicle__kind=vehicle, damage__kind="tear")
        every = {
            key
            for part in pack.facts["part.kind"].keys
            for key in pack.gates_asked(case(part__kind=part, vehicle__kind=vehicle))
        }
        # A belt and a head restraint are stopped by what they are.
        assert set(pack.gates_asked(told)) == every
        asked = {g.gate for g in advise(told, pack, 64).gates if g.state is GateState.OPEN}
        assert asked == set(pack.gates_asked(told))
    closed = told.with_fact("gate.contamination", given(CLOSING["contamination"][0]))
    assert advise(closed, pack, 64).verdict is Verdict.REFER


def test_the_nearest_is_found_by_own_words_and_by_the_layer(pack: RulePack) -> None:
    told = advised(pack, NONE, NONE, damage__layer="board_below").not_covered
    assert told is not None
    assert {near.key for near in told.damages} == {"carrier_crack", "carrier_rotten"}
    words = case(part__kind=NONE, vehicle__kind="boat", damage__kind=NONE)
    words = words.with_fact("damage.words", "a hinge of the locker lid is broken")
    told = advise(words, pack, 64).not_covered
    assert told is not None
    assert told.damages[0].key == "broken_fixing"
    assert {"trim_fixing", "hinged_board"} & {near.key for near in told.parts}
    assert "hinge_renew" in {near.key for near in told.methods}


def test_nothing_is_near_where_nothing_is_told(pack: RulePack) -> None:
    told = advised(pack, NONE, NONE).not_covered
    assert told is not None and told.parts == told.damages == told.methods == ()


@pytest.mark.parametrize(
    ("part", "damage"),
    [
        ("seat_cushion", "lacquer_cracked"),  # a clear coat on padding
        ("rigid_trim", "seam_open"),
        ("folding_roof", "core_collapsed"),  # padding in a roof of cloth
        ("box_cushion", "carrier_rotten"),
        ("trim_fixing", "tear"),
        ("seat_belt", "carrier_rotten"),
    ],
)
def test_a_pair_that_cannot_occur_gets_no_plan(part: str, damage: str, pack: RulePack) -> None:
    """Common practice, no source."""
    advice = advised(pack, part, damage)
    if part == "seat_belt":
        assert advice.verdict is Verdict.REFER
        return
    assert is_withheld(advice)
    told = advice.not_covered
    assert told is not None and told.pair
    asked = [question.fact for question in advice.ask if not question.gate]
    assert asked == ["part.kind", "damage.kind"]
    assert all(pack.coverage.occurs(near.key, damage) for near in told.parts)
    assert all(pack.coverage.occurs(part, near.key) for near in told.damages)
    assert told.parts and told.damages


def test_every_pair_is_calculated_or_withheld_with_a_reason(pack: RulePack) -> None:
    """Over all combinations: what occurs is calculated, what does not has no plan."""
    for part, damage in product(*(pack.facts[name].keys for name in ("part.kind", "damage.kind"))):
        told = answered(case(part__kind=part, vehicle__kind="car", damage__kind=damage), pack)
        covered = NONE not in (part, damage) and pack.coverage.occurs(part, damage)
        assert pack.is_covered(told) == covered
        if not covered and advise(told, pack, 64).verdict is not Verdict.REFER:
            assert is_withheld(advise(told, pack, 64)), (part, damage)


def test_of_several_pairs_only_those_that_occur_are_calculated(pack: RulePack) -> None:
    told = case(vehicle__kind="car", damage__kind="lacquer_cracked")
    told = told.with_fact("part.kind", ("seat_cushion", "rigid_trim"))
    advice = advise(told, pack, 256)
    assert advice.not_covered is None
    (state,) = (state for state in advice.facts if state.fact == "part.kind")
    assert state.shares == {"rigid_trim": pytest.approx(1.0)}


def test_no_demo_and_no_field_case_is_left_out(pack: RulePack) -> None:
    found = list(demos(pack).values())
    for path in sorted(FIELD.glob("fc-*.yaml")):
        found.append(read_case(path, pack.facts, methods=pack.methods))
    assert len(found) > 50
    odd = [told.name for told in found if not pack.is_covered(told) and "none_of" not in str(told)]
    assert odd == []


def test_options_that_do_not_go_with_the_other_answer_are_not_offered(pack: RulePack) -> None:
    cushion = case(part__kind="seat_cushion")
    keys = [option.key for option in pack.offered("damage.kind", cushion)]
    assert "lacquer_cracked" not in keys and keys[-1] == NONE
    # Rare ones come after all the usual ones: what holds a cushion down seldom breaks.
    rare = [key for key in keys if key in pack.coverage.rare["seat_cushion"]]
    assert rare == keys[-1 - len(rare):-1] and "broken_fixing" in rare
    parts = {option.key for option in pack.offered("part.kind", case(damage__kind="fallen_lining"))}
    assert "headlining" in parts and "seat_cushion" not in parts and NONE in parts
    whole = pack.facts["damage.kind"].options
    assert pack.offered("damage.kind", Case("HB-1")) == whole
    given = case(part__kind="seat_cushion", damage__kind="lacquer_cracked")
    assert "lacquer_cracked" in {option.key for option in pack.offered("damage.kind", given)}


def test_only_what_a_person_needs_is_asked_of_it(pack: RulePack) -> None:
    told = case(part__kind="armrest", vehicle__kind="car", damage__kind=NONE)
    asked = {decl.name for decl in pack.asked(told) if not decl.gate}
    assert asked == {"part.kind", "vehicle.kind", "damage.kind", *pack.coverage.ask}
    known = case(part__kind="armrest", vehicle__kind="car", damage__kind="tear")
    assert not {decl.name for decl in pack.asked(known)} & set(pack.coverage.ask)


def test_every_page_says_it_and_offers_nothing(pack: RulePack) -> None:
    told = answered(case(part__kind="armrest", vehicle__kind="car", damage__kind=NONE), pack)
    advice = advise(told, pack, 64)
    page = brief_text(advice)
    paper = rationale_text(build_rationale(advice, told))
    for text in (page, paper):
        assert "nothing can be calculated" in text.replace("\n", " ")
        assert "what a person checks" in text.lower()
        assert "EUR" not in text and "holds in" not in text
    sheet = job_sheet(told, pack, advice)
    assert sheet.withheld and sheet.price is None and not sheet.steps
    quote = build_quote(together([sheet], pack))
    assert quote.heading == "No quote"
    assert json.dumps(advice_json(advice))
