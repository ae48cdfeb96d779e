"""The section drawing as plain shapes: pure geometry, no Qt.

The damaged part is cut across the damage. Lengths are millimetres turned into
pixels with one scale for both axes; layers too thin or too thick to be seen are
held between limits, and the drawing then says so. x grows to the right, y down.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from advisor.gui.section_shapes import Drawing, Layers, Note, Point, Shape, Stroke

#: Limits within which a layer is drawn to scale, px.
SKIN_PX = (6.0, 30.0)
FOAM_PX = (18.0, 170.0)
CARRIER_PX = (12.0, 48.0)
GAP_PX = (4.0, 0.34)
"""Least gap in px, and the largest as a share of the width."""
SAG_PX = 34.0
STEPS = 24
FOAM_WORDS = {
    "sound": "padding", "collapsed": "padding, hollow", "crumbled": "padding, crumbly",
    "tired": "padding, flat", "wet": "padding, wet",
}
EDGE = 14.0
NAMES = 146.0
"""Width kept free on the right for words, px."""
LEGEND = 46.0
"""Height kept free at the bottom for the scale bars, px."""


@dataclass
class _Bench:
    """Work space while a drawing is built."""

    layers: Layers
    left: float
    right: float
    top: float
    scale: float
    skin: float
    foam: float
    carrier: float
    gap: float
    shapes: list[Shape] = field(default_factory=list)
    strokes: list[Stroke] = field(default_factory=list)
    notes: list[Note] = field(default_factory=list)

    @property
    def middle(self) -> float:
        return 0.5 * (self.left + self.right)

    @property
    def lip(self) -> float:
        return 0.5 * self.gap


def held(value: float, low: float, high: float) -> float:
    """``value`` held between two limits."""
    return min(max(value, low), high)


def nice(value: float) -> float:
    """The largest of 1, 2, 5 times a power of ten that is not above ``value``."""
    if value <= 0:
        return 1.0
    power = 10.0 ** math.floor(math.log10(value))
    return float(max(step * power for step in (1, 2, 5) if step * power <= value * 1.0000001))


def drop(x: float, radius: float | None, half: float) -> float:
    """How far a curved surface lies below its crown, px.

    ``x`` and ``half`` in px from the crown, ``radius`` in px. The circle is flattened
    where it would fall more than ``SAG_PX`` over the half width.
    """
    if radius is None or radius <= 0:
        return 0.0
    flat = max(radius, (half * half + SAG_PX * SAG_PX) / (2 * SAG_PX))
    return flat - math.sqrt(max(flat * flat - x * x, 0.0))


def pixel_scale(layers: Layers, height: float) -> float:
    """Pixels per millimetre that fit the layers into ``height`` px."""
    total = (layers.skin or 0.0) + (layers.foam or 0.0) + layers.carrier
    return held(height / max(total, 1.0), 2.0, 14.0)


def draw(layers: Layers, width: float, height: float, head: float = 0.0) -> Drawing:
    """The section in a frame of ``width`` by ``height`` px; ``head`` px stay free for arrows.

    >>> drawing = draw(Layers(skin=1.0, foam=20.0, gap=3.0), 500, 260, 90)
    >>> round(drawing.lips[1][0] - drawing.lips[0][0], 1) >= 4.0
    True
    """
    sag = (SAG_PX if layers.radius else 6.0) + (38.0 if layers.fixing_broken else 0.0)
    room = max(height - head - sag - LEGEND, 60.0)
    scale = pixel_scale(layers, room)
    skin = held((layers.skin or 0) * scale, *SKIN_PX) if layers.skin is not None else 0.0
    foam = held((layers.foam or 0) * scale, *FOAM_PX) if layers.foam is not None else 0.0
    carrier = held(layers.carrier * scale, *CARRIER_PX)
    squeeze = min(1.0, room / max(skin + foam + carrier, 1.0))
    opening = layers.skin_open or layers.skin_missing or layers.edge_lifted
    gap = held(layers.gap * scale, GAP_PX[0], GAP_PX[1] * width) if opening else 0.0
    if layers.edge_lifted:
        gap = max(gap, 10.0)
    if layers.skin_missing:
        gap = max(gap, 0.16 * width)
    spare = max(room - (skin + foam + carrier) * squeeze, 0.0)
    bench = _Bench(
        layers, EDGE, width - NAMES, head + 0.35 * spare, scale, skin * squeeze,
        foam * squeeze, carrier * squeeze, gap,
    )
    _carrier(bench)
    if foam:
        _foam(bench)
    if layers.skin is not None:
        _skin(bench)
    if layers.worn:
        _worn(bench)
    if layers.fixing_broken:
        _fixing(bench)
    _names(bench)
    return _finish(bench, width, height)


def _radius(bench: _Bench) -> float | None:
    return bench.layers.radius * bench.scale if bench.layers.radius else None


def _surface(bench: _Bench, x0: float, x1: float, depth: float) -> list[Point]:
    """Points of a surface ``depth`` px under the crown, from ``x0`` to ``x1``."""
    half = 0.5 * (bench.right - bench.left)
    radius = _radius(bench)
    xs = [x0 + (x1 - x0) * i / STEPS for i in range(STEPS + 1)]
    return [(x, bench.top + depth + drop(x - bench.middle, radius, half)) for x in xs]


def _band(bench: _Bench, x0: float, x1: float, depth: float, thick: float) -> tuple[Point, ...]:
    above = _surface(bench, x0, x1, depth)
    below = _surface(bench, x0, x1, depth + thick)
    return (*above, *reversed(below))


def _carrier(bench: _Bench) -> None:
    depth = bench.skin + bench.foam
    state = bench.layers.carrier_state
    dashed = "carrier" in bench.layers.assumed
    hatch = "crumbled" if state == "rotten" else "solid"
    if state != "cracked":
        points = _band(bench, bench.left, bench.right, depth, bench.carrier)
        bench.shapes.append(Shape("carrier", points, "carrier", hatch, dashed))
        return
    half = max(2.5, 0.5 * bench.gap if bench.layers.skin is None else 2.5)
    for name, x0, x1 in (
        ("carrier left", bench.left, bench.middle - half),
        ("carrier right", bench.middle + half, bench.right),
    ):
        points = _band(bench, x0, x1, depth, bench.carrier)
        bench.shapes.append(Shape(name, points, "carrier", hatch, dashed))
    zig = [
        (bench.middle + (3.0 if i % 2 else -3.0), bench.top + depth + bench.carrier * i / 6)
        for i in range(7)
    ]
    bench.strokes.append(Stroke("crack", tuple(zig), "crack"))


def _fixing(bench: _Bench) -> None:
    """A prong under the carrier, its end broken off."""
    half = 0.5 * (bench.right - bench.left)
    x = bench.middle
    y = bench.top + bench.skin + bench.foam + bench.carrier + drop(0.0, _radius(bench), half)
    for name, y0, y1 in (("prong", y, y + 14.0), ("broken end", y + 23.0, y + 36.0)):
        points = ((x - 7, y0), (x + 7, y0), (x + 6, y1), (x - 6, y1))
        bench.shapes.append(Shape(name, points, "carrier", "solid"))
    bench.strokes.append(
        Stroke("break", tuple((x - 8 + 4 * i, y + 18 + (2 if i % 2 else -2)) for i in range(5)),
               "crack")
    )


def _worn(bench: _Bench) -> None:
    """A rough line on the surface where the finish is gone."""
    reach = 0.22 * (bench.right - bench.left)
    line = _surface(bench, bench.middle - reach, bench.middle + reach, 0.0)
    rough = tuple((x, y - (3.0 if i % 2 else 0.0)) for i, (x, y) in enumerate(line))
    bench.strokes.append(Stroke("worn", rough, "crack"))


def _foam(bench: _Bench) -> None:
    state = bench.layers.foam_state
    hatch = {"crumbled": "crumbled", "wet": "wet"}.get(state, "cells")
    above = _surface(bench, bench.left, bench.right, bench.skin)
    if state in ("collapsed", "crumbled"):
        above = [(x, y + _dent(bench, x)) for x, y in above]
    below = _surface(bench, bench.left, bench.right, bench.skin + bench.foam)
    dashed = "foam" in bench.layers.assumed
    bench.shapes.append(Shape("foam", (*above, *reversed(below)), "foam", hatch, dashed))


def _dent(bench: _Bench, x: float) -> float:
    """Depth of the hollow under the damage, a smooth bell, px."""
    reach = max(0.28 * (bench.right - bench.left), 0.9 * bench.gap)
    depth = 0.42 * bench.foam
    return depth * math.exp(-(((x - bench.middle) / (0.5 * reach)) ** 2))


def _lift(bench: _Bench, x: float) -> float:
    """How far a let-go edge stands off, px; it curls up towards the opening."""
    if not bench.layers.edge_lifted or x < bench.middle:
        return 0.0
    reach = 0.5 * (bench.right - bench.left)
    share = max(0.0, 1.0 - (x - bench.middle - bench.lip) / (0.6 * reach))
    return 30.0 * share * share


def _hang(bench: _Bench, x: float) -> float:
    """How far a lining that let go hangs away from its shell, px."""
    if not bench.layers.hanging:
        return 0.0
    reach = 0.5 * (bench.right - bench.left)
    return 26.0 * math.cos(0.5 * math.pi * held((x - bench.middle) / reach, -1, 1))


def _skin(bench: _Bench) -> None:
    dashed = "skin" in bench.layers.assumed
    sides = [("skin", bench.left, bench.right)]
    if bench.gap:
        sides = [
            ("skin left", bench.left, bench.middle - bench.lip),
            ("skin right", bench.middle + bench.lip, bench.right),
        ]
    for name, x0, x1 in sides:
        above = [(x, y - _lift(bench, x) - _hang(bench, x)) for x, y in
                 _surface(bench, x0, x1, 0.0)]
        below = [(x, y + bench.skin) for x, y in above]
        bench.shapes.append(Shape(name, (*above, *reversed(below)), "skin", "", dashed))
        if bench.layers.stitched and bench.gap:
            _holes(bench, name, above)
    if bench.layers.stitched and not bench.gap:
        _closed_seam(bench)


def _holes(bench: _Bench, name: str, above: list[Point]) -> None:
    """Stitch holes a little way back from the lip."""
    line = above if "right" in name else list(reversed(above))
    x, y = line[1]
    bench.strokes.append(Stroke(f"{name} hole", ((x, y + 1), (x, y + bench.skin - 1)), "hole"))


def _closed_seam(bench: _Bench) -> None:
    """A seam that is still closed, with the ends of its thread standing up."""
    x, y = bench.middle, bench.top
    bench.strokes.append(Stroke("seam", ((x, y), (x, y + bench.skin)), "hole"))
    for sign in (-1, 1):
        ends = ((4, 0.5 * bench.skin), (6, -5.0), (13, -11.0))
        loop = tuple((x + sign * dx, y + dy) for dx, dy in ends)
        bench.strokes.append(Stroke("thread end", loop, "crack"))


def _names(bench: _Bench) -> None:
    """Words at the right edge, each beside its layer."""
    half = 0.5 * (bench.right - bench.left)
    edge = bench.top + drop(half, _radius(bench), half)
    x = bench.right + 6.0
    layers = bench.layers
    rows: list[tuple[float, str, str]] = []
    if layers.skin is not None:
        rows.append((edge + 0.5 * bench.skin, "skin", "skin"))
    if bench.foam:
        word = FOAM_WORDS[layers.foam_state]
        rows.append((edge + bench.skin + 0.5 * bench.foam, word, "foam"))
    word = "carrier" if layers.skin is not None else "hard part"
    if layers.carrier_state != "sound":
        word += f", {layers.carrier_state}"
    rows.append((edge + bench.skin + bench.foam + 0.5 * bench.carrier, word, "carrier"))
    last = -1e9
    for y, text, key in rows:
        y = max(y, last + 17.0)
        last = y
        tail = " *" if key in layers.assumed else ""
        bench.notes.append(Note(text + tail, (x, y)))


def _finish(bench: _Bench, width: float, height: float) -> Drawing:
    layers = bench.layers
    flip = layers.hanging
    depth = bench.skin + bench.foam
    at = bench.top - (_hang(bench, bench.middle) if layers.hanging else 0.0)
    y = at + 0.5 * bench.skin
    lips = ((bench.middle - bench.lip, y), (bench.middle + bench.lip, y))
    below = bench.top + depth + 0.5 * bench.carrier
    carrier = ((bench.middle - 3.0, below), (bench.middle + 3.0, below))
    bar = nice(0.3 * (bench.right - bench.left) / bench.scale)
    drawn = {
        "skin": (layers.skin or 0) * bench.scale, "foam": (layers.foam or 0) * bench.scale,
        "carrier": layers.carrier * bench.scale,
    }
    shown = {"skin": bench.skin, "foam": bench.foam, "carrier": bench.carrier}
    true = all(abs(drawn[key] - shown[key]) < 0.5 for key in drawn if shown[key])
    drawing = Drawing(
        tuple(bench.shapes), tuple(bench.strokes), tuple(bench.notes), lips, carrier,
        bench.scale, (bar, bar * bench.scale), true, flip,
    )
    return flipped(drawing, height) if flip else drawing


def flipped(drawing: Drawing, height: float) -> Drawing:
    """The same drawing with the carrier on top, as for a roof lining."""

    def turn(point: Point) -> Point:
        return (point[0], height - LEGEND - point[1] + 8.0)

    return Drawing(
        tuple(
            Shape(s.name, tuple(turn(p) for p in s.points), s.fill, s.hatch, s.dashed)
            for s in drawing.shapes
        ),
        tuple(Stroke(s.name, tuple(turn(p) for p in s.points), s.look) for s in drawing.strokes),
        tuple(Note(n.text, turn(n.at), n.side) for n in drawing.notes),
        (turn(drawing.lips[0]), turn(drawing.lips[1])),
        (turn(drawing.carrier_lips[0]), turn(drawing.carrier_lips[1])),
        drawing.scale, drawing.scale_bar, drawing.true_to_scale, True,
    )
