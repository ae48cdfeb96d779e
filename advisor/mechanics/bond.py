"""What a glued joint carries: lap, butt edge, peel, and what years and cycles leave of it."""

from __future__ import annotations

from advisor.mechanics.arith import cos_degrees, maximum, sqrt, tanh
from advisor.mechanics.relation import Real, relation

VOLKERSEN = "Volkersen 1938, Luftfahrtforschung 15, 41-47"
LAP_INPUTS = {
    "shear_modulus": "MPa",
    "bond_thickness": "mm",
    "stiffness_1": "N/mm",
    "stiffness_2": "N/mm",
}


@relation(inputs=LAP_INPUTS, result="1/mm", source=VOLKERSEN)
def lap_decay(
    shear_modulus: Real, bond_thickness: Real, stiffness_1: Real, stiffness_2: Real
) -> Real:
    """How fast the shear in a lap dies away from its ends.

    ``lambda = sqrt[(G/ta)(1/K1 + 1/K2)]``

    shear_modulus: shear modulus of the glue G [MPa]
    bond_thickness: thickness of the glue ta [mm]
    stiffness_1: E t of one skin K1 [N/mm]
    stiffness_2: E t of the other K2 [N/mm]
    Result: lambda [1/mm]
    Valid: elastic, no peel; bending of the lap makes it worse.
    Source: Volkersen 1938.
    """
    return sqrt(shear_modulus / bond_thickness * (1.0 / stiffness_1 + 1.0 / stiffness_2))


def _mismatch(stiffness_1: Real, stiffness_2: Real) -> Real:
    """How unlike two skins are: 0 where they stretch alike, 1 where one is rigid."""
    return maximum(stiffness_1 - stiffness_2, stiffness_2 - stiffness_1) / (
        stiffness_1 + stiffness_2
    )


@relation(
    inputs={"shear_strength": "MPa", **LAP_INPUTS, "overlap": "mm"},
    result="N/mm",
    valid={"overlap": (1.0, 100.0)},
    source=VOLKERSEN,
)
def lap_capacity(
    shear_strength: Real,
    shear_modulus: Real,
    bond_thickness: Real,
    stiffness_1: Real,
    stiffness_2: Real,
    overlap: Real,
) -> Real:
    """Line load at which the end of a glued lap first fails.

    ``q = tau (2/lambda) t / (1 + r t^2)``, ``t = tanh(lambda L/2)``, ``r = |K1 - K2|/(K1 + K2)``

    shear_strength: shear strength of the glue tau [MPa]
    shear_modulus: shear modulus of the glue [MPa]
    bond_thickness: thickness of the glue [mm]
    stiffness_1: E t of one skin K1 [N/mm]
    stiffness_2: E t of the other K2 [N/mm]
    overlap: length of the lap L [mm]
    Result: q; it fails first where the softer skin is pulled [N/mm]
    Valid: elastic, no peel; more lap than about 4/lambda adds nothing to first failure.
    Source: Volkersen 1938.
    """
    decay = lap_decay(shear_modulus, bond_thickness, stiffness_1, stiffness_2)
    end = tanh(decay * overlap / 2.0)
    unlike = _mismatch(stiffness_1, stiffness_2)
    return shear_strength * (2.0 / decay) * end / (1.0 + unlike * end**2)


@relation(
    inputs={"peel_energy": "N/mm", "stiffness_1": "N/mm", "stiffness_2": "N/mm"},
    result="N/mm",
    source="energy balance of a peeling lap; rigid base as Kendall 1975 at 0 deg",
)
def lap_energy_capacity(peel_energy: Real, stiffness_1: Real, stiffness_2: Real) -> Real:
    """Line load at which a long glued lap parts by what it sets free.

    ``q = sqrt(2 Gc K1 (K1 + K2)/K2)``

    peel_energy: energy to part the glue Gc; the load of a 90 deg peel is a lower bound [N/mm]
    stiffness_1: E t of the skin that is pulled K1 [N/mm]
    stiffness_2: E t of what it is glued to K2 [N/mm]
    Result: q, whatever the overlap, once it is longer than three decay lengths [N/mm]
    Valid: elastic, no bending; clean, textile-backed, pressed laps; not tested on greasy ones.
    Source: own derivation; Kendall 1975, J. Phys. D 8, 1449-1452.
    """
    return sqrt(2.0 * peel_energy * stiffness_1 * (stiffness_1 + stiffness_2) / stiffness_2)


@relation(
    inputs={"shear_strength": "MPa", "overlap": "mm"}, result="N/mm", source="definition"
)
def lap_shear_limit(shear_strength: Real, overlap: Real) -> Real:
    """Line load of a lap whose glue shears evenly all over.

    ``q = tau L``

    shear_strength: shear strength of the glue tau [MPa]
    overlap: length of the lap L [mm]
    Result: q; no lap bears more [N/mm]
    Valid: glue that yields before it parts.
    Source: definition.
    """
    return shear_strength * overlap


@relation(inputs={"strength": "MPa", "thickness": "mm"}, result="N/mm", source="definition")
def butt_capacity(strength: Real, thickness: Real) -> Real:
    """Line load of a skin glued edge to edge.

    ``q = sigma t``

    strength: tensile strength of the glue sigma [MPa]
    thickness: skin thickness t [mm]
    Result: q [N/mm]
    Valid: fresh and flat; splits by peel when flexed.
    Source: definition.
    """
    return strength * thickness


@relation(
    inputs={"peel_strength": "N/mm", "angle": "deg", "stiffness": "N/mm"},
    result="N/mm",
    valid={"angle": (0.0, 180.0)},
    source="Kendall 1975, J. Phys. D 8, 1449-1452",
)
def peel_line_load(peel_strength: Real, angle: Real, stiffness: Real) -> Real:
    """Line load at which a strip peels, by the angle it is pulled.

    ``G = q (1 - cos a) + q^2/(2 K)`` solved for q

    peel_strength: peel load at right angles, taken as the fracture energy G, since
        1 N/mm is 1 kJ/m2; q at 90 deg comes out slightly lower by the stretch [N/mm]
    angle: between the strip and its bed a; 0 is in plane [deg]
    stiffness: K = E t of the strip [N/mm]
    Result: q [N/mm]
    Valid: elastic strip, steady peel; near 0 deg the glue may fail in shear first.
    Source: Kendall 1975.
    """
    lever = 1.0 - cos_degrees(angle)
    # Written with the root below the line, which stays exact for a stiff strip.
    return 2.0 * peel_strength / (lever + sqrt(lever**2 + 2.0 * peel_strength / stiffness))


@relation(
    inputs={"shear_strength": "MPa", "slope": "1"},
    result="MPa",
    valid={"slope": (2.0, 50.0)},
    source="statics of an inclined plane; even shear along a scarf of like parts",
)
def scarf_strength(shear_strength: Real, slope: Real) -> Real:
    """Tension in a wall at which the ground slope that new laminate lies on shears.

    ``sigma = tau (n + 1/n)``

    shear_strength: shear strength of resin on the ground laminate tau [MPa]
    slope: length of the slope over the wall thickness n [1]
    Result: sigma [MPa]
    Valid: ground clean, like stiffness on both sides, so that no end of it is a peak.
    Source: statics.
    """
    return shear_strength * (slope + 1.0 / slope)


@relation(
    inputs={"tension": "N/mm", "stiffness": "N/mm", "angle": "deg"},
    result="N/mm",
    valid={"angle": (0.0, 180.0)},
    source="Kendall 1975, J. Phys. D 8, 1449-1452",
)
def pull_of_same_energy(tension: Real, stiffness: Real, angle: Real) -> Real:
    """Pull in the plane of a strip that parts its glue as one at an angle does.

    ``q^2/(2 K) = T (1 - cos a) + T^2/(2 K)``

    tension: pull along the strip T [N/mm]
    stiffness: K = E t of the strip [N/mm]
    angle: between the strip and its bed a [deg]
    Result: q, to compare with ``lap_energy_capacity`` on a rigid base [N/mm]
    Valid: elastic strip, steady peel.
    Source: Kendall 1975.
    """
    return sqrt(tension**2 + 2.0 * stiffness * tension * (1.0 - cos_degrees(angle)))


@relation(
    inputs={"stiffness": "N/mm", "thickness": "mm", "radius": "mm"},
    result="N/mm",
    source="bending energy of a sheet pressed flat; energy balance of a peeling lap",
)
def curl_pull(stiffness: Real, thickness: Real, radius: Real) -> Real:
    """Pull in the plane of an edge that parts its glue as its curl does, pressed flat.

    ``q^2/(2 K) = D/(2 R^2)``, ``D = K t^2/12``: ``q = K t/(R sqrt(12))``

    stiffness: K = E t of the skin [N/mm]
    thickness: skin thickness t [mm]
    radius: radius to which it curls when free R, above 0 [mm]
    Result: q [N/mm]
    Valid: elastic sheet; a cloth behind it bends easier than that.
    Source: own derivation.
    """
    return stiffness * thickness / (maximum(radius, 1.0) * sqrt(12.0))


@relation(
    inputs={"stiffness": "N/mm", "gap": "mm", "length": "mm", "poisson": "1"},
    result="N/mm",
    valid={"poisson": (0.0, 0.49)},
    source="plane elasticity, strip held in width",
)
def stretched_to_reach(stiffness: Real, gap: Real, length: Real, poisson: Real) -> Real:
    """Pull in an edge that is short and is stretched until it reaches.

    ``T = K g/[L (1 - nu^2)]``

    stiffness: K = E t of the skin today [N/mm]
    gap: what it is short by g [mm]
    length: skin that stretches for it, lifted width and what slips beyond L, above 0 [mm]
    poisson: Poisson's ratio nu [1]
    Result: T at once; 0.3 to 0.5 of it is left for years [N/mm]
    Valid: small strain, long edge.
    Source: plane elasticity.
    """
    return stiffness * gap / (length * (1.0 - poisson**2))
