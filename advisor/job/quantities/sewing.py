"""Stitches, thread and needle of a sewn repair."""

from __future__ import annotations

from advisor.mechanics.arith import ceil, maximum
from advisor.mechanics.relation import Real
from advisor.mechanics.thread import cut_length, lock_off_stitches, stitch_count

#: Both ends of the damage are sewn at every hole, whatever is skipped between.
ENDS = 2


def stitches_to_sew(length: Real, pitch: Real, overrun: Real, back_stitches: Real) -> Real:
    """Stitches of a repair through every hole: damage, both overruns and the lock-off.

    ``N + 2 no + nb``. length, pitch, overrun [mm], back_stitches [1]; result [1].
    Lengths at least 0, pitch above 0. Source: stitch geometry; overrun after
    US Army TM 10-1670-287-23&P.
    """
    ends = ENDS * lock_off_stitches(overrun, pitch)
    return stitch_count(length, pitch) + ends + ceil(back_stitches)


def stitches_every_other(length: Real, pitch: Real, overrun: Real, back_stitches: Real) -> Real:
    """As `stitches_to_sew`, every other hole along the damage, every hole at both ends."""
    ends = ENDS * lock_off_stitches(overrun, pitch)
    return stitch_count(length, 2.0 * pitch) + ends + ceil(back_stitches)


def thread_to_cut(
    length: Real,
    pitch: Real,
    stack: Real,
    overrun: Real,
    back_stitches: Real,
    waste: Real,
    tail: Real,
    every: int = 1,
) -> Real:
    """Thread to cut for one repair, tails included [mm].

    ``every`` 1 sews each hole, 2 every other one: a stitch then spans two pitches.
    length, pitch, stack (all layers pressed together), overrun, tail [mm]; waste [1].
    Source: stitch geometry; waste and tails common practice.
    """
    ends = lock_off_stitches(overrun, pitch)
    between = cut_length(length, every * pitch, stack, 0.0, 0.0, waste, 0.0)
    return between + cut_length(0.0, pitch, stack, ends, ceil(back_stitches), waste, tail)


def rule_of_thumb_short_by(cut: Real, length: Real, times: Real) -> Real:
    """How much "``times`` the length" falls short of the thread to cut [mm]; 0 if it does not.

    The rule is common practice without a source: it covers the thread in the seam where
    the layers are half a stitch thick, and neither tails nor overrun.
    """
    return maximum(cut - times * length, 0.0)


def sews_through_bridge(bridge: float, limit: float) -> bool:
    """True where the sound bridge between two splits is too short to be left.

    Common practice, no source: under 25 to 30 mm it is unpicked, for its thread is cut at
    both ends. ``bridge`` and ``limit`` in mm.
    """
    return bridge < limit
