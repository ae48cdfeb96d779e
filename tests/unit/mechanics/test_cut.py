"""A cut where there is no skin has figures all the same. Limits of the formulas, no source."""

from __future__ import annotations

import math

import numpy as np
import pytest

from advisor.mechanics.cut import borne_around, cut_energy, cut_opening, hole_opening

LENGTH = np.array([2.0, 60.0, 500.0])


@pytest.mark.parametrize("reach", [0.0, 45.0])
def test_without_a_skin_nothing_is_borne_and_nothing_tears(reach: float) -> None:
    none, far = np.zeros(3), np.full(3, reach)
    with np.errstate(divide="ignore"):
        for opening in (cut_opening, hole_opening):
            given = opening(LENGTH, none, far)
            assert np.all(given == math.inf)
            assert np.all(borne_around(np.full(3, 0.05), given, far) == 0.0)
        assert np.all(cut_energy(LENGTH, none, far) == 0.0)


def test_the_softest_skin_still_counts() -> None:
    """Ten times as stiff opens a tenth, down to the softest lining."""
    far = np.full(3, 45.0)
    soft, stiff = (cut_opening(LENGTH, np.full(3, k), far) for k in (0.1, 1.0))
    assert soft == pytest.approx(10.0 * stiff)
