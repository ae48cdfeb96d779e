"""Sewing thread: how many stitches a seam has, and how much thread they use up."""

from __future__ import annotations

from advisor.mechanics.arith import ceil
from advisor.mechanics.relation import Real, relation

GEOMETRY = "stitch geometry; lockstitch 301 as in published thread consumption formulas"


@relation(inputs={"length": "mm", "pitch": "mm"}, result="1", source="definition")
def stitch_count(length: Real, pitch: Real) -> Real:
    """Stitches in a length, rounded up.

    ``N = ceil(L / p)``

    length: length L [mm]
    pitch: stitch pitch p [mm]
    Result: whole number of stitches [1]
    Valid: any.
    Source: definition.
    """
    return ceil(length / pitch)


@relation(inputs={"overrun": "mm", "pitch": "mm"}, result="1", source=(
    "US Army TM 10-1670-287-23&P: sew 13 mm into sound stitching at each end"
))
def lock_off_stitches(overrun: Real, pitch: Real) -> Real:
    """Stitches sewn into the sound seam at each end.

    ``n = ceil(o / p)``

    overrun: length o sewn over the old stitching [mm]
    pitch: stitch pitch p [mm]
    Result: whole number of stitches at one end [1]
    Valid: straight lockstitch; the same manual takes 6 mm for zigzag.
    Source: US Army TM 10-1670-287-23&P.
    """
    return stitch_count(overrun, pitch)


@relation(
    inputs={
        "length": "mm",
        "pitch": "mm",
        "stack": "mm",
        "overrun_stitches": "1",
        "back_stitches": "1",
        "waste": "1",
        "tail": "mm",
    },
    result="mm",
    source=f"{GEOMETRY}; overrun after US Army TM 10-1670-287-23&P; tails common practice",
)
def cut_length(
    length: Real,
    pitch: Real,
    stack: Real,
    overrun_stitches: Real,
    back_stitches: Real,
    waste: Real,
    tail: Real,
) -> Real:
    """Thread to cut for a hand-sewn repair with a needle at each end.

    ``2 (p + T)(N + 2 no + nb)(1 + w) + 2 tail``

    length: length of the repair [mm]
    pitch: stitch pitch p [mm]
    stack: thickness T of all layers [mm]
    overrun_stitches: no, stitches into sound seam at each end [1]
    back_stitches: nb, stitches sewn back to lock, in all [1]
    waste: share w added for uneven tension [1]
    tail: thread held at each needle [mm]
    Result: length to cut [mm]
    Valid: saddle stitch or lockstitch.
    Source: stitch geometry.
    """
    stitches = stitch_count(length, pitch) + 2.0 * overrun_stitches + back_stitches
    return 2.0 * (pitch + stack) * stitches * (1.0 + waste) + 2.0 * tail
