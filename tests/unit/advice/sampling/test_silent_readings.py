"""A reading that says nothing of a choice leaves its answers as likely as they were."""

from __future__ import annotations

import numpy as np
import pytest

from advisor.advice.sampling.likelihood import EXPLAINED, silent_on
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Case, Span
from advisor.rulegraph.model.pack import RulePack
from tests.unit.advice.given_cases import split_seam


def test_by_hand() -> None:
    """Two answers of two worlds each; the reading fits those of the second twice as well."""
    answers = np.array([0, 0, 1, 1])
    density = np.log([0.4, 0.2, 0.8, 0.4])
    found = np.exp(silent_on(answers, density, np.zeros(4)))
    weights = found / found.sum()
    assert weights == pytest.approx([1 / 3, 1 / 6, 1 / 3, 1 / 6])


def test_an_answer_that_explains_it_nowhere_stays_unlikely() -> None:
    answers = np.array([0, 0, 1, 1])
    density = np.array([-0.1, -0.2, 3 * EXPLAINED, 3 * EXPLAINED])
    found = np.exp(silent_on(answers, density, np.zeros(4)))
    assert found[2:].sum() / found.sum() < 1e-4


def test_answers_that_cannot_be_stay_so() -> None:
    """Worlds of no weight, and readings that fit hardly any world, raise no fault."""
    answers = np.array([0, 0, 1, 1, 2])
    density = np.array([-0.5, -900.0, -0.1, -2.0, -1.0])
    with np.errstate(all="raise", under="ignore"):
        found = silent_on(answers, density, np.array([0.0, 0.0, -np.inf, -np.inf, -740.0]))
    assert np.all(np.isfinite(found))
    assert found[0] == pytest.approx(np.log(2.0), abs=1e-9)
    assert found[2:4] == pytest.approx(density[2:4])


def test_a_gap_is_silent_on_the_feel(pack: RulePack) -> None:
    """And still tells of the pull."""
    open_feel = split_seam().without("skin.feel")
    plain = SampledWorlds(open_feel, pack, 4096)
    for gap in (0.5, 6.0):
        read = SampledWorlds(open_feel.with_fact("damage.gap", Span(gap, gap)), pack, 4096)
        for code in range(3):
            shares = [w.mean(w.values["skin.feel"] == code) for w in (plain, read)]
            assert shares[0] == pytest.approx(shares[1], abs=1e-9)
        pulls = [w.mean(w.values["demand.skin_sustained"]) for w in (plain, read)]
        assert (pulls[1] > pulls[0]) == (gap > 1.0)


def test_a_pull_on_a_fixing_does_not_tell_which_it_is(pack: RulePack) -> None:
    """Of those whose kind explains it: a latch is loaded harder than a screw post, mostly."""
    told = Case("HB-1", facts={
        "part.kind": ("trim_fixing",), "vehicle.kind": ("car",), "damage.kind": ("broken_fixing",),
        "fixing.kind": ("screw_boss", "latch"),
    })  # fmt: skip
    plain = SampledWorlds(told, pack, 4096)
    kinds = pack.facts["fixing.kind"].keys
    for pull in (20.0, 90.0):
        read = SampledWorlds(told.with_fact("fixing.pull", Span(pull, pull)), pack, 4096)
        for key in ("screw_boss", "latch"):
            shares = [w.mean(w.values["fixing.kind"] == kinds.index(key)) for w in (plain, read)]
            assert shares[0] == pytest.approx(shares[1], abs=1e-9)
    assert read.mean(read.values["fixing.use"]) > plain.mean(plain.values["fixing.use"])
