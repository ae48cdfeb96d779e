"""What is said to change the choice does so, by many simulated cases of its own."""

from __future__ import annotations

import pytest

from advisor.advice.advise import advise
from advisor.advice.choosing.working import work_out
from advisor.advice.what_if.trials import TIE, Trials
from advisor.facts.case import Case
from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import method_word
from tests.field.table import read_cases

PACK = load_pack()
CASES = read_cases(PACK)
#: Twice the worlds of an advice; a tie there may be a little wider here.
MANY, WIDER = 8192, 1.5
OFTEN_CLOSE = (
    ("damage.failed", ("skin",)), ("skin.feel", ("stiff",)), ("damage.hole_state", ("some_torn",)),
    ("access.back", ("front_only",)), ("core.state", ("tired",)), ("wish.looks", ("low",)),
)  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_each_flip_leads_or_ties(name: str) -> None:
    told = CASES[name]
    for flip in advise(told, PACK).flips:
        assert flip.value is not None
        again = work_out(told.with_fact(flip.fact, flip.value), PACK, MANY)
        worlds, plans = again.situation.worlds, again.plans
        alike = next(p for p in plans if method_word(p.lead) == method_word(flip.then))
        most = (1.0 + WIDER * TIE) * worlds.mean(plans[0].cost)
        assert worlds.mean(alike.cost) <= most, flip.text


def close_ones(told: Case, pack: RulePack) -> Trials:
    """Trials of answers after which two methods are often close."""
    trials = Trials.among(work_out(told, pack, 4096).situation.worlds)
    for fact, answer in OFTEN_CLOSE:
        trials.lead(fact, answer)
    return trials


def test_what_is_close_in_a_few_cases_is_looked_at_again() -> None:
    """An answer after which few simulated cases do not tell what leads is run in all of them:
    some of these are no flips then."""
    dropped = [
        (name, fact)
        for name, told in CASES.items()
        for fact, _ in close_ones(told, PACK).close
        if fact not in {flip.fact for flip in advise(told, PACK).flips}
    ]
    assert dropped
