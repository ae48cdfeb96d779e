"""What the end of a split or crack feels."""

from __future__ import annotations

import math

from advisor.mechanics.arith import sqrt
from advisor.mechanics.relation import Real, relation

RIVLIN = "Rivlin & Thomas 1953, J. Polym. Sci. 10, 291-318"


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


@relation(
    inputs={"tension": "N/mm", "thickness": "mm", "slit_length": "mm", "modulus": "MPa"},
    result="kJ/m2",
    source=f"Griffith 1921; {RIVLIN}",
)
def tearing_energy(tension: Real, thickness: Real, slit_length: Real, modulus: Real) -> Real:
    """Energy set free as a slit in a tight sheet runs on.

    ``G = sigma^2 pi a / E``, ``sigma = T/t``, slit 2a long

    tension: line tension T [N/mm]
    thickness: skin thickness t [mm]
    slit_length: length of the slit 2a [mm]
    modulus: Young's modulus E [MPa]
    Result: G; 1 N/mm is 1 kJ/m2 [kJ/m2]
    Valid: loose sheet, small strain, both ends inside it.
    Source: Griffith 1921; Rivlin & Thomas 1953.
    """
    stress = tension / thickness
    return stress**2 * math.pi * slit_length / (2.0 * modulus)


@relation(
    inputs={"strain_energy": "MPa", "fixing_distance": "mm"}, result="kJ/m2", source=RIVLIN
)
def strip_tearing_energy(strain_energy: Real, fixing_distance: Real) -> Real:
    """Energy set free as a long split runs between two fixed edges.

    ``G = W H``

    strain_energy: energy per volume W of the stretched skin, in MJ/m3 [MPa]
    fixing_distance: distance between the fixed edges H [mm]
    Result: G [kJ/m2]
    Valid: split longer than H.
    Source: Rivlin & Thomas 1953.
    """
    return strain_energy * fixing_distance


@relation(inputs={"force": "N", "thickness": "mm"}, result="kJ/m2", source=RIVLIN)
def trouser_tearing_energy(force: Real, thickness: Real) -> Real:
    """Tearing energy of a skin from a trouser tear test.

    ``G = 2 F / t``

    force: tear force F [N]
    thickness: skin thickness t [mm]
    Result: G at which it tears [kJ/m2]
    Valid: legs that hardly stretch.
    Source: Rivlin & Thomas 1953.
    """
    return 2.0 * force / thickness
