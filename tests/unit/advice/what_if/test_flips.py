"""What would change the choice, as a value that does it and in the units of the reader."""

from __future__ import annotations

import re

import pytest

from advisor.advice.advise import advise
from advisor.advice.asking.value_of_information import groups_of
from advisor.advice.choosing.working import work_out
from advisor.advice.result import Flip, Question
from advisor.advice.what_if.flips import BEYOND, alternatives, given_flips
from advisor.advice.what_if.trials import Trials
from advisor.facts.case import Span
from advisor.facts.declaration import Kind
from advisor.facts.quantity import System
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import method_word
from advisor.wording.amounts import Bounds
from advisor.wording.phrases import computed, filled
from tests.unit.advice.given_cases import case, demo, split_seam

METRIC, IMPERIAL = System.METRIC, System.IMPERIAL


@pytest.mark.parametrize(
    ("amount", "metric", "imperial"),
    [
        (Bounds(1.23, None, "length"), "over 1.2 mm", "over 0.048 in"),
        (Bounds(None, 25.4, "length"), "under 25 mm", "under 1 in"),
        (Bounds(2.0, 4.04, "length"), "2 to 4 mm", "0.079 to 0.16 in"),
        (Bounds(3.0, 3.0, "length"), "3 mm", "0.12 in"),
        (Bounds(60.0, None, "temperature"), "over 60 °C", "over 140 °F"),
        (Bounds(-12.4, 23.0, "temperature"), "-12 to 23 °C", "10 to 73 °F"),
        (Bounds(None, 13.9, "force"), "under 14 N", "under 3.1 lbf"),
        (Bounds(None, 0.0, "length"), "under 0 mm", "under 0 in"),
        (Bounds(5.0, None, "number"), "over 5", "over 5"),
        (Bounds(123456.0, None, "length"), "over 120000 mm", "over 4900 in"),
        (Bounds(250.0, None, "per_year"), "over 250 per year", "over 250 per year"),
    ],
)
def test_bounds_in_words(amount: Bounds, metric: str, imperial: str) -> None:
    assert amount.words() == amount.words(METRIC) == metric
    assert amount.words(IMPERIAL) == imperial


def quantity_flip() -> Flip:
    amount = Bounds(1.9, None, "length")
    return Flip(
        "skin.thickness", "Skin thickness", "1 mm", amount.words(), "hand_stitch", "",
        Span(2.1, 2.1), "mm", "Hand stitch", Span(1.0, 1.0, "1 mm"), amount,
    )  # fmt: skip


def test_a_flip_is_told_in_both_systems() -> None:
    flip = quantity_flip()
    assert flip.text_in(METRIC) == (
        "If “skin thickness” were “over 1.9 mm” instead of “1 mm”: hand stitch would be best."
    )
    assert flip.text_in(IMPERIAL) == (
        "If “skin thickness” were “over 0.075 in” instead of “0.0394 in”: hand stitch "
        "would be best."
    )
    assert flip.to_in(IMPERIAL) == "over 0.075 in"


def test_a_flip_of_a_choice_is_the_same_in_both() -> None:
    flip = Flip("skin.feel", "Feel", "Supple", "Brittle", "x", "If it were brittle.", ("brittle",))
    assert flip.text_in(IMPERIAL) == flip.text_in(METRIC) == "If it were brittle."
    assert flip.to_in(IMPERIAL) == "Brittle"


def test_a_question_is_told_in_both_systems() -> None:
    amount = Bounds(None, 12.7, "length")
    why = filled("If {}: weld as well", computed(amount))
    asked = Question("a", "", "", "", 1.0, 1.0, False, why, True)
    assert asked.why_in(METRIC) == "If under 13 mm: weld as well"
    assert asked.why_in(IMPERIAL) == "If under 0.5 in: weld as well"
    plain = Question("a", "", "", "", 1.0, 1.0, False, "Settles it", True)
    assert plain.why_in(IMPERIAL) == "Settles it"


def test_groups_of_a_number_are_told_by_their_edges(pack: RulePack) -> None:
    worlds = work_out(demo("unknown_split", pack), pack, 512).situation.worlds
    groups, told = groups_of(pack.facts["core.thickness"], worlds)
    column = worlds.values["core.thickness"]
    for group, answer in enumerate(told):
        amount, inside = answer.amount, column[groups == group]
        assert amount is not None and answer.words == amount.words()
        assert amount.low is None or amount.low <= inside.min()
        assert amount.high is None or inside.max() <= amount.high
    assert told[0].words.startswith("under ") and told[-1].words.startswith("over ")


def test_a_number_that_is_the_same_everywhere_is_told_as_it_is(pack: RulePack) -> None:
    worlds = work_out(split_seam(core__thickness=22.0), pack, 64).situation.worlds
    groups, told = groups_of(pack.facts["core.thickness"], worlds)
    assert {told[int(group)].words for group in groups} == {"22 mm"}


def test_other_answers_stay_within_what_the_part_allows(pack: RulePack) -> None:
    decl = next(d for d in pack.facts.values() if d.kind is Kind.QUANTITY and d.high > 0)
    value = Span(0.9 * decl.high, 0.9 * decl.high)
    most = 0.95 * decl.high
    found = [changed for changed, _ in alternatives(decl, value, most)]
    assert found and all(isinstance(c, Span) and decl.low <= c.low <= most for c in found)
    assert Span(most, most) in found


def test_the_value_of_a_flip_lies_clearly_beyond_its_edge_and_does_it(pack: RulePack) -> None:
    """By a leader of our own: over 30 mm another method leads."""
    told = case(part__kind="armrest", damage__kind="seam_open", damage__length=20.0)
    worlds = work_out(told, pack, 64).situation.worlds
    lead, other = "hand_stitch", "adhesive_bond"

    def leader(fact: str, value: object) -> str:
        over = fact == "damage.length" and isinstance(value, Span) and value.low > 30.0
        return other if over else lead

    (flip,) = filter(None, given_flips(told, worlds, lead, leader))
    assert (flip.fact, flip.unit, flip.then) == ("damage.length", "mm", other)
    assert flip.amount is not None and flip.amount.low == pytest.approx(30.0, abs=20 / 2**4)
    assert isinstance(flip.value, Span) and flip.value.exact
    assert flip.value.low == pytest.approx(flip.amount.low * (1 + BEYOND), rel=0.01)
    assert re.fullmatch(r"over 3\d mm", flip.to) and flip.was == "20 mm"


@pytest.mark.parametrize("name", ["split_armrest", "torn_deck_cushion", "fallen_headlining"])
def test_the_value_of_every_flip_makes_another_method_lead(name: str, pack: RulePack) -> None:
    told = demo(name, pack)
    advice = advise(told, pack)
    assert advice.flips and advice.plan is not None
    trials = Trials.among(work_out(told, pack, advice.worlds).situation.worlds)
    for flip in advice.flips:
        decl = pack.facts[flip.fact]
        assert flip.value is not None
        other = trials.lead(flip.fact, flip.value)
        assert other is not None and method_word(other) != method_word(advice.plan.lead), flip.text
        assert flip.unit == (decl.unit if decl.kind is Kind.QUANTITY else "")
        assert flip.text == advice_text(flip)


def advice_text(flip: Flip) -> str:
    """The sentence of a flip, written out again."""
    to, then = flip.to[:1].lower() + flip.to[1:], flip.then_title[:1].lower() + flip.then_title[1:]
    to = flip.to if flip.to[:2].isupper() else to
    was = flip.was if flip.was[:2].isupper() else flip.was[:1].lower() + flip.was[1:]
    instead = "" if flip.was == "not known" else f" instead of “{was}”"
    title = flip.title if flip.title[:2].isupper() else flip.title[:1].lower() + flip.title[1:]
    return f"If “{title}” were “{to}”{instead}: {then} would be best."
