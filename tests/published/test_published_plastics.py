"""Rigid plastics: welds, screws, staples, density."""

from __future__ import annotations

import pytest

from advisor.mechanics import carrier, fastening, weld


def test_pvc_fatigue() -> None:
    """Vinson, quoted in Moser, Buried Pipe Design: cyclic pressure in PVC-U pipe."""
    assert weld.pipe_cycles_to_failure(1000.0 * weld.PSI) == pytest.approx(9.67e6, rel=0.01)
    stress = weld.pipe_fatigue_stress(1e6)
    assert stress == pytest.approx(10.95, rel=0.01)
    assert stress / 52.0 == pytest.approx(0.21, abs=0.005)


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


def test_weld_short_and_long() -> None:
    """Worked by hand: factors of DVS 2203-1 and 2205-1 (long-term from memory), PP 33 MPa
    short, 10 MPa over 50 years (ISO 12162 class)."""
    assert weld.weld_line_capacity(0.7, 33.0, 3.0) == pytest.approx(69.3)
    assert weld.weld_line_capacity(0.4, 10.0, 3.0) == pytest.approx(12.0)


@pytest.mark.parametrize(
    ("strength", "long_term", "of_weld", "of_parent"),
    [(33.0, 10.0, 0.173, 0.121), (41.0, 14.0, 0.195, 0.137), (52.0, 25.0, 0.275, 0.192)],
)
def test_what_years_leave_of_a_weld(
    strength: float, long_term: float, of_weld: float, of_parent: float
) -> None:
    """PP, ABS, rigid PVC, worked by hand: hot gas 0.4 for years, 0.7 short term (DVS 2203-1,
    DVS 2205-1, from memory); strength of 50 years from the classes of ISO 12162 (from memory
    but for PVC)."""
    years = weld.weld_line_capacity(0.4, long_term, 3.0)
    assert years / weld.weld_line_capacity(0.7, strength, 3.0) == pytest.approx(of_weld, abs=5e-4)
    assert years / (strength * 3.0) == pytest.approx(of_parent, abs=5e-4)


def test_boss() -> None:
    """Worked by hand: 4 mm screw, 10 mm deep in ABS of 41 MPa, von Mises shear."""
    assert fastening.screw_pull_out(1.0, 4.0, 10.0, 41.0) == pytest.approx(2973.0, rel=0.005)
    assert fastening.screw_pull_out(0.5, 4.0, 10.0, 41.0) == pytest.approx(1486.0, rel=0.005)
    # A quarter of it for years: creep of plastics, from memory.
    assert 0.25 * fastening.screw_pull_out(0.5, 4.0, 10.0, 41.0) == pytest.approx(372, rel=0.01)


def test_hot_staple() -> None:
    """Worked by hand: 0.8 mm wire, 6 mm deep in PP of 25 MPa; 0.4 of it an own estimate."""
    assert fastening.staple_pull_out(1.0, 0.8, 6.0, 25.0) == pytest.approx(217.5, rel=0.005)
    real = fastening.staple_pull_out(0.4, 0.8, 6.0, 25.0)
    assert real == pytest.approx(87.0, rel=0.005)
    row = fastening.staple_line_capacity(real, 12.0)
    assert row == pytest.approx(7.25, rel=0.005)
    # A tenth of the parent: a splint beside a weld, not instead of it.
    assert row / (25.0 * 3.0) == pytest.approx(0.1, abs=0.01)


def test_talc_sinks_polypropylene() -> None:
    """1.05 g/cm3: data sheet of PP with 20 % talc; threshold worked by hand."""
    density = fastening.blend_density(0.20, 0.905, 2.75)
    assert density == pytest.approx(1.045, rel=0.001)
    assert density == pytest.approx(1.05, rel=0.005)
    threshold = fastening.sinking_filler_fraction(0.905, 2.75, 1.0)
    assert threshold == pytest.approx(0.142, abs=0.0005)
    assert fastening.blend_density(threshold, 0.905, 2.75) == pytest.approx(1.0)


def test_polyamide_creep() -> None:
    """PA66, moist: 1400 MPa short term, 930 MPa creep modulus at 1000 h, maker's sheet."""
    assert carrier.creep_ratio(930.0, 1400.0) == pytest.approx(0.664, abs=0.0005)


def test_bending() -> None:
    """Worked by hand from beam theory: M = F L/4 = 2500, W = b t^2/6 = 75, so 33.3 MPa."""
    assert carrier.bending_line_force(100.0, 100.0, 50.0, 3.0) == pytest.approx(2500 / 75 * 3)


def test_hanging_cover() -> None:
    """Worked by hand: 1 kg/m2 over 1 m is 9.81 N/m, half on each edge."""
    assert carrier.hanging_line_load(1.0, 1000.0) == pytest.approx(0.004905)
