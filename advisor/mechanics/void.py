"""A skin over a hollow: how deep it sinks and how tight it gets."""

from __future__ import annotations

import math
from typing import cast

import numpy as np
from numpy.polynomial.polynomial import polyval
from numpy.typing import NDArray

from advisor.mechanics.arith import cbrt, exp, interpolate, log, power, rising_root, sqrt
from advisor.mechanics.relation import Real, relation

ORDER = 30  # terms of the membrane series; converged to 1e-9 for poisson up to 0.5
PAD_RATIO = (0.005, 0.02, 0.1, 0.3)
PAD_LOG_FACTOR = tuple(math.log(factor) for factor in (1.263, 1.454, 2.399, 6.920))
STRIP = "statics of two straight flanks, own derivation"
PAD = "membrane equations solved numerically for a rigid round pad, poisson 0.45"
HENCKY = "Hencky 1915, Z. Math. Phys. 63, 311-317; Fichter 1997, NASA TP-3658"


def _strip_load(depth: Real, half_span: Real, stiffness: Real, pretension: Real) -> Real:
    flank = sqrt(1.0 + (depth / half_span) ** 2)
    tension = pretension + stiffness * (flank - 1.0)
    return 2.0 * tension * (depth / half_span) / flank


@relation(
    inputs={
        "line_load": "N/mm",
        "half_span": "mm",
        "stiffness": "N/mm",
        "pretension": "N/mm",
    },
    result="mm",
    source=STRIP,
)
def strip_sag(line_load: Real, half_span: Real, stiffness: Real, pretension: Real) -> Real:
    """Depth to which an edge pressed on a skin over a long hollow sinks in.

    ``q = 2 T sin a``, ``T = T0 + K (1/cos a - 1)``, ``tan a = d/b`` solved for d

    line_load: load q along the middle of the hollow [N/mm]
    half_span: half the width of the hollow b [mm]
    stiffness: K of the skin across the hollow [N/mm]
    pretension: line tension T0 before [N/mm]
    Result: d [mm]
    Valid: skin held at both rims, nothing carries below.
    Source: statics.
    """
    # At tan a = 1 + q/(2K) the stretch alone already carries q.
    deepest = half_span * (1.0 + line_load / (2.0 * stiffness))

    def excess(depth: Real) -> Real:
        return _strip_load(depth, half_span, stiffness, pretension) - line_load

    return rising_root(excess, 0.0 * deepest, deepest)


@relation(
    inputs={
        "line_load": "N/mm",
        "half_span": "mm",
        "stiffness": "N/mm",
        "pretension": "N/mm",
    },
    result="N/mm",
    source=STRIP,
)
def strip_sag_tension(
    line_load: Real, half_span: Real, stiffness: Real, pretension: Real
) -> Real:
    """Line tension of a skin pressed into a long hollow.

    ``T = T0 + K (sqrt(1 + (d/b)^2) - 1)`` at the depth of ``strip_sag``

    line_load: load q along the middle of the hollow [N/mm]
    half_span: half the width of the hollow b [mm]
    stiffness: K of the skin across the hollow [N/mm]
    pretension: line tension T0 before [N/mm]
    Result: T [N/mm]
    Valid: skin held at both rims, nothing carries below.
    Source: statics.
    """
    depth = strip_sag(line_load, half_span, stiffness, pretension)
    return pretension + stiffness * (sqrt(1.0 + (depth / half_span) ** 2) - 1.0)


@relation(
    inputs={"pressure": "MPa", "half_span": "mm", "stiffness": "N/mm"},
    result="N/mm",
    source="Timoshenko & Woinowsky-Krieger, Theory of Plates and Shells: long plate as a "
    "membrane (from memory)",
)
def strip_pressure_tension(pressure: Real, half_span: Real, stiffness: Real) -> Real:
    """Line tension of a skin that is pressed evenly into a long hollow.

    ``T = (K p^2 b^2 / 6)^(1/3)``: a parabola of depth ``p b^2 / (2 T)`` is longer than its
    chord by ``2/3 (d/b)^2``

    pressure: even pressure p [MPa]
    half_span: half the width of the hollow b [mm]
    stiffness: K of the skin across the hollow [N/mm]
    Result: T [N/mm]
    Valid: slack at first, held at both rims, depth below a third of b.
    Source: Timoshenko & Woinowsky-Krieger (from memory); own derivation.
    """
    return cbrt(stiffness * (pressure * half_span) ** 2 / 6.0)


@relation(
    inputs={
        "depth": "mm",
        "radius": "mm",
        "stiffness": "N/mm",
        "pretension": "N/mm",
        "poisson": "1",
    },
    result="N",
    valid={"poisson": (0.0, 0.5)},
    source="Lee, Wei, Kysar & Hone 2008, Science 321, 385-388",
)
def point_load_on_void(
    depth: Real, radius: Real, stiffness: Real, pretension: Real, poisson: Real
) -> Real:
    """Force of a pointed thing that dents a skin over a round hollow.

    ``F = pi T0 d + K q^3 d^3 / a^2``, ``q = 1/(1.05 - 0.15 nu - 0.16 nu^2)``

    depth: depth of the dent d [mm]
    radius: radius of the hollow a [mm]
    stiffness: K = E t of the skin [N/mm]
    pretension: line tension T0 before [N/mm]
    poisson: Poisson's ratio nu of the skin [1]
    Result: F [N]
    Valid: a point; an elbow needs about six times as much, see ``pad_dent``.
    Source: Lee et al. 2008.
    """
    shape = 1.0 / (1.05 - 0.15 * poisson - 0.16 * poisson**2)
    return math.pi * pretension * depth + stiffness * shape**3 * depth**3 / radius**2


@relation(
    inputs={
        "force": "N",
        "radius": "mm",
        "pad_radius": "mm",
        "stiffness": "N/mm",
        "pretension": "N/mm",
    },
    result="mm",
    source=PAD,
)
def pad_dent(
    force: Real, radius: Real, pad_radius: Real, stiffness: Real, pretension: Real
) -> Real:
    """Depth to which an elbow presses a skin into a round hollow.

    ``F = C K d^3/a^2 + 2 pi T0 d / ln(a/c)`` solved for d

    force: pressing force F [N]
    radius: radius of the hollow a [mm]
    pad_radius: radius of the round pad c, below a [mm]
    stiffness: K = E t of the skin [N/mm]
    pretension: line tension T0 before [N/mm]
    Result: d [mm]
    Valid: c/a from 0.005 to 0.3, poisson near 0.45, skin not slipping under the pad;
        C held level beyond.
    Source: own numerical solution.
    """
    ratio = pad_radius / radius
    factor = exp(interpolate(ratio, PAD_RATIO, PAD_LOG_FACTOR))
    spring = factor * stiffness / radius**2
    early = -2.0 * math.pi * pretension / log(ratio)
    deepest = cbrt(force / spring)
    return rising_root(lambda d: spring * d**3 + early * d - force, 0.0 * deepest, deepest)


def _membrane_series() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Coefficients of s/c0 and of its inverse in powers of z u, u the radius squared.

    The radial force s obeys ``4 (u^2 s'' + 2 u s') + u/(8 s^2) = 0`` in u. With
    ``s = c0 sum(g_n (z u)^n)`` and ``z = 1/(32 c0^3)`` it turns into
    ``n (n + 1) g_n = -(coefficient n - 1 of 1/g^2)``.
    """
    series = np.zeros(ORDER)
    inverse = np.zeros(ORDER)
    series[0] = inverse[0] = 1.0
    for n in range(1, ORDER):
        square = float(inverse[:n] @ inverse[:n][::-1])
        series[n] = -square / (n * (n + 1))
        inverse[n] = -float(series[1 : n + 1] @ inverse[:n][::-1])
    return series, inverse


_SERIES, _INVERSE = _membrane_series()
_TERM = np.arange(ORDER, dtype=np.float64)


def _edge_root(poisson: Real) -> Real:
    """z at which the rim does not move: ``sum((2 n + 1 - nu) g_n z^n) = 0``."""

    def slack(z: Real) -> Real:
        stress = cast(Real, polyval(z, _SERIES * (2.0 * _TERM + 1.0)))
        return poisson * cast(Real, polyval(z, _SERIES)) - stress

    return rising_root(slack, 0.0 * poisson, 0.0 * poisson + 0.7)


@relation(
    inputs={"poisson": "1"}, result="1", valid={"poisson": (0.0, 0.5)}, source=HENCKY
)
def hencky_deflection_factor(poisson: Real) -> Real:
    """Factor of the depth of a round skin under even pressure.

    ``w0 = k a (p a/K)^(1/3)``

    poisson: Poisson's ratio of the skin [1]
    Result: k [1]
    Valid: flat and slack at first, held all round, small slopes.
    Source: Hencky 1915; Fichter 1997.
    """
    z = _edge_root(poisson)
    centre = cbrt(1.0 / (32.0 * z))
    return cast(Real, polyval(z, _INVERSE / (_TERM + 1.0))) / (4.0 * centre)


@relation(
    inputs={"poisson": "1"}, result="1", valid={"poisson": (0.0, 0.5)}, source=HENCKY
)
def hencky_edge_factor(poisson: Real) -> Real:
    """Factor of the line tension at the rim of a round skin under even pressure.

    ``N = n (p^2 a^2 K)^(1/3)``

    poisson: Poisson's ratio of the skin [1]
    Result: n [1]
    Valid: flat and slack at first, held all round, small slopes.
    Source: Hencky 1915; Fichter 1997.
    """
    z = _edge_root(poisson)
    return cbrt(1.0 / (32.0 * z)) * cast(Real, polyval(z, _SERIES))


@relation(
    inputs={"pressure": "MPa", "radius": "mm", "stiffness": "N/mm", "poisson": "1"},
    result="mm",
    valid={"poisson": (0.0, 0.5)},
    source=HENCKY,
)
def pressure_sag(pressure: Real, radius: Real, stiffness: Real, poisson: Real) -> Real:
    """Depth in the middle of a round skin under even pressure.

    ``w0 = k a (p a/K)^(1/3)``

    pressure: pressure p [MPa]
    radius: radius of the hollow a [mm]
    stiffness: K = E t of the skin [N/mm]
    poisson: Poisson's ratio of the skin [1]
    Result: w0 [mm]
    Valid: flat and slack at first, held all round, w0 below a third of a.
    Source: Hencky 1915; Fichter 1997.
    """
    factor = hencky_deflection_factor(poisson)
    return factor * radius * cbrt(pressure * radius / stiffness)


@relation(
    inputs={"pressure": "MPa", "radius": "mm", "stiffness": "N/mm", "poisson": "1"},
    result="N/mm",
    valid={"poisson": (0.0, 0.5)},
    source=HENCKY,
)
def pressure_sag_tension(
    pressure: Real, radius: Real, stiffness: Real, poisson: Real
) -> Real:
    """Line tension at the rim of a round skin under even pressure.

    ``N = n (p^2 a^2 K)^(1/3)``

    pressure: pressure p [MPa]
    radius: radius of the hollow a [mm]
    stiffness: K = E t of the skin [N/mm]
    poisson: Poisson's ratio of the skin [1]
    Result: N [N/mm]
    Valid: flat and slack at first, held all round.
    Source: Hencky 1915; Fichter 1997.
    """
    factor = hencky_edge_factor(poisson)
    return factor * power((pressure * radius) ** 2 * stiffness, 1.0 / 3.0)
