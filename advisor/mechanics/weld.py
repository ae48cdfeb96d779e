"""Welded thermoplastics: line capacity, rod used, and fatigue of rigid PVC."""

from __future__ import annotations

import math

import numpy as np

from advisor.mechanics.arith import power, tan_degrees
from advisor.mechanics.relation import Real, relation

PSI = 6.894757e-3  # MPa
VINSON = "Vinson, quoted in Moser, Buried Pipe Design: cyclic pressure in PVC-U pipe"


@relation(
    inputs={"factor": "1", "strength": "MPa", "thickness": "mm"},
    result="N/mm",
    valid={"factor": (0.1, 1.0), "thickness": (2.0, 10.0)},
    source="DVS 2203-1, DVS 2205-1, EN 1778 (weld factors, from memory)",
)
def weld_line_capacity(factor: Real, strength: Real, thickness: Real) -> Real:
    """Line load a weld carries.

    ``q = f sigma t``

    factor: weld factor f; hot gas 0.7 short term, 0.4 long term [1]
    strength: strength of the parent plastic, short or long term as the factor [MPa]
    thickness: wall thickness t [mm]
    Result: q [N/mm]
    Valid: hot-gas welds in 2 to 10 mm wall, plane pull.
    Source: DVS 2203-1, DVS 2205-1, EN 1778.
    """
    return factor * strength * thickness


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


@relation(
    inputs={"hoop_stress": "MPa"},
    result="1",
    valid={"hoop_stress": (5.0, 25.0)},
    source=VINSON,
)
def pipe_cycles_to_failure(hoop_stress: Real) -> Real:
    """Load cycles rigid PVC pipe bears at a peak hoop stress.

    ``N = 5.05e21 sigma^-4.906``, sigma in psi

    hoop_stress: peak hoop stress sigma [MPa]
    Result: cycles N [1]
    Valid: PVC-U pipe under water pressure; a guide only for trim parts.
    Source: Vinson, quoted in Moser, Buried Pipe Design.
    """
    return 5.05e21 * power(hoop_stress / PSI, -4.906)


@relation(
    inputs={"cycles": "1"}, result="MPa", valid={"cycles": (1e4, 1e8)}, source=VINSON
)
def pipe_fatigue_stress(cycles: Real) -> Real:
    """Peak hoop stress rigid PVC pipe bears for a number of cycles.

    ``sigma = (5.05e21/N)^(1/4.906)`` in psi

    cycles: load cycles N [1]
    Result: sigma [MPa]
    Valid: PVC-U pipe under water pressure; a guide only for trim parts.
    Source: Vinson, quoted in Moser, Buried Pipe Design.
    """
    return PSI * power(5.05e21 / np.asarray(cycles, dtype=float)[()], 1.0 / 4.906)
