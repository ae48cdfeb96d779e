"""Edges that peel, frost that is shared, strain locked in, many riders, skins of one lot.

"Worked by hand" means calculated from the formula beside it, no measurement. Most values are
estimates; what is asserted is the mechanics.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Case
from advisor.mechanics import aging, bond, foam, occupant, split, temperature, tension, vinyl
from advisor.rulegraph.load import load_pack

#: Vinyl of 8 N/mm, 80 millionths beyond its base, free of tension at 45 degC.
SKIN = (8.0, 0.45, 80e-6, 45.0)
SLOPES = (0.03, 0.09)


def test_stiff_base_gives_the_closed_form() -> None:
    """Thermal misfit, integrated by hand: 0.258 N/mm at -10 and 0.0711 at 5 degC."""
    for cold, pull in ((-10.0, 0.2578), (5.0, 0.0711)):
        whole = float(tension.cooling_tension(*SKIN, cold, *SLOPES))
        shared = float(tension.cooling_tension_shared(*SKIN, cold, *SLOPES, 1e7, 0.012))
        assert whole == pytest.approx(pull, rel=0.002)
        assert shared == pytest.approx(whole, rel=1e-4)


@pytest.mark.parametrize(("radius", "pull"), [(60.0, 0.0815), (200.0, 0.2064)])
def test_a_closed_cover_squeezes_its_pad_in_frost(radius: float, pull: float) -> None:
    """Laplace 1806 and springs in series, integrated over 4000 steps: M 0.13, h 25, -10 degC."""
    modulus = 0.13 / foam.foam_confined_modulus(1.0, 0.3)
    base = tension.squeeze_stiffness(modulus, 0.3, 25.0, radius, 0.45)
    found = tension.cooling_tension_shared(*SKIN, -10.0, *SLOPES, base, 0.012)
    assert found == pytest.approx(pull, rel=0.01)


def test_free_pad_takes_nearly_all_of_the_frost() -> None:
    """Springs in series, integrated over 4000 steps: pad of 3.57 N/mm, 0.0150 N/mm at -10 degC.
    So a cover on a free pad bears under a third of what a bonded skin does."""
    grid = np.linspace(-10.0, 45.0, 4001)
    middle, step = 0.5 * (grid[1:] + grid[:-1]), grid[1] - grid[0]
    slope = np.where(middle > 23.0, 0.03, 0.09)
    skin = 8.0 / 0.55 * np.exp(slope * (23.0 - middle))
    pad = 2.5 / 0.7 * np.exp(0.012 * (23.0 - middle))
    exact = float((80e-6 * skin * pad / (skin + pad)).sum() * step)
    pull = float(tension.cooling_tension_shared(*SKIN, -10.0, *SLOPES, 2.5 / 0.7, 0.012))
    assert pull == pytest.approx(exact, rel=0.01)
    assert pull < 0.2578 / 3.0


@pytest.mark.parametrize(("exponent", "left"), [(0.10, 0.501), (0.15, 0.356), (0.20, 0.254)])
def test_a_night_relaxes(exponent: float, left: float) -> None:
    """Nutting's law (from memory), worked by hand: eight hours against ten seconds."""
    assert vinyl.overnight_relaxation(8.0, exponent) == pytest.approx(left, abs=0.001)


def test_cold_vinyl_is_stronger() -> None:
    """Tensile strength of soft vinyl rises in the cold, from memory: 1.8 at -15 degC."""
    assert temperature.cold_strength_factor(1.8, -15.0) == pytest.approx(1.8)
    assert temperature.cold_strength_factor(1.8, 23.0) == 1.0
    assert temperature.cold_strength_factor(1.8, 40.0) == 1.0


@pytest.mark.parametrize(("hardening", "mean"), [(1.5, 1.233), (2.5, 1.637), (4.0, 2.164)])
def test_strain_locked_in_while_supple(hardening: float, mean: float) -> None:
    """Boltzmann superposition, worked by hand: (h - 1)/ln h of the stiffness when new."""
    new = 6.0
    locked = float(aging.stiffness_while_hardening(new * hardening, hardening))
    assert locked == pytest.approx(new * mean, rel=0.001)
    assert locked < new * hardening


def test_each_bit_of_strain_at_the_stiffness_of_its_day() -> None:
    """The same by adding up ten thousand days, relaxed each from its own day."""
    days, h, n = 10_000, 2.5, 0.08
    t = (np.arange(days) + 0.5) / days
    stiffness = 6.0 * (1.0 + (h - 1.0) * t)
    # Strain of the same loss: what stiffens by ln K shrinks by it, so d eps goes with dK/K.
    grown = np.diff(np.log(6.0 * (1.0 + (h - 1.0) * np.arange(days + 1) / days)))
    grown /= grown.sum()
    locked = float(aging.stiffness_while_hardening(6.0 * h, h))
    assert float((stiffness * grown).sum()) == pytest.approx(locked, rel=1e-3)
    left = ((1.0 - t) * 10.0 * 525_960.0) ** -n
    even = float(left.mean())
    assert even == pytest.approx(float(vinyl.ramp_relaxation(10.0, n)), rel=0.01)


@pytest.mark.parametrize(("years", "left"), [(1.0, 0.379), (5.0, 0.333), (10.0, 0.315)])
def test_ramp(years: float, left: float) -> None:
    """Nutting's law (exponent 0.08 from memory), worked by hand."""
    assert vinyl.ramp_relaxation(years, 0.08) == pytest.approx(left, abs=0.001)


def test_a_cut_shows_the_pull_over_the_stiffness_of_today() -> None:
    """Worked by hand: of shrinkage that came with a hardening of 2.5 a fresh cut shows 0.21."""
    shrinkage, new, nu = 0.01, 6.0, 0.42
    locked = aging.stiffness_while_hardening(2.5 * new, 2.5)
    pull = tension.restrained_tension(locked, shrinkage, nu) * vinyl.ramp_relaxation(10.0, 0.08)
    assert float(pull) == pytest.approx(0.0534, rel=0.005)
    seen = float(split.released_strain(pull, 2.5 * new, nu)) / shrinkage
    assert seen == pytest.approx(0.206, abs=0.001)


def test_what_relaxing_took_comes_back() -> None:
    """Boltzmann superposition for a power law of 0.08 (from memory): creep of a constant pull for
    ten years leaves 1 - (t/10 yr)^n of itself a while t after it, worked by hand."""
    for years in (0.01, 0.1, 1.0):
        free = float(vinyl.recovery(years, 0.08)) * float(vinyl.relaxation(10.0, 0.08))
        assert free == pytest.approx((years / 10.0) ** 0.08, rel=1e-6)
        assert free < 1.0


def test_a_curled_edge_pressed_flat() -> None:
    """Energy of a bent sheet, worked by hand: E 20, t 1, R 10 stores 0.00833 N/mm, E 44, t 1.2, R 8
    0.0495; the pull that parts the same glue stores q^2/(2 K)."""
    for e, t, radius, energy in ((20.0, 1.0, 10.0, 0.00833), (44.0, 1.2, 8.0, 0.0495)):
        q = float(bond.curl_pull(e * t, t, radius))
        assert q**2 / (2.0 * e * t) == pytest.approx(energy, rel=0.002)


def test_a_pull_at_an_angle() -> None:
    """Kendall 1975, worked by hand: 0.34 N/mm in a skin of 6 N/mm sets 0.00963, 0.0552 and 0.350
    N/mm free at 0, 30 and 90 degrees."""
    for angle, energy in ((0.0, 0.00963), (30.0, 0.0552), (90.0, 0.350)):
        q = float(bond.pull_of_same_energy(0.34, 6.0, angle))
        assert q**2 / 12.0 == pytest.approx(energy, rel=0.003)
        # The glue that peels at this pull is the one that parts at that energy.
        assert bond.peel_line_load(energy, angle, 6.0) == pytest.approx(0.34, rel=0.003)


def test_an_aged_curled_edge_in_heat() -> None:
    """Cement with hardener keeps 0.035 N/mm at 85 degC for years, plain cement 0.006 (estimates): a
    supple edge of 0.001 to 0.004 holds with either, one of 0.05 with neither."""
    for e, t, radius, hardener, plain in (
        (8.0, 1.0, 20.0, True, True), (20.0, 1.0, 10.0, True, False),
        (44.0, 1.2, 8.0, False, False),
    ):  # fmt: skip
        q = float(bond.curl_pull(e * t, t, radius))
        for energy, holds in ((0.0346, hardener), (0.00576, plain)):
            assert (q < float(bond.lap_energy_capacity(energy, e * t, 1e9))) is holds


def test_an_edge_that_is_short() -> None:
    """Worked by hand: 3 mm on 58 mm in a skin of 15 N/mm pulls with 0.94 N/mm at once."""
    assert bond.stretched_to_reach(15.0, 3.0, 58.0, 0.42) == pytest.approx(0.942, rel=0.002)


def test_tight_skin_in_a_hollow() -> None:
    """Laplace, worked by hand: 0.34 N/mm on a radius of 30 mm lifts with 11.3 kPa."""
    assert 1000.0 * tension.cylinder_pressure(0.34, 30.0) == pytest.approx(11.33, abs=0.01)


@pytest.mark.parametrize(("riders", "mass"), [(1, 78.0), (10, 116.9), (100, 151.6), (1000, 184.9)])
def test_heaviest_of_many(riders: float, mass: float) -> None:
    """Order statistics of a log-normal, spread 0.27 about 78 kg: NHANES 2009-2012 body mass (looked
    up) for the middle; the quantile worked out by a table of the normal distribution."""
    assert occupant.heaviest_rider(78.0, 0.27, riders) == pytest.approx(mass, rel=0.002)


def test_strip_hole_and_tear_of_one_skin_go_together() -> None:
    """Gaussian copula: correlations of 0.64 and 0.48 (estimates) between the normal draws; leather
    test strengths go together: Russell, J. Soc. Leather Technol. Chem. 72 (abstract)."""
    facts = {"part.kind": ("seat_cushion",), "vehicle.kind": ("car",),
             "skin.material": ("leather",), "damage.kind": ("tear",)}  # fmt: skip
    worlds = SampledWorlds(Case("HB-1", facts=facts), load_pack(), 8192, seed=3)
    names = ("skin.new_line_strength", "skin.new_hole_strength", "skin.new_tear_force")
    ranks = [np.argsort(np.argsort(worlds.values[name])) for name in names]
    found = np.corrcoef(ranks)
    # Rank correlation of a Gaussian copula: 6/pi asin(rho/2).
    for i, j, rho in ((0, 1, 0.64), (0, 2, 0.48), (1, 2, 0.48)):
        assert found[i, j] == pytest.approx(6.0 / math.pi * math.asin(rho / 2.0), abs=0.04)
