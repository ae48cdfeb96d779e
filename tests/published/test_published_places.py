"""Several places of one damage: dependence of one person's acts, and cracks that go on coming."""

from __future__ import annotations

import numpy as np
import pytest

from advisor.advice.choosing.methods import MethodOutcome
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Case, Span
from advisor.mechanics import places
from advisor.rulegraph.load import load_pack

PACK = load_pack()


@pytest.mark.parametrize(("together", "n", "tries"), [(0.0, 8, 8), (1.0, 8, 1), (0.5, 3, 2)])
def test_tries_of_one_person(together: float, n: float, tries: float) -> None:
    """Swain and Guttmann 1983 (from memory): with zero dependence every act is a try of its own,
    with complete dependence there is one; high dependence repeats half of what goes wrong."""
    assert places.separate_trials(n, together) == pytest.approx(tries)


def test_common_cause_against_a_simulation() -> None:
    """Fleming 1975 (from memory): a share beta of the failures strikes all places at once.

    200,000 simulated jobs of five places, each bad with 0.06: the chance that all are good is
    p^(1 + 4 (1 - beta)) to the first order, here within 0.005.
    """
    rng, bad, beta, n = np.random.default_rng(7), 0.06, 0.4, 5
    at_once = rng.random(200_000) < beta * bad
    singly = (rng.random((200_000, n)) < (1.0 - beta) * bad).any(axis=1)
    found = 1.0 - float((at_once | singly).mean())
    assert (1.0 - bad) ** places.separate_trials(n, beta) == pytest.approx(found, abs=0.005)


@pytest.mark.parametrize(
    ("n", "age", "exponent", "share", "chance"),
    [
        (1, 10, 2, 0, 1.0),
        (1, 20, 2, 1, 0.4444),
        (1, 20, 2, 0.6, 0.6667),
        (3, 20, 2, 0.6, 0.2963),
        (2, 10, 1, 1, 0.25),
    ],
)
def test_cracks_to_come_by_hand(
    n: float, age: float, exponent: float, share: float, chance: float
) -> None:
    """Crow 1974 (from memory), worked by hand: after a crack in 20 years, coming as the square of
    the age, ten more pass without one in (2/3)^2 = 0.444 of skins; of a crack that came of age
    with 0.6 in 1 - 0.6 + 0.6 x 0.444 = 0.667."""
    found = places.spared_of_new_cracks(n, age, 10.0, exponent, share)
    assert found == pytest.approx(chance, abs=1e-4)


def test_cracks_to_come_against_a_simulation() -> None:
    """Cracks as a power of the age (k 1.6) in 2,000,000 simulated skins that differ widely (gamma,
    shape 0.05): of those with n cracks now, the share that gets no other in ten years."""
    rng, age, years, k = np.random.default_rng(8), 12.0, 10.0, 1.6
    rate = rng.gamma(0.05, 100.0, 2_000_000)
    so_far, later = rng.poisson(rate), rng.poisson(rate * (((age + years) / age) ** k - 1.0))
    for n in (1, 2, 3):
        spared = float((later[so_far == n] == 0).mean())
        formula = places.spared_of_new_cracks(float(n), age, years, k, 1.0)
        assert formula == pytest.approx(spared, abs=0.03)


def patch(kind: str, count: float, feel: str = "supple") -> float:
    """How often a patch on so many places holds, on a leather seat 15 years old."""
    facts = {"part.kind": ("seat_cushion",), "vehicle.kind": ("car",),
             "skin.material": ("leather",), "skin.feel": (feel,), "damage.kind": (kind,),
             "damage.count": Span(count, count), "damage.length": Span(20.0, 20.0),
             "vehicle.age": Span(15.0, 15.0)}  # fmt: skip
    worlds = SampledWorlds(Case("PL-1", facts=facts), PACK, 4096, seed=5)
    return worlds.mean(MethodOutcome(PACK.methods["backing_patch"], worlds).holds("close"))


def test_more_places_hold_less() -> None:
    """Common practice, no source: of many patches one comes off sooner; cracks in a skin that has
    gone stiff come back beside the patch, cuts do not."""
    cuts = [patch("tear", n) for n in (1, 2, 4, 8)]
    assert cuts == sorted(cuts, reverse=True)
    assert cuts[0] - cuts[2] < 0.25
    assert patch("skin_crack", 5, "stiff") < 0.4 * patch("tear", 5, "stiff")
    assert patch("skin_crack", 1, "stiff") < 0.75 * patch("tear", 1, "stiff")
    assert patch("skin_crack", 1) > 0.8 * patch("tear", 1)


def test_what_is_fitted_as_bought_is_one_job() -> None:
    """Common practice, no source: forty clips or twelve studs are no forty chances of bad work."""
    facts = {"part.kind": ("door_panel",), "vehicle.kind": ("car",),
             "damage.kind": ("broken_fixing",), "fixing.kind": ("loose_clip",),
             "damage.count": Span(12.0, 12.0)}  # fmt: skip
    worlds = SampledWorlds(Case("PL-2", facts=facts), PACK, 512, seed=5)
    clips = MethodOutcome(PACK.methods["clip_renew"], worlds)
    assert clips.workmanship == PACK.methods["clip_renew"].reliability.mean
    assert clips.single_failures is None
