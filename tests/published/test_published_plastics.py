"""Rigid plastics: welds, screws, staples, density."""

from __future__ import annotations

import pytest

from advisor.mechanics import carrier, fastening, weld


@pytest.mark.parametrize(
    ("thickness", "cap", "area", "rod"),
    [(3, 0.0, 5.196, 0.735), (3, 0.15, 5.976, 0.845), (4, 0.0, 9.238, 1.307)],
)
def test_groove(thickness: float, cap: float, area: float, rod: float) -> None:
    """Worked by hand: single V of 60 degrees (DVS 2207-3), 3 mm rod."""
    found = weld.groove_area(thickness, 60.0, cap)
    assert found == pytest.approx(area, rel=0.005)
    assert weld.rod_length_ratio(found, 3.0) == pytest.approx(rod, rel=0.005)


def test_rod_mass() -> None:
    """Worked by hand: polypropylene 0.905 g/cm3, 3 mm wall with cap."""
    assert weld.rod_mass(weld.groove_area(3.0, 60.0, 0.15), 0.905) == pytest.approx(5.41, rel=0.01)


def test_boss() -> None:
    """Worked by hand: 4 mm screw, 10 mm deep in ABS of 41 MPa, von Mises shear."""
    assert fastening.screw_pull_out(1.0, 4.0, 10.0, 41.0) == pytest.approx(2973.0, rel=0.005)
    assert fastening.screw_pull_out(0.5, 4.0, 10.0, 41.0) == pytest.approx(1486.0, rel=0.005)
    # A quarter of it for years: creep of plastics, from memory.
    assert 0.25 * fastening.screw_pull_out(0.5, 4.0, 10.0, 41.0) == pytest.approx(372, rel=0.01)


def test_hot_staple() -> None:
    """Worked by hand: wave of 6 mm of 0.8 mm wire (600 MPa) across the pull, 0.6 left by cover. In
    ABS of 41 MPa it bears 177 N, in PP with talc of 22 MPa 95 N; steel would bear 302 N."""
    assert fastening.staple_force(600.0, 41.0, 0.8, 6.0, 0.6) == pytest.approx(177.1, rel=0.001)
    assert fastening.staple_force(600.0, 22.0, 0.8, 6.0, 0.6) == pytest.approx(95.0, rel=0.001)
    assert fastening.staple_force(600.0, 200.0, 0.8, 6.0, 0.6) == pytest.approx(301.6, rel=0.001)


def test_staples_help_where_the_crack_opens_on_their_face() -> None:
    """Statics, worked by hand: every 12 mm in ABS of 2.5 mm, wire 1.7 mm from the pressed face or
    0.5 mm: 0.59 and 0.17 of the sound wall (staples at most 12.7 mm apart: staple-weld how-to)."""
    wall = carrier.bending_capacity(41.0, 2.5)
    own, other = (fastening.staple_couple(177.1, z / 2.5, 12.0) / wall for z in (1.7, 0.5))
    assert (own, other) == pytest.approx((0.587, 0.173), abs=0.001)


def test_a_plate_behind_bears_more_than_the_wall() -> None:
    """Section moduli worked by hand: aluminium of 1.5 mm at 150 MPa, 56 N mm/mm, bends as the wall
    of 2.5 mm ABS, 43, does: 1.3 of it. One rivet of 1500 N, rows 25 mm apart, every 25 mm: 1500 N
    mm/mm, on a wall of 5 mm 300 N/mm."""
    wall = carrier.bending_capacity(41.0, 2.5)
    assert carrier.built_up_capacity(150.0, 2.5, 1.5) / wall == pytest.approx(1.317, abs=0.001)
    assert fastening.rivet_couple(1500.0, 25.0, 25.0, 5.0) == pytest.approx(300.0)


def test_a_bar_over_a_carpet_edge() -> None:
    """Worked by hand: two screws of 260 N share a foot of 95 mm: 5.5 N/mm, where a heel of 0.6 of
    80 kg draws with a friction of 0.5 by 2.5 N/mm."""
    assert fastening.shared_along_edge(260.0, 2.0, 95.0) == pytest.approx(5.47, abs=0.01)


def test_talc_sinks_polypropylene() -> None:
    """1.05 g/cm3: data sheet of PP with 20 % talc; threshold worked by hand."""
    density = fastening.blend_density(0.20, 0.905, 2.75)
    assert density == pytest.approx(1.045, rel=0.001)
    assert density == pytest.approx(1.05, rel=0.005)
    assert fastening.blend_density(0.142, 0.905, 2.75) == pytest.approx(1.0, rel=0.001)


def test_bending() -> None:
    """Worked by hand from beam theory: M = F L/4 = 2500, W = b t^2/6 = 75, so 33.3 MPa."""
    assert carrier.bending_line_force(100.0, 100.0, 50.0, 3.0) == pytest.approx(2500 / 75 * 3)


def test_hanging_cover() -> None:
    """Worked by hand: 1 kg/m2 over 1 m is 9.81 N/m, half on each edge."""
    assert carrier.hanging_line_load(1.0, 1000.0) == pytest.approx(0.004905)
