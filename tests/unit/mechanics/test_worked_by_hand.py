"""Relations of our own making and of plain statics, each with a figure worked by hand."""

from __future__ import annotations

import pytest

from advisor.mechanics import aging, carrier, fatigue, sold, temperature

#: Share left at 50, 70, 80 and 100 degC: adhesive guides, estimates within half or double.
GLUES = {
    "contact cement": (0.5, 0.25, 0.15, 0.05),
    "contact cement with hardener": (0.7, 0.5, 0.4, 0.25),
    "elastic": (0.8, 0.65, 0.6, 0.4),
    "instant glue": (0.8, 0.6, 0.5, 0.3),
    "epoxy": (0.6, 0.3, 0.2, 0.1),
}


@pytest.mark.parametrize("shares", GLUES.values(), ids=GLUES.keys())
def test_glue_in_heat(shares: tuple[float, ...]) -> None:
    """The points of the table as they stand, halves between them, level beyond the ends."""

    def left(celsius: float) -> float:
        return float(temperature.tabulated_heat_factor(celsius, *shares))

    assert [left(t) for t in (50.0, 70.0, 80.0, 100.0)] == pytest.approx(shares)
    assert left(60.0) == pytest.approx((shares[0] + shares[1]) / 2.0)
    assert left(75.0) == pytest.approx((shares[1] + shares[2]) / 2.0)
    assert left(36.5) == pytest.approx((1.0 + shares[0]) / 2.0)
    assert left(-20.0) == left(23.0) == 1.0
    assert left(130.0) == shares[3]


def test_strength_in_heat_on_a_straight_line() -> None:
    """Polyester thread keeps 0.85 at 80 degC (thread dealers' pages, from memory); rigid PVC
    welds keep nothing. Worked by hand."""
    for celsius, share in ((23.0, 1.0), (51.5, 0.925), (80.0, 0.85), (100.0, 0.797), (-5.0, 1.0)):
        assert temperature.linear_heat_factor(0.85, celsius) == pytest.approx(share, abs=5e-4)
    assert temperature.linear_heat_factor(0.0, 51.5) == pytest.approx(0.5)
    assert temperature.linear_heat_factor(0.0, 95.0) == 0.0


def test_uses_counted_against_a_hundred_thousand() -> None:
    """Basquin's law (from memory), worked by hand: four times as often is 4^0.12 = 1.181."""
    assert fatigue.cycle_weight(4e5, 1e5, 0.12) == pytest.approx(1.181, abs=5e-4)
    assert fatigue.cycle_weight(1e5, 1e5, 0.12) == 1.0


@pytest.mark.parametrize("cycles", [1e3, 3e4, 1e6])
def test_uses_are_weighed_on_the_line_of_the_lap_joints(cycles: float) -> None:
    """1.71 N^-0.12, J. Soc. Mat. Sci. Japan 34(386), 1985: the slope is the same line's."""
    weight = fatigue.cycle_weight(cycles, 1e5, 0.12)
    expected = (1.71 * 1e5**-0.12) / (1.71 * cycles**-0.12)
    assert weight == pytest.approx(expected, rel=1e-9)


def test_bending_at_a_crack() -> None:
    """Worked by hand from beam theory: 60 N on a span of 120 mm, 80 mm wide, 2.5 mm thick.

    M = 60 x 120/(4 x 80) = 22.5 N per mm of width, 9 N/mm on each face; the outer fibre bears
    6 M/t^2 = 21.6 MPa, so a joint of 21.6 MPa is just used up.
    """
    couple = carrier.bending_couple(60.0, 120.0, 80.0, 2.5)
    assert couple == pytest.approx(9.0)
    assert carrier.bending_capacity(21.6, 2.5) == pytest.approx(couple)
    assert carrier.bending_line_force(60.0, 120.0, 80.0, 2.5) == pytest.approx(21.6 * 2.5)


def test_slam_and_lever() -> None:
    """Worked by hand: 0.15 kg stopped at 120 m/s2; 20 N at 220 mm on a hinge of 70 mm."""
    assert carrier.inertia_force(0.15, 120.0) == pytest.approx(18.0)
    assert carrier.lever_force(20.0, 220.0, 70.0) == pytest.approx(62.86, abs=0.01)


def test_where_the_plasticizer_went() -> None:
    """Worked by hand from the balance of mass: 22 % gone, 1 % into air, 5 % into cleaner."""
    assert aging.unexplained_fraction(0.22, 0.01, 0.05) == pytest.approx(0.16)
    assert aging.unexplained_fraction(0.03, 0.01, 0.05) == 0.0
    assert aging.drawn_out_fraction(4.0, 30.0, 400.0) == pytest.approx(0.3)
    assert aging.drawn_out_fraction(12.0, 40.0, 400.0) == 1.0


def test_stiffening_by_hardness() -> None:
    """75 to 90 Shore A. Worked by hand: Gent 1958 gives 20.84/7.05, Ruess 29.83/13.25, the
    root of both together 2.58."""
    assert aging.stiffening_by_hardness(90.0, 75.0) == pytest.approx(2.58, abs=0.005)
    assert aging.stiffening_by_hardness(75.0, 75.0) == 1.0


def test_strength_by_thickness() -> None:
    """Worked by hand: 0.9 mm of a leather known at 1.2 mm; a coating of 0.8 against 1.1 mm
    whose cloth carries six tenths."""
    assert aging.strength_by_thickness(0.9, 1.2, 1.0) == pytest.approx(0.75)
    assert aging.strength_by_thickness(0.8, 1.1, 0.4) == pytest.approx(0.891, abs=5e-4)


def test_leather_is_bought_in_pieces() -> None:
    """0.25 m2 over three quarters is 0.333, sold as 0.5; 0.785 is 1.047, sold as 1.5 m2.

    The quarter that is lost: tanners' yardage pages; cut pieces of half a square metre: common
    practice, no source.
    """
    assert float(sold.leather_bought(0.25, 0.25, 0.5)) == pytest.approx(0.5)
    assert float(sold.leather_bought(0.785, 0.25, 0.5)) == pytest.approx(1.5)
    assert float(sold.leather_bought(0.375, 0.25, 0.5)) == pytest.approx(0.5)
