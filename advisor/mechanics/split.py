"""What a split shows of the tension in its skin: the gap at rest and the pull that closes it."""

from __future__ import annotations

from advisor.mechanics.arith import sqrt, tanh
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
    inputs={"strain": "1", "lag_length": "mm", "distance": "mm"},
    result="mm",
    source=SHEAR_LAG,
)
def lip_gap(strain: Real, lag_length: Real, distance: Real) -> Real:
    """Gap between the lips of a split in a bonded skin that shrank across the split.

    ``w = 2 eps lambda tanh(L/lambda)``

    strain: prevented shrinkage eps of the skin across the split [1]
    lag_length: shear lag length lambda [mm]
    distance: from the split to the next fixing L [mm]
    Result: w [mm]
    Valid: split longer than lambda; a loose skin opens 2 eps L. For shrinkage both ways and
        shorter splits see ``split_gap``.
    Source: Cox 1952; Volkersen 1938.
    """
    return 2.0 * strain * lag_length * tanh(distance / lag_length)


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
    inputs={"gap": "mm", "lag_length": "mm", "distance": "mm"},
    result="1",
    source=SHEAR_LAG,
)
def strain_from_gap(gap: Real, lag_length: Real, distance: Real) -> Real:
    """Prevented shrinkage that explains a gap in a bonded skin.

    ``eps = w / [2 lambda tanh(L/lambda)]``

    gap: gap w between the lips at rest [mm]
    lag_length: shear lag length lambda [mm]
    distance: from the split to the next fixing L [mm]
    Result: eps [1]
    Valid: split longer than lambda.
    Source: Cox 1952; Volkersen 1938.
    """
    return gap / (2.0 * lag_length * tanh(distance / lag_length))


@relation(
    inputs={"gap": "mm", "slit_length": "mm", "poisson": "1"},
    result="1",
    source=CENTRE_CRACK,
)
def strain_from_slit_gap(gap: Real, slit_length: Real, poisson: Real) -> Real:
    """Prevented shrinkage that explains the gap of a short slit in a loose skin.

    ``eps = delta (1 - nu) / (4 a)``, from ``delta = 4 sigma a / E``

    gap: gap delta at the middle of the slit [mm]
    slit_length: length of the slit 2a [mm]
    poisson: Poisson's ratio nu of the skin [1]
    Result: eps [1]
    Valid: skin not bonded, or a below the shear lag length; slit far from edges.
    Source: Tada, Paris & Irwin handbook.
    """
    return gap * (1.0 - poisson) / (2.0 * slit_length)


@relation(
    inputs={"pull": "N", "bar_width": "mm"},
    result="N/mm",
    source="superposition, own derivation",
)
def closing_tension(pull: Real, bar_width: Real) -> Real:
    """Line tension read from the pull that just closes a split.

    ``T = P / b``

    pull: pull P that just brings the lips together [N]
    bar_width: width b of skin the bar takes hold of [mm]
    Result: T, at the present relaxed state [N/mm]
    Valid: bar over at least 80 % of the split, pulled within 10 to 30 s; else too high.
    Source: superposition.
    """
    return pull / bar_width
