"""Screws in plastic, wood and board, hot staples, and the density by which plastics float."""

from __future__ import annotations

import math

from advisor.mechanics.arith import maximum, minimum, power
from advisor.mechanics.relation import Real, relation

SHEAR_OF_YIELD = 0.577  # von Mises: shear yield over tensile yield
PULL_OUT = "thread shear with von Mises yield, plastics design practice; efficiency from memory"
WOOD = "Wood Handbook (US Forest Products Laboratory), quoted by three engineering pages"
BOARD = "particle board and fibreboard: US Forest Products Laboratory formula, from memory"
SCREW_IN_WOOD = {"density": "g/cm3", "diameter": "mm", "engagement": "mm"}
VOLUMES = "additive volumes, own derivation"


@relation(
    inputs={
        "efficiency": "1",
        "diameter": "mm",
        "engagement": "mm",
        "yield_strength": "MPa",
    },
    result="N",
    valid={"efficiency": (0.4, 0.6), "diameter": (2.0, 8.0)},
    source=PULL_OUT,
)
def screw_pull_out(
    efficiency: Real, diameter: Real, engagement: Real, yield_strength: Real
) -> Real:
    """Force that pulls a thread-forming screw out of a plastic boss.

    ``F = eta pi d L 0.577 sigma``

    efficiency: share eta of the full cylinder that holds; 1 is the ideal [1]
    diameter: thread diameter d [mm]
    engagement: length of thread in the boss L [mm]
    yield_strength: tensile yield strength of the plastic sigma [MPa]
    Result: F in a short test [N]
    Valid: boss of 2 to 2.5 d outside, 2 to 3 d deep, never stripped.
    Source: plastics design practice; efficiency from memory.
    """
    return efficiency * math.pi * diameter * engagement * SHEAR_OF_YIELD * yield_strength


@relation(
    inputs=SCREW_IN_WOOD,
    result="N",
    valid={"density": (0.3, 0.8), "diameter": (2.5, 9.0)},
    source=WOOD,
)
def wood_screw_pull_out(density: Real, diameter: Real, engagement: Real) -> Real:
    """Force that pulls a screw out of the side grain of sound wood.

    ``F = 108.25 G^2 D L``, 15 700 G^2 D L in pounds and inches

    density: oven-dry density of the wood G [g/cm3]
    diameter: shank diameter of the screw D [mm]
    engagement: length of thread in the wood L [mm]
    Result: F in a short test [N]
    Valid: right pilot hole, never stripped; plywood bears 0.6 to 1 of it, end grain 0.75.
    Source: Wood Handbook as quoted by engineering pages.
    """
    return 108.25 * density**2 * diameter * engagement


@relation(
    inputs=SCREW_IN_WOOD,
    result="N",
    valid={"density": (0.5, 1.1), "diameter": (2.5, 6.0)},
    source=BOARD,
)
def board_screw_pull_out(density: Real, diameter: Real, engagement: Real) -> Real:
    """Force that pulls a screw out of the face of particle board or fibreboard.

    ``F = 41.1 D^0.5 (L - D/3)^1.25 G^2``, 2655 in pounds and inches

    density: density of the board G [g/cm3]
    diameter: shank diameter of the screw D [mm]
    engagement: length of thread in the board L, the point reaching D/3 of it [mm]
    Result: F in a short test; out of the edge 0.75 to 0.8 of it [N]
    Valid: right pilot hole, never stripped, board dry.
    Source: US Forest Products Laboratory, from memory.
    """
    threaded = maximum(engagement - diameter / 3.0, 0.0)
    return 41.1 * power(diameter, 0.5) * power(threaded, 1.25) * density**2


@relation(
    inputs={"density": "g/cm3", "head": "mm"},
    result="N",
    valid={"density": (0.35, 0.8), "head": (5.0, 30.0)},
    source="timber design code, pull-through of a head, from memory",
)
def head_pull_through(density: Real, head: Real) -> Real:
    """Force that pulls a screw head or washer through wood or board.

    ``F = 70e-6 rho^2 d^2`` with rho in kg/m3

    density: density of the wood [g/cm3]
    head: diameter of the head or washer d [mm]
    Result: F in a short test [N]
    Valid: wood thicker than half the head.
    Source: timber code, from memory.
    """
    return 70.0 * density**2 * head**2


@relation(
    inputs={"shear_share": "1", "strength": "MPa", "washer": "mm", "thickness": "mm"},
    result="N",
    valid={"shear_share": (0.4, 0.6)},
    source="punching shear a wall thickness out from the washer, design practice (from memory)",
)
def washer_punch_through(
    shear_share: Real, strength: Real, washer: Real, thickness: Real
) -> Real:
    """Force at which a washer or plate behind it is punched through a thin wall.

    ``F = s sigma pi (d + t) t``

    shear_share: strength in shear over that in tension s, 0.577 where it yields [1]
    strength: tensile strength of the wall sigma [MPa]
    washer: diameter of the washer d, or that of a plate of the same edge [mm]
    thickness: wall thickness t [mm]
    Result: F in a short test [N]
    Valid: stiff washer that lies flat.
    Source: design practice, from memory.
    """
    return shear_share * strength * math.pi * (washer + thickness) * thickness


@relation(
    inputs={"single": "N", "number": "1"},
    result="N",
    valid={"number": (1.0, 60.0)},
    source="timber code: n^0.9 for a group of screws, from memory",
)
def fasteners_together(single: Real, number: Real) -> Real:
    """Force that a group of equal fasteners carries, none bearing quite its share.

    ``F = n^0.9 F1``

    single: what one fastener carries F1 [N]
    number: fasteners in the group n [1]
    Result: F of the group [N]
    Valid: spaced by 5 diameters, from an edge by 4 in wood and 2.5 in plastic.
    Source: timber code, from memory.
    """
    return single * power(number, 0.9)


@relation(
    inputs={
        "wire_strength": "MPa",
        "strength": "MPa",
        "diameter": "mm",
        "length": "mm",
        "cover": "1",
    },
    result="N",
    valid={"diameter": (0.5, 1.0), "cover": (0.4, 0.8)},
    source="bearing of a buried wire at 1.5 times the strength of the plastic, own estimate",
)
def staple_force(
    wire_strength: Real, strength: Real, diameter: Real, length: Real, cover: Real
) -> Real:
    """Pull across a crack that a hot staple buried in the wall takes, by wire or by bearing.

    ``F = min(pi d^2/4 sw, 1.5 sigma d l c)``

    wire_strength: tensile strength of the wire sw, about 600 [MPa]
    strength: tensile strength of the plastic sigma [MPa]
    diameter: wire diameter d [mm]
    length: length of its wave that lies across the pull l [mm]
    cover: share that cover and burnt plastic leave c, 0.8 buried deeper than its diameter [1]
    Result: F in a short test [N]
    Valid: plastic not burnt; its legs only keep it in.
    Source: own estimate, no publication.
    """
    bearing = 1.5 * strength * diameter * length * cover
    return minimum(math.pi * diameter**2 / 4.0 * wire_strength, bearing)


@relation(
    inputs={"force": "N", "arm": "1", "spacing": "mm"}, result="N/mm", source="statics"
)
def staple_couple(force: Real, arm: Real, spacing: Real) -> Real:
    """What a row of staples near one face of a wall carries in bending, as a pull on its faces.

    ``q = F (z/t) / s``: the moment ``F z/s`` over the arm ``t`` between the faces

    force: pull that one staple takes F [N]
    arm: from the wire to the face that is pressed, over the thickness of the wall z/t; about 0.65
        where the crack opens on the face with the staples, 0.2 where it opens on the other [1]
    spacing: distance between staples s [mm]
    Result: q on each face, to compare with ``bending_couple`` [N/mm]
    Valid: crack faces meet and press on each other.
    Source: statics.
    """
    return force * arm / spacing


@relation(
    inputs={"force": "N", "lever": "mm", "spacing": "mm", "thickness": "mm"},
    result="N/mm",
    source="statics",
)
def rivet_couple(force: Real, lever: Real, spacing: Real, thickness: Real) -> Real:
    """What two rows of rivets on each side of a crack pass on to a plate, as a pull on the faces.

    ``q = F a/(s t)``: the moment ``F a/s`` of one row against the other over the arm ``t``

    force: pull along its axis that one rivet bears F [N]
    lever: distance of the two rows on one side of the crack a [mm]
    spacing: distance of rivets in a row s [mm]
    thickness: thickness of the wall t [mm]
    Result: q on each face, to compare with ``bending_couple`` [N/mm]
    Valid: plate stiff between its rows.
    Source: statics.
    """
    return force * lever / (spacing * thickness)


@relation(
    inputs={"single": "N", "number": "1", "width": "mm"}, result="N/mm", source="statics"
)
def shared_along_edge(single: Real, number: Real, width: Real) -> Real:
    """What fasteners of a stiff bar hold of a pull that acts over a short width of the edge.

    ``q = n F1/b``

    single: pull that the bar holds at one fastener F1 [N]
    number: fasteners that share the pull n [1]
    width: width over which it pulls b [mm]
    Result: q along that width [N/mm]
    Valid: bar stiff from one fastener to the next; what pulls along all of the edge is shared by
        fewer, one for each spacing.
    Source: statics.
    """
    return number * single / width


@relation(
    inputs={"filler_fraction": "1", "polymer_density": "g/cm3", "filler_density": "g/cm3"},
    result="g/cm3",
    valid={"filler_fraction": (0.0, 0.6)},
    source=VOLUMES,
)
def blend_density(filler_fraction: Real, polymer_density: Real, filler_density: Real) -> Real:
    """Density of a filled plastic.

    ``1/rho = (1 - w)/rho1 + w/rho2``

    filler_fraction: mass fraction of filler w [1]
    polymer_density: density of the plastic rho1 [g/cm3]
    filler_density: density of the filler rho2, talc 2.75 [g/cm3]
    Result: rho [g/cm3]
    Valid: solid, not foamed.
    Source: additive volumes.
    """
    volume = (1.0 - filler_fraction) / polymer_density + filler_fraction / filler_density
    return 1.0 / volume
