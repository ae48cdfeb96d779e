"""A cut or hole in a tight skin, from a puncture to a long split: how far the pull opens it, at
which pull it runs on, and what the skin around it bears in place of a repair."""

from __future__ import annotations

import math

from advisor.mechanics.arith import below, maximum, minimum, power, sqrt, tanh
from advisor.mechanics.relation import Real, relation

SHORT = "Tada, Paris & Irwin, Stress Analysis of Cracks Handbook: centre crack"
LONG = "shear lag after Cox 1952"
JOINED = f"{SHORT}; {LONG}; their joining is an own fit to finite elements"
TEAR = "Griffith 1921; Rivlin & Thomas 1953, J. Polym. Sci. 10, 291-318"
SKIN_INPUTS = {"length": "mm", "stiffness": "N/mm", "reach": "mm"}
#: A hole strains its edge three times as far; its ends part by 3 T D/K, on average 3 pi/4 of it.
HOLE = 0.75 * math.pi
#: Less stiff than this [N/mm] is no skin: it opens without bound, bears nothing, cannot tear on.
NO_SKIN = 1e-9


@relation(
    inputs={"lag_length": "mm", "distance": "mm", "poisson": "1"},
    result="mm",
    source=f"{LONG}, plane strain along the cut, own derivation",
)
def slack_reach(lag_length: Real, distance: Real, poisson: Real) -> Real:
    """Distance over which a skin bonded to its padding goes slack beside a long cut.

    ``le = l s tanh(L s/l)``, ``s = sqrt(1 - nu^2)``

    lag_length: shear lag length l of ``shear_lag_length`` [mm]
    distance: from the cut to the next fixing or seam L [mm]
    poisson: Poisson's ratio nu of the skin [1]
    Result: le; a skin that lies loose goes slack over L itself [mm]
    Valid: skin bonded to the padding.
    Source: Cox 1952; own derivation.
    """
    along = sqrt(1.0 - poisson**2)
    return lag_length * along * tanh(distance * along / lag_length)


def _joined(short: Real, long: Real, stiffness: Real) -> Real:
    """Two springs that share an opening: the stiffer one counts, both count where alike."""
    held = maximum(stiffness, NO_SKIN)
    joined = power(power(held / short, 1.5) + power(held / long, 1.5), -1.0 / 1.5)
    return below(stiffness, NO_SKIN, math.inf, joined)


@relation(inputs=SKIN_INPUTS, result="mm2/N", source=JOINED)
def cut_opening(length: Real, stiffness: Real, reach: Real) -> Real:
    """Mean opening of a cut for each unit of pull across it.

    ``C = [(K/(pi c/2))^1.5 + (K/(2 le))^1.5]^(-1/1.5)``

    length: length of the cut c, above 0 [mm]
    stiffness: K = E t of the skin [N/mm]
    reach: distance over which the skin goes slack beside a long cut le [mm]
    Result: C, in mm of opening for each N/mm; without bound where there is no skin [mm2/N]
    Valid: within 2 percent of finite elements for c of a tenth to sixteen times le; small strain.
    Source: Tada, Paris & Irwin; Cox 1952; own finite elements.
    """
    return _joined(math.pi * length / 2.0, 2.0 * reach, stiffness)


@relation(inputs=SKIN_INPUTS, result="mm2/N", source=f"Kirsch 1898; {LONG}; joining as for a cut")
def hole_opening(length: Real, stiffness: Real, reach: Real) -> Real:
    """Mean widening of a round hole for each unit of pull across it.

    ``C = [(K/(0.75 pi D))^1.5 + (K/(2 le + D))^1.5]^(-1/1.5)``

    length: diameter of the hole D, above 0 [mm]
    stiffness: K = E t of the skin [N/mm]
    reach: distance over which the skin goes slack beside a long cut le [mm]
    Result: C, in mm of widening for each N/mm; without bound where there is no skin [mm2/N]
    Valid: small holes after Kirsch; wide ones an estimate.
    Source: Kirsch 1898; Cox 1952.
    """
    return _joined(HOLE * length, 2.0 * reach + length, stiffness)


@relation(inputs=SKIN_INPUTS, result="mm2/N", source=f"{TEAR}; joining as for a cut")
def cut_energy(length: Real, stiffness: Real, reach: Real) -> Real:
    """Energy that a cut sets free as it runs on, for the square of the pull across it.

    ``G/T^2 = (1/K) [1/(pi c/2)^2 + 1/le^2]^(-1/2)``

    length: length of the cut c, above 0 [mm]
    stiffness: K = E t of the skin [N/mm]
    reach: distance over which the skin goes slack beside a long cut le [mm]
    Result: G/T^2; G itself is an energy per length run, in N; 0 where there is no skin [mm2/N]
    Valid: within 6 percent of finite elements; a cut far from edges, both ends in sound skin.
    Source: Griffith 1921 (short); Rivlin & Thomas 1953 (long); own finite elements.
    """
    short, long = math.pi * length / 2.0, reach
    freed = short * long / sqrt(short**2 + long**2) / maximum(stiffness, NO_SKIN)
    return below(stiffness, NO_SKIN, 0.0, freed)


@relation(inputs={"energy": "mm2/N", "bridge_give": "mm2/N"}, result="mm2/N", source=JOINED)
def bridged_energy(energy: Real, bridge_give: Real) -> Real:
    """Energy that a cut bridged along its length sets free, for the square of the pull.

    ``1/Gb = 1/G + 1/(T^2 Cb/2)``

    energy: G/T^2 of the open cut [mm2/N]
    bridge_give: how far the bridge opens for each unit of pull Cb, above 0 [mm2/N]
    Result: Gb/T^2; it stops growing with length, so a patch that holds also stops the tear [mm2/N]
    Valid: within 8 percent of finite elements; the bridge holds all along.
    Source: own finite elements; crack patching (from memory).
    """
    return energy * bridge_give / (2.0 * energy + bridge_give)


@relation(inputs={"tear_force": "N"}, result="N", source=TEAR)
def tear_resistance(tear_force: Real) -> Real:
    """Energy that a tear needs for each length it runs, from a trouser or tongue tear test.

    ``Gamma = 2 F``

    tear_force: mean force of a trouser or tongue tear F; not of a trapezoid tear [N]
    Result: Gamma, N mm for each mm [N]
    Valid: legs that hardly stretch.
    Source: Rivlin & Thomas 1953.
    """
    return 2.0 * tear_force


@relation(
    inputs={"strength": "N/mm", "energy": "mm2/N", "resistance": "N"},
    result="N/mm",
    source=f"{TEAR}; two-parameter interpolation (from memory)",
)
def running_pull(strength: Real, energy: Real, resistance: Real) -> Real:
    """Pull across a cut at which it runs on.

    ``T = [1/s^2 + (G/T^2)/Gamma]^(-1/2)``

    strength: strength of a strip of the sound skin s [N/mm]
    energy: G/T^2 of ``cut_energy`` or ``bridged_energy`` [mm2/N]
    resistance: Gamma of ``tear_resistance``, above 0 [N]
    Result: T; a puncture gives the strip's strength, a long split Griffith's [N/mm]
    Valid: one pull; years and cycles take their share as of any skin.
    Source: Griffith 1921; Rivlin & Thomas 1953; interpolation from memory.
    """
    return strength * sqrt(resistance / (resistance + strength**2 * energy))


@relation(
    inputs={"opening": "mm", "opening_per_pull": "mm2/N", "most": "N/mm"},
    result="N/mm",
    source="springs side by side, own derivation; within 5 percent of finite elements",
)
def borne_around(opening: Real, opening_per_pull: Real, most: Real) -> Real:
    """Pull across a repaired cut that the skin around it bears.

    ``q = min(w/C, Ts)``

    opening: opening that the repair follows before it lets go w [mm]
    opening_per_pull: C of ``cut_opening`` or ``hole_opening`` [mm2/N]
    most: pull Ts at which the cut would run on by itself, for as long as it is pulled [N/mm]
    Result: q, to add to what the repair bears [N/mm]
    Valid: a repair that yields before it lets go; small strain.
    Source: own derivation.
    """
    return minimum(opening / opening_per_pull, most)


@relation(
    inputs={
        "bond_thickness": "mm", "shear_modulus": "MPa", "stiffness_1": "N/mm",
        "stiffness_2": "N/mm",
    },
    result="mm2/N",
    source="Volkersen 1938, Luftfahrtforschung 15, 41-47",
)  # fmt: skip
def lap_give(
    bond_thickness: Real, shear_modulus: Real, stiffness_1: Real, stiffness_2: Real
) -> Real:
    """How far a glued lap lets its edge open for each unit of pull.

    ``Cb = sqrt[(ta/G)(1/K1 + 1/K2)]``

    bond_thickness: thickness of the glue ta [mm]
    shear_modulus: shear modulus of the glue G [MPa]
    stiffness_1: E t of the skin K1 [N/mm]
    stiffness_2: E t of the patch K2 [N/mm]
    Result: Cb [mm2/N]
    Valid: elastic, lap longer than three times its decay length.
    Source: Volkersen 1938.
    """
    return sqrt(bond_thickness / shear_modulus * (1.0 / stiffness_1 + 1.0 / stiffness_2))


@relation(
    inputs={"pull": "N/mm", "energy": "mm2/N", "resistance": "N", "rate": "mm", "exponent": "1",
            "threshold": "1"},
    result="mm",
    valid={"exponent": (2.0, 4.0), "threshold": (0.0, 0.05)},
    source="Mars & Fatemi 2002, Int. J. Fatigue 24, 949 (abstract): power law of rubber tearing",
)  # fmt: skip
def growth_per_use(
    pull: Real, energy: Real, resistance: Real, rate: Real, exponent: Real, threshold: Real
) -> Real:
    """How far each end of a cut grows at a use that pulls at it.

    ``da = c (G/Gamma)^b``, none where ``G/Gamma`` is below the threshold

    pull: pull across the cut at each use T [N/mm]
    energy: energy set free for the square of the pull G/T^2 [mm2/N]
    resistance: energy that a tear needs Gamma, above 0 [N]
    rate: growth c where G reaches Gamma, about 1 [mm]
    exponent: b, about 3 [1]
    threshold: G/Gamma below which nothing grows, about 0.003 [1]
    Result: da at each end, at most c [mm]
    Valid: many like uses; the numbers are estimates within ten times.
    Source: Mars & Fatemi 2002 for the form; numbers own estimates.
    """
    share = minimum(pull**2 * energy / maximum(resistance, 1e-9), 1.0)
    return below(share, threshold, 0.0 * share, rate * power(maximum(share, 1e-12), exponent))


@relation(
    inputs={"stiffness": "N/mm", "patch_stiffness": "N/mm"},
    result="1",
    source="Goodier 1933, J. Appl. Mech. 1, 39-44 (round inclusion), from memory",
)
def left_beside_stiff_patch(stiffness: Real, patch_stiffness: Real) -> Real:
    """What of the strength of a patch and of the skin at its edge counts against the pull far off.

    ``f = (2 m + 1)/(3 m)``, ``m = (K1 + K2)/K1``: a round patch draws 1/f of the pull to itself

    stiffness: K1 of the skin, above 0 [N/mm]
    patch_stiffness: K2 of the patch [N/mm]
    Result: f; 1 for a patch that is no stiffer than nothing, 2/3 for a rigid one [1]
    Valid: round patch, Poisson's ratio 1/3; so too at the rounded ends of a long one.
    Source: Goodier 1933, from memory.
    """
    m = (stiffness + patch_stiffness) / maximum(stiffness, NO_SKIN)
    return (2.0 * m + 1.0) / (3.0 * m)
