"""A cracked hard part: what survival tells of its loads, and a doubled wall.

Survival as evidence: JCSS Probabilistic Model Code, annex C, and SAMCO guideline F08a 2006 (method;
looked up). Figures called "worked by hand" are own calculations, no measurement.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from advisor.mechanics import carrier

Z = np.random.default_rng(3).standard_normal(400_000)


def hold(lived: np.ndarray, joint: float, age: float) -> float:
    """Share of walls whose repair holds for ten years, by the share of the wall it carries."""
    usage = np.asarray(carrier.load_by_survival(lived, 1.0, age, 0.12)) / joint
    return float(np.mean(usage <= 1.0))


def test_usage_of_a_wall_adds_up() -> None:
    """Worked by hand: 0.2/1 + 0.6/1.2 + 0.8/4."""
    assert carrier.usage_of_wall(0.2, 0.6, 0.8, 1.0, 1.2, 4.0) == pytest.approx(0.9)


@pytest.mark.parametrize(
    ("joint", "expected"), [(0.55, 0.0009), (0.72, 0.0378), (1.24, 0.827), (2.2, 0.9999)]
)
def test_cracked_in_use_after_eight_years(joint: float, expected: float) -> None:
    """Worked by hand: usage 1 at the crack, log spread 0.2, slope 0.12 of life."""
    assert hold(np.exp(0.2 * Z), joint, 8.0) == pytest.approx(expected, abs=0.005)


@pytest.mark.parametrize(("joint", "expected"), [(0.40, 0.384), (0.55, 0.623), (0.72, 0.815)])
def test_cracked_by_a_blow(joint: float, expected: float) -> None:
    """Worked by hand: middle 0.5, log spread 0.6, all that had not broken before."""
    lived = 0.5 * np.exp(0.6 * Z)
    assert hold(lived[lived < 1.0], joint, 8.0) == pytest.approx(expected, abs=0.01)


def test_guessed_forces_cancel() -> None:
    """Own definition: loads taken twice as large are set back by half."""
    once = carrier.load_by_survival(1.0, 0.7, 8.0, 0.12)
    assert carrier.load_by_survival(1.0, 1.4, 8.0, 0.12) == pytest.approx(once / 2.0)


def test_a_doubled_wall_goes_with_the_square() -> None:
    """Section modulus b t^2/6 (Timoshenko): 1.5, 2 and 3 walls at 0.55 carry 1.24, 2.2, 4.95."""
    flush = carrier.bending_capacity(41.0, 2.5)
    for walls, expected in ((1.5, 1.2375), (2.0, 2.2), (3.0, 4.95)):
        doubled = carrier.built_up_capacity(0.55 * 41.0, 2.5, walls * 2.5)
        assert doubled / flush == pytest.approx(expected, rel=1e-3)
    assert carrier.built_up_capacity(41.0, 2.5, 2.5) == flush


def test_wall_beside_a_doubler() -> None:
    """Worked by hand: moment and step beside it 0.7 x 1.3, 0.7 x 1.1, 0.5 x 1.15, spread 0.25."""
    life = float(carrier.load_by_survival(1.0, 1.0, 8.0, 0.12))
    for moment, step, expected in ((0.7, 1.3, 0.607), (0.7, 1.1, 0.826), (0.5, 1.15, 0.983)):
        z = -math.log(life * moment * step) / 0.25
        assert 0.5 * (1.0 + math.erf(z / math.sqrt(2.0))) == pytest.approx(expected, abs=0.005)
