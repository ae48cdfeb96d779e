"""More worlds where few count; of many the likely ones; watched, and stopped."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from advisor.advice.advise import DEFAULT_WORLDS, advise
from advisor.advice.choosing.working import work_out
from advisor.advice.sampling import sample_size as enough
from advisor.advice.sampling.sample_size import (
    ENOUGH,
    LOST,
    MOST_WORLDS,
    enough_worlds,
    is_thin,
    likely_ones,
)
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Case, Span
from advisor.rulegraph.model.pack import RulePack
from tests.unit.advice.given_cases import demo, split_seam


@pytest.fixture(scope="module")
def surprising(pack: RulePack) -> Case:
    """A pull that few worlds of the split armrest predict."""
    return demo("split_armrest", pack).with_fact("damage.closing_pull", Span(45.0, 45.0))


@pytest.fixture(scope="module")
def many(surprising: Case, pack: RulePack) -> SampledWorlds:
    """As many worlds as are ever drawn of it."""
    return SampledWorlds(surprising, pack, MOST_WORLDS)


def test_the_likely_ones_weigh_all_but_a_thousandth(many: SampledWorlds) -> None:
    likely = likely_ones(many)
    assert likely.kept is not None and likely.n == likely.kept.size < many.n / 4
    assert likely.drawn == many.n == MOST_WORLDS
    assert (1.0 - LOST) <= many.weights[likely.kept].sum() < 1.0
    lost = np.setdiff1d(np.arange(many.n), likely.kept)
    assert many.weights[lost].max() <= many.weights[likely.kept].min()
    assert likely.weights.sum() == pytest.approx(1.0)
    assert likely.effective == pytest.approx(many.effective, rel=0.01)


def test_what_was_drawn_stays_and_the_rest_is_drawn_for_the_likely_ones(
    many: SampledWorlds,
) -> None:
    likely = likely_ones(many)
    assert likely.kept is not None
    for name, column in many.values.items():
        assert np.array_equal(likely.values[name], column[likely.kept]), name
    early = next(iter(likely.before))
    assert np.array_equal(likely.uniform(early), many.uniform(early)[likely.kept])
    late = "a name that nobody drew"
    assert likely.uniform(late).shape == (likely.n,)
    assert np.array_equal(likely.uniform(late), likely_ones(many).uniform(late))


def test_worlds_of_which_many_count_stay_as_they_are(pack: RulePack) -> None:
    worlds = SampledWorlds(split_seam(), pack, enough.MANY)
    assert likely_ones(worlds) is worlds
    few = SampledWorlds(split_seam(damage__closing_pull=20.0), pack, 512)
    assert likely_ones(few) is few


def test_the_likely_ones_give_the_same_advice_as_all(
    surprising: Case, pack: RulePack, monkeypatch: pytest.MonkeyPatch
) -> None:
    """But for a thousandth of the weight and the noise of what is drawn afterwards.

    Some 800 worlds count: four standard errors of the difference of two shares are 0.1.
    """
    found = advise(surprising, pack, flips=False)
    monkeypatch.setattr(enough, "FEW", 0.0)
    every = advise(surprising, pack, flips=False)
    assert found.worlds == every.worlds == MOST_WORLDS
    assert found.verdict is every.verdict
    assert found.plan is not None and every.plan is not None
    assert found.plan.methods == every.plan.methods
    others = {method.method: method for method in every.methods}
    assert [method.method for method in found.methods] == list(others)
    for method in found.methods:
        other = others[method.method]
        # What holds just so often as to be said to hold may be said to or not.
        if abs(other.hold_probability - pack.prices.holds_at) > 0.05:
            assert method.status is other.status
        assert method.hold_probability == pytest.approx(other.hold_probability, abs=0.1)
    for load, whole in zip(found.loads, every.loads, strict=True):
        assert load.value.typical == pytest.approx(whole.value.typical, rel=0.1, abs=1e-6)


def test_the_same_worlds_whether_few_or_many_are_asked_for(
    surprising: Case, pack: RulePack
) -> None:
    grown = enough_worlds(surprising, pack, DEFAULT_WORLDS)
    asked = enough_worlds(surprising, pack, MOST_WORLDS)
    assert grown.drawn == asked.drawn == MOST_WORLDS
    assert np.array_equal(grown.weights, asked.weights)
    name = pack.methods["hand_stitch"].joints[0].modes[0].capacity.name
    assert name is None or np.array_equal(grown.values[name], asked.values[name])


def test_kept_worlds_belong_to_one_case(many: SampledWorlds) -> None:
    with pytest.raises(ValueError, match="belong to one case"):
        likely_ones(many).changed("skin.feel", ("brittle",))


def test_rough_advice_draws_no_more_and_says_so(surprising: Case, pack: RulePack) -> None:
    rough = advise(surprising, pack, flips=False, rough=True)
    assert rough.rough and rough.worlds == DEFAULT_WORLDS
    assert rough.effective_worlds < ENOUGH
    whole = advise(surprising, pack, flips=False)
    assert not whole.rough and whole.worlds == MOST_WORLDS
    plain = split_seam()
    assert advise(plain, pack, flips=False, rough=True) == advise(plain, pack, flips=False)


def test_a_reading_that_nothing_explains_is_not_rough(pack: RulePack) -> None:
    told = split_seam(skin__feel="supple", core__material="foam_thin", skin__cleaned="rarely",
                      damage__gap=79.0)  # fmt: skip
    worlds = SampledWorlds(told, pack, DEFAULT_WORLDS)
    assert worlds.misfits and not is_thin(worlds, DEFAULT_WORLDS)
    assert not advise(told, pack, flips=False, rough=True).rough


class Enough(Exception):  # noqa: N818 - not an error of the program
    """Raised by a watch."""


def test_a_watch_is_told_each_stage(surprising: Case, pack: RulePack) -> None:
    told: list[str] = []
    watched = advise(surprising, pack, flips=False, watch=told.append)
    stages = list(dict.fromkeys(told))
    assert stages == [
        "drawing 4,096 simulated cases", "drawing 16,384 simulated cases",
        "drawing 65,536 simulated cases", "calculating the methods", "ranking the questions",
    ]  # fmt: skip
    assert watched == advise(surprising, pack, flips=False)


@pytest.mark.parametrize("stage", ["drawing 65,536 simulated cases", "calculating the methods",
                                   "ranking the questions"])  # fmt: skip
def test_a_watch_may_stop_the_work_at_any_stage(
    stage: str, surprising: Case, pack: RulePack
) -> None:
    def watch(doing: str) -> None:
        if doing == stage:
            raise Enough

    with pytest.raises(Enough):
        advise(surprising, pack, flips=False, watch=watch)


def test_no_watch_costs_nothing_and_changes_nothing(pack: RulePack) -> None:
    plain = work_out(split_seam(), pack, 64)
    watched = work_out(split_seam(), pack, 64, lambda doing: None)
    for one, other in zip(plain.plans, watched.plans, strict=True):
        assert one.methods == other.methods and np.array_equal(one.cost, other.cost)
    assert replace(advise(split_seam(), pack, 64), title="") == advise(split_seam(), pack, 64)
