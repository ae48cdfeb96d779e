"""A skin over a hollow, and the end of a split."""

from __future__ import annotations

import math

import pytest

from advisor.mechanics import crack, void


@pytest.mark.parametrize(
    ("half", "radius", "factor"),
    [(30, 0.05, 50.0), (30, 2, 8.75), (30, 3, 7.32), (10, 0.05, 29.28), (10, 1.5, 6.16)],
)
def test_stop_hole(half: float, radius: float, factor: float) -> None:
    """Worked by hand from Inglis 1913: a 60 mm split, and a 10 mm crack from an edge."""
    assert crack.stress_concentration(half, radius) == pytest.approx(factor, rel=0.005)


def test_a_stop_hole_saves_a_skin_that_still_stretches() -> None:
    """Worked by hand from Inglis 1913: 2 % in the skin are 15 to 17.5 % at a hole of 2 to 3 mm
    radius. New soft vinyl stretches by 100 % and more (PGI 1104); below 30 % of an embrittled
    one (from memory) little is left, and the bare tip asks for all of it."""
    at_hole = [0.02 * float(crack.stress_concentration(30.0, radius)) for radius in (3.0, 2.0)]
    assert at_hole == pytest.approx([0.146, 0.175], abs=0.001)
    assert max(at_hole) < 0.30 < 0.02 * float(crack.stress_concentration(30.0, 0.05)) < 1.01


def test_round_hole() -> None:
    """3 at a lone round hole: Kirsch 1898, the case a = rho of Inglis 1913."""
    assert crack.stress_concentration(2.0, 2.0) == 3.0


def test_even_pressure_on_a_long_hollow_another_way() -> None:
    """The arc of a membrane under even pressure, stretched until it carries the pressure.

    A cylinder of radius T/p (Laplace 1806) over the chord 2 b; the shallow formula of
    Timoshenko & Woinowsky-Krieger (from memory) must meet it within 2 %.
    """
    pressure, half, stiffness = 0.002, 30.0, 8.0
    low, high = pressure * half, 10.0
    for _ in range(200):
        tension = 0.5 * (low + high)
        angle = math.asin(min(1.0, pressure * half / tension))
        stretched = tension / pressure * angle / half - 1.0
        low, high = (tension, high) if stiffness * stretched > tension else (low, tension)
    found = void.strip_pressure_tension(pressure, half, stiffness)
    assert found == pytest.approx(tension, rel=0.02)
