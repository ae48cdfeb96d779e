"""People: weight, grip, and why a sound seam cannot be pulled apart by hand."""

from __future__ import annotations

import pytest

from advisor.mechanics import occupant, seam

LBF = 4.4482216  # N, by definition
MEDIAN_MAN = 86.2  # kg, computed from NHANES 2009-2012, men of 20 and over
HEAVY_MAN = 123.9  # kg, 95th percentile, same


@pytest.mark.parametrize(
    ("share", "force"),
    [
        (0.022, 18.6),  # forearm and hand: Winter, after Dempster
        (0.050, 42.3),  # whole arm: Winter, after Dempster
        (0.25, 211.0),  # push-off per arm: Turner et al. 2004, Proc. IMechE H 218
    ],
)
def test_share_of_body_weight(share: float, force: float) -> None:
    assert occupant.body_weight_share(MEDIAN_MAN, share) == pytest.approx(force, rel=0.005)


def test_chair_arm_test_covers_pushing_off() -> None:
    """400 N on each arm, 60 000 times: BIFMA X5.1 test 20 (2002 edition, as quoted by a
    maker of test machines). Push-off 20 to 30 % of body weight: Turner et al. 2004."""
    weight = occupant.body_weight_share(MEDIAN_MAN, 1.0)
    assert 400.0 / weight == pytest.approx(0.473, rel=0.005)
    heaviest = occupant.body_weight_share(HEAVY_MAN, 0.30)
    assert heaviest == pytest.approx(365.0, rel=0.005)
    assert heaviest < 400.0


def test_mean_pressure_on_a_seat() -> None:
    """67 % of body weight over 0.15 m2 is 3.78 kPa, worked by hand; seat-pressure studies
    report 3 to 6 kPa (from memory)."""
    force = occupant.body_weight_share(MEDIAN_MAN, 0.67)
    pressure_kpa = 1e3 * occupant.contact_pressure(force, 0.15e6)
    assert pressure_kpa == pytest.approx(3.78, rel=0.01)
    assert 3.0 < pressure_kpa < 6.0


def test_elbow_at_rest_is_two_to_five_percent() -> None:
    """Bounded by the mass of forearm and whole arm: Winter, after Dempster."""
    for mass in (50.2, MEDIAN_MAN, HEAVY_MAN):
        forearm, arm = (occupant.body_weight_share(mass, s) for s in (0.022, 0.050))
        assert 0.02 * mass * 9.81 < forearm < arm <= 0.05 * mass * 9.81


@pytest.fixture
def typical_pull() -> float:
    """Mean key pinch of men, dry vinyl, two faces; its friction is an own estimate [N]."""
    return 2.0 * 0.6 * 23.16 * LBF


@pytest.fixture
def strongest_pull() -> float:
    """95th percentile pinch on a grippy skin [N]."""
    return 2.0 * 0.9 * 137.0


def test_an_intact_factory_seam_cannot_be_pulled_apart_by_hand(
    typical_pull: float, strongest_pull: float
) -> None:
    """The rule itself is common practice, no source. Bears it out: 445 N least seam
    strength of coated knit in a grab test (a vehicle maker's material specification),
    jaws of 25 mm assumed as in ASTM D751; pinch Stegink Jansen et al. 2003."""
    weakest = 445.0 / 25.0
    # Six stitches to 25 mm: 74 N each, about what Tex 70 bears (48.9 N, loop of 1.5).
    pitch = 25.0 / 6.0
    assert seam.thread_capacity(48.9, 1.5, pitch) == pytest.approx(weakest, rel=0.02)
    # 40 mm is what a pinch takes hold of: 25 to 60 mm by hand breadth (from memory).
    carried = seam.thread_capacity(48.9, 1.5, pitch)
    assert carried * 40.0 > strongest_pull
    # Even the narrowest grip on the weakest seam beats the strongest pinch 1.8 times.
    assert carried * 25.0 / strongest_pull == pytest.approx(1.8, abs=0.05)
    # Typical seam, 578 N, against a typical pinch: 4.7 times.
    assert 578.0 / typical_pull == pytest.approx(4.7, abs=0.05)


def test_sliding_out_over_a_bolster() -> None:
    """Half of 30 % of body weight over 150 mm is 0.85 N/mm: an own estimate, worked by
    hand. One side carries it all there, so it is twice the shared drag."""
    normal = occupant.body_weight_share(MEDIAN_MAN, 0.30)
    assert 2.0 * occupant.drag_tension(0.5, normal, 150.0) == pytest.approx(0.85, rel=0.01)


def test_dent() -> None:
    """Worked by hand: contact of 25 cm2 has a half-width of 28.2 mm; a 10 mm dent on it
    stretches the skin by 6.1 %."""
    half = occupant.contact_half_width(2500.0)
    assert half == pytest.approx(28.21, rel=1e-3)
    assert occupant.dent_strain(10.0, half) == pytest.approx(0.0609, rel=5e-3)
    # 120 N on 25 cm2 is 48 kPa; padding of 6 kPa and 20 mm: 16 * 48/(48 + 12).
    assert occupant.elbow_dent(120.0, 2500.0, 0.006, 20.0) == pytest.approx(12.8)
