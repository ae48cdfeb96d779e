"""Flexible foam under a skin: stiffness from its plateau stress, swelling with moisture."""

from __future__ import annotations

from advisor.mechanics.relation import Real, relation

GIBSON_ASHBY = "Gibson & Ashby 1997, Cellular Solids, 2nd ed."


@relation(
    inputs={"plateau": "MPa"},
    result="MPa",
    valid={"plateau": (0.001, 0.2)},
    source=GIBSON_ASHBY,
)
def foam_modulus(plateau: Real) -> Real:
    """Initial modulus of an elastomeric foam from its plateau stress.

    ``E = sigma_el / 0.05``

    plateau: plateau stress, near the compression stress at 40 % [MPa]
    Result: E [MPa]
    Valid: open-cell flexible and semi-rigid foam.
    Source: Gibson & Ashby 1997.
    """
    return plateau / 0.05


@relation(
    inputs={"modulus": "MPa", "poisson": "1"},
    result="MPa",
    valid={"poisson": (0.0, 0.5)},
    source="isotropic elasticity",
)
def foam_shear_modulus(modulus: Real, poisson: Real) -> Real:
    """Shear modulus from Young's modulus.

    ``G = E / [2 (1 + nu)]``

    modulus: Young's modulus E [MPa]
    poisson: Poisson's ratio nu [1]
    Result: G [MPa]
    Valid: isotropic, small strain.
    Source: isotropic elasticity.
    """
    return modulus / (2.0 * (1.0 + poisson))


@relation(
    inputs={"modulus": "MPa", "poisson": "1"},
    result="MPa",
    valid={"poisson": (0.0, 0.45)},
    source="isotropic elasticity",
)
def foam_confined_modulus(modulus: Real, poisson: Real) -> Real:
    """Modulus of a foam layer that cannot widen.

    ``M = E (1 - nu) / [(1 + nu)(1 - 2 nu)]``

    modulus: Young's modulus E [MPa]
    poisson: Poisson's ratio nu [1]
    Result: M [MPa]
    Valid: wide layer bonded to a rigid carrier; diverges at nu = 0.5.
    Source: isotropic elasticity.
    """
    return modulus * (1.0 - poisson) / ((1.0 + poisson) * (1.0 - 2.0 * poisson))
