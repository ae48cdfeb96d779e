"""What the end of a crack feels."""

from __future__ import annotations

from advisor.mechanics.arith import sqrt
from advisor.mechanics.relation import Real, relation


@relation(
    inputs={"half_length": "mm", "tip_radius": "mm"},
    result="1",
    source="Inglis 1913, Trans. Inst. Naval Archit. 55, 219-241",
)
def stress_concentration(half_length: Real, tip_radius: Real) -> Real:
    """Stress at the end of a split over the stress far away.

    ``Kt = 1 + 2 sqrt(a/rho)``

    half_length: half the split of two ends, or the whole from an edge a [mm]
    tip_radius: radius at its end, or of a stop hole rho [mm]
    Result: Kt [1]
    Valid: elastic sheet, split well away from edges.
    Source: Inglis 1913.
    """
    return 1.0 + 2.0 * sqrt(half_length / tip_radius)
