"""Screws in wood and board, washers, studs, buttons, webbing, scarfs.

"Worked by hand" means calculated from the formula beside it, no measurement.
"""

from __future__ import annotations

import math

import pytest

from advisor.mechanics import bond, fastening, point, suspension


def test_screw_in_wood_in_either_units() -> None:
    """Wood Handbook (US Forest Products Laboratory), looked up as three engineering pages quote it:
    F = 15 700 G^2 D L in pounds and inches. Spruce of 0.42, screw 4 x 12 and 4 x 20."""
    for engaged in (12.0, 20.0):
        pounds = 15700.0 * 0.42**2 * (4.0 / 25.4) * (engaged / 25.4)
        newtons = fastening.wood_screw_pull_out(0.42, 4.0, engaged)
        assert newtons == pytest.approx(pounds * 4.448, rel=0.002)
    assert fastening.wood_screw_pull_out(0.42, 4.0, 12.0) == pytest.approx(917.0, rel=0.002)
    assert fastening.wood_screw_pull_out(0.55, 4.0, 12.0) == pytest.approx(1572.0, rel=0.002)


def test_screw_in_board_in_either_units() -> None:
    """US Forest Products Laboratory, from memory: F = 2655 D^0.5 (L - D/3)^1.25 G^2 in pounds and
    inches. Particle board of 0.68, screw 4 x 12: 733 N by hand."""
    pounds = 2655.0 * (4 / 25.4) ** 0.5 * ((12 - 4 / 3) / 25.4) ** 1.25 * 0.68**2
    newtons = fastening.board_screw_pull_out(0.68, 4.0, 12.0)
    assert newtons == pytest.approx(pounds * 4.448, rel=0.005)
    assert newtons == pytest.approx(733.0, rel=0.002)
    assert fastening.board_screw_pull_out(0.68, 4.0, 1.0) == 0.0


def test_screw_pulls_out_of_wood_before_its_head_goes_through() -> None:
    """Timber code, from memory: 70e-6 rho^2 d^2; head of 8 mm, plywood of 550 kg/m3, 1355 N."""
    assert fastening.head_pull_through(0.55, 8.0) == pytest.approx(1355.0, rel=0.001)


def test_washer_on_a_thin_wall() -> None:
    """Worked by hand: 16 mm on 2.5 mm of ABS (41 MPa, half of it in shear) 2979 N, 25 mm on
    polypropylene with talc (22 MPa) 2376 N."""
    assert fastening.washer_punch_through(0.5, 41.0, 16.0, 2.5) == pytest.approx(2979.0, rel=0.001)
    assert fastening.washer_punch_through(0.5, 22.0, 25.0, 2.5) == pytest.approx(2376.0, rel=0.001)


def test_six_screws_carry_more_than_two() -> None:
    """Timber code, from memory: n^0.9. Four of 800 N bear 2786 N, worked by hand."""
    assert fastening.fasteners_together(800.0, 4.0) == pytest.approx(2786.0, rel=0.001)
    assert fastening.fasteners_together(800.0, 1.0) == 800.0
    two, six = (fastening.fasteners_together(800.0, n) for n in (2.0, 6.0))
    assert 2.5 * two < six < 3.0 * two


def test_stud_in_a_cover() -> None:
    """Worked by hand: cap of 15 mm in a skin of 10 N/mm: 150 N in plane, 236 and 333 N off it."""
    assert point.stud_capacity(10.0, 15.0, 1.0) == pytest.approx(150.0)
    assert point.stud_off_capacity(10.0, 15.0, 1.0, 30.0) == pytest.approx(235.6, abs=0.1)
    assert point.stud_off_capacity(10.0, 15.0, 1.0, 45.0) == pytest.approx(333.2, abs=0.1)
    assert point.stud_capacity(10.0, 15.0, 3.0) == pytest.approx(450.0)


def test_tufting_button() -> None:
    """Statics, worked by hand: foam of 6 kPa drawn down over a radius of 50 or 40 mm."""
    assert point.tuft_pull(0.006, 50.0) == pytest.approx(47.1, abs=0.05)
    assert point.tuft_pull(0.006, 40.0) == pytest.approx(30.2, abs=0.05)


def test_strand_of_webbing() -> None:
    """Statics of a string, worked by hand: 100 N on a span of 450 mm."""
    assert suspension.strand_tension_by_sag(100.0, 450.0, 60.0) == pytest.approx(187.5)
    sags = [float(suspension.strand_sag(100.0, 450.0, pull, 500.0)) for pull in (40.0, 20.0)]
    assert sags == pytest.approx([73.98, 84.27], abs=0.02)
    tension = float(suspension.strand_tension(100.0, 450.0, 40.0, 500.0))
    assert tension == pytest.approx(100.0 * 450.0 / (8.0 * sags[0]), rel=1e-9)
    # Halved tension hardly deepens the loaded seat: look at the dip at rest.
    assert sags[1] < 1.15 * sags[0]


def test_a_hung_string_is_a_parabola_that_bears_half_its_load_at_each_end() -> None:
    """Statics: at the end the slope of the parabola is 4 d/L; both ends lift the load."""
    sag = float(suspension.strand_sag(60.0, 500.0, 20.0, 2000.0))
    tension = float(suspension.strand_tension(60.0, 500.0, 20.0, 2000.0))
    slope = 4.0 * sag / 500.0
    assert 2.0 * tension * slope == pytest.approx(60.0, rel=1e-9)
    assert slope < 0.45  # shallow, as the formula wants it
    # The arc of a parabola (series of two terms against the exact length).
    exact = 500.0 * (
        0.5 * math.sqrt(1.0 + slope**2) + math.asinh(slope) / (2.0 * slope)
    )
    assert 500.0 * (1.0 + 8.0 / 3.0 * (sag / 500.0) ** 2) == pytest.approx(exact, rel=0.002)


def test_a_seat_measured_with_a_straight_edge() -> None:
    """Definition: 200 N, dip 12 mm before and 52 mm under it: 5 N/mm, tired (estimate: 3 to 8)."""
    assert suspension.seat_rate(200.0, 52.0, 12.0) == pytest.approx(5.0)


def test_scarf_of_twelve_to_one_is_stronger_than_the_hand_laid_laminate() -> None:
    """Boat-building practice, common practice, no source: 12 to 1 restores a hand-laid wall of
    about 90 MPa; 4 to 1 does not. Worked by hand with 8 MPa in shear."""
    assert bond.scarf_strength(8.0, 12.0) == pytest.approx(96.7, abs=0.1)
    assert bond.scarf_strength(8.0, 4.0) == pytest.approx(34.0)
    # Cut at 45 degrees it bears twice the shear strength, as on any plane (Mohr).
    assert bond.scarf_strength(8.0, 1.0) == pytest.approx(16.0)
