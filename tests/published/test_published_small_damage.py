"""Cuts and holes of any length in a tight skin: how far they open, when they run on, what the skin
around a repair bears.

Figures called "worked by hand" were calculated from the formula with a pocket calculator's care and
hold the code to it; they are no measurement. Most tear values of the rules are estimates.
"""

from __future__ import annotations

import math

import pytest

from advisor.mechanics import bond, cut, split
from tests.published.test_published_split_gap import opening_by_elements

#: Knit-backed vinyl on 25 mm of foam: K 6, G 0.06, nu 0.42.
K, REACH = 6.0, 45.38


def test_reach_of_a_bonded_skin() -> None:
    """Worked by hand: lambda 50, nu 0.42; 150 mm to the fixing changes nothing, 20 mm does."""
    lag = split.shear_lag_length(6.0, 25.0, 0.06)
    assert lag == pytest.approx(50.0)
    assert cut.slack_reach(lag, 1e6, 0.42) == pytest.approx(REACH, abs=0.01)
    assert cut.slack_reach(lag, 150.0, 0.42) == pytest.approx(REACH, rel=0.01)
    assert cut.slack_reach(lag, 20.0, 0.42) == pytest.approx(15.82, rel=0.01)


@pytest.mark.parametrize("half_length", [0.1, 0.3, 1.0, 3.0])
def test_mean_opening_against_elements(half_length: float) -> None:
    """Own finite elements (plane stress on an elastic bed, K 1, lambda 1, nu 0.42), within 4 %.

    There the sound skin bears 1/(1 - nu) for each unit of shrinkage.
    """
    found = cut.cut_opening(2.0 * half_length, 1.0, cut.slack_reach(1.0, 1e6, 0.42))
    expected = opening_by_elements(half_length, 0.42)[1] * (1.0 - 0.42)
    assert found == pytest.approx(expected, rel=0.04)


@pytest.mark.parametrize("half_length", [0.3, 1.0, 3.0])
def test_energy_is_what_the_opening_sets_free(half_length: float) -> None:
    """G = T^2/2 d(C c)/dc, by two solutions with own finite elements, within 8 %."""
    areas = [
        2.0 * half * opening_by_elements(half, 0.42)[1] * (1.0 - 0.42)
        for half in (0.95 * half_length, 1.05 * half_length)
    ]
    expected = 0.5 * (areas[1] - areas[0]) / (0.2 * half_length)
    found = cut.cut_energy(2.0 * half_length, 1.0, cut.slack_reach(1.0, 1e6, 0.42))
    assert found == pytest.approx(expected, rel=0.08)


def test_short_cut_is_griffiths_and_a_long_loose_one_a_strip() -> None:
    """Griffith 1921: G = sigma^2 pi a/E, here T^2 pi c/(2 K). Rivlin & Thomas 1953: a long split
    between fixings L away on both sides sets W H free, here T^2 2 L/(2 K) for each mm."""
    assert cut.cut_energy(1.0, K, 1e6) == pytest.approx(math.pi / (2.0 * K), rel=1e-6)
    assert cut.cut_energy(1e6, K, 150.0) == pytest.approx(150.0 / K, rel=1e-6)


def test_small_hole_is_kirschs() -> None:
    """Kirsch 1898: the ends of a hole part by 3 T D/K; on average over the width pi/4 of it."""
    assert cut.hole_opening(1.0, K, 1e6) == pytest.approx(3.0 * math.pi / 4.0 / K, rel=1e-3)


@pytest.mark.parametrize(
    ("length", "expected"),
    [(2, 0.521), (8, 2.025), (20, 4.629), (60, 9.71), (150, 13.12), (500, 14.75)],
)
def test_mean_opening_by_length(length: float, expected: float) -> None:
    """Worked by hand."""
    assert cut.cut_opening(length, K, REACH) == pytest.approx(expected, rel=0.01)


@pytest.mark.parametrize(("width", "expected"), [(8, 2.977), (30, 9.17), (120, 25.2)])
def test_widening_of_a_hole(width: float, expected: float) -> None:
    """Worked by hand."""
    assert cut.hole_opening(width, K, REACH) == pytest.approx(expected, rel=0.02)


@pytest.mark.parametrize(
    ("length", "reach", "expected"),
    [(8, REACH, 0.505), (20, REACH, 1.076), (60, REACH, 1.704), (500, REACH, 1.889),
     (20, 150, 1.281), (150, 150, 5.273), (500, 150, 6.142)],
)  # fmt: skip
def test_energy_at_half_a_newton(length: float, reach: float, expected: float) -> None:
    """Worked by hand: bonded, and loose with 150 mm to the next seam."""
    assert 0.25 * cut.cut_energy(length, K, reach) == pytest.approx(expected, rel=0.01)


@pytest.mark.parametrize(
    ("length", "reach", "expected"),
    [(2, REACH, 7.31), (8, REACH, 4.79), (20, REACH, 3.50), (60, REACH, 2.84), (500, REACH, 2.71),
     (60, 150, 2.08), (150, 150, 1.66), (500, 150, 1.54)],
)  # fmt: skip
def test_pull_at_which_backed_vinyl_runs_on(length: float, reach: float, expected: float) -> None:
    """Worked by hand: strip 10 N/mm, tongue tear 30 N."""
    resistance = cut.tear_resistance(30.0)
    assert resistance == 60.0
    found = cut.running_pull(10.0, cut.cut_energy(length, K, reach), resistance)
    assert found == pytest.approx(expected, rel=0.01)


def test_pull_at_which_leather_and_brittle_vinyl_run_on() -> None:
    """Worked by hand: leather K 14, strip 18, tear 60 N; brittle K 30, strip 0.8, tear 1.5 N."""
    for length, expected in ((8, 9.86), (60, 6.04), (500, 5.77)):
        energy = cut.cut_energy(length, 14.0, REACH)
        assert cut.running_pull(18.0, energy, 120.0) == pytest.approx(expected, rel=0.01)
    for length, expected in ((8, 0.77), (500, 0.70)):
        energy = cut.cut_energy(length, 30.0, REACH)
        assert cut.running_pull(0.8, energy, 3.0) == pytest.approx(expected, rel=0.01)


def test_a_bridge_stops_the_tear_at_any_length() -> None:
    """Worked by hand; finite elements (own, not kept) gave 0.1285 and 0.1287 where the formula
    gives 0.126 and 0.129: K 1, lambda 1, nu 0.42, bridge 0.3."""
    reach = cut.slack_reach(1.0, 1e6, 0.42)
    for half, elements in ((0.5, 0.1285), (2.0, 0.1287)):
        found = cut.bridged_energy(cut.cut_energy(2.0 * half, 1.0, reach), 0.3)
        assert found == pytest.approx(elements, rel=0.08)
    give = cut.lap_give(0.2, 0.5, 6.0, 25.0)
    assert give == pytest.approx(0.2875, rel=0.01)
    found = cut.bridged_energy(cut.cut_energy(150.0, K, REACH), give)
    assert found == pytest.approx(0.1410, rel=0.01)
    assert cut.bridged_energy(1e9, give) == pytest.approx(give / 2.0)


def test_give_of_a_lap_is_its_load_over_its_end_shear() -> None:
    """Volkersen 1938: the end of a long lap shears by q lambda ta/G, all of it opening."""
    decay = bond.lap_decay(0.5, 0.2, 6.0, 25.0)
    assert decay == pytest.approx(0.7188, rel=0.01)
    assert cut.lap_give(0.2, 0.5, 6.0, 25.0) == pytest.approx(decay * 0.2 / 0.5, rel=1e-6)


@pytest.mark.parametrize(
    ("length", "expected"), [(8, 0.247), (20, 0.108), (60, 0.0515), (500, 0.0339)]
)
def test_borne_around_a_patch_that_follows_half_a_millimetre(
    length: float, expected: float
) -> None:
    """Worked by hand: a stiff repair need not bear a short cut, the skin around it does."""
    opening = cut.cut_opening(length, K, REACH)
    assert cut.borne_around(0.5, opening, math.inf) == pytest.approx(expected, rel=0.01)


def test_the_skin_around_bears_no_more_than_the_cut_stands() -> None:
    """Griffith 1921, Rivlin & Thomas 1953: a cut of 20 mm in brittle vinyl (K 30, strip 0.8, tear
    energy 3 N) runs on by itself at 0.74 N/mm, worked by hand; a third of that for years is all
    that its skin bears beside a filler that follows 1 mm, by which it would be 1.1 N/mm."""
    opening = cut.cut_opening(20.0, 30.0, REACH)
    runs = cut.running_pull(0.8, cut.cut_energy(20.0, 30.0, REACH), 3.0)
    assert 1.0 / opening == pytest.approx(1.07, rel=0.02)
    assert runs == pytest.approx(0.74, rel=0.01)
    assert cut.borne_around(1.0, opening, 0.3 * runs) == pytest.approx(0.222, rel=0.01)


@pytest.mark.parametrize(
    ("length", "reach", "grown"),
    [(8.0, 45.4, 0.0297), (20.0, 45.4, 0.289), (60.0, 45.4, 1.146),
     (20.0, 150.0, 0.487), (60.0, 150.0, 8.51), (150.0, 150.0, 33.9)],
)  # fmt: skip
def test_growth_of_a_cut_in_fifty_thousand_uses(length: float, reach: float, grown: float) -> None:
    """Power law of rubber tearing (Mars & Fatemi 2002, abstract), worked by hand with estimates:
    c 1, b 3, threshold 0.003; knit-backed vinyl of 6 N/mm and 60 N pulled by 0.5 N/mm, each end."""
    energy = cut.cut_energy(length, 6.0, reach)
    each = float(cut.growth_per_use(0.5, energy, 60.0, 1.0, 3.0, 0.003))
    assert 5e4 * each == pytest.approx(grown, rel=0.02)


def test_a_cut_below_the_threshold_stands_still_and_a_brittle_one_runs() -> None:
    """Worked by hand: 0.37 mm in a thousand uses where the skin is brittle (30 N/mm, 3 N)."""
    small = cut.cut_energy(2.0, 6.0, 45.4)
    assert cut.growth_per_use(0.5, small, 60.0, 1.0, 3.0, 0.003) == 0.0
    brittle = cut.cut_energy(20.0, 30.0, 45.4)
    grown = 1000.0 * float(cut.growth_per_use(0.5, brittle, 3.0, 1.0, 3.0, 0.003))
    assert grown == pytest.approx(0.370, rel=0.02)


@pytest.mark.parametrize(("m", "drawn"), [(1.0, 1.0), (2.0, 1.2), (5.1667, 1.368), (1e9, 1.5)])
def test_pull_drawn_into_a_round_patch(m: float, drawn: float) -> None:
    """Goodier 1933 (from memory): a round inclusion, plane stress, Poisson's ratio 1/3. Half of
    the pull spreads it evenly, m (k + 1)/(2 m + k - 1), half shears it, m (k + 1)/(1 + m k), with
    k = (3 - nu)/(1 + nu) = 2; a rigid one draws 1.5."""
    k = (3.0 - 1.0 / 3.0) / (1.0 + 1.0 / 3.0)
    exact = 0.5 * m * (k + 1.0) / (2.0 * m + k - 1.0) + 0.5 * m * (k + 1.0) / (1.0 + m * k)
    assert exact == pytest.approx(drawn, rel=1e-3)
    assert 1.0 / cut.left_beside_stiff_patch(6.0, 6.0 * (m - 1.0)) == pytest.approx(exact, rel=1e-6)


def test_a_matched_lap_bears_more_than_a_stiff_one() -> None:
    """Kendall 1975 by hand: sqrt(2 G K1 (K1 + K2)/K2) with G 1.6, K1 6 is 6.20 for a patch of the
    same cloth and 4.88 for one of 25 N/mm, and of the pull far off 5.16 and 3.57."""
    for patch, lap, far in ((6.0, 6.20, 5.16), (25.0, 4.88, 3.57)):
        bears = bond.lap_energy_capacity(1.6, 6.0, patch)
        assert bears == pytest.approx(lap, rel=0.005)
        assert bears * cut.left_beside_stiff_patch(6.0, patch) == pytest.approx(far, rel=0.005)
