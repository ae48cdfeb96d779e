"""Tension in a held skin, and what a gap or a pull says about it."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from advisor.mechanics import bond, foam, split, tension


def test_one_percent_held() -> None:
    """Worked by hand from plane elasticity (Timoshenko & Goodier): E 8, t 1, nu 0.45."""
    stiffness = tension.stretched_stiffness(8.0, 1.0)
    assert tension.restrained_tension(stiffness, 0.01, 0.45) == pytest.approx(0.145, rel=0.01)


@pytest.mark.parametrize(("poisson", "factor"), [(0.40, 1.667), (0.45, 1.818), (0.49, 1.961)])
def test_held_both_ways(poisson: float, factor: float) -> None:
    """1/(1 - nu), worked by hand from plane elasticity (Timoshenko & Goodier)."""
    both = tension.restrained_tension(8.0, 0.01, poisson)
    one = 8.0 * 0.01
    assert both / one == pytest.approx(factor, rel=1e-3)


@pytest.mark.parametrize(("plateau", "thickness", "lag"), [(0.050, 12.0, 17.7), (0.006, 50.0, 104)])
def test_how_far_padding_lets_a_skin_slip(plateau: float, thickness: float, lag: float) -> None:
    """Worked by hand: semi-rigid panel foam of 12 mm 18 mm, a seat of 50 mm above 100 mm.

    Plateau stress by Gibson & Ashby 1997, shear lag by Cox 1952; foam nu 0.3, skin of 8 MPa,
    1 mm, nu 0.45.
    """
    shear = foam.foam_shear_modulus(foam.foam_modulus(plateau), 0.3)
    found = split.shear_lag_length(8.0 / (1.0 - 0.45**2), thickness, shear)
    assert found == pytest.approx(lag, rel=0.01)


def test_how_far_a_bonded_skin_feels_a_split() -> None:
    """Worked by hand from shear lag (Cox 1952; Volkersen 1938)."""
    lag = split.shear_lag_length(8.0 / (1.0 - 0.45**2), 25.0, 0.1)
    assert lag == pytest.approx(50.1, rel=0.01)


def test_pressure_under_a_curve() -> None:
    """Worked by hand from Laplace: 0.5 N/mm over a radius of 30 mm is 16.7 kPa."""
    assert tension.cylinder_pressure(0.5, 30.0) == pytest.approx(0.0167, rel=0.01)


@pytest.mark.parametrize(("plateau", "tension_limit"), [(0.006, 0.18), (0.050, 1.5)])
def test_soft_foam_gives_way_first(plateau: float, tension_limit: float) -> None:
    """Worked by hand from Laplace: foam yields once T/R reaches its plateau stress.

    6 kPa is usual for a moulded seat, 50 kPa for a semi-rigid instrument panel (a
    vehicle maker's material specification).
    """
    assert tension.cylinder_pressure(tension_limit, 30.0) == pytest.approx(plateau)


@pytest.mark.parametrize(("cold", "expected"), [(5.0, 0.071), (-10.0, 0.258)])
def test_cold_night(cold: float, expected: float) -> None:
    """Worked by hand from thermal misfit; the slopes 0.03 and 0.09 per K from memory."""
    found = tension.cooling_tension(8.0, 0.45, 80e-6, 45.0, cold, 0.03, 0.09)
    assert found == pytest.approx(expected, rel=0.01)


def end_shear_by_steps(cold: float, pieces: int = 120, steps: int = 40) -> float:
    """Shear at the free end of a glued skin that cools from 45 degC, from a chain of springs.

    Skin of K 8 N/mm at 23 degC in bars of 60 mm in all, glue of 0.5 MPa and 0.2 mm as springs
    to a carrier that stays. In each step of cooling only the new strain is stiff.
    """
    length, misfit, poisson = 60.0, 80e-6, 0.45
    step = length / pieces
    glue = np.full(pieces + 1, 0.5 / 0.2 * step)
    glue[[0, -1]] /= 2.0
    bars = np.zeros((pieces + 1, pieces + 1))
    for i in range(pieces):
        bars[i : i + 2, i : i + 2] += np.array([[1, -1], [-1, 1]]) / step
    places = np.linspace(45.0, cold, steps + 1)
    moved = 0.0
    for warm, cooler in itertools.pairwise(places):
        middle = 0.5 * (warm + cooler) - 23.0
        k = 8.0 * float(np.exp(-(0.09 if middle < 0.0 else 0.03) * middle))
        pull = np.zeros(pieces + 1)
        pull[0] = k * misfit * (warm - cooler) / (1.0 - poisson)
        matrix = k * bars + np.diag(glue)
        matrix[-1, -1] += 1e9
        moved += float(np.linalg.solve(matrix, pull)[0])
    return 0.5 / 0.2 * moved


@pytest.mark.parametrize(("cold", "lap", "seam"), [(5.0, 0.0541, 0.0711), (-15.0, 0.1389, 0.4011)])
def test_cold_at_the_end_of_a_glued_edge(cold: float, lap: float, seam: float) -> None:
    """Worked by hand from shear lag (Volkersen 1938), and own numerical solution: glue feels a
    third of what a seam feels in frost, because a stiff skin hands its pull over slowly."""
    figures = (8.0, 0.45, 80e-6, 45.0, cold, 0.03, 0.09)
    found = tension.cooling_lap_tension(*figures)
    assert found == pytest.approx(lap, rel=0.005)
    assert tension.cooling_tension(*figures) == pytest.approx(seam, rel=0.005)
    decay = bond.lap_decay(0.5, 0.2, 8.0, 1e9)
    assert found * decay == pytest.approx(end_shear_by_steps(cold), rel=0.02)


def test_swelling_foam() -> None:
    """Worked by hand from springs in series: 0.5 %, Ef 0.3, nu 0.3, h 25, R 30, K 8."""
    found = tension.swelling_tension(0.005, 0.3, 0.3, 25.0, 30.0, 8.0)
    assert found == pytest.approx(0.0399, rel=0.01)


def test_foam_alone_holds_less_than_half() -> None:
    """Worked by hand from springs in series: Ef 0.3, h 25, nu 0.3, free on its carrier."""
    assert tension.series_share(14.55, 0.3 * 25.0 / 0.7) == pytest.approx(0.424, rel=0.01)


def test_a_cover_squeezes_the_padding_it_is_drawn_round() -> None:
    """Laplace 1806 by hand: 1 N/mm round R 60 presses with 16.7 kPa, which squeezes 25 mm of foam
    (M 0.13) by 3.2 mm and so lets the cover shorten by 5.3 %. A soft pad on a tight curve
    takes most of a shrinkage, a flat one nothing."""
    foam_modulus = 0.13 / foam.foam_confined_modulus(1.0, 0.3)
    base = tension.squeeze_stiffness(foam_modulus, 0.3, 25.0, 60.0, 0.45)
    assert (1.0 - 0.45) * base == pytest.approx(1.0 / (1.0 / 60.0 / 0.13 * 25.0 / 60.0), rel=1e-6)
    held = 8.0 / 0.55
    assert tension.series_share(held, base) == pytest.approx(1 / (1 + 8 * 25 / (0.13 * 3600)))
    flat = tension.squeeze_stiffness(foam_modulus, 0.3, 25.0, 1e5, 0.45)
    assert tension.series_share(held, flat) > 0.999


def test_foam_stiffness_from_its_plateau() -> None:
    """Gibson & Ashby 1997, Cellular Solids: E = plateau stress / 0.05."""
    assert foam.foam_modulus(0.006) == pytest.approx(0.12)
    assert foam.foam_shear_modulus(0.12, 0.2) == pytest.approx(0.05)
    # M = E (1-nu)/[(1+nu)(1-2nu)], isotropic elasticity, worked by hand.
    assert foam.foam_confined_modulus(0.3, 0.3) == pytest.approx(0.40385, rel=1e-4)
