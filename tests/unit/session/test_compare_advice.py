"""What another answer moves: the advice before and after, compared."""

from __future__ import annotations

from dataclasses import replace

from advisor.advice.result import Flip
from advisor.facts.case import Span
from advisor.session.case_session import Session
from advisor.session.compare_advice import moved, pairs, rows
from advisor.session.what_if import flip_value
from advisor.wording.figures import Range
from tests.unit.session.small_pack import SmallPack, small_advise, started

PACK = SmallPack()


def test_a_flip_of_an_older_advice_has_no_answer(session: Session) -> None:
    assert flip_value(Flip("core.state", "", "", "Crumbles", "", ""), session) is None


def test_the_comparison_says_what_moves() -> None:
    before = small_advise(started(), PACK)
    after = small_advise(started(damage_gap=Span(20, 20)), PACK)
    lines = {row.title: row for row in rows(before, after, PACK)}
    assert lines["Price"].before == "EUR 53 (40 to 72)"
    assert not lines["Price"].moved
    assert [pair.title for pair in pairs(before, after)] == [
        "Hand stitch through the existing holes", "Glue the lips together",
    ]
    said = "\n".join(moved(before, after))
    assert "Hand stitch through the existing holes: loaded to 16 % now, 1.2 times" in said or (
        "loaded to 16 % now" in said
    )
    assert moved(before, before) == ("Nothing changes: the same plan, price and strength.",)


def test_the_comparison_names_the_new_lead_price_and_helpers() -> None:
    before = small_advise(started(), PACK)
    assert before.plan is not None
    plan = replace(
        before.plan, methods=("adhesive_bond", "plastic_weld"), lead="adhesive_bond",
        titles=("Glue the lips together", "Weld the plastic"),
        lead_title="Glue the lips together", price=Range(90, 100, 120), hold_probability=0.5,
    )
    said = moved(before, replace(before, plan=plan))
    assert said == (
        "Glue the lips together is best instead of: hand stitch through the existing holes.",
        "Also needed: weld the plastic.",
        "No longer needed: touch up the colour.",
        "It costs about EUR 47 more.",
        "It holds less often: in 50 of 100 simulated cases instead of 96 of 100.",
    )
