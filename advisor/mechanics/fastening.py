"""Screws and hot staples in plastic, and the density by which plastics sink or float."""

from __future__ import annotations

import math

from advisor.mechanics.relation import Real, relation

SHEAR_OF_YIELD = 0.577  # von Mises: shear yield over tensile yield
PULL_OUT = "thread shear with von Mises yield, plastics design practice; efficiency from memory"
VOLUMES = "additive volumes, own derivation"


@relation(
    inputs={
        "efficiency": "1",
        "diameter": "mm",
        "engagement": "mm",
        "yield_strength": "MPa",
    },
    result="N",
    valid={"efficiency": (0.4, 0.6), "diameter": (2.0, 8.0)},
    source=PULL_OUT,
)
def screw_pull_out(
    efficiency: Real, diameter: Real, engagement: Real, yield_strength: Real
) -> Real:
    """Force that pulls a thread-forming screw out of a plastic boss.

    ``F = eta pi d L 0.577 sigma``

    efficiency: share eta of the full cylinder that holds; 1 is the ideal [1]
    diameter: thread diameter d [mm]
    engagement: length of thread in the boss L [mm]
    yield_strength: tensile yield strength of the plastic sigma [MPa]
    Result: F in a short test [N]
    Valid: boss of 2 to 2.5 d outside, 2 to 3 d deep, never stripped.
    Source: plastics design practice; efficiency from memory.
    """
    return efficiency * math.pi * diameter * engagement * SHEAR_OF_YIELD * yield_strength


@relation(
    inputs={
        "efficiency": "1",
        "wire_diameter": "mm",
        "leg_length": "mm",
        "yield_strength": "MPa",
    },
    result="N",
    valid={"efficiency": (0.2, 0.6), "wire_diameter": (0.5, 1.0)},
    source="shear round the buried wire, own estimate",
)
def staple_pull_out(
    efficiency: Real, wire_diameter: Real, leg_length: Real, yield_strength: Real
) -> Real:
    """Force that pulls a hot staple's leg out of the plastic.

    ``F = eta pi d L 0.577 sigma``

    efficiency: share eta of the full cylinder that holds, about 0.4 [1]
    wire_diameter: wire diameter d [mm]
    leg_length: length of wire sunk in L [mm]
    yield_strength: tensile yield strength of the plastic sigma [MPa]
    Result: F in a short test [N]
    Valid: wire fully covered, plastic not burnt.
    Source: own estimate, no publication.
    """
    return screw_pull_out(efficiency, wire_diameter, leg_length, yield_strength)


@relation(inputs={"pull_out": "N", "spacing": "mm"}, result="N/mm", source="definition")
def staple_line_capacity(pull_out: Real, spacing: Real) -> Real:
    """Line load a row of hot staples carries across a crack.

    ``q = F / s``

    pull_out: force of one staple F [N]
    spacing: distance between staples s [mm]
    Result: q [N/mm]
    Valid: staples far enough apart not to crack into each other.
    Source: definition.
    """
    return pull_out / spacing


@relation(
    inputs={"filler_fraction": "1", "polymer_density": "g/cm3", "filler_density": "g/cm3"},
    result="g/cm3",
    valid={"filler_fraction": (0.0, 0.6)},
    source=VOLUMES,
)
def blend_density(filler_fraction: Real, polymer_density: Real, filler_density: Real) -> Real:
    """Density of a filled plastic.

    ``1/rho = (1 - w)/rho1 + w/rho2``

    filler_fraction: mass fraction of filler w [1]
    polymer_density: density of the plastic rho1 [g/cm3]
    filler_density: density of the filler rho2, talc 2.75 [g/cm3]
    Result: rho [g/cm3]
    Valid: solid, not foamed.
    Source: additive volumes.
    """
    volume = (1.0 - filler_fraction) / polymer_density + filler_fraction / filler_density
    return 1.0 / volume
