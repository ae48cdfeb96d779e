"""What a split shows of the tension in its skin: the gap at rest and the pull that closes it."""

from __future__ import annotations

from advisor.mechanics.arith import sqrt, tanh
from advisor.mechanics.relation import Real, relation

SHEAR_LAG = "shear lag after Cox 1952 and Volkersen 1938, own derivation for skin on foam"


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
    """Gap between the lips of a split in a bonded skin.

    ``w = 2 eps lambda tanh(L/lambda)``

    strain: prevented shrinkage eps of the skin [1]
    lag_length: shear lag length lambda [mm]
    distance: from the split to the next fixing L [mm]
    Result: w [mm]
    Valid: split longer than lambda; a loose skin opens 2 eps L.
    Source: Cox 1952; Volkersen 1938.
    """
    return 2.0 * strain * lag_length * tanh(distance / lag_length)


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
    source="Tada, Paris & Irwin, Stress Analysis of Cracks Handbook: centre crack, wide sheet",
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
