"""The section drawing as plain shapes: pure geometry, no Qt.

The damaged part is cut across the damage. Lengths are millimetres turned into
pixels with one scale for both axes; layers too thin or too thick to be seen are
held between limits, and the drawing then says so. x grows to the right, y down.
"""

from __future__ import annotations

from advisor.drawing.section_frame import (
    CARRIER_PX,
    EDGE,
    FOAM_PX,
    FOAM_WORDS,
    GAP_PX,
    LEGEND,
    NAMES,
    SAG_PX,
    SKIN_PX,
    DrawingFrame,
    drop,
    held,
    radius_px,
)
from advisor.drawing.section_parts import (
    add_carrier,
    add_fixing,
    add_foam,
    add_skin,
    add_worn,
    hang,
)
from advisor.drawing.section_shapes import Drawing, Layers, Note, Point, Shape, Stroke


def pixel_scale(layers: Layers, height: float) -> float:
    """Pixels per millimetre that fit the layers into ``height`` px."""
    total = (layers.skin or 0.0) + (layers.foam or 0.0) + (layers.carrier or 0.0)
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
    carrier = held(layers.carrier * scale, *CARRIER_PX) if layers.carrier is not None else 0.0
    squeeze = min(1.0, room / max(skin + foam + carrier, 1.0))
    opening = layers.skin_open or layers.skin_missing or layers.edge_lifted
    gap = held(layers.gap * scale, GAP_PX[0], GAP_PX[1] * width) if opening else 0.0
    if layers.edge_lifted:
        gap = max(gap, 10.0)
    if layers.skin_missing:
        gap = max(gap, 0.16 * width)
    spare = max(room - (skin + foam + carrier) * squeeze, 0.0)
    frame = DrawingFrame(
        layers, EDGE, width - NAMES, head + 0.35 * spare, scale, skin * squeeze,
        foam * squeeze, carrier * squeeze, gap,
    )
    if carrier:
        add_carrier(frame)
    if foam:
        add_foam(frame)
    if layers.skin is not None:
        add_skin(frame)
    if layers.worn:
        add_worn(frame)
    if layers.fixing_broken:
        add_fixing(frame)
    _names(frame)
    return _finish(frame, width, height)


def _names(frame: DrawingFrame) -> None:
    """Words at the right edge, each beside its layer."""
    half = 0.5 * (frame.right - frame.left)
    edge = frame.top + drop(half, radius_px(frame), half)
    x = frame.right + 6.0
    layers = frame.layers
    rows: list[tuple[float, str, str]] = []
    if layers.skin is not None:
        rows.append((edge + 0.5 * frame.skin, "skin", "skin"))
    if frame.foam:
        word = FOAM_WORDS[layers.foam_state]
        rows.append((edge + frame.skin + 0.5 * frame.foam, word, "foam"))
    word = layers.base if layers.skin is not None else "hard part"
    if layers.carrier_state != "sound":
        word += f", {layers.carrier_state}"
    if frame.carrier:
        rows.append((edge + frame.skin + frame.foam + 0.5 * frame.carrier, word, "carrier"))
    last = -1e9
    for y, text, key in rows:
        y = max(y, last + 17.0)
        last = y
        tail = " *" if key in layers.assumed else ""
        frame.notes.append(Note(text + tail, (x, y)))


def _finish(frame: DrawingFrame, width: float, height: float) -> Drawing:
    layers = frame.layers
    flip = layers.hanging
    depth = frame.skin + frame.foam
    at = frame.top - (hang(frame, frame.middle) if layers.hanging else 0.0)
    y = at + 0.5 * frame.skin
    lips = ((frame.middle - frame.lip, y), (frame.middle + frame.lip, y))
    below = frame.top + depth + 0.5 * frame.carrier
    carrier = ((frame.middle - 3.0, below), (frame.middle + 3.0, below))
    drawn = {
        "skin": (layers.skin or 0) * frame.scale, "foam": (layers.foam or 0) * frame.scale,
        "carrier": (layers.carrier or 0) * frame.scale,
    }
    shown = {"skin": frame.skin, "foam": frame.foam, "carrier": frame.carrier}
    true = all(abs(drawn[key] - shown[key]) < 0.5 for key in drawn if shown[key])
    drawing = Drawing(
        tuple(frame.shapes), tuple(frame.strokes), tuple(frame.notes), lips, carrier,
        frame.scale, true, flip,
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
        drawing.scale, drawing.true_to_scale, True,
    )
