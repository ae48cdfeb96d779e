"""Worlds: the same again, independent streams, answers that condition, shared trials."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from advisor.advice.advise import advise
from advisor.advice.choosing.working import work_out
from advisor.advice.sampling.likelihood import UNLIKELY
from advisor.advice.sampling.sample_size import enough_worlds
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import EarlierRepair, Span
from advisor.facts.declaration import Kind
from advisor.rulegraph.model.asked import ChoicePrior
from advisor.rulegraph.model.pack import RulePack
from tests.unit.advice.given_cases import case, demo, demos, split_seam

N = 4096


def pull(worlds: SampledWorlds) -> float:
    return worlds.mean(worlds.values["demand.skin_sustained"])


def test_what_was_forgotten_is_calculated_again_as_it_was(pack: RulePack) -> None:
    """Of ordinary worlds, and of those of which only the likely ones were kept."""
    many = SampledWorlds(split_seam(), pack, N)
    pull(many)
    for worlds in (many, many.only(np.arange(0, N, 7))):
        before = {name: worlds.values[name].copy() for name in worlds.pack.nodes}
        worlds.forget_calculated()
        assert set(worlds.values) <= set(pack.fact_rules)
        assert before
        for name, column in before.items():
            assert np.array_equal(worlds.values[name], column, equal_nan=True), name


def test_a_working_that_was_forgotten_tells_the_same_again(pack: RulePack) -> None:
    """Methods and figures in order go with the worlds: kept, they took four times as much."""
    working = work_out(split_seam(), pack, N)
    outcome = working.situation.outcomes[working.plans[0].lead]
    before = outcome.minutes.copy(), outcome.possible.copy(), len(outcome.joints)
    middle = working.situation.worlds.quantiles_of("demand.skin_sustained")
    working.forget_calculated()
    assert vars(outcome).keys() == {"method", "worlds"}
    assert not working.situation.worlds.ordered
    assert np.array_equal(outcome.minutes, before[0])
    assert np.array_equal(outcome.possible, before[1])
    assert len(outcome.joints) == before[2]
    assert np.array_equal(working.situation.worlds.quantiles_of("demand.skin_sustained"), middle)


def test_uniforms_are_stratified(pack: RulePack) -> None:
    """Sorted draws lie where even ones would, to two cells; chance alone would miss by 20."""
    for seed in (0, 1, 2**32 - 1):
        u = SampledWorlds(case(), pack, 500, seed).uniform("skin.shrinkage")
        assert np.all((u >= 0) & (u < 1))
        even = (np.arange(500) + 0.5) / 500
        assert np.max(np.abs(np.sort(u) - even)) < 2 / 500
        assert not np.all(np.diff(u) > 0)


def test_names_and_seeds_have_streams_of_their_own(pack: RulePack) -> None:
    one, two = SampledWorlds(case(), pack, N, 1), SampledWorlds(case(), pack, N, 2)
    a, b = one.uniform("skin.shrinkage"), one.uniform("skin.poisson")
    assert abs(np.corrcoef(a, b)[0, 1]) < 0.06
    assert not np.array_equal(a, two.uniform("skin.shrinkage"))
    assert np.array_equal(a, SampledWorlds(case("HB-2"), pack, N, 1).uniform("skin.shrinkage"))


def test_an_answer_leaves_other_draws_as_they_were(pack: RulePack) -> None:
    before = SampledWorlds(split_seam(), pack, 256)
    after = SampledWorlds(split_seam(vehicle__age=9), pack, 256)
    assert np.array_equal(before.values["people.friction"], after.values["people.friction"])
    assert np.all(after.values["vehicle.age"] == 9)


def test_too_few_worlds_are_refused(pack: RulePack) -> None:
    with pytest.raises(ValueError, match="at least 2 simulated cases"):
        SampledWorlds(case(), pack, 1)
    assert advise(split_seam(), pack, 2).methods


def test_several_answers_share_by_their_prior(pack: RulePack) -> None:
    told = split_seam(skin__material=("leather", "vinyl_backed"))
    worlds = SampledWorlds(told, pack, N)
    decl = pack.facts["skin.material"]
    column = worlds.values["skin.material"]
    shares = {key: worlds.mean(column == i) for i, key in enumerate(decl.keys)}
    assert shares["leather"] + shares["vinyl_backed"] == pytest.approx(1.0)
    rule = pack.fact_rules["skin.material"]
    prior = rule.by_part.get("armrest", rule.prior)
    assert isinstance(prior, ChoicePrior)
    weights = next((row for condition, row in prior.branches if condition.known(told)), prior.rest)
    leather, backed = (weights[decl.keys.index(key)] for key in ("leather", "vinyl_backed"))
    expected = leather / (leather + backed)
    assert shares["leather"] == pytest.approx(expected, abs=0.01)


def test_the_prior_of_a_part_is_used_for_it_alone(pack: RulePack) -> None:
    """A part that is one of two is drawn under the prior of each."""
    thickness = {}
    for kinds in (("armrest",), ("bench_cushion",), ("armrest", "bench_cushion")):
        worlds = SampledWorlds(case(part__kind=kinds, core__material="foam_soft"), pack, N)
        here = worlds.values["part.kind"] == pack.facts["part.kind"].keys.index("armrest")
        thickness[kinds] = worlds.values["core.thickness"]
        if len(kinds) == 2:
            assert np.array_equal(thickness[kinds][here], thickness["armrest",][here])
            assert np.array_equal(thickness[kinds][~here], thickness["bench_cushion",][~here])


def test_earlier_repairs_answer_whether_it_was_glued(pack: RulePack) -> None:
    open_ = split_seam()
    none = replace(open_, earlier_repairs=())
    glued = replace(open_, earlier_repairs=(EarlierRepair("adhesive_bond"),))
    fact = "earlier.adhesive_bond"
    sampled = [SampledWorlds(case, pack, N) for case in (none, open_, glued)]
    shares = [worlds.values[fact].mean() for worlds in sampled]
    assert shares[0] == 0.0 and 0.0 < shares[1] < 1.0 and shares[2] == 1.0


@pytest.mark.parametrize("fact", ["damage.gap", "damage.closing_pull"])
def test_a_measured_opening_moves_the_pull_its_way(fact: str, pack: RulePack) -> None:
    told = split_seam(
        skin__feel="stiff", vehicle__age=20, damage__edges_meet=False,
        core__material="foam_semi_rigid",
    )  # fmt: skip
    free = SampledWorlds(told, pack, N)
    middle = float(free.quantiles(free.values[pack.measurements[fact].predicted_by])[1])
    found = []
    for factor in (0.25, 1.0, 4.0):
        reading = Span(middle * factor, middle * factor)
        found.append(pull(SampledWorlds(told.with_fact(fact, reading), pack, N)))
    assert found[0] < found[1] < found[2]
    assert found[0] < pull(free) < found[2]


def test_a_wide_reading_tells_less_than_a_narrow_one(pack: RulePack) -> None:
    told = split_seam(skin__feel="stiff")
    narrow = SampledWorlds(told.with_fact("damage.closing_pull", Span(10, 10)), pack, N)
    wide = SampledWorlds(told.with_fact("damage.closing_pull", Span(2, 50)), pack, N)
    assert narrow.effective < wide.effective < N


def test_effective_sample_size(pack: RulePack) -> None:
    """Kish: n equal weights count as n, one weight as 1."""
    worlds = SampledWorlds(case(part__kind="armrest"), pack, N)
    assert worlds.effective == pytest.approx(N)
    worlds.weights = np.r_[1.0, np.zeros(N - 1)]
    assert worlds.effective == 1.0
    worlds.weights = np.r_[np.full(100, 0.01), np.zeros(N - 100)]
    assert worlds.effective == pytest.approx(100)


def test_thin_evidence_draws_more_worlds(pack: RulePack) -> None:
    told = split_seam(skin__feel="supple", damage__closing_pull=45)
    few = SampledWorlds(told, pack, 512)
    assert few.effective < 0.25 * 512 and not few.misfits
    more = enough_worlds(told, pack, 512)
    assert more.n > 512 and more.effective > few.effective
    assert advise(told, pack, 512, flips=False).worlds == more.n


def test_a_reading_that_nothing_explains_is_a_finding(pack: RulePack) -> None:
    told = split_seam(skin__feel="supple", core__material="foam_thin", skin__cleaned="rarely",
                      damage__gap=79)  # fmt: skip
    worlds = SampledWorlds(told, pack, N)
    assert [misfit.fact for misfit in worlds.misfits] == ["damage.gap"]
    assert worlds.effective > 100, "a misfit must not leave a handful of worlds"
    advice = advise(told, pack, 512, flips=False)
    assert advice.findings == (pack.measurements["damage.gap"].finding,)
    assert advice.verdict == "ask"


def test_an_answer_tells_about_what_drives_it(pack: RulePack) -> None:
    """Edges that do not meet speak for a shrunken skin (Bayes, worked out by hand)."""
    told = split_seam(skin__material="vinyl_moulded", skin__feel="brittle")
    free = SampledWorlds(told, pack, N)
    apart = SampledWorlds(told.with_fact("damage.edges_meet", False), pack, N)
    prior = pack.fact_rules["damage.edges_meet"].prior
    assert isinstance(prior, ChoicePrior)
    chance = np.full(N, prior.rest[0])
    taken = np.zeros(N, dtype=bool)
    for condition, weights in prior.branches:
        here = condition.test(free.values) & ~taken
        chance[here], taken = weights[0], taken | here
    by_hand = free.weights * np.maximum(chance, UNLIKELY)
    assert apart.weights == pytest.approx(by_hand / by_hand.sum())
    shrinkage = "skin.shrinkage"
    assert apart.mean(apart.values[shrinkage]) > free.mean(free.values[shrinkage])


@pytest.mark.parametrize("name", ["split_armrest", "unknown_split", "cracked_panel"])
def test_a_trial_shares_nothing_that_its_answer_touches(name: str, pack: RulePack) -> None:
    """Worlds with one answer changed are those of a fresh draw, bit for bit."""
    told = demo(name, pack)
    base = SampledWorlds(told, pack, 128)
    for node in (*pack.nodes, *(f for f, d in pack.facts.items() if d.kind is not Kind.TEXT)):
        base.values[node]
    for fact, decl in pack.facts.items():
        value: object = ">PP-GF30<" if decl.kind is Kind.TEXT else True
        if decl.kind is Kind.CHOICE:
            value = (decl.keys[-1],)
        elif decl.kind is Kind.QUANTITY:
            value = Span(0.5 * (decl.low + decl.high), 0.5 * (decl.low + decl.high))
        fresh = SampledWorlds(told.with_fact(fact, value), pack, 128)  # type: ignore[arg-type]
        shared = base.changed(fact, value)  # type: ignore[arg-type]
        assert np.array_equal(shared.weights, fresh.weights), fact
        for node in pack.nodes:
            same = np.array_equal(shared.values[node], fresh.values[node], equal_nan=True)
            assert same, (fact, node)


def test_same_case_same_advice_bit_for_bit(pack: RulePack) -> None:
    for told in demos(pack).values():
        assert advise(told, pack, 512) == advise(told, pack, 512)
