"""A skin over a hollow: how deep it sinks and how tight it gets."""

from __future__ import annotations

from advisor.mechanics.arith import cbrt, rising_root, sqrt
from advisor.mechanics.relation import Real, relation

STRIP = "statics of two straight flanks, own derivation"


def _strip_load(depth: Real, half_span: Real, stiffness: Real, pretension: Real) -> Real:
    flank = sqrt(1.0 + (depth / half_span) ** 2)
    tension = pretension + stiffness * (flank - 1.0)
    return 2.0 * tension * (depth / half_span) / flank


@relation(
    inputs={
        "line_load": "N/mm",
        "half_span": "mm",
        "stiffness": "N/mm",
        "pretension": "N/mm",
    },
    result="mm",
    source=STRIP,
)
def strip_sag(line_load: Real, half_span: Real, stiffness: Real, pretension: Real) -> Real:
    """Depth to which an edge pressed on a skin over a long hollow sinks in.

    ``q = 2 T sin a``, ``T = T0 + K (1/cos a - 1)``, ``tan a = d/b`` solved for d

    line_load: load q along the middle of the hollow [N/mm]
    half_span: half the width of the hollow b [mm]
    stiffness: K of the skin across the hollow [N/mm]
    pretension: line tension T0 before [N/mm]
    Result: d [mm]
    Valid: skin held at both rims, nothing carries below.
    Source: statics.
    """
    # At tan a = 1 + q/(2K) the stretch alone already carries q.
    deepest = half_span * (1.0 + line_load / (2.0 * stiffness))

    def excess(depth: Real) -> Real:
        return _strip_load(depth, half_span, stiffness, pretension) - line_load

    return rising_root(excess, 0.0 * deepest, deepest)


@relation(
    inputs={
        "line_load": "N/mm",
        "half_span": "mm",
        "stiffness": "N/mm",
        "pretension": "N/mm",
    },
    result="N/mm",
    source=STRIP,
)
def strip_sag_tension(
    line_load: Real, half_span: Real, stiffness: Real, pretension: Real
) -> Real:
    """Line tension of a skin pressed into a long hollow.

    ``T = T0 + K (sqrt(1 + (d/b)^2) - 1)`` at the depth of ``strip_sag``

    line_load: load q along the middle of the hollow [N/mm]
    half_span: half the width of the hollow b [mm]
    stiffness: K of the skin across the hollow [N/mm]
    pretension: line tension T0 before [N/mm]
    Result: T [N/mm]
    Valid: skin held at both rims, nothing carries below.
    Source: statics.
    """
    depth = strip_sag(line_load, half_span, stiffness, pretension)
    return pretension + stiffness * (sqrt(1.0 + (depth / half_span) ** 2) - 1.0)


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
