"""Leather: what its tests and its surroundings say."""

from __future__ import annotations

import math

import pytest

from advisor.mechanics import aging, leather


def test_hot_cabin_dries() -> None:
    """Worked by hand from Magnus (Sonntag 1990): 60 % at 25 degC is 9.5 % at 60 degC."""
    # 0.05 % per percent of humidity: Kite & Thomson 2006, from memory.
    assert leather.humidity_strain(0.0005, 60.0 - 9.5) == pytest.approx(0.025, rel=0.02)


def test_wet_vegetable_leather_shrinks_on_a_hot_dash() -> None:
    """Vegetable tanned 67 to 85 degC, chrome 100 and more, wet (ISO 3380; conservation
    science); a dash reaches 88.9 degC (Vanos et al. 2018, Temperature)."""
    assert leather.heat_margin(76.0, 88.9, 0.0) < 0.0
    assert leather.heat_margin(76.0, 88.9, 30.0) > 0.0
    assert leather.heat_margin(105.0, 88.9, 0.0) > 0.0


@pytest.mark.parametrize(
    ("margin", "share"), [(0.0, 0.5), (30.0, 0.0025), (-30.0, 0.9975)]
)
def test_heat_set_about_the_shrinkage_temperature(margin: float, share: float) -> None:
    """Half at the shrinkage temperature by definition; full shrinking leaves a third of the
    area (conservation science), 0.42 along a line; the width of 5 K is an own estimate.
    """
    full = 1.0 - math.sqrt(1.0 / 3.0)
    assert full == pytest.approx(0.42, abs=0.005)
    assert aging.heat_set(margin, 5.0, full) / full == pytest.approx(share, abs=1e-3)
