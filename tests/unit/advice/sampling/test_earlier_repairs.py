"""An earlier repair under the same loads: what held speaks for a joint, what gave way against."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from advisor.advice.choosing.methods import MethodOutcome
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Case, EarlierRepair
from advisor.rulegraph.model.pack import RulePack

N = 4096
#: Glue mostly holds here, so that its fate tells something.
EDGE = Case("HB-1", facts={
    "part.kind": ("dash_pad",), "vehicle.kind": ("car",), "damage.kind": ("lifted_edge",),
    "skin.material": ("vinyl_moulded",), "skin.feel": ("supple",), "earlier.adhesive_bond": True,
})  # fmt: skip


def glued(result: str, lasted: str, times: int = 1) -> Case:
    repair = EarlierRepair("adhesive_bond", "glued", result, lasted)
    return replace(EDGE, earlier_repairs=(repair,) * times)


def chance(told: Case, pack: RulePack) -> float:
    """How often gluing holds where it is possible, over all worlds."""
    worlds = SampledWorlds(told, pack, N, seed=1)
    outcome = MethodOutcome(pack.methods["adhesive_bond"], worlds)
    return worlds.mean(outcome.holds("edge_hold") * outcome.possible)


def test_what_held_for_years_speaks_for_every_joint_there(pack: RulePack) -> None:
    plain = chance(EDGE, pack)
    assert chance(glued("still holds", "3 years"), pack) > plain + 0.01
    assert chance(glued("let go", "4 weeks"), pack) < plain - 0.01


def test_what_gave_way_within_days_tells_less_than_after_months(pack: RulePack) -> None:
    """Within days it was the work."""
    days, months = (chance(glued("let go", told), pack) for told in ("3 days", "6 months"))
    assert months < days < chance(EDGE, pack)


def test_the_same_hands_count_once(pack: RulePack) -> None:
    assert chance(glued("let go", "4 weeks", 3), pack) == chance(glued("let go", "4 weeks"), pack)


@pytest.mark.parametrize(("result", "lasted"), [("let go", "short"), ("", "3 weeks")])
def test_what_is_not_told_is_no_evidence(result: str, lasted: str, pack: RulePack) -> None:
    told, bare = (SampledWorlds(case, pack, 256, seed=1) for case in (glued(result, lasted), EDGE))
    assert np.array_equal(told.weights, bare.weights)
