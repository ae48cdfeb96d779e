"""Glued joints."""

from __future__ import annotations

import numpy as np
import pytest

from advisor.mechanics import bond

LBF = 4.4482216  # N, by definition
INCH = 25.4  # mm
SOFT = 20.0 * 1.2  # N/mm, skin of 20 MPa and 1.2 mm


def test_lap() -> None:
    """Worked by hand from Volkersen 1938: two skins, G 0.5 MPa, 0.2 mm of glue."""
    lap = (0.5, 0.2, SOFT, SOFT)
    assert bond.lap_decay(*lap) == pytest.approx(0.4564, rel=0.005)
    assert bond.lap_capacity(1.0, *lap, 20.0) == pytest.approx(4.381, rel=0.005)
    assert bond.lap_capacity(1.0, *lap, 10.0) == pytest.approx(4.291, rel=0.005)
    assert bond.lap_capacity(1.0, *lap, 5.0) == pytest.approx(3.570, rel=0.005)
    # Doubling 20 to 40 mm adds nothing to the load of first failure.
    assert bond.lap_capacity(1.0, *lap, 40.0) == pytest.approx(4.381, rel=0.005)


def test_lap_on_a_rigid_base() -> None:
    """Worked by hand from Volkersen 1938: where one side does not give, all the shear sits at
    the end where the skin is pulled, so tau/lambda tanh(lambda L). K 8, G 0.5, 0.2 mm of glue:
    lambda 0.559/mm, so 1.79 mm times tau, half of what the formula for two skins alike gives."""
    lap = (0.5, 0.2, 8.0, 1e9)
    assert bond.lap_decay(*lap) == pytest.approx(0.5590, rel=1e-3)
    for overlap, load in ((25.0, 1.789), (2.0, 1.443)):
        assert bond.lap_capacity(1.0, *lap, overlap) == pytest.approx(load, rel=1e-3)
        turned = bond.lap_capacity(1.0, 0.5, 0.2, 1e9, 8.0, overlap)
        assert turned == pytest.approx(load, rel=1e-3), "it does not matter which is which"


def peak_by_springs(stiffness: tuple[float, float], overlap: float, pieces: int = 800) -> float:
    """Peak shear of a lap under 1 N/mm, G 0.5 MPa, 0.2 mm of glue, from a chain of springs.

    Each sheet is a row of bars, each piece of glue a spring between them; the first sheet is
    pulled at one end, the second held at the other.
    """
    nodes, step = pieces + 1, overlap / pieces
    glue = np.full(nodes, 0.5 / 0.2 * step)
    glue[[0, -1]] /= 2.0
    matrix = np.zeros((2 * nodes, 2 * nodes))
    for sheet, k in enumerate(stiffness):
        for i in range(pieces):
            a = sheet * nodes + i
            matrix[np.ix_([a, a + 1], [a, a + 1])] += k / step * np.array([[1, -1], [-1, 1]])
    for i, spring in enumerate(glue):
        pair = [i, nodes + i]
        matrix[np.ix_(pair, pair)] += spring * np.array([[1, -1], [-1, 1]])
    matrix[-1, -1] += 1e9
    load = np.zeros(2 * nodes)
    load[0] = 1.0
    moved = np.linalg.solve(matrix, load)
    return float(0.5 / 0.2 * np.abs(moved[:nodes] - moved[nodes:]).max())


@pytest.mark.parametrize("stiffness", [(24.0, 24.0), (7.0, 26.0), (26.0, 7.0), (8.0, 5000.0)])
@pytest.mark.parametrize("overlap", [4.0, 25.0])
def test_lap_of_unlike_skins_another_way(stiffness: tuple[float, float], overlap: float) -> None:
    """Own numerical solution of Volkersen's lap, without his formula."""
    peak = peak_by_springs(stiffness, overlap)
    load = bond.lap_capacity(1.0, 0.5, 0.2, *stiffness, overlap)
    assert load == pytest.approx(1.0 / peak, rel=0.01)


@pytest.mark.parametrize(
    ("angle", "load"), [(0, 8.764), (30, 6.119), (90, 1.550), (180, 0.7936)]
)
def test_peel_by_angle(angle: float, load: float) -> None:
    """Worked by hand from Kendall 1975: 1.6 N/mm, E t 24 N/mm."""
    assert bond.peel_line_load(1.6, angle, SOFT) == pytest.approx(load, rel=0.005)


def test_edge_to_edge() -> None:
    """Worked by hand: 3 to 5 MPa (from memory) in 1.2 mm."""
    assert bond.butt_capacity(3.0, 1.2) == pytest.approx(3.6)
    assert bond.butt_capacity(5.0, 1.2) == pytest.approx(6.0)


def test_glue_does_not_hold_under_constant_tension() -> None:
    """The rule is common practice, no source. Worked by hand: at 70 degC contact cement
    peel 1.6 x 0.15 x 0.25 and a 20 mm lap 0.8 MPa x 0.15 x 0.25 stay below the 0.338 N/mm
    of a slack seat cover (car seat-cover study; heat and time factors from memory)."""
    demand = 16.9 / 50.0
    lap = bond.lap_capacity(0.8, 0.5, 0.2, SOFT, SOFT, 20.0) * 0.15 * 0.25
    assert lap == pytest.approx(0.13, rel=0.02)
    assert 1.6 * 0.15 * 0.25 < lap < demand


def test_a_lap_parts_by_energy() -> None:
    """Worked by hand; on a rigid base it is Kendall 1975 at 0 deg: q = sqrt(2 G K)."""
    for skin, base, expected in ((6.0, 6.0, 6.197), (6.0, 25.0, 4.879), (6.0, 1e9, 4.382)):
        found = bond.lap_energy_capacity(1.6, skin, base)
        assert found == pytest.approx(expected, rel=0.002)
    kendall = bond.peel_line_load(1.6, 0.0, 24.0)
    assert bond.lap_energy_capacity(1.6, 24.0, 1e9) == pytest.approx(kendall, rel=1e-6)
    assert kendall == pytest.approx(8.764, rel=0.001)


def test_years_and_heat_act_on_the_energy_of_a_lap() -> None:
    """Worked by hand: 1.6 N/mm for years (0.10) at 70 degC, without hardener 0.25, with 0.5."""
    assert bond.lap_energy_capacity(1.6 * 0.10 * 0.25, 6.0, 25.0) == pytest.approx(0.771, rel=0.01)
    assert bond.lap_energy_capacity(1.6 * 0.10 * 0.50, 6.0, 25.0) == pytest.approx(1.091, rel=0.01)


def test_first_failure_uses_a_quarter_of_the_energy() -> None:
    """Worked by hand: tau 1.5 MPa, G 0.5, ta 0.2 part at tau^2 ta/(2 G) = 0.45 N/mm of energy,
    where peeling takes 1.6; the pull is half as large, as energy goes with its square."""
    first = bond.lap_capacity(1.5, 0.5, 0.2, 6.0, 25.0, 100.0)
    assert first == pytest.approx(bond.lap_energy_capacity(0.45, 6.0, 25.0), rel=0.01)


def test_no_lap_bears_more_than_its_glue_shears() -> None:
    """Definition: 1.5 MPa over 25 mm."""
    assert bond.lap_shear_limit(1.5, 25.0) == 37.5
