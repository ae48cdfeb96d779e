"""The way of the needles: two through the old holes, a machine over the old seam."""

from __future__ import annotations

from itertools import pairwise

from advisor.drawing.bench.bench_shapes import BenchDrawing, Told, box, disc, measure
from advisor.drawing.section_shapes import Note, Point, Shape, Stroke

#: Holes drawn: sewn on into sound seam, along the damage, sewn on again.
ENDS, BETWEEN = 3, 8
LEFT, PITCH = 62.0, 26.0
TOP, DEEP, CLEAR = 86.0, 26.0, 5.0
"""Upper side of the two layers, how thick both are drawn, how far off a thread lies."""


def _holes() -> list[float]:
    return [LEFT + PITCH * i for i in range(2 * ENDS + BETWEEN)]


def _sewn(every: int) -> list[float]:
    """Holes that a needle goes through: all at both ends, each or every other between."""
    holes = _holes()
    between = holes[ENDS : ENDS + BETWEEN]
    return [*holes[:ENDS], *(between if every == 1 else between[1::2]), *holes[ENDS + BETWEEN :]]


def _wave(at: list[float], above_first: bool) -> tuple[Point, ...]:
    """One thread from hole to hole, over and under in turn."""
    points: list[Point] = []
    over = above_first
    for start, end in pairwise(at):
        y = TOP - CLEAR if over else TOP + DEEP + CLEAR
        # Both threads of a hole are seen beside each other.
        aside = -1.6 if above_first else 1.6
        points += [(start + aside, y), (end + aside, y)]
        over = not over
    return tuple(points)


def _layers(every: int) -> list[Shape]:
    wide = PITCH * (2 * ENDS + BETWEEN - 1) + 40.0
    sewn = set(_sewn(every))
    return [
        box("upper layer", LEFT - 20.0, TOP, wide, DEEP / 2, "skin"),
        box("lower layer", LEFT - 20.0, TOP + DEEP / 2, wide, DEEP / 2, "skin"),
        *(
            box("hole" if x in sewn else "hole left open", x - 2.0, TOP, 4.0, DEEP, "void")
            for x in _holes()
        ),
    ]


def _spans(told: Told) -> tuple[list[Stroke], list[Note]]:
    """Over the drawing: sound seam, open seam, sound seam."""
    holes, y = _holes(), 46.0
    strokes: list[Stroke] = []
    notes: list[Note] = []
    overrun = told("overrun")
    length = told("length")
    marks = (
        (holes[0], holes[ENDS - 1], overrun),
        (holes[ENDS], holes[ENDS + BETWEEN - 1], f"open seam {length}".strip()),
        (holes[ENDS + BETWEEN], holes[-1], overrun),
    )
    for start, end, text in marks:
        some, said = measure((start - 8.0, y), (end + 8.0, y), text)
        strokes += some
        notes += said
    return strokes, notes


def _by_hand(told: Told, every: int) -> BenchDrawing:
    at, last = _sewn(every), _holes()[-1]
    strokes, notes = _spans(told)
    strokes += [
        Stroke("first needle", _wave(at, True), "first_needle"),
        Stroke("second needle", _wave(at, False), "second_needle"),
        Stroke("loop", ((last - 1.6, TOP - CLEAR), (last + 4, TOP - 20), (last + 16, TOP - 22),
                        (last + 18, TOP - 12), (last + 2, TOP)), "first_needle"),
    ]  # fmt: skip
    shapes = [*_layers(every), disc("drop", last + 15.0, TOP - 18.0, 5.0, "foam")]
    pitch = told("pitch")
    spaced = f"holes {pitch} apart" if pitch else "the old holes"
    left_out = "" if every == 1 else "; between the ends every other is left"
    low = TOP + DEEP + CLEAR
    notes += [
        Note("both ends: sound seam", (34.0, 16.0), "right"),
        Note("first needle: solid line", (LEFT - 20.0, low + 20.0), "right"),
        Note("second needle: dashed, through the same hole the other way",
             (LEFT - 20.0, low + 38.0), "right"),
        Note(f"{spaced}{left_out}", (LEFT - 20.0, low + 56.0), "right"),
        Note("drop of gel glue on the last loop", (last + 30.0, 16.0), "left"),
    ]  # fmt: skip
    strokes.append(Stroke("lead", ((last + 15.0, 24.0), (last + 15.0, TOP - 24.0)), "measure"))
    thread = told("thread_length")
    cut = "A needle at each end of the thread, its middle in the first hole. "
    if thread:
        cut = f"Cut {thread} of thread, a needle at each end, its middle in the first hole. "
    every_hole = (
        "Both needles go through every hole, one from each side."
        if every == 1
        else "Both needles go through every hole at the ends, through every other one between."
    )
    title = "Stitch path, every hole" if every == 1 else "Stitch path, every other hole"
    return BenchDrawing(title, low + 70.0, tuple(shapes), tuple(strokes), tuple(notes),
                        f"Cut along the seam. {cut}{every_hole}")  # fmt: skip


def stitch_path(told: Told) -> BenchDrawing:
    """Two needles through every old hole."""
    return _by_hand(told, 1)


def stitch_path_every_other_hole(told: Told) -> BenchDrawing:
    """Two needles through every other old hole, every hole at both ends."""
    return _by_hand(told, 2)


def machine_path(told: Told) -> BenchDrawing:
    """One row by machine over the old seam, on into sound seam at both ends."""
    holes = _holes()
    strokes, notes = _spans(told)
    strokes += [
        Stroke("needle thread", tuple((x, TOP - CLEAR) for x in holes), "first_needle"),
        Stroke("bobbin thread", tuple((x, TOP + DEEP + CLEAR) for x in holes), "second_needle"),
        *(Stroke("interlock", ((x, TOP - CLEAR), (x, TOP + DEEP / 2)), "first_needle")
          for x in holes),
        *(Stroke("interlock", ((x, TOP + DEEP + CLEAR), (x, TOP + DEEP / 2)), "second_needle")
          for x in holes),
        Stroke("way", ((holes[0] - 14.0, 66.0), (holes[-1] + 14.0, 66.0)), "move"),
    ]  # fmt: skip
    low = TOP + DEEP + CLEAR
    notes += [
        Note("sew over the old seam, needle in the old holes", (LEFT - 14.0, 16.0), "right"),
        Note("needle thread: solid line", (LEFT - 20.0, low + 20.0), "right"),
        Note("bobbin thread: dashed; both meet inside the layers",
             (LEFT - 20.0, low + 38.0), "right"),
    ]  # fmt: skip
    said = "Cut along the seam. Sew on into sound seam at both ends before you lock off."
    return BenchDrawing("Machine stitch over the old seam", low + 52.0, tuple(_layers(1)),
                        tuple(strokes), tuple(notes), said)  # fmt: skip
