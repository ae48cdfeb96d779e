"""The parts of a section drawing, put on the bench one by one. Pure geometry, no Qt."""

from __future__ import annotations

import math

from advisor.drawing.section_frame import Bench, band, drop, held, radius_px, surface
from advisor.drawing.section_shapes import Point, Shape, Stroke


def add_carrier(bench: Bench) -> None:
    """The hard part below: sound, cracked through, or rotten."""
    depth = bench.skin + bench.foam
    state = bench.layers.carrier_state
    dashed = "carrier" in bench.layers.assumed
    hatch = "crumbled" if state == "rotten" else "solid"
    if state != "cracked":
        points = band(bench, bench.left, bench.right, depth, bench.carrier)
        bench.shapes.append(Shape("carrier", points, "carrier", hatch, dashed))
        return
    half = max(2.5, 0.5 * bench.gap if bench.layers.skin is None else 2.5)
    for name, x0, x1 in (
        ("carrier left", bench.left, bench.middle - half),
        ("carrier right", bench.middle + half, bench.right),
    ):
        points = band(bench, x0, x1, depth, bench.carrier)
        bench.shapes.append(Shape(name, points, "carrier", hatch, dashed))
    zig = [
        (bench.middle + (3.0 if i % 2 else -3.0), bench.top + depth + bench.carrier * i / 6)
        for i in range(7)
    ]
    bench.strokes.append(Stroke("crack", tuple(zig), "crack"))


def add_fixing(bench: Bench) -> None:
    """A prong under the carrier, its end broken off."""
    half = 0.5 * (bench.right - bench.left)
    x = bench.middle
    y = bench.top + bench.skin + bench.foam + bench.carrier + drop(0.0, radius_px(bench), half)
    for name, y0, y1 in (("prong", y, y + 14.0), ("broken end", y + 23.0, y + 36.0)):
        points = ((x - 7, y0), (x + 7, y0), (x + 6, y1), (x - 6, y1))
        bench.shapes.append(Shape(name, points, "carrier", "solid"))
    bench.strokes.append(
        Stroke("break", tuple((x - 8 + 4 * i, y + 18 + (2 if i % 2 else -2)) for i in range(5)),
               "crack")
    )


def add_worn(bench: Bench) -> None:
    """A rough line on the surface where the finish is gone."""
    reach = 0.22 * (bench.right - bench.left)
    line = surface(bench, bench.middle - reach, bench.middle + reach, 0.0)
    rough = tuple((x, y - (3.0 if i % 2 else 0.0)) for i, (x, y) in enumerate(line))
    bench.strokes.append(Stroke("worn", rough, "crack"))


def add_foam(bench: Bench) -> None:
    """The padding: hatched where it crumbles, sunken where it leaves a hollow."""
    state = bench.layers.foam_state
    hatch = {"crumbled": "crumbled", "wet": "wet"}.get(state, "cells")
    above = surface(bench, bench.left, bench.right, bench.skin)
    if state in ("collapsed", "crumbled"):
        above = [(x, y + _dent(bench, x)) for x, y in above]
    below = surface(bench, bench.left, bench.right, bench.skin + bench.foam)
    dashed = "foam" in bench.layers.assumed
    bench.shapes.append(Shape("foam", (*above, *reversed(below)), "foam", hatch, dashed))


def _dent(bench: Bench, x: float) -> float:
    """Depth of the hollow under the damage, a smooth bell, px."""
    reach = max(0.28 * (bench.right - bench.left), 0.9 * bench.gap)
    depth = 0.42 * bench.foam
    return depth * math.exp(-(((x - bench.middle) / (0.5 * reach)) ** 2))


def _lift(bench: Bench, x: float) -> float:
    """How far a let-go edge stands off, px; it curls up towards the opening."""
    if not bench.layers.edge_lifted or x < bench.middle:
        return 0.0
    reach = 0.5 * (bench.right - bench.left)
    share = max(0.0, 1.0 - (x - bench.middle - bench.lip) / (0.6 * reach))
    return 30.0 * share * share


def hang(bench: Bench, x: float) -> float:
    """How far a lining that let go hangs away from its shell, px."""
    if not bench.layers.hanging:
        return 0.0
    reach = 0.5 * (bench.right - bench.left)
    return 26.0 * math.cos(0.5 * math.pi * held((x - bench.middle) / reach, -1, 1))


def add_skin(bench: Bench) -> None:
    """The skin, in one piece or in two lips, with the holes of a seam."""
    dashed = "skin" in bench.layers.assumed
    sides = [("skin", bench.left, bench.right)]
    if bench.gap:
        sides = [
            ("skin left", bench.left, bench.middle - bench.lip),
            ("skin right", bench.middle + bench.lip, bench.right),
        ]
    for name, x0, x1 in sides:
        above = [(x, y - _lift(bench, x) - hang(bench, x)) for x, y in
                 surface(bench, x0, x1, 0.0)]
        below = [(x, y + bench.skin) for x, y in above]
        bench.shapes.append(Shape(name, (*above, *reversed(below)), "skin", "", dashed))
        if bench.layers.stitched and bench.gap:
            _holes(bench, name, above)
    if bench.layers.stitched and not bench.gap:
        _closed_seam(bench)


def _holes(bench: Bench, name: str, above: list[Point]) -> None:
    """Stitch holes a little way back from the lip."""
    line = above if "right" in name else list(reversed(above))
    x, y = line[1]
    bench.strokes.append(Stroke(f"{name} hole", ((x, y + 1), (x, y + bench.skin - 1)), "hole"))


def _closed_seam(bench: Bench) -> None:
    """A seam that is still closed, with the ends of its thread standing up."""
    x, y = bench.middle, bench.top
    bench.strokes.append(Stroke("seam", ((x, y), (x, y + bench.skin)), "hole"))
    for sign in (-1, 1):
        ends = ((4, 0.5 * bench.skin), (6, -5.0), (13, -11.0))
        loop = tuple((x + sign * dx, y + dy) for dx, dy in ends)
        bench.strokes.append(Stroke("thread end", loop, "crack"))
