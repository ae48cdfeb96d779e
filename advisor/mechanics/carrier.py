"""Load per length on a rigid carrier, its cracks and its tabs."""

from __future__ import annotations

from advisor.mechanics.arith import maximum, power
from advisor.mechanics.relation import Real, relation

GRAVITY = 9.81  # m/s2


@relation(
    inputs={"force": "N", "span": "mm", "width": "mm", "thickness": "mm"},
    result="N/mm",
    source="beam theory, e.g. Roark's Formulas for Stress and Strain",
)
def bending_line_force(force: Real, span: Real, width: Real, thickness: Real) -> Real:
    """Line force in the outer fibre of a panel that is pressed in its middle.

    ``sigma t = 3 F L / (2 b t)``, the outer-fibre stress times the thickness

    force: force in the middle F [N]
    span: distance between supports L [mm]
    width: width that carries b [mm]
    thickness: panel thickness t [mm]
    Result: line force, to compare with strength times thickness [N/mm]
    Valid: flat strip resting freely on two supports, small deflection.
    Source: beam theory.
    """
    return 3.0 * force * span / (2.0 * width * thickness)


@relation(
    inputs={"areal_mass": "kg/m2", "span": "mm"}, result="N/mm", source="statics"
)
def hanging_line_load(areal_mass: Real, span: Real) -> Real:
    """Line load on each edge of a cover that hangs from two edges.

    ``q = m g L / 2``

    areal_mass: mass per area m, cover and padding [kg/m2]
    span: distance between the two held edges L [mm]
    Result: q on each edge, across the cover [N/mm]
    Valid: weight only; a tight cover pulls far more along its plane.
    Source: statics.
    """
    return 1e-6 * areal_mass * GRAVITY * span / 2.0


@relation(
    inputs={"force": "N", "span": "mm", "width": "mm", "thickness": "mm"},
    result="N/mm",
    source="Timoshenko, Strength of Materials: strip under a central load (from memory)",
)
def bending_couple(force: Real, span: Real, width: Real, thickness: Real) -> Real:
    """Bending of a wall at a crack, as the pull it puts on its two faces.

    ``q = F L / (4 b t)``: the moment ``F L / (4 b)`` over the arm ``t`` between the faces

    force: central load F [N]
    span: free length L across the crack [mm]
    width: width b that shares the load [mm]
    thickness: wall thickness t [mm]
    Result: q on each face [N/mm]
    Valid: thin walls without ribs; ribs lower it.
    Source: Timoshenko, Strength of Materials (from memory).
    """
    return force * span / (4.0 * width * thickness)


@relation(
    inputs={"strength": "MPa", "thickness": "mm"},
    result="N/mm",
    source="Timoshenko, Strength of Materials: section modulus t^2/6 (from memory)",
)
def bending_capacity(strength: Real, thickness: Real) -> Real:
    """What a joint through the full wall carries in bending, as a pull on its two faces.

    ``q = sigma t / 6``: the elastic moment ``sigma t^2 / 6`` over the arm ``t``

    strength: strength of the joint in tension sigma [MPa]
    thickness: wall thickness t [mm]
    Result: q on each face, to compare with ``bending_couple`` [N/mm]
    Valid: elastic up to the first crack; no plastic reserve is counted.
    Source: Timoshenko, Strength of Materials (from memory).
    """
    return strength * thickness / 6.0


@relation(
    inputs={"strength": "MPa", "thickness": "mm", "built_up": "mm"},
    result="N/mm",
    source="Timoshenko, Strength of Materials: section modulus t^2/6 (from memory)",
)
def built_up_capacity(strength: Real, thickness: Real, built_up: Real) -> Real:
    """What a joint carries in bending where the wall over it is built up.

    ``q = sigma tr^2/(6 t)``: the moment ``sigma tr^2/6`` over the arm ``t`` of the plain wall

    strength: strength of the joint in tension sigma [MPa]
    thickness: thickness of the plain wall t [mm]
    built_up: wall and build-up, fused through tr [mm]
    Result: q on each face, to compare with ``bending_couple`` of the plain wall [N/mm]
    Valid: build-up fused to the wall and filled into the crack; the wall beside it is not stronger.
    Source: Timoshenko, Strength of Materials (from memory).
    """
    return strength * built_up**2 / (6.0 * thickness)


@relation(
    inputs={"mass": "kg", "deceleration": "m/s2"}, result="N", source="Newton's second law"
)
def inertia_force(mass: Real, deceleration: Real) -> Real:
    """Force of a mass that is stopped short, as trim on a door that is slammed.

    ``F = m a``

    mass: mass that hangs on the spot m [kg]
    deceleration: a as the door meets its seal [m/s2]
    Result: F [N]
    Valid: stiff fixing; a soft one sees less for longer.
    Source: Newton's second law.
    """
    return mass * deceleration


@relation(
    inputs={"force": "N", "arm": "mm", "base": "mm"}, result="N", source="statics of a lever"
)
def lever_force(force: Real, arm: Real, base: Real) -> Real:
    """Force on a hinge when the far edge of a lid is pushed against its stop.

    ``F = F0 L / s``

    force: push at the edge F0 [N]
    arm: from the edge to the hinge line L [mm]
    base: arm of the pair of forces the hinge can make s [mm]
    Result: F on each side of the pair [N]
    Valid: rigid lid, the hinge alone takes the moment.
    Source: statics.
    """
    return force * arm / base


@relation(
    inputs={
        "sustained": "N/mm", "cyclic": "N/mm", "peak": "N/mm", "lasting": "N/mm",
        "repeated": "N/mm", "short": "N/mm",
    },
    result="1",
    valid={},
    source="usage as of any joint, own definition",
)  # fmt: skip
def usage_of_wall(
    sustained: Real, cyclic: Real, peak: Real, lasting: Real, repeated: Real, short: Real
) -> Real:
    """Usage of the unbroken wall by the loads that are taken to bend it.

    ``U = S/l + C/r + P/s``

    sustained: load that stays S [N/mm]
    cyclic: load that comes again and again C [N/mm]
    peak: hardest load P [N/mm]
    lasting: what the wall carries for years l [N/mm]
    repeated: what it carries under cycles r [N/mm]
    short: what it carries once s, above 0 [N/mm]
    Result: U; above 1 a wall would have broken by these loads [1]
    Valid: shares of the strength no smaller than a ten-thousandth.
    Source: own definition.
    """
    least = 1e-4 * short
    return sustained / maximum(lasting, least) + cyclic / maximum(repeated, least) + peak / short


@relation(
    inputs={"lived": "1", "usage": "1", "age": "yr", "slope": "1"},
    result="1",
    source="JCSS Probabilistic Model Code, annex C; SAMCO guideline F08a 2006 (survival as "
    "evidence); own use of it",
)
def load_by_survival(lived: Real, usage: Real, age: Real, slope: Real) -> Real:
    """Loads on a wall, against those it was taken to have, from how it lived up to its crack.

    ``k = U1/(U (A/10)^s)``

    lived: usage of the unbroken wall at its age U1; about 1 where ordinary use broke it, below 1
        where a blow did [1]
    usage: U of ``usage_of_wall`` over ten years [1]
    age: years the wall had borne A, above 0 [yr]
    slope: slope of life s [1]
    Result: k, to multiply every bending load with [1]
    Valid: the same loads before and after; guessed forces then cancel.
    Source: JCSS annex C; SAMCO F08a.
    """
    return lived / maximum(usage * power(age / 10.0, slope), 1e-6)
