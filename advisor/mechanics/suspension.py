"""Webbing, springs and ties under the padding: tension under a load, sag, stiffness."""

from __future__ import annotations

from advisor.mechanics.arith import maximum, rising_root
from advisor.mechanics.relation import Real, relation

STRING = "statics of a string; stretch of a shallow parabola"


def _tension(sag: Real, pretension: Real, stretch: Real, span: Real) -> Real:
    return pretension + stretch * 8.0 * sag**2 / (3.0 * span**2)


@relation(
    inputs={"load": "N", "span": "mm", "pretension": "N", "stretch": "N"},
    result="mm",
    valid={"span": (100.0, 1500.0)},
    source=STRING,
)
def strand_sag(load: Real, span: Real, pretension: Real, stretch: Real) -> Real:
    """How far a strand of webbing sags under a load spread along it.

    ``P = 8 T d/L``, ``T = T0 + EA 8 d^2/(3 L^2)`` solved for d

    load: load on the strand P [N]
    span: between its ends L [mm]
    pretension: tension with which it is fitted T0, falling with years [N]
    stretch: EA, its pull for each unit of stretch, above 0 [N]
    Result: d in the middle [mm]
    Valid: sag below a third of the span.
    Source: statics.
    """

    def excess(sag: Real) -> Real:
        return 8.0 * _tension(sag, pretension, stretch, span) * sag / span - load

    return rising_root(excess, 0.0 * (load + span), span + 0.0 * load)


@relation(
    inputs={"load": "N", "span": "mm", "pretension": "N", "stretch": "N"},
    result="N",
    valid={"span": (100.0, 1500.0)},
    source=STRING,
)
def strand_tension(load: Real, span: Real, pretension: Real, stretch: Real) -> Real:
    """Tension in a strand of webbing under a load spread along it, at each of its ends.

    ``T = P L/(8 d)`` at the sag of ``strand_sag``

    load: load on the strand P [N]
    span: between its ends L [mm]
    pretension: T0 [N]
    stretch: EA, above 0 [N]
    Result: T, what clip, staples or hook at its end bear; twice that for a load in the middle [N]
    Valid: sag below a third of the span.
    Source: statics.
    """
    return _tension(strand_sag(load, span, pretension, stretch), pretension, stretch, span)


@relation(inputs={"load": "N", "span": "mm", "sag": "mm"}, result="N", source=STRING)
def strand_tension_by_sag(load: Real, span: Real, sag: Real) -> Real:
    """Tension in a strand whose sag under a load in its middle was measured.

    ``T = P L/(4 d)``

    load: load in the middle of the strand P [N]
    span: between its ends L [mm]
    sag: depth in the middle d, above 0 [mm]
    Result: T [N]
    Valid: sag below a third of the span; half of it for a load spread along the strand.
    Source: statics.
    """
    return load * span / (4.0 * sag)


@relation(inputs={"load": "N", "sag": "mm", "at_rest": "mm"}, result="N/mm", source="definition")
def seat_rate(load: Real, sag: Real, at_rest: Real) -> Real:
    """Stiffness of what carries the padding, from two straight-edge readings.

    ``k = P/(d - d0)``

    load: weight laid on P [N]
    sag: dip under it d [mm]
    at_rest: dip of the unloaded seat d0 [mm]
    Result: k; above 8 sound, below 3 a strand or clip is off (estimate) [N/mm]
    Valid: straight-edge over the rails, padding taken off or firm.
    Source: definition.
    """
    return load / maximum(sag - at_rest, 0.1)
