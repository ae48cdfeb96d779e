"""A more brittle or a thinner skin never helps a stitched line.

What that can mean. A brittle skin is weaker and, if anything, stiffer and more shrunk: it
helps in no way, and the claim is tested for the whole line, world by world. A thin skin is
weaker too, but it also pulls less where it is held from shrinking, for its stiffness goes
with its thickness. So the claim holds

* for the whole line at a pull that is what it is, whatever the skin, and
* for what the skin at and between the holes bears itself, even with the pull that the thin
  skin has itself:
  strength goes with thickness, and so does at most the pull of a strain that is held; the
  pull of a strain that the padding shares goes down less than that, and what leans, sits
  or slides on the skin pulls a thin one as hard as a thick one. What the skin around a short
  split bears in the place of the joint is left out of this: it goes with the opening, whose
  reach shrinks with the skin, so it goes down less than the thickness; it never goes up.

It does not hold for the thread, which a thin skin that pulls less does spare; of the thread
nothing is said. Nor may the worlds be weighed anew by a reading (a hook scale, a hole that
was torn) when the thickness is changed in them: the reading stays what it was.
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.advice.choosing.methods import MethodOutcome
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Case, Span
from advisor.rulegraph.model.nodes import Ref
from tests.property.given_cases import PACK, any_case, cases, examples, one_of_kinds
from tests.property.same_worlds import (
    DUST,
    SEWN,
    altered,
    beyond,
    certain_to_hold_no_better,
    demands,
    is_sewn,
    of_the_skin,
    outcomes,
    pairs,
)

pytestmark = pytest.mark.slow

FEELS = ("supple", "stiff", "brittle")
THICKNESS = PACK.facts["skin.thickness"]
#: Half width of a comparison in standard errors: chance passes it once in 3 million.
WIDE = 5.0

#: Methods that sew in the skin that is felt.
IN_THE_OLD_SKIN = [
    key for key, method in SEWN.items()
    if any("skin.feel" in PACK.feeding(mode.capacity.name or "")
           for joint in method.joints for mode in joint.modes)
]  # fmt: skip
#: The sewn methods as their joints bear alone, without the skin around the damage.
ALONE = {
    key: replace(method, joints=tuple(
        replace(joint, modes=tuple(replace(mode, relief=Ref(None, 0.0)) for mode in joint.modes))
        for joint in method.joints
    ))
    for key, method in SEWN.items()
}  # fmt: skip
thinner = st.floats(0.02, 0.95)


def felt(worlds: SampledWorlds, feel: str) -> SampledWorlds:
    """The same worlds with a skin of this feel in all of them."""
    code = PACK.facts["skin.feel"].keys.index(feel)
    return altered(worlds, {"skin.feel": np.full(worlds.n, code, dtype=np.int8)})


def thinned(worlds: SampledWorlds, share: float) -> SampledWorlds:
    """The same worlds with so much of the thickness of the skin, as thin as one may say.

    All else that can be told of the case stays as it was, the feel of the skin and the
    state of the holes too; and what has become of the skin so far, how much it has lost and
    shrunk (a thin vinyl loses its plasticizer sooner, which is no help either).
    """
    thin = np.maximum(worlds.values[THICKNESS.name] * share, THICKNESS.low)
    so_far = {"skin.shrinkage", *PACK.feeding("skin.shrinkage")}
    alike = [name for name in PACK.fed_by(THICKNESS.name) if name in so_far | set(PACK.facts)]
    return altered(worlds, {**{name: worlds.values[name] for name in alike}, THICKNESS.name: thin})


def at_the_same_pull(worlds: SampledWorlds, pulled_as: SampledWorlds) -> SampledWorlds:
    """The worlds with every demand as it is in others."""
    return altered(worlds, {name: pulled_as.values[name] for name in demands()})


def test_there_is_something_to_test() -> None:
    assert {"hand_stitch", "machine_restitch"} <= set(SEWN)
    kinds = {of_the_skin(mode) for method in SEWN.values() for joint in method.joints
             if is_sewn(joint) for mode in joint.modes}  # fmt: skip
    assert kinds == {True, False}, "some ways to fail are of the skin, some are not"


@examples(60)
@given(told=any_case)
def test_a_skin_that_is_more_brittle_never_helps_a_stitched_line(told: Case) -> None:
    """Supple, stiff, brittle: in no world does a line carry its load better for it.

    The feel itself is changed and all that comes of it: strength, stiffness, shrinkage,
    what the holes look like. Age, sun and every draw stay as they were.
    """
    worlds = SampledWorlds(told.without("skin.feel"), PACK, 64)
    worse = [outcomes(felt(worlds, feel), SEWN) for feel in FEELS]
    for key in SEWN:
        for before, after in pairwise(worse):
            certain_to_hold_no_better(before[key], after[key])


#: Age and sun are told or open, as it comes. The material is told: a brittle skin whose
#: material is open is more likely one that turns brittle, and that may be a strong one. What
#: was measured stays out, for a reading rightly speaks against what it does not fit.
sewable = cases(
    sure=True,
    safe=True,
    leave=(*PACK.measurements, "skin.feel"),
    given={
        "damage.kind": one_of_kinds("seam_open", "thread_run", "tear_at_seam"),
        "skin.material": one_of_kinds("vinyl_moulded", "vinyl_backed", "leather", "cloth_woven"),
    },
)


@examples(50)
@given(told=sewable)
def test_a_brittle_skin_as_it_is_told_never_speaks_for_a_stitch(told: Case) -> None:
    """The answer is evidence too (of age, of plasticizer lost) and weighs the worlds anew.

    Only lines sewn in the old skin: a new cover has another.
    Held are the worlds in which sewing is possible and holds. The same draws stand behind
    both, with weights ``w`` and ``v`` and worlds ``x`` and ``y`` that hold, so the sampling
    variance of the difference of the shares ``p`` and ``q`` is
    ``sum (v (y - q) - w (x - p))^2`` (delta method), and either share is known to no better
    than one world's weight.
    """
    before = SampledWorlds(told.with_fact("skin.feel", FEELS[:1]), PACK, 1024)
    for feel in FEELS[1:]:
        after = before.changed("skin.feel", (feel,))
        one, two = (outcomes(worlds, IN_THE_OLD_SKIN) for worlds in (before, after))
        for key in IN_THE_OLD_SKIN:
            x = one[key].possible & (one[key].holds("close") > 0.0)
            y = two[key].possible & (two[key].holds("close") > 0.0)
            p, q = before.mean(x), after.mean(y)
            differ = after.weights * (y - q) - before.weights * (x - p)
            one_world = before.effective**-2 + after.effective**-2
            room = WIDE * math.sqrt(float(np.sum(differ**2)) + one_world)
            assert q <= p + room, (key, feel)
        before = after


@examples(60)
@given(told=any_case, share=thinner)
def test_a_thinner_skin_never_helps_a_line_that_is_pulled_the_same(
    told: Case, share: float
) -> None:
    worlds = SampledWorlds(told, PACK, 64)
    thick = outcomes(worlds, SEWN)
    thin = outcomes(at_the_same_pull(thinned(worlds, share), worlds), SEWN)
    for key in SEWN:
        certain_to_hold_no_better(thick[key], thin[key])


@examples(30, shrink=False)
@given(told=any_case, share=st.floats(0.1, 0.8))
def test_a_thinner_skin_carries_less(told: Case, share: float) -> None:
    """At and between the holes of the old skin, where there is a skin and any strength."""
    worlds = SampledWorlds(told, PACK, 64)
    thin = thinned(worlds, share)
    thins = thin.values["skin.thickness"] < 0.99 * worlds.values["skin.thickness"]
    for name in ("skin.line_strength", "skin.hole_strength"):
        some = thins & (worlds.values[name] > 1e-9)
        assert np.all(thin.values[name][some] < worlds.values[name][some])


@examples(90, shrink=False)
@given(told=any_case, share=thinner)
def test_a_thinner_skin_with_its_own_pull_never_spares_the_skin(told: Case, share: float) -> None:
    worlds = SampledWorlds(told, PACK, 64)
    thick, thin = (
        {key: MethodOutcome(method, w) for key, method in ALONE.items()}
        for w in (worlds, thinned(worlds, share))
    )
    for key in SEWN:
        for one, two in pairs(thick[key], thin[key]):
            for a, b in zip(one.modes, two.modes, strict=True):
                if of_the_skin(a.mode):
                    rises = beyond(b.total) >= beyond(a.total) * (1 - DUST)
                    assert rises.all(), (key, a.mode.key)


@examples(60, shrink=False)
@given(told=any_case, share=thinner)
def test_the_skin_around_never_bears_more_where_it_is_thinner(told: Case, share: float) -> None:
    worlds = SampledWorlds(told, PACK, 64)
    thin = thinned(worlds, share)
    before, after = (1.0 / w.values["cut.opening"] for w in (worlds, thin))
    assert np.all(after <= before * (1 + DUST))


def split_vinyl(thickness: float) -> Case:
    """An open armrest seam in stiff moulded vinyl of this thickness, holes intact."""
    told = {
        "part.kind": "armrest", "vehicle.kind": "bus", "damage.kind": "seam_open",
        "skin.material": "vinyl_moulded", "skin.feel": "stiff", "damage.hole_state": "intact",
    }  # fmt: skip
    case = Case("HB-1", facts={name: (key,) for name, key in told.items()})
    return case.with_fact("skin.thickness", Span(thickness, thickness))


def test_a_seam_in_thin_vinyl_does_not_hold_better_than_one_in_thick() -> None:
    """The smallest case of it: 0.6 mm against 1.3 mm, all else alike."""
    held = []
    for thickness in (1.3, 0.6):
        worlds = SampledWorlds(split_vinyl(thickness), PACK, 4096)
        outcome = outcomes(worlds, SEWN)["hand_stitch"]
        held.append(worlds.mean(outcome.possible & (outcome.holds("close") > 0.0)))
    assert held[1] <= held[0]
