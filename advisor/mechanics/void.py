"""A skin over a hollow: how tight it gets when it is pressed in."""

from __future__ import annotations

from advisor.mechanics.arith import cbrt
from advisor.mechanics.relation import Real, relation


@relation(
    inputs={"pressure": "MPa", "half_span": "mm", "stiffness": "N/mm"},
    result="N/mm",
    source="Timoshenko & Woinowsky-Krieger, Theory of Plates and Shells: long plate as a "
    "membrane (from memory)",
)
def strip_pressure_tension(pressure: Real, half_span: Real, stiffness: Real) -> Real:
    """Line tension of a skin that is pressed evenly into a long hollow.

    ``T = (K p^2 b^2 / 6)^(1/3)``: a parabola of depth ``p b^2 / (2 T)`` is longer than its
    chord by ``2/3 (d/b)^2``

    pressure: even pressure p [MPa]
    half_span: half the width of the hollow b [mm]
    stiffness: K of the skin across the hollow [N/mm]
    Result: T [N/mm]
    Valid: slack at first, held at both rims, depth below a third of b.
    Source: Timoshenko & Woinowsky-Krieger (from memory); own derivation.
    """
    return cbrt(stiffness * (pressure * half_span) ** 2 / 6.0)
