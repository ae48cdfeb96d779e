"""What a cover bears at a point: studs, eyelets, buttons."""

from __future__ import annotations

import math

from advisor.mechanics.arith import sin_degrees
from advisor.mechanics.relation import Real, relation

POINT = "bearing on the width of the fastener, own derivation"


@relation(
    inputs={"skin_strength": "N/mm", "diameter": "mm", "layers": "1"},
    result="N",
    valid={"layers": (1.0, 6.0)},
    source=POINT,
)
def stud_capacity(skin_strength: Real, diameter: Real, layers: Real) -> Real:
    """Pull in the plane of a cover at which a stud or eyelet tears out of it.

    ``F = n s d``

    skin_strength: strength of one layer s [N/mm]
    diameter: cap of the stud, or outside of the eyelet d [mm]
    layers: layers of cloth it goes through n, hem and webbing counted [1]
    Result: F in a short test [N]
    Valid: crimped tight, sound cloth all round, an edge at least a diameter away.
    Source: own derivation.
    """
    return layers * skin_strength * diameter


@relation(
    inputs={"skin_strength": "N/mm", "diameter": "mm", "layers": "1", "angle": "deg"},
    result="N",
    valid={"angle": (0.0, 90.0)},
    source=POINT,
)
def stud_off_capacity(
    skin_strength: Real, diameter: Real, layers: Real, angle: Real
) -> Real:
    """Pull off the surface at which a stud, button or eyelet is drawn through the cover.

    ``F = n pi d s sin a``

    skin_strength: strength of one layer s [N/mm]
    diameter: cap or washer that bears on the cover d [mm]
    layers: layers of cloth n [1]
    angle: of the skin to its plane as it gives way a, about 30 to 45 [deg]
    Result: F in a short test [N]
    Valid: the cap does not tip; a straight pull on one side tears at far less.
    Source: own derivation.
    """
    return layers * math.pi * diameter * skin_strength * sin_degrees(angle)


@relation(
    inputs={"plateau": "MPa", "radius": "mm"}, result="N", source="statics"
)
def tuft_pull(plateau: Real, radius: Real) -> Real:
    """Pull in the twine of a tufting button, from the padding that it squeezes.

    ``F = p pi r^2``

    plateau: firmness of the padding at 40 % squeezed p [MPa]
    radius: radius of padding that is drawn down r, about 40 to 50 [mm]
    Result: F at rest; 2 to 3 times that when sat on [N]
    Valid: foam squeezed to between 20 and 60 %.
    Source: statics.
    """
    return plateau * math.pi * radius**2
