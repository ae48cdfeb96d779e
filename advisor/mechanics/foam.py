"""Flexible foam under a skin: stiffness from its plateau stress, swelling with moisture."""

from __future__ import annotations

from advisor.mechanics.relation import Real, relation

GIBSON_ASHBY = "Gibson & Ashby 1997, Cellular Solids, 2nd ed."
WATER_DENSITY = 1.0  # g/cm3


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


@relation(
    inputs={"uptake": "1", "polymer_density": "g/cm3"},
    result="1",
    valid={"uptake": (0.0, 0.08), "polymer_density": (1.0, 1.3)},
    source=f"additive volumes; a foam swells as its solid does: {GIBSON_ASHBY}",
)
def swelling_strain(uptake: Real, polymer_density: Real) -> Real:
    """Linear swelling of a foam that took up water.

    ``eps = w rho / (3 rho_water)``

    uptake: water mass per mass of foam w [1]
    polymer_density: density of the solid polymer rho, polyurethane 1.2 [g/cm3]
    Result: linear swelling [1]
    Valid: water bound in the polymer; water standing in the cells does not swell it.
    Source: additive volumes; Gibson & Ashby 1997.
    """
    return uptake * polymer_density / (3.0 * WATER_DENSITY)
