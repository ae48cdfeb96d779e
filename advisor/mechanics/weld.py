"""Welded thermoplastics: line capacity, rod used, and fatigue of rigid PVC."""

from __future__ import annotations

import math

from advisor.mechanics.arith import tan_degrees
from advisor.mechanics.relation import Real, relation


@relation(
    inputs={"thickness": "mm", "angle": "deg", "cap": "1"},
    result="mm2",
    valid={"angle": (45.0, 90.0), "cap": (0.0, 0.3)},
    source="geometry; groove angles after DVS 2207-3",
)
def groove_area(thickness: Real, angle: Real, cap: Real) -> Real:
    """Cross-section of a single V groove to be filled with rod.

    ``A = t^2 tan(a/2) (1 + c)``

    thickness: wall thickness t [mm]
    angle: full angle of the groove a [deg]
    cap: share c added for the raised bead [1]
    Result: A; a double V takes half [mm2]
    Valid: groove through the wall without root gap.
    Source: geometry.
    """
    return thickness**2 * tan_degrees(angle / 2.0) * (1.0 + cap)


@relation(inputs={"area": "mm2", "rod_diameter": "mm"}, result="1", source="geometry")
def rod_length_ratio(area: Real, rod_diameter: Real) -> Real:
    """Rod used per length of weld.

    ``A / (pi d^2/4)``

    area: cross-section to fill A [mm2]
    rod_diameter: diameter of the rod d [mm]
    Result: metres of rod per metre of weld [1]
    Valid: round rod, nothing lost.
    Source: geometry.
    """
    return area / (math.pi / 4.0 * rod_diameter**2)


@relation(inputs={"area": "mm2", "density": "g/cm3"}, result="g/m", source="geometry")
def rod_mass(area: Real, density: Real) -> Real:
    """Mass of rod per length of weld.

    ``A rho`` (1 mm2 of 1 g/cm3 is 1 g/m)

    area: cross-section to fill A [mm2]
    density: density of the rod rho [g/cm3]
    Result: mass per metre of weld [g/m]
    Valid: nothing lost.
    Source: geometry.
    """
    return area * density
