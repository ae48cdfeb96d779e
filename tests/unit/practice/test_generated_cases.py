"""Generated cases: answerable, near a boundary, and asking never a matter of luck.

The margins are those that `boundaries` sets; a larger sample is in
`tests/benchmarks/practice_cases.py`.
"""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from advisor.advice.choosing.working import work_out
from advisor.advice.result import GateState
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import DAMAGE, PART, Case
from advisor.practice.cases import CaseSource, PracticeCase
from advisor.practice.generating.boundaries import ERRORS, MARGIN, judged
from advisor.practice.generating.generate import generate
from advisor.practice.generating.method_cases import allowing, pairs_for, variants
from advisor.practice.generating.whole_cases import (
    begun,
    damage_weights,
    draw_case,
    usual_vehicles,
)
from advisor.practice.topics import REFER, all_topics
from advisor.practice.truth import lead_or_decline, truth_of
from advisor.rulegraph.model.pack import RulePack
from tests.field.known_leads import known_leads

COUNT, SEED = 8, 11


@pytest.fixture(scope="module")
def cases(pack: RulePack) -> tuple[PracticeCase, ...]:
    return generate(pack, COUNT, SEED).cases


def test_a_set_is_full_and_varied(cases: tuple[PracticeCase, ...]) -> None:
    assert len(cases) == COUNT
    assert len({case.right for case in cases}) >= 5
    assert len({case.hidden.choice("part.kind") for case in cases}) >= 5
    assert len({case.twin.fact for case in cases if case.twin}) >= 5
    assert all(case.source is CaseSource.GENERATED and case.topics for case in cases)


def test_both_twins_have_one_right_choice_and_not_the_same(
    pack: RulePack, cases: tuple[PracticeCase, ...]
) -> None:
    for case in cases:
        truths = [truth_of(one, pack) for one in (case, case.other())]
        assert [t.right for t in truths] == [case.right, case.twin.right if case.twin else ""]
        assert truths[0].right != truths[1].right, case.name
        for truth in truths:
            assert not truth.advice.open_hazards
            if truth.right == REFER:
                assert any(g.state is GateState.CLOSED for g in truth.advice.gates)
                continue
            assert truth.whole.working is not None
            clear = judged(truth.whole.working)
            assert clear is not None and clear.margin >= MARGIN and clear.errors >= ERRORS


def test_the_right_choice_does_not_hang_on_the_luck_of_the_draw(
    pack: RulePack, cases: tuple[PracticeCase, ...]
) -> None:
    """Other simulated cases, drawn under another name, lead to the same choice."""
    for case in cases:
        if case.right != REFER:
            again = work_out(replace(case.hidden, name=case.name + " again"), pack, 2048)
            found = judged(again)
            assert found is not None and found.right == case.right, case.name


def test_twins_differ_in_one_fact(cases: tuple[PracticeCase, ...]) -> None:
    for case in cases:
        assert case.twin is not None
        one, other = case.hidden.facts, case.other().hidden.facts
        assert {k for k in one | other if one.get(k) != other.get(k)} == {case.twin.fact}
        assert case.other().other().hidden == case.hidden
        assert case.other().intake.name == case.intake.name


def test_the_deciding_fact_is_hidden_only_where_asking_for_it_pays(
    pack: RulePack, cases: tuple[PracticeCase, ...]
) -> None:
    hidden = 0
    for case in cases:
        assert case.twin is not None
        if case.right == REFER or case.twin.right == REFER:
            continue  # a hazard is always asked about
        if case.twin.fact not in case.shown:
            worth = truth_of(case, pack).worth(case.twin.fact)
            assert worth is not None and worth.worth_asking, (case.name, case.twin.fact)
            hidden += 1
    assert hidden


def test_the_look_and_the_deciding_fact_lead_to_the_right_choice(
    pack: RulePack, cases: tuple[PracticeCase, ...]
) -> None:
    for pair in cases:
        for case in (pair, pair.other()):
            if REFER in (case.right, pair.right) or case.twin is None:
                continue
            fact = case.twin.fact
            known = case.intake.with_fact(fact, case.hidden.facts[fact])
            assert lead_or_decline(work_out(known, pack, 1024, rough=True)) == case.right


def test_hazards_are_never_told_at_the_first_look(
    pack: RulePack, cases: tuple[PracticeCase, ...]
) -> None:
    assert not any(pack.facts[fact].gate for case in cases for fact in case.shown)


#: Draws in which a method is looked for; a set of 500 cases has some 60 about hazards, of 6 each.
DRAWS = 100


def test_every_method_that_leads_a_known_case_can_be_drawn(pack: RulePack) -> None:
    """Cases of field and week are collected apart from the rules (their files name sources)."""
    pairs = [(part, damage) for part in pack.parts for damage in damage_weights(part, pack)]
    draw = random.Random(SEED)
    for word, known in known_leads(pack).items():
        mine = pairs_for(word, pairs, pack)
        for number in range(DRAWS):
            part, damage = draw.choice(mine)
            vehicle = draw.choice(usual_vehicles(part, pack))
            case = allowing(word, begun(f"{word}-{number}", part, damage, vehicle), pack, draw)
            whole = draw_case(case, pack, draw.randrange(1 << 31))
            found = judged(work_out(whole, pack, 64, rough=True))
            if found is not None and found.right == word:
                break
        else:
            pytest.fail(f"{word}, which leads {known}, leads none of {DRAWS} draws")


def test_answers_are_drawn_so_that_a_method_is_possible(pack: RulePack) -> None:
    draw = random.Random(SEED)
    case = begun("veneer", "console_trim", "lacquer_cracked", "boat")
    told = allowing("refinish_lacquer", case, pack, draw)
    assert told.choice("skin.material") == "veneer"
    assert told.choice("lacquer.crack") != "veneer"
    assert pairs_for("refinish_lacquer", [("boat_canopy", "zip_broken")], pack) == []
    assert pairs_for("visor_friction", [("sun_visor", "broken_fixing")], pack)
    assert variants("staple_reinforce", pack) == []  # only beside a weld


def test_the_same_seed_gives_the_same_cases(pack: RulePack) -> None:
    assert generate(pack, 2, 5).cases == generate(pack, 2, 5).cases
    assert generate(pack, 2, 5).cases != generate(pack, 2, 6).cases


@pytest.mark.parametrize("topic", ["seams", "aircraft", "glue_right", "hazards"])
def test_a_topic_is_kept_to(pack: RulePack, topic: str) -> None:
    made = generate(pack, 1, 3, topic=topic).cases
    assert made and topic in made[0].topics
    assert all_topics().topics[topic].fits(
        made[0].hidden, pack, made[0].right, made[0].twin is not None
    )


def test_screws_torn_out_of_wood_are_drawn_in_wood(pack: RulePack) -> None:
    """What the damage is called says what the part is of; a part's own prior must not differ."""
    decl = pack.facts["carrier.material"]
    parts = [key for key in pack.facts[PART].keys
             if pack.coverage.occurs(key, "screws_torn_out")
             and not pack.facts[PART].option(key).not_covered]  # fmt: skip
    assert len(parts) > 20
    for part in parts:
        told = {PART: (part,), DAMAGE: ("screws_torn_out",)}
        worlds = SampledWorlds(Case("wood", facts=told), pack, 256, seed=1)
        drawn = {decl.keys[int(one)] for one in worlds.values["carrier.material"]}
        assert drawn <= {"plywood", "fibreboard"}, part
