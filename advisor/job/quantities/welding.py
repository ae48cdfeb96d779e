"""Rod, passes and time of a hot-gas weld."""

from __future__ import annotations

import math

from advisor.mechanics.arith import ceil, maximum
from advisor.mechanics.relation import Real
from advisor.mechanics.weld import groove_area, rod_length_ratio

#: A crack has two ends; one at an edge or a hole needs no stop hole.
TIPS = 2


def rod_to_buy(
    length: Real, thickness: Real, angle: Real, cap: Real, rod_diameter: Real
) -> Real:
    """Rod for a single V weld [mm]: the groove's volume over the rod's cross-section.

    At least the length of the weld: one pass is laid however small the groove.
    All lengths in mm, angle in degrees, cap the share on top. Source: geometry.
    """
    area = groove_area(thickness, angle, cap)
    return length * maximum(rod_length_ratio(area, rod_diameter), 1.0)


def passes(thickness: Real, angle: Real, cap: Real, rod_diameter: Real) -> Real:
    """Rods laid beside and over each other, a whole number, at least one."""
    area = groove_area(thickness, angle, cap)
    return maximum(ceil(rod_length_ratio(area, rod_diameter)), 1.0)


def weld_minutes(length: Real, number: Real, speed: Real) -> Real:
    """Minutes of hot air: every pass at welding speed [mm/min]. Source: definition."""
    return length * number / speed


def stop_holes(cracks: Real) -> Real:
    """Stop holes for a number of cracks: one at each tip."""
    return TIPS * cracks


def staples(length: Real, spacing: Real) -> Real:
    """Staples along a crack at a spacing, one at each end; both in mm."""
    return ceil(length / spacing) + 1.0


def rod_area(rod_diameter: Real) -> Real:
    """Cross-section of a round rod [mm2]."""
    return math.pi / 4.0 * rod_diameter**2
