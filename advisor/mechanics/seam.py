"""What a sewn line carries: thread, loaded holes, and the skin left between holes."""

from __future__ import annotations

from advisor.mechanics.arith import maximum
from advisor.mechanics.relation import Real, relation

LOOPS = (
    "seam strength by stitch density and loop factor, thread makers' bulletins; "
    "stitch types ISO 4915 = ASTM D6193"
)
HOLES = "own model: least of thread, hole tear-out and ligament"


@relation(
    inputs={"thread_strength": "N", "loop_factor": "1", "pitch": "mm"},
    result="N/mm",
    valid={"loop_factor": (0.75, 2.0), "pitch": (1.5, 15.0)},
    source=LOOPS,
)
def thread_capacity(thread_strength: Real, loop_factor: Real, pitch: Real) -> Real:
    """Line load at which the thread of a seam breaks.

    ``q = k F / p``

    thread_strength: straight breaking load F of the weaker thread [N]
    loop_factor: k; lockstitch 1.5, chainstitch 1.7, hand saddle stitch 1.2 [1]
    pitch: stitch pitch p [mm]
    Result: q [N/mm]
    Valid: short term; k comes from woven cloth.
    Source: thread makers' bulletins.
    """
    return loop_factor * thread_strength / pitch


@relation(
    inputs={"hole_strength": "N", "pitch": "mm"},
    result="N/mm",
    valid={"hole_strength": (10.0, 120.0), "pitch": (1.5, 15.0)},
    source=HOLES,
)
def hole_capacity(hole_strength: Real, pitch: Real) -> Real:
    """Line load at which the loaded holes tear out.

    ``q = Fh / p``

    hole_strength: tear-out load of one hole Fh, as in ISO 23910 for leather [N]
    pitch: pitch p of the holes that carry thread [mm]
    Result: q [N/mm]
    Valid: short term; best measured with one loop of thread and a pull scale.
    Source: own model.
    """
    return hole_strength / pitch


@relation(
    inputs={"skin_strength": "N/mm", "hole_pitch": "mm", "needle_diameter": "mm"},
    result="N/mm",
    valid={"hole_pitch": (1.5, 15.0), "needle_diameter": (0.6, 2.5)},
    source=HOLES,
)
def ligament_capacity(skin_strength: Real, hole_pitch: Real, needle_diameter: Real) -> Real:
    """Line load at which the skin tears from hole to hole.

    ``q = s (p0 - d) / p0``

    skin_strength: breaking line load s of the sound skin [N/mm]
    hole_pitch: pitch p0 of all holes present, used or not [mm]
    needle_diameter: diameter d of the needle that made them [mm]
    Result: q; 0 where the holes run together [N/mm]
    Valid: upper bound where the needle parts yarns; right for a cutting point.
    Source: own model.
    """
    return skin_strength * maximum(hole_pitch - needle_diameter, 0.0) / hole_pitch
