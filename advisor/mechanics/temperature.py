"""What heat leaves of a joint's strength."""

from __future__ import annotations

import numpy as np

from advisor.mechanics.arith import maximum, minimum
from advisor.mechanics.relation import Real, relation

ROOM = 23.0  # degC, at which strengths are told


@relation(
    inputs={"at_80": "1", "temperature": "degC"},
    result="1",
    valid={"at_80": (0.0, 1.0), "temperature": (23.0, 100.0)},
    source="Straight line between two points; own simplification",
)
def linear_heat_factor(at_80: Real, temperature: Real) -> Real:
    """Strength left at a temperature, on a straight line through 1 at 23 degC.

    ``f = 1 - (1 - f80) (T - 23) / 57``, never above 1 or below 0

    at_80: share of the strength left at 80 degC [1]
    temperature: temperature T [degC]
    Result: f [1]
    Valid: 23 to 100 degC; colder joints are taken as no stronger.
    Source: own simplification between two known points.
    """
    slope = (1.0 - np.asarray(at_80)) / 57.0
    factor: Real = np.clip(1.0 - slope * (np.asarray(temperature) - 23.0), 0.0, 1.0)
    return factor


@relation(
    inputs={"temperature": "degC", "at_50": "1", "at_70": "1", "at_80": "1", "at_100": "1"},
    result="1",
    valid={"temperature": (23.0, 100.0)},
    source="Straight lines between tabulated points",
)
def tabulated_heat_factor(
    temperature: Real, at_50: Real, at_70: Real, at_80: Real, at_100: Real
) -> Real:
    """Strength left at a temperature, by straight lines between tabulated shares.

    ``f`` is 1 at 23 degC, then interpolated between 50, 70, 80 and 100 degC

    temperature: temperature T [degC]
    at_50: share left at 50 degC [1]
    at_70: share left at 70 degC [1]
    at_80: share left at 80 degC [1]
    at_100: share left at 100 degC [1]
    Result: f [1]
    Valid: 23 to 100 degC; constant outside.
    Source: interpolation of adhesive data.
    """
    points = (23.0, 50.0, 70.0, 80.0, 100.0)
    shares = (1.0, at_50, at_70, at_80, at_100)
    factor: Real = 1.0
    for i in range(4):
        along = (temperature - points[i]) / (points[i + 1] - points[i])
        factor = factor + (shares[i + 1] - shares[i]) * minimum(maximum(along, 0.0), 1.0)
    return factor


@relation(
    inputs={"at_minus_15": "1", "temperature": "degC"},
    result="1",
    valid={"at_minus_15": (1.0, 3.0), "temperature": (-30.0, 23.0)},
    source="Straight line between two points; own simplification",
)
def cold_strength_factor(at_minus_15: Real, temperature: Real) -> Real:
    """Strength in the cold against that at 23 degC, on a straight line through 1 there.

    ``f = 1 + (f15 - 1) (23 - T) / 38``, never below 1

    at_minus_15: share at -15 degC, about 1.8 for tensile strength of soft vinyl [1]
    temperature: temperature T [degC]
    Result: f [1]
    Valid: one slow pull; below the brittle point flexing cracks a skin whatever the tension.
    Source: own simplification.
    """
    return maximum(1.0 + (at_minus_15 - 1.0) * (ROOM - temperature) / 38.0, 1.0)
