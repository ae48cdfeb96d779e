"""A whole round over a demo case, in order and out of it."""

from __future__ import annotations

import pytest

from advisor.practice.answers import Belief
from advisor.practice.cases import PracticeCase
from advisor.practice.demo import demo_cases
from advisor.practice.forces import Direction, DrawnForce, When
from advisor.practice.round import UNTOLD, OutOfOrder, Round, Step
from advisor.practice.scoring import quadratic_score
from advisor.practice.topics import DECLINE, REFER, all_topics
from advisor.rulegraph.model.pack import RulePack

WORLDS = 512


@pytest.fixture(scope="module")
def demos(pack: RulePack) -> dict[str, PracticeCase]:
    return {case.name: case for case in demo_cases(pack)}


def played(case: PracticeCase, pack: RulePack, choice: str, *, hazards: bool = True) -> Round:
    """A round in which the same method is chosen before and after asking what pays."""
    one = Round(case, pack, worlds=WORLDS, clock=iter(range(1000)).__next__)
    while hazards and (open_ := [item for item in one.hazards if not item.answer]):
        one.ask_hazard(open_[0].key)
    one.end_hazards()
    one.choose_first(Belief(choice, 0.6))
    for question in one.truth.questions:
        one.ask(question.fact)
    one.end_asking()
    if one.step is Step.FORCES:
        for force in one.forces().calculated[:3]:
            if force.cause in {offer.cause for offer in one.forces().offered}:
                one.draw(DrawnForce(force.cause, force.direction, force.rank, force.when))
        one.name_governing(one.forces().governing)
    one.decide(Belief(choice, 0.9))
    return one


def test_every_demo_case_that_can_be_told_is_one_to_practise_on(
    demos: dict[str, PracticeCase],
) -> None:
    assert len(demos) >= 12
    assert {case.right for case in demos.values()} >= {REFER, "hand_stitch"}
    for case in demos.values():
        assert case.topics, case.name


def test_a_right_round_loses_only_what_asking_took(
    pack: RulePack, demos: dict[str, PracticeCase]
) -> None:
    case = demos["HB-2041"]
    one = played(case, pack, case.right)
    shown = one.reveal()
    assert shown.score.right and shown.score.good and shown.score.regret == 0.0
    assert shown.score.loss == pytest.approx(shown.score.asking)
    assert all(force.agreed for force in shown.score.forces if force.drawn)
    assert shown.score.governing_right
    assert shown.headline.startswith("Right")
    assert one.answer.seconds == 1.0


def test_a_method_that_breaks_is_told_with_its_figures(
    pack: RulePack, demos: dict[str, PracticeCase]
) -> None:
    shown = played(demos["HB-2041"], pack, "adhesive_bond").reveal()
    wrong = shown.wrong[0]
    assert wrong.chosen and wrong.method == "adhesive_bond"
    assert wrong.usage is not None and wrong.usage > 1.0
    assert wrong.regret is not None and wrong.regret > 0.0
    assert "N/mm" in shown.remember and "would not hold" in shown.remember
    assert shown.score.regret == pytest.approx(wrong.regret)


def test_a_closed_hazard_is_no_matter_of_money(
    pack: RulePack, demos: dict[str, PracticeCase]
) -> None:
    case = demos["HB-2048"]
    careless = played(case, pack, "hand_stitch", hazards=False).reveal()
    assert careless.score.regret is None and careless.score.loss is None
    assert careless.score.hazards_missed == ("airbag",)
    assert careless.hazards[0].missed and careless.hazards[0].key == "airbag"
    asked = played(case, pack, REFER).reveal()
    assert asked.score.right and not asked.score.hazards_missed
    assert not asked.score.hazards_not_asked


def test_referring_without_a_reason_costs(pack: RulePack, demos: dict[str, PracticeCase]) -> None:
    scored = played(demos["HB-2041"], pack, REFER).reveal().score
    assert scored.needless_referral and not scored.right
    prices = pack.prices
    needless = prices.comeback_goodwill.mean + (
        prices.aborted_minutes.mean * prices.hourly_rate.mean / 60.0
    )
    assert scored.regret == pytest.approx(needless)


def test_what_the_case_does_not_say_costs_its_minutes_all_the_same(
    pack: RulePack, demos: dict[str, PracticeCase]
) -> None:
    one = Round(demos["HB-2042"], pack, worlds=WORLDS)
    one.end_hazards()
    one.choose_first(Belief("hand_stitch", 0.5))
    told = one.ask("damage.closing_pull")
    assert told.answer == UNTOLD
    assert one.minutes == pack.facts["damage.closing_pull"].minutes
    one.ask("damage.closing_pull")
    assert one.minutes == pack.facts["damage.closing_pull"].minutes, "asked twice, paid once"


def test_an_answer_is_not_known_before_it_is_asked(
    pack: RulePack, demos: dict[str, PracticeCase]
) -> None:
    for case in demos.values():
        one = Round(case, pack, worlds=WORLDS)
        assert not any(item.answer or item.closes or item.text for item in one.hazards)
        assert set(one.known.facts) <= set(case.shown)
        assert not one.known.note and one.known.earlier_repairs is None
        one.end_hazards()
        one.choose_first(Belief("hand_stitch", 0.5))
        assert not any(item.answer for item in one.observations())


def test_steps_come_in_order(pack: RulePack, demos: dict[str, PracticeCase]) -> None:
    one = Round(demos["HB-2041"], pack, worlds=WORLDS)
    with pytest.raises(OutOfOrder, match="due at “ask”; the round is at “hazards”"):
        one.ask("damage.hole_state")
    one.end_hazards()
    with pytest.raises(OutOfOrder, match="glue is no choice"):
        one.choose_first(Belief("glue", 0.5))
    one.choose_first(Belief("hand_stitch", 0.5))
    with pytest.raises(OutOfOrder, match=r"gate.airbag is no question"):
        one.ask("gate.airbag")
    one.end_asking()
    with pytest.raises(OutOfOrder, match="nothing is not among the forces offered"):
        one.draw(DrawnForce("nothing", Direction.APART, 1, When.ALWAYS))
    with pytest.raises(OutOfOrder, match="due at “done”; the round is at “forces”"):
        one.reveal()


def test_choices_tell_nothing(pack: RulePack, demos: dict[str, PracticeCase]) -> None:
    choices = {tuple(Round(case, pack).choices) for case in demos.values()}
    assert choices == {(*pack.method_words, REFER, DECLINE)}


def test_certainties_that_are_none_are_refused() -> None:
    with pytest.raises(ValueError, match="accepted: 0 to 1 each, 1 together"):
        Belief("hand_stitch", 0.8, "machine_restitch", 0.3)


def test_the_topics_name_what_the_rules_have(pack: RulePack) -> None:
    known = all_topics()
    every = {key for topic in known.topics.values() for key in topic.damage}
    named = {key for key in pack.facts["damage.kind"].keys if key != "none_of_these"}
    assert every == named, "each damage belongs to a topic"
    for topic in known.topics.values():
        assert set(topic.vehicle) <= set(pack.facts["vehicle.kind"].keys)
        assert set(topic.lead) <= set(pack.method_words)
    assert set(known.at_a_glance) | set(known.price_only) <= set(pack.facts)
    assert not any(pack.facts[name].gate for name in known.at_a_glance)


def test_quadratic_score_of_one_answer_by_hand() -> None:
    """Brier 1950, "Verification of forecasts expressed in terms of probability": 2 at worst."""
    assert quadratic_score({"a": 1.0}, "a") == 0.0
    assert quadratic_score({"a": 1.0}, "b") == 2.0
    assert quadratic_score({"a": 0.7, "b": 0.2, "c": 0.1}, "a") == pytest.approx(0.14)
