"""A larger gap, closing pull or dent, nothing else measured, never speaks for a joint.

The padding is told or open, and so is the feel of the skin. Both readings
weigh the same simulated cases, so the sampling error of the difference is known (delta method),
and three of it are allowed.

A glued patch is compared by the closing pull among skins that are equally stiff: a harder pull also
speaks for a stiffer (mostly a thicker) skin, and a lap on one parts at a higher pull, with the root
of its stiffness (Kendall 1975). That a stiff skin's patch holds better under the same drag is
mechanics and no fault of the reading.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from advisor.advice.choosing.methods import MethodOutcome
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Case, Span
from tests.property.given_cases import PACK

pytestmark = pytest.mark.slow

N = 4096
WIDE = 3.0
READINGS = {
    "damage.gap": ((0.5, 2.0), (1.0, 4.0), (2.0, 8.0)),
    "damage.closing_pull": ((2.0, 8.0), (5.0, 15.0)),
    "core.dent": ((3.0, 12.0), (5.0, 25.0)),
}
SKINS = ("vinyl_moulded", "vinyl_backed", "leather", "cloth_woven")
PADDING = {"dash_pad": "foam_semi_rigid", "door_panel": "foam_thin"}
JOINTS = (
    "hand_stitch", "machine_restitch", "adhesive_bond", "backing_patch", "flexible_filler",
)  # fmt: skip


def told(part: str, skin: str, feel: str, kind: str) -> Case:
    """What skin and padding are, and nothing measured."""
    padding = PADDING.get(part, "foam_soft")
    facts = {
        "part.kind": (part,), "vehicle.kind": ("car",), "skin.material": (skin,),
        "skin.feel": (feel,), "damage.kind": (kind,), "core.material": (padding,),
        "core.state": ("springs_back",),
    }  # fmt: skip
    if skin == "vinyl_backed":
        facts["skin.backing"] = ("knit",)
    if padding == "foam_soft":
        facts["core.make"] = ("moulded",)
    return Case("HB-1", facts=facts)


def equally_stiff(light: SampledWorlds, heavy: SampledWorlds) -> np.ndarray:
    """Weights of ``heavy`` so that its skins are as stiff as those of ``light``, by twentieths."""
    stiffness = light.values["skin.stiffness"]
    edges = light.quantiles(stiffness, tuple(k / 20 for k in range(1, 20)))
    classes = np.searchsorted(edges, stiffness)
    had, has = (np.bincount(classes, one.weights, 20) for one in (light, heavy))
    weights = heavy.weights * (had / np.maximum(has, 1e-12))[classes]
    return weights / weights.sum()


def compared_by(case: Case, fact: str, small: float, large: float) -> int:
    """How many methods were compared by two readings; each must not hold likelier by the larger."""
    light = SampledWorlds(case.with_fact(fact, Span(small, small)), PACK, N, seed=1)
    heavy = light.changed(fact, Span(large, large))
    if light.misfits or heavy.misfits or min(light.effective, heavy.effective) < 60.0:
        return 0
    compared = 0
    for key in JOINTS:
        outcome = MethodOutcome(PACK.methods[key], light)
        if not outcome.possible.any() or not outcome.joints:
            continue
        compared += 1
        held = (outcome.possible & (outcome.holds("close") > 0.0)).astype(float)
        weights = heavy.weights
        if key == "backing_patch" and fact == "damage.closing_pull":
            weights = equally_stiff(light, heavy)
        few, many = light.mean(held), float(np.sum(weights * held))
        differ = weights * (held - many) - light.weights * (held - few)
        grain = light.effective**-2 + float(np.sum(weights**2)) ** 2
        error = math.sqrt(float(np.sum(differ**2)) + grain)
        assert many <= few + WIDE * error, (case.facts, small, large, key)
    return compared


@pytest.mark.parametrize("fact", READINGS)
@pytest.mark.parametrize("part", ["armrest", "seat_cushion", "seat_bolster", "door_panel"])
def test_a_larger_reading_never_speaks_for_a_joint(part: str, fact: str) -> None:
    compared = 0
    for skin in SKINS:
        for feel, kind in (
            ("supple", "seam_open"), ("stiff", "seam_open"), ("brittle", "seam_open"),
            ("supple", "tear"), ("stiff", "tear"),
        ):  # fmt: skip
            for small, large in READINGS[fact]:
                compared += compared_by(told(part, skin, feel, kind), fact, small, large)
    assert compared or fact == "core.dent"


@pytest.mark.parametrize("fact", ["damage.gap", "damage.closing_pull"])
@pytest.mark.parametrize("part", ["armrest", "seat_cushion", "seat_bolster", "door_panel"])
def test_nor_where_nobody_has_felt_the_skin(part: str, fact: str) -> None:
    """A wide gap does not reassure about a skin that may be brittle."""
    compared = 0
    for skin in SKINS:
        for kind in ("seam_open", "tear"):
            case = told(part, skin, "supple", kind).without("skin.feel")
            for small, large in READINGS[fact]:
                compared += compared_by(case, fact, small, large)
    assert compared


@pytest.mark.parametrize("fact", READINGS)
@pytest.mark.parametrize("part", ["armrest", "seat_cushion", "seat_bolster", "door_panel"])
def test_nor_where_nobody_knows_the_padding(part: str, fact: str) -> None:
    """A deep dent speaks for soft padding, which draws along with a shrinking skin."""
    compared = 0
    for skin in SKINS:
        for kind in ("seam_open", "tear"):
            case = told(part, skin, "supple", kind)
            for padding in ("core.material", "core.make", "core.state"):
                case = case.without(padding)
            for small, large in READINGS[fact]:
                compared += compared_by(case, fact, small, large)
    assert compared or fact == "core.dent"
