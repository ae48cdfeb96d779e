"""Tension in a skin that is held from shrinking, over a curve, and in the cold."""

from __future__ import annotations

from advisor.mechanics.arith import exp, maximum, minimum
from advisor.mechanics.foam import foam_confined_modulus
from advisor.mechanics.relation import Real, relation

ROOM = 23.0  # degC, where the two slopes of the modulus meet
HOOKE = "plane elasticity, e.g. Timoshenko & Goodier, Theory of Elasticity"


COOLING_INPUTS = {
    "stiffness": "N/mm",
    "poisson": "1",
    "expansion_difference": "1/K",
    "warm": "degC",
    "cold": "degC",
    "b_warm": "1/K",
    "b_cold": "1/K",
}
COOLING_RANGE = {
    "cold": (-30.0, 80.0), "warm": (-30.0, 80.0), "expansion_difference": (0.0, 2e-4)
}  # fmt: skip


@relation(inputs={"modulus": "MPa", "thickness": "mm"}, result="N/mm", source=HOOKE)
def stretched_stiffness(modulus: Real, thickness: Real) -> Real:
    """Stiffness of a skin per width.

    ``K = E t``

    modulus: Young's modulus E of the skin [MPa]
    thickness: skin thickness t [mm]
    Result: K, line tension per unit strain of a free strip [N/mm]
    Valid: small strain.
    Source: plane elasticity.
    """
    return modulus * thickness


@relation(
    inputs={"stiffness": "N/mm", "strain": "1", "poisson": "1"},
    result="N/mm",
    valid={"strain": (0.0, 0.1), "poisson": (0.0, 0.49)},
    source=HOOKE,
)
def restrained_tension(stiffness: Real, strain: Real, poisson: Real) -> Real:
    """Line tension of a skin held from shrinking in both directions.

    ``T = K eps / (1 - nu)``

    stiffness: K = E t of the skin [N/mm]
    strain: shrinkage eps that is prevented [1]
    poisson: Poisson's ratio nu of the skin [1]
    Result: T [N/mm]
    Valid: small strain; multiply by the relaxation for old strain.
    Source: plane elasticity.
    """
    return stiffness * strain / (1.0 - poisson)


@relation(
    inputs={
        "modulus": "MPa",
        "foam_poisson": "1",
        "thickness": "mm",
        "radius": "mm",
        "skin_poisson": "1",
    },
    result="N/mm",
    valid={"foam_poisson": (0.0, 0.45)},
    source="Laplace 1806 and springs in series, own derivation",
)
def squeeze_stiffness(
    modulus: Real, foam_poisson: Real, thickness: Real, radius: Real, skin_poisson: Real
) -> Real:
    """How hard curved padding resists a cover that shortens round it.

    ``Kb = M R^2/[h (1 - nu)]``: a pull T presses with T/R, which squeezes the padding by
    T h/(R M) and gives the cover that over R of its length back

    modulus: Young's modulus of the foam E [MPa]
    foam_poisson: Poisson's ratio of the foam; M is its confined modulus [1]
    thickness: foam thickness h, above 0 [mm]
    radius: radius of the curve R; a flat cover gets nothing back [mm]
    skin_poisson: Poisson's ratio nu of the skin, whose pull for a strain is K/(1 - nu) [1]
    Result: Kb, to share with K/(1 - nu) in series [N/mm]
    Valid: padding on a base, squeezed by less than a twentieth; then it yields.
    Source: Laplace; springs in series.
    """
    confined = foam_confined_modulus(modulus, foam_poisson)
    return confined * radius**2 / (thickness * (1.0 - skin_poisson))


@relation(
    inputs={"skin_stiffness": "N/mm", "base_stiffness": "N/mm"},
    result="1",
    source="springs in series, own derivation",
)
def series_share(skin_stiffness: Real, base_stiffness: Real) -> Real:
    """Share of a skin's shrinkage that stays as strain on a base that gives way.

    ``s = Kb / (Ks + Kb)``

    skin_stiffness: Ks of the skin, with its factor 1/(1 - nu) [N/mm]
    base_stiffness: Kb of ``squeeze_stiffness``, or of a pad free on its carrier Ef h/(1 - nuf)
        [N/mm]
    Result: s; the tension is Ks eps s [1]
    Valid: small strain; 1 where a carrier holds the skin.
    Source: springs in series.
    """
    return base_stiffness / (skin_stiffness + base_stiffness)


@relation(inputs={"tension": "N/mm", "radius": "mm"}, result="MPa", source="Laplace 1806")
def cylinder_pressure(tension: Real, radius: Real) -> Real:
    """Pressure of a tight skin on the foam under a cylindrical curve.

    ``p = T / R``

    tension: line tension T [N/mm]
    radius: radius of the curve R [mm]
    Result: p [MPa]
    Valid: thin skin; soft foam yields once p reaches its plateau stress.
    Source: Laplace.
    """
    return tension / radius


@relation(
    inputs={
        "swelling": "1",
        "foam_modulus": "MPa",
        "foam_poisson": "1",
        "foam_thickness": "mm",
        "radius": "mm",
        "stiffness": "N/mm",
    },
    result="N/mm",
    valid={"swelling": (0.0, 0.01), "foam_poisson": (0.0, 0.45)},
    source="springs in series, own derivation",
)
def swelling_tension(
    swelling: Real,
    foam_modulus: Real,
    foam_poisson: Real,
    foam_thickness: Real,
    radius: Real,
    stiffness: Real,
) -> Real:
    """Line tension of a curved skin over foam that swells.

    ``u = dh kf/(kf + ks)``, ``T = K u/R``; ``dh = eps h (1 + nu)/(1 - nu)``,
    ``kf = M/h``, ``ks = K/R^2``, M the confined modulus of the foam

    swelling: linear swelling eps of the foam [1]
    foam_modulus: Young's modulus of the foam [MPa]
    foam_poisson: Poisson's ratio nu of the foam [1]
    foam_thickness: foam thickness h [mm]
    radius: radius of the curve R [mm]
    stiffness: K = E t of the skin [N/mm]
    Result: T [N/mm]
    Valid: foam bonded to a rigid carrier; a flat skin feels none of it.
    Source: springs in series.
    """
    rise = swelling * foam_thickness * (1.0 + foam_poisson) / (1.0 - foam_poisson)
    foam = foam_confined_modulus(foam_modulus, foam_poisson) / foam_thickness
    skin = stiffness / radius**2
    return stiffness * rise * foam / (foam + skin) / radius


@relation(
    inputs=COOLING_INPUTS,
    result="N/mm",
    valid=COOLING_RANGE,
    source="thermal misfit with an exponential modulus, own derivation",
)
def cooling_tension(
    stiffness: Real,
    poisson: Real,
    expansion_difference: Real,
    warm: Real,
    cold: Real,
    b_warm: Real,
    b_cold: Real,
) -> Real:
    """Line tension of a skin that cools on a carrier which shrinks less.

    ``T = K/(1 - nu) da (integral of E(T)/E23 from cold to warm)``

    stiffness: K = E t of the skin at 23 degC [N/mm]
    poisson: Poisson's ratio nu of the skin [1]
    expansion_difference: expansion of skin less that of carrier da [1/K]
    warm: last temperature at which the skin was free of stress [degC]
    cold: temperature now [degC]
    b_warm: slope of ln E above 23 degC, above 0 [1/K]
    b_cold: slope of ln E below 23 degC, above 0 [1/K]
    Result: T; 0 where it did not cool [N/mm]
    Valid: above the glass transition; no relaxation within one night.
    Source: own derivation.
    """
    top = maximum(warm, cold)
    warm_part = (
        exp(-b_warm * (maximum(cold, ROOM) - ROOM)) - exp(-b_warm * (maximum(top, ROOM) - ROOM))
    ) / b_warm
    cold_part = (
        exp(b_cold * (ROOM - minimum(cold, ROOM))) - exp(b_cold * (ROOM - minimum(top, ROOM)))
    ) / b_cold
    return stiffness / (1.0 - poisson) * expansion_difference * (warm_part + cold_part)


@relation(
    inputs=COOLING_INPUTS,
    result="N/mm",
    valid=COOLING_RANGE,
    source="shear lag (Volkersen 1938) with an exponential modulus, own derivation",
)
def cooling_lap_tension(
    stiffness: Real,
    poisson: Real,
    expansion_difference: Real,
    warm: Real,
    cold: Real,
    b_warm: Real,
    b_cold: Real,
) -> Real:
    """Line tension at 23 degC that strains the end of a glued lap as cooling does.

    ``T = K/(1 - nu) da (integral of sqrt(E(T)/E23) from cold to warm)``

    stiffness: K = E t of the skin at 23 degC [N/mm]
    poisson: Poisson's ratio nu of the skin [1]
    expansion_difference: expansion of skin less that of carrier da [1/K]
    warm: last temperature at which the skin was free of stress [degC]
    cold: temperature now [degC]
    b_warm: slope of ln E above 23 degC, above 0 [1/K]
    b_cold: slope of ln E below 23 degC, above 0 [1/K]
    Result: T, to compare with ``lap_capacity`` at 23 degC; 0 where it did not cool [N/mm]
    Valid: skin glued flat to a carrier, lap longer than 2/lambda; glue as at 23 degC.
    Source: Volkersen 1938; own derivation.
    """
    # A stiffer skin hands its pull over on a longer way: the shear at the end of the lap goes
    # with T lambda, and lambda with 1/sqrt(E). Halved slopes are the root of the modulus.
    return cooling_tension(
        stiffness, poisson, expansion_difference, warm, cold, b_warm / 2.0, b_cold / 2.0
    )


#: Points and weights of Gauss and Legendre on (0, 1), exact to the eleventh power.
GAUSS = (
    (0.033765242898424, 0.085662246189585),
    (0.169395306766868, 0.180380786524069),
    (0.380690406958402, 0.233956967286346),
    (0.619309593041598, 0.233956967286346),
    (0.830604693233132, 0.180380786524069),
    (0.966234757101576, 0.085662246189585),
)


@relation(
    inputs={**COOLING_INPUTS, "base_stiffness": "N/mm", "b_base": "1/K"},
    result="N/mm",
    valid=COOLING_RANGE,
    source="thermal misfit of two springs in series, own derivation",
)
def cooling_tension_shared(
    stiffness: Real,
    poisson: Real,
    expansion_difference: Real,
    warm: Real,
    cold: Real,
    b_warm: Real,
    b_cold: Real,
    base_stiffness: Real,
    b_base: Real,
) -> Real:
    """Line tension of a skin that cools on a base which gives way.

    ``T = da (integral of 1/[(1 - nu)/K(T) + 1/Kb(T)] from cold to warm)``

    stiffness: K = E t of the skin at 23 degC [N/mm]
    poisson: Poisson's ratio nu of the skin [1]
    expansion_difference: expansion of skin less that of its base da [1/K]
    warm: last temperature at which the skin was free of stress [degC]
    cold: temperature now [degC]
    b_warm: slope of ln E of the skin above 23 degC, above 0 [1/K]
    b_cold: slope of ln E of the skin below 23 degC, above 0 [1/K]
    base_stiffness: Kb of the base at 23 degC: Ef h/(1 - nuf) of a free pad, very much of a
        carrier [N/mm]
    b_base: slope of ln E of the base; foam stiffens far less than vinyl [1/K]
    Result: T; 0 where it did not cool, that of ``cooling_tension`` on a stiff base [N/mm]
    Valid: above the glass transition; no relaxation within one night.
    Source: own derivation.
    """
    top = maximum(warm, cold)
    skin = stiffness / (1.0 - poisson)
    total: Real = 0.0
    for start, end, slope in (
        (maximum(cold, ROOM), maximum(top, ROOM), b_warm),
        (minimum(cold, ROOM), minimum(top, ROOM), b_cold),
    ):
        for point, weight in GAUSS:
            below = ROOM - (start + point * (end - start))
            here = skin * exp(slope * below)
            base = base_stiffness * exp(b_base * below)
            total = total + weight * (end - start) * here * base / (here + base)
    return expansion_difference * total
