"""The parts of a section drawing, added to the frame one by one. Pure geometry, no Qt."""

from __future__ import annotations

import math

from advisor.drawing.section_frame import DrawingFrame, band, drop, held, radius_px, surface
from advisor.drawing.section_shapes import Point, Shape, Stroke


def add_carrier(frame: DrawingFrame) -> None:
    """The hard part below: sound, cracked through, or rotten."""
    depth = frame.skin + frame.foam
    state = frame.layers.carrier_state
    dashed = "carrier" in frame.layers.assumed
    hatch = "crumbled" if state == "rotten" else "solid"
    if state != "cracked":
        points = band(frame, frame.left, frame.right, depth, frame.carrier)
        frame.shapes.append(Shape("carrier", points, "carrier", hatch, dashed))
        return
    half = max(2.5, 0.5 * frame.gap if frame.layers.skin is None else 2.5)
    for name, x0, x1 in (
        ("carrier left", frame.left, frame.middle - half),
        ("carrier right", frame.middle + half, frame.right),
    ):
        points = band(frame, x0, x1, depth, frame.carrier)
        frame.shapes.append(Shape(name, points, "carrier", hatch, dashed))
    zig = [
        (frame.middle + (3.0 if i % 2 else -3.0), frame.top + depth + frame.carrier * i / 6)
        for i in range(7)
    ]
    frame.strokes.append(Stroke("crack", tuple(zig), "crack"))


def add_fixing(frame: DrawingFrame) -> None:
    """A prong under the carrier, its end broken off."""
    half = 0.5 * (frame.right - frame.left)
    x = frame.middle
    y = frame.top + frame.skin + frame.foam + frame.carrier + drop(0.0, radius_px(frame), half)
    for name, y0, y1 in (("prong", y, y + 14.0), ("broken end", y + 23.0, y + 36.0)):
        points = ((x - 7, y0), (x + 7, y0), (x + 6, y1), (x - 6, y1))
        frame.shapes.append(Shape(name, points, "carrier", "solid"))
    frame.strokes.append(
        Stroke("break", tuple((x - 8 + 4 * i, y + 18 + (2 if i % 2 else -2)) for i in range(5)),
               "crack")
    )


def add_worn(frame: DrawingFrame) -> None:
    """A rough line on the surface where the finish is gone."""
    reach = 0.22 * (frame.right - frame.left)
    line = surface(frame, frame.middle - reach, frame.middle + reach, 0.0)
    rough = tuple((x, y - (3.0 if i % 2 else 0.0)) for i, (x, y) in enumerate(line))
    frame.strokes.append(Stroke("worn", rough, "crack"))


def add_foam(frame: DrawingFrame) -> None:
    """The padding: hatched where it crumbles, sunken where it leaves a hollow."""
    state = frame.layers.foam_state
    hatch = {"crumbled": "crumbled", "wet": "wet"}.get(state, "cells")
    above = surface(frame, frame.left, frame.right, frame.skin)
    if state in ("collapsed", "crumbled"):
        above = [(x, y + _dent(frame, x)) for x, y in above]
    below = surface(frame, frame.left, frame.right, frame.skin + frame.foam)
    dashed = "foam" in frame.layers.assumed
    frame.shapes.append(Shape("foam", (*above, *reversed(below)), "foam", hatch, dashed))


def _dent(frame: DrawingFrame, x: float) -> float:
    """Depth of the hollow under the damage, a smooth bell, px."""
    reach = max(0.28 * (frame.right - frame.left), 0.9 * frame.gap)
    depth = 0.42 * frame.foam
    return depth * math.exp(-(((x - frame.middle) / (0.5 * reach)) ** 2))


def _lift(frame: DrawingFrame, x: float) -> float:
    """How far a let-go edge stands off, px; it curls up towards the opening."""
    if not frame.layers.edge_lifted or x < frame.middle:
        return 0.0
    reach = 0.5 * (frame.right - frame.left)
    share = max(0.0, 1.0 - (x - frame.middle - frame.lip) / (0.6 * reach))
    return 30.0 * share * share


def hang(frame: DrawingFrame, x: float) -> float:
    """How far a lining that let go hangs away from its shell, px."""
    if not frame.layers.hanging:
        return 0.0
    reach = 0.5 * (frame.right - frame.left)
    return 26.0 * math.cos(0.5 * math.pi * held((x - frame.middle) / reach, -1, 1))


def add_skin(frame: DrawingFrame) -> None:
    """The skin, in one piece or in two lips, with the holes of a seam."""
    dashed = "skin" in frame.layers.assumed
    sides = [("skin", frame.left, frame.right)]
    if frame.gap:
        sides = [
            ("skin left", frame.left, frame.middle - frame.lip),
            ("skin right", frame.middle + frame.lip, frame.right),
        ]
    for name, x0, x1 in sides:
        above = [(x, y - _lift(frame, x) - hang(frame, x)) for x, y in
                 surface(frame, x0, x1, 0.0)]
        below = [(x, y + frame.skin) for x, y in above]
        frame.shapes.append(Shape(name, (*above, *reversed(below)), "skin", "", dashed))
        if frame.layers.stitched and frame.gap:
            _holes(frame, name, above)
    if frame.layers.stitched and not frame.gap:
        _closed_seam(frame)


def _holes(frame: DrawingFrame, name: str, above: list[Point]) -> None:
    """Stitch holes a little way back from the lip."""
    line = above if "right" in name else list(reversed(above))
    x, y = line[1]
    frame.strokes.append(Stroke(f"{name} hole", ((x, y + 1), (x, y + frame.skin - 1)), "hole"))


def _closed_seam(frame: DrawingFrame) -> None:
    """A seam that is still closed, with the ends of its thread standing up."""
    x, y = frame.middle, frame.top
    frame.strokes.append(Stroke("seam", ((x, y), (x, y + frame.skin)), "hole"))
    for sign in (-1, 1):
        ends = ((4, 0.5 * frame.skin), (6, -5.0), (13, -11.0))
        loop = tuple((x + sign * dx, y + dy) for dx, dy in ends)
        frame.strokes.append(Stroke("thread end", loop, "crack"))
