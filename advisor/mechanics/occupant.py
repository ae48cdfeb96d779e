"""What people do to trim: lean, slide, push off, and pull at a split."""

from __future__ import annotations

import math

from advisor.mechanics.arith import exp, maximum, normal_quantile, power, sqrt
from advisor.mechanics.relation import Real, relation

GRAVITY = 9.81  # m/s2


@relation(
    inputs={"friction": "1", "force": "N", "width": "mm"},
    result="N/mm",
    valid={"friction": (0.2, 0.9), "force": (0.0, 500.0), "width": (20.0, 200.0)},
    source="Coulomb friction; the even sharing by both sides is an own estimate",
)
def drag_tension(friction: Real, force: Real, width: Real) -> Real:
    """Line tension across a split from an arm that is dragged over it.

    ``T = mu F / (2 b)``: the skin before and behind the patch share it

    friction: friction mu of clothes on the skin [1]
    force: pressing force F [N]
    width: width of the contact patch b [mm]
    Result: T [N/mm]
    Valid: split near the patch; well-bonded skin farther off feels less.
    Source: Coulomb friction; sharing an own estimate.
    """
    return friction * force / (2.0 * width)


@relation(
    inputs={"body_mass": "kg", "share": "1"},
    result="N",
    valid={"body_mass": (40.0, 160.0), "share": (0.0, 1.0)},
    source="Winter, Biomechanics and Motor Control of Human Movement (segments); Turner et "
    "al. 2004, Proc. IMechE H 218 (push-off 20 to 30 % of body weight per arm)",
)
def body_weight_share(body_mass: Real, share: Real) -> Real:
    """Force that is a share of body weight.

    ``F = s m g``

    body_mass: body mass m [kg]
    share: share of body weight s, push-off per arm 0.25 [1]
    Result: F [N]
    Valid: slow movement; a fall or a jump gives more.
    Source: Winter; Turner et al. 2004.
    """
    return share * body_mass * GRAVITY


@relation(
    inputs={"force": "N", "area": "mm2", "plateau": "MPa", "thickness": "mm"},
    result="mm",
    valid={"force": (0.0, 500.0), "area": (1000.0, 6000.0), "thickness": (5.0, 100.0)},
    source="own estimate: rises with pressure, ends at 80 % of the thickness",
)
def elbow_dent(force: Real, area: Real, plateau: Real, thickness: Real) -> Real:
    """Depth of the dent an elbow makes in padding.

    ``d = 0.8 h p / (p + 2 sigma)``, ``p = F/A``

    force: pressing force F [N]
    area: contact area A [mm2]
    plateau: plateau stress sigma of the foam [MPa]
    thickness: foam thickness h [mm]
    Result: d [mm]
    Valid: flexible foam; half of the largest depth where p is twice the plateau stress.
    Source: own estimate, no publication.
    """
    pressure = force / area
    return 0.8 * thickness * pressure / (pressure + 2.0 * plateau)


@relation(
    inputs={"area": "mm2"},
    result="mm",
    valid={"area": (1000.0, 6000.0)},
    source="geometry; contact taken as a circle",
)
def contact_half_width(area: Real) -> Real:
    """Half width of a contact patch.

    ``a = sqrt(A/pi)``

    area: contact area A [mm2]
    Result: a, radius of the equal circle [mm]
    Valid: roughly round patches.
    Source: geometry.
    """
    return sqrt(area / math.pi)


@relation(
    inputs={"area": "mm2", "thickness": "mm"},
    result="mm",
    source="own estimate: the dent spreads at 45 degrees through the padding",
)
def dent_half_width(area: Real, thickness: Real) -> Real:
    """Half width of the dent round a contact, wider than the contact itself.

    ``a = sqrt(A/pi) + h``

    area: contact area A [mm2]
    thickness: foam thickness h [mm]
    Result: a, to use with ``dent_strain`` [mm]
    Valid: soft padding on a rigid carrier, skin free to bend at the rim.
    Source: own estimate, no publication.
    """
    return contact_half_width(area) + thickness


@relation(
    inputs={"depth": "mm", "half_width": "mm"},
    result="1",
    source="geometry of two straight flanks",
)
def dent_strain(depth: Real, half_width: Real) -> Real:
    """Strain of a skin pressed down to a V.

    ``eps = sqrt(1 + (d/a)^2) - 1``

    depth: depth of the dent d [mm]
    half_width: half width of the dent a [mm]
    Result: eps, an upper bound because no skin is drawn in [1]
    Valid: skin fixed at both rims.
    Source: geometry.
    """
    return sqrt(1.0 + (depth / half_width) ** 2) - 1.0


@relation(
    inputs={"force": "N", "area": "mm2"}, result="MPa", source="definition of pressure"
)
def contact_pressure(force: Real, area: Real) -> Real:
    """Mean pressure under a contact.

    ``p = F/A``

    force: force F [N]
    area: contact area A [mm2]
    Result: p [MPa]
    Valid: mean only; the peak is two to three times as high.
    Source: definition.
    """
    return force / area


@relation(
    inputs={"median": "kg", "spread": "1", "riders": "1"},
    result="kg",
    valid={"riders": (1.0, 20_000.0), "spread": (0.0, 0.5)},
    source="median of the greatest of n from a log-normal",
)
def heaviest_rider(median: Real, spread: Real, riders: Real) -> Real:
    """Mass of the heaviest of the people who use a seat.

    ``m = m0 exp(s z)``, ``z`` the normal quantile of ``0.5^(1/n)``

    median: mass of the median rider m0 [kg]
    spread: spread of the logarithm of masses s, about 0.27 [1]
    riders: different people n [1]
    Result: m; its own median over many such seats [kg]
    Valid: riders not chosen by weight.
    Source: order statistics of a log-normal.
    """
    z = normal_quantile(power(0.5, 1.0 / maximum(riders, 1.0)))
    return median * exp(spread * z)
