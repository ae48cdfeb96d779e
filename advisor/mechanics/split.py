"""What a split shows of the tension in its skin: the gap at rest and the pull that closes it."""

from __future__ import annotations

from advisor.mechanics.arith import maximum, sqrt, tanh
from advisor.mechanics.relation import Real, relation

SHEAR_LAG = "shear lag after Cox 1952 and Volkersen 1938, own derivation for skin on foam"
CENTRE_CRACK = "Tada, Paris & Irwin, Stress Analysis of Cracks Handbook: centre crack, wide sheet"


@relation(
    inputs={"stiffness": "N/mm", "foam_thickness": "mm", "foam_shear_modulus": "MPa"},
    result="mm",
    source=SHEAR_LAG,
)
def shear_lag_length(stiffness: Real, foam_thickness: Real, foam_shear_modulus: Real) -> Real:
    """Length over which a cut skin on foam gets its tension back.

    ``lambda = sqrt(K h / G)``

    stiffness: K of the skin [N/mm]
    foam_thickness: foam thickness h [mm]
    foam_shear_modulus: shear modulus G of the foam [MPa]
    Result: lambda [mm]
    Valid: skin bonded to the foam, foam bonded to a rigid carrier, h well below lambda.
    Source: Cox 1952; Volkersen 1938.
    """
    return sqrt(stiffness * foam_thickness / foam_shear_modulus)


@relation(
    inputs={
        "strain": "1",
        "lag_length": "mm",
        "distance": "mm",
        "slit_length": "mm",
        "poisson": "1",
    },
    result="mm",
    valid={"poisson": (0.0, 0.49)},
    source=f"{SHEAR_LAG}; short splits {CENTRE_CRACK}; their joining is an own numerical fit",
)
def split_gap(
    strain: Real, lag_length: Real, distance: Real, slit_length: Real, poisson: Real
) -> Real:
    """Gap in the middle of a split, short or long, in a bonded skin that shrank both ways.

    ``w = 1/sqrt(1/w1^2 + 1/w2^2)``, long ``w1 = 2 eps (1 + nu) l tanh(L/l)`` with
    ``l = lambda/sqrt(1 - nu^2)``, short ``w2 = 4 a eps/(1 - nu)``

    strain: prevented shrinkage eps of the skin, alike both ways [1]
    lag_length: shear lag length lambda of ``shear_lag_length`` [mm]
    distance: from the split to the next fixing L [mm]
    slit_length: length of the split 2a, above 0 [mm]
    poisson: Poisson's ratio nu of the skin [1]
    Result: w at its widest [mm]
    Valid: within 5 percent of a numerical solution; a split far from the part's edges.
    Source: Cox 1952; Volkersen 1938; Tada, Paris & Irwin handbook; own numerical solution.
    """
    lag = lag_length / sqrt(1.0 - poisson**2)
    long = 2.0 * (1.0 + poisson) * lag * tanh(distance / lag)
    short = 2.0 * slit_length / (1.0 - poisson)
    return strain * long * short / sqrt(long**2 + short**2)


@relation(
    inputs={"tension": "N/mm", "stiffness": "N/mm", "poisson": "1"},
    result="1",
    valid={"poisson": (0.0, 0.49)},
    source="plane elasticity, e.g. Timoshenko & Goodier, Theory of Elasticity",
)
def released_strain(tension: Real, stiffness: Real, poisson: Real) -> Real:
    """Strain that a skin lets go at once where it is cut.

    ``eps = T (1 - nu)/K``

    tension: pull that stands in the skin T, relaxed as it is [N/mm]
    stiffness: stiffness today K, above 0 [N/mm]
    poisson: Poisson's ratio nu of the skin [1]
    Result: eps; a stiff old skin shows less of its pull than a supple one [1]
    Valid: small strain, tight both ways.
    Source: plane elasticity.
    """
    return tension * (1.0 - poisson) / maximum(stiffness, 1e-9)
