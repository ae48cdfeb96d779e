"""Under each method a longer cut or a wider hole never costs less nor holds better.

In the same simulated cases, with only the length changed, that is exactly true in each of them.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest

from advisor.advice.choosing.methods import MethodOutcome
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Case, Span
from advisor.rulegraph.model.pack import RulePack
from tests.property.given_cases import PACK

LENGTHS = (2.0, 5.0, 8.0, 8.8, 20.0, 22.0, 60.0, 66.0, 150.0, 300.0, 500.0)
N = 512


def outcomes(kind: str, part: str, skin: str, length: float, pack: RulePack) -> list[MethodOutcome]:
    facts = {
        "part.kind": (part,), "vehicle.kind": ("car",), "skin.material": (skin,),
        "damage.kind": (kind,), "damage.length": Span(length, length),
        "damage.count": Span(1.0, 1.0),
    }  # fmt: skip
    worlds = SampledWorlds(Case("HB-1", facts=facts), pack, N, seed=1)
    return [MethodOutcome(method, worlds) for method in pack.methods.values()]


@pytest.mark.parametrize("kind", ["tear", "hole", "seam_open"])
@pytest.mark.parametrize("part", ["door_panel", "seat_cushion", "seat_bolster"])
@pytest.mark.parametrize("skin", ["vinyl_backed", "vinyl_moulded", "leather", "cloth_woven"])
def test_a_longer_cut_never_costs_less_nor_holds_better(kind: str, part: str, skin: str) -> None:
    found = [outcomes(kind, part, skin, length, PACK) for length in LENGTHS]
    loaded = 0
    for shorter, longer in pairwise(found):
        for one, other in zip(shorter, longer, strict=True):
            key = one.method.key
            if not (one.possible.any() or other.possible.any()):
                continue  # what is for other damage goes by its own lengths
            assert np.all(other.possible <= one.possible), key
            assert np.all(other.minutes >= one.minutes - 1e-9), key
            assert np.all(other.material >= one.material - 1e-9), key
            for joint, longer_joint in zip(one.joints, other.joints, strict=False):
                more = longer_joint.usage - joint.usage
                assert np.all(~(more < -1e-9 * joint.usage)), key
                loaded += 1
    assert loaded


@pytest.mark.parametrize("part", ["door_panel", "seat_cushion", "seat_bolster"])
@pytest.mark.parametrize("kind", ["tear", "hole"])
def test_no_jump_by_a_tenth_more_length(kind: str, part: str) -> None:
    """A tenth more length changes the chance of patch or filler by less than 0.05, beyond three
    standard errors of a share of so many cases."""
    for skin in ("vinyl_backed", "leather"):
        for length in (4.0, 8.0, 20.0, 60.0, 200.0):
            pair = [
                {o.method.key: float(np.mean(o.holds("close")))
                 for o in outcomes(kind, part, skin, size, PACK)
                 if o.method.key in ("backing_patch", "flexible_filler")}
                for size in (length, 1.1 * length)
            ]  # fmt: skip
            for key, chance in pair[0].items():
                fall = chance - pair[1][key]
                assert 0.0 <= fall < 0.05 + 3.0 * math.sqrt(0.05 / N), (skin, length, key)
