"""Counting load cycles against a reference number of cycles."""

from __future__ import annotations

from advisor.mechanics.arith import power
from advisor.mechanics.relation import Real, relation


@relation(
    inputs={"cycles": "1", "reference": "1", "slope": "1"},
    result="1",
    valid={"cycles": (90.0, 1.0e7)},
    source="Basquin's law (from memory); slope 0.12 from J. Soc. Mat. Sci. Japan 34(386), "
    "1985 (lap joints)",
)
def cycle_weight(cycles: Real, reference: Real, slope: Real) -> Real:
    """Weight of a repeated load against one that comes a reference number of times.

    ``w = (N / N_ref)^s``: on a line ``q N^s = const`` fewer cycles count for less

    cycles: number of cycles in the life wanted N [1]
    reference: cycles for which the joint's fatigue factor holds N_ref [1]
    slope: slope of the line s [1]
    Result: w, to multiply the load with [1]
    Valid: 90 to 10 million cycles; the slope was measured on epoxy lap joints.
    Source: Basquin (from memory); lap joint fatigue abstract, 1985.
    """
    return power(cycles / reference, slope)
