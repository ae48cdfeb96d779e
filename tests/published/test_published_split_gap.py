"""How wide a split stands open, against own numerical solutions."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from advisor.mechanics import split

Array = NDArray[np.float64]
FAR = 12.0  # lag lengths to where nothing moves any more


def grid(fine_at: float, first: float, far: float, lead_in: int = 0) -> Array:
    """Points from 0, close together at ``fine_at`` and growing apart beyond it."""
    points = list(fine_at * (1.0 - (1.0 - np.linspace(0.0, 1.0, lead_in + 1)) ** 2))
    step = first
    while points[-1] < far:
        points.append(min(points[-1] + step, far))
        step *= 1.35
    return np.array(points)


def element(dx: float, dy: float, poisson: float) -> Array:
    """Stiffness of a rectangle of skin (E t = 1) on padding whose lag length is 1."""
    plane = np.array([[1.0, poisson, 0.0], [poisson, 1.0, 0.0], [0.0, 0.0, (1.0 - poisson) / 2.0]])
    plane /= 1.0 - poisson**2
    total = np.zeros((8, 8))
    g = 1.0 / math.sqrt(3.0)
    for x, y in ((-g, -g), (g, -g), (g, g), (-g, g)):
        corners = ((-1, -1), (1, -1), (1, 1), (-1, 1))
        shape = np.array([(1 + a * x) * (1 + b * y) / 4.0 for a, b in corners])
        along = np.array([a * (1 + b * y) / 4.0 for a, b in corners]) * 2.0 / dx
        across = np.array([b * (1 + a * x) / 4.0 for a, b in corners]) * 2.0 / dy
        strain = np.zeros((3, 8))
        strain[0, 0::2], strain[1, 1::2] = along, across
        strain[2, 0::2], strain[2, 1::2] = across, along
        carried = np.zeros((2, 8))
        carried[0, 0::2] = carried[1, 1::2] = shape
        total += (strain.T @ plane @ strain + carried.T @ carried) * dx * dy / 4.0
    return total


def opening_by_elements(half_length: float, poisson: float) -> tuple[float, float]:
    """Gap of a split in its middle and on average, per shrinkage, all lengths in lag lengths.

    A quarter of a wide skin on padding, shrunk alike both ways: the pull 1/(1 - nu) that the
    sound skin bears is let go along the split.
    """
    first = min(half_length, 0.6) / 14.0
    xs = grid(half_length, first, half_length + FAR, lead_in=14)
    ys = grid(0.0, first / 2.0, FAR)
    number = np.arange(len(xs) * len(ys)).reshape(len(xs), len(ys))
    matrix = np.zeros((2 * number.size, 2 * number.size))
    for i, dx in enumerate(np.diff(xs)):
        for j, dy in enumerate(np.diff(ys)):
            corners = number[[i, i + 1, i + 1, i], [j, j, j + 1, j + 1]]
            at = np.stack([2 * corners, 2 * corners + 1], axis=1).ravel()
            matrix[np.ix_(at, at)] += element(float(dx), float(dy), poisson)
    open_here = xs <= half_length + 1e-9
    load = np.zeros(2 * number.size)
    for i in range(int(open_here.sum()) - 1):
        share = (xs[i + 1] - xs[i]) / (2.0 * (1.0 - poisson))
        load[2 * number[[i, i + 1], 0] + 1] += share
    held = [*(2 * number[0]), *(2 * number[~open_here, 0] + 1), 2 * number[open_here, 0][-1] + 1]
    free = np.setdiff1d(np.arange(load.size), held)
    moved = np.zeros(load.size)
    moved[free] = np.linalg.solve(matrix[np.ix_(free, free)], load[free])
    lip = moved[2 * number[open_here, 0] + 1]
    mean = np.sum((lip[1:] + lip[:-1]) * np.diff(xs[open_here])) / 2.0 / xs[open_here][-1]
    return 2.0 * float(lip[0]), 2.0 * float(mean)


@pytest.mark.parametrize("half_length", [0.1, 0.3, 1.0, 3.0])
@pytest.mark.parametrize("poisson", [0.30, 0.45])
def test_gap_of_a_split_of_any_length(half_length: float, poisson: float) -> None:
    """Own numerical solution (finite elements, plane stress on an elastic bed), within 5 %."""
    found = split.split_gap(0.01, 50.0, 50.0 * FAR, 2.0 * 50.0 * half_length, poisson)
    expected = 0.01 * 50.0 * opening_by_elements(half_length, poisson)[0]
    assert found == pytest.approx(expected, rel=0.05)


def test_short_split_is_a_slit_in_a_loose_sheet() -> None:
    """The limit of Tada, Paris & Irwin: padding cannot hold what is far shorter than the lag."""
    gap = split.split_gap(0.00917, 1e4, 1e5, 60.0, 0.45)
    assert gap == pytest.approx(2.0, rel=0.005)


def test_long_split_in_a_skin_that_shrank_both_ways() -> None:
    """Worked by hand from plane elasticity: sideways the skin stays held, so the edge draws
    back by eps (1 + nu) over lambda/sqrt(1 - nu^2): 1.40 mm where shrinkage across the split
    alone would give 0.965. K 8, h 25, G 0.1, 100 mm to the fixing, 1 %, nu 0.45."""
    lag = split.shear_lag_length(8.0, 25.0, 0.1)
    assert lag == pytest.approx(44.72, rel=1e-3)
    assert split.split_gap(0.01, lag, 100.0, 1e6, 0.45) == pytest.approx(1.400, rel=0.005)
    wide = split.shear_lag_length(8.0 / (1.0 - 0.45**2), 25.0, 0.1)
    lips = 2.0 * 0.01 * wide * math.tanh(100.0 / wide)  # shear lag, Cox 1952
    assert lips == pytest.approx(1.400 / 1.45, rel=0.005)


def test_a_loose_skin_draws_back_to_its_fixings() -> None:
    """Geometry: without padding that holds it, a long split opens by what the strips on both
    sides have shrunk, held sideways: 2 eps (1 + nu) L."""
    assert split.split_gap(0.01, 1e5, 80.0, 1e6, 0.42) == pytest.approx(0.02 * 1.42 * 80, rel=1e-3)
