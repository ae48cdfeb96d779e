"""Several places of one damage: the same hands at each, and what cracks beside them."""

from __future__ import annotations

from advisor.mechanics.arith import ceil, maximum
from advisor.mechanics.relation import Real, relation


def _further(places: Real) -> Real:
    """Places beyond the first; a count that is told as a range is drawn between whole numbers."""
    return maximum(ceil(places - 0.5) - 1.0, 0.0)


@relation(
    inputs={"places": "1", "together": "1"},
    result="1",
    valid={"places": (1.0, 60.0), "together": (0.0, 1.0)},
    source="Fleming 1975 (beta factor: a share of the failures has one common cause) and Swain & "
    "Guttmann 1983, NUREG/CR-1278 (dependence of one person's acts), both from memory",
)
def separate_trials(places: Real, together: Real) -> Real:
    """Independent trials that as many places by the same hands are worth.

    ``n' = 1 + (n - 1) (1 - beta)``, so that all turn out well with ``p^n'``

    places: number of places n, whole [1]
    together: share of poor work that its cause repeats at every place beta [1]
    Result: n' [1]
    Valid: each place is mended by itself, and one that fails brings the job back.
    Source: Fleming 1975; Swain & Guttmann 1983, both from memory.
    """
    return 1.0 + _further(places) * (1.0 - together)


@relation(
    inputs={"places": "1", "age": "yr", "years": "yr", "exponent": "1", "share": "1"},
    result="1",
    valid={"places": (1.0, 60.0), "age": (2.0, 60.0), "exponent": (1.0, 4.0)},
    source="Crow 1974 (failures that come as a power of the age) with a rate that only the count "
    "tells of (prior 1/rate), from memory",
)
def spared_of_new_cracks(
    places: Real, age: Real, years: Real, exponent: Real, share: Real
) -> Real:
    """Chance that a skin which has cracked by age cracks nowhere else in so many years.

    ``P = [1 - s + s (A/(A + Y))^k]^n``: so often no other follows one that came of age, and none
    follows one with a cause of its own

    places: cracks so far n, whole [1]
    age: age of the skin A [yr]
    years: years ahead Y [yr]
    exponent: power k with which cracks come, 1 for no ageing [1]
    share: chance s that a crack came of the age of the whole skin [1]
    Result: P [1]
    Valid: what made the skin age goes on.
    Source: Crow 1974, from memory; the share is an own estimate.
    """
    none = (maximum(age, 1.0) / (maximum(age, 1.0) + years)) ** exponent
    return (1.0 - share * (1.0 - none)) ** (1.0 + _further(places))
