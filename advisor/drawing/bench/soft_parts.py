"""Patches of skin and cloth, and filling a hollow."""

from __future__ import annotations

from advisor.drawing.bench.bench_shapes import BenchDrawing, Told, box, measure, rounded
from advisor.drawing.section_shapes import Note, Shape, Stroke


def _size(told: Told) -> str:
    sides = [side for side in (told("patch_length"), told("patch_width")) if side]
    return " x ".join(sides)


def patch_behind(told: Told) -> BenchDrawing:
    """The patch under the skin: cut across, and seen from above."""
    y = 66.0
    shapes = [
        box("skin", 10.0, y, 86.0, 14.0, "skin"), box("skin", 106.0, y, 94.0, 14.0, "skin"),
        box("patch", 42.0, y + 14.0, 124.0, 8.0, "carrier"),
        box("padding", 10.0, y + 22.0, 190.0, 34.0, "foam", "cells"),
        rounded("skin from above", 232.0, 34.0, 218.0, 104.0, "void"),
        rounded("patch", 262.0, 54.0, 158.0, 64.0, "carrier", dashed=True),
        Shape("opening", ((310.0, 86.0), (341.0, 81.0), (372.0, 86.0), (341.0, 91.0)), "skin"),
    ]  # fmt: skip
    over, said = measure((106.0, y - 12.0), (166.0, y - 12.0), told("overlap"))
    side, side_said = measure((372.0, 128.0), (420.0, 128.0), "")
    size = _size(told)
    notes = [
        *said, *side_said,
        Note("cut across", (10.0, 16.0), "right"),
        Note("from above", (232.0, 16.0), "right"),
        Note("cement on the back of the skin", (10.0, y + 72.0), "right"),
        Note(f"patch {size}, corners rounded" if size else "patch, corners rounded",
             (450.0, 156.0), "left"),
    ]  # fmt: skip
    strokes = [*over, *side, Stroke("lead", ((60.0, y + 64.0), (60.0, y + 14.0)), "measure")]
    caption = (
        "The patch lies flat under the skin with the same overlap all round. "
        "Bring the edges together without force, then press flat."
    )
    return BenchDrawing("Patch placement", 168.0, tuple(shapes), tuple(strokes), tuple(notes),
                        caption)  # fmt: skip


def patch_sewn_on(told: Told) -> BenchDrawing:
    """The patch over the damage with two rows of stitches."""
    shapes = [
        rounded("cloth", 20.0, 30.0, 420.0, 120.0, "void"),
        rounded("patch", 110.0, 46.0, 240.0, 88.0, "carrier"),
        Shape("opening", ((190.0, 90.0), (230.0, 82.0), (270.0, 90.0), (230.0, 98.0)), "skin",
              dashed=True),
    ]  # fmt: skip
    rows = [
        (118.0, 54.0, 342.0, 126.0),
        (176.0, 70.0, 284.0, 110.0),
    ]
    strokes = [
        Stroke("row of stitches", ((a, b), (c, b), (c, d), (a, d), (a, b)), "second_needle")
        for a, b, c, d in rows
    ]
    over, said = measure((284.0, 164.0), (350.0, 164.0), told("overlap"), "below")
    size = _size(told)
    notes = [
        *said,
        Note("edge turned under, first row along it", (20.0, 14.0), "right"),
        Note("second row round the damage", (450.0, 14.0), "left"),
        Note(f"patch {size}" if size else "patch", (20.0, 172.0), "right"),
    ]
    strokes += over
    strokes += [
        Stroke("lead", ((150.0, 22.0), (150.0, 54.0)), "measure"),
        Stroke("lead", ((370.0, 22.0), (284.0, 78.0)), "measure"),
    ]
    caption = (
        "Do not pull the cloth together. Outside, the upper edge of the patch lies under the flow "
        "of the water."
    )
    return BenchDrawing("Patch placement", 190.0, tuple(shapes), tuple(strokes), tuple(notes),
                        caption)  # fmt: skip


def _pad(told: Told) -> str:
    sides = [side for side in map(told, ("pad_length", "pad_width", "pad_depth")) if side]
    return " x ".join(sides)


def _layers(split: bool, opening: bool) -> list[Shape]:
    """Skin, padding with a hollow, carrier; open above or below."""
    y = 50.0
    skin = (
        [box("skin", 30.0, y, 190.0, 14.0, "skin"), box("skin", 240.0, y, 190.0, 14.0, "skin")]
        if split
        else [box("skin", 30.0, y, 400.0, 14.0, "skin")]
    )
    base = (
        [box("carrier", 30.0, y + 84.0, 156.0, 14.0, "carrier", "solid"),
         box("carrier", 274.0, y + 84.0, 156.0, 14.0, "carrier", "solid")]
        if opening
        else [box("carrier", 30.0, y + 84.0, 400.0, 14.0, "carrier", "solid")]
    )  # fmt: skip
    deep = y + 84.0 if opening else y + 62.0
    hollow = Shape("hollow", ((150.0, y + 14.0), (310.0, y + 14.0), (274.0, deep), (186.0, deep)),
                   "void")  # fmt: skip
    pad = Shape("new foam", ((158.0, y + 16.0), (302.0, y + 16.0), (268.0, deep - 6),
                             (192.0, deep - 6)), "foam", "cells", dashed=True)  # fmt: skip
    padding = box("padding", 30.0, y + 14.0, 400.0, 70.0, "foam", "cells")
    return [padding, hollow, pad, *skin, *base]


def filling_through_split(told: Told) -> BenchDrawing:
    """Soft foam put in through the open seam, before it is closed."""
    size = _pad(told)
    notes = [
        Note("in through the open seam", (246.0, 18.0), "right"),
        Note(f"soft foam {size}" if size else "soft foam, a little larger than the hollow",
             (230.0, 158.0), "below"),
    ]
    strokes = [
        Stroke("in", ((230.0, 10.0), (230.0, 72.0)), "move"),
        Stroke("lead", ((230.0, 152.0), (230.0, 100.0)), "measure"),
    ]
    caption = (
        "Slightly overfilled: skin that is pressed into an empty place stretches and opens again. "
        "Cut the foam to the shape of the hollow, a dab of cement keeps it in place."
    )
    return BenchDrawing("Filling the hollow", 180.0, tuple(_layers(True, False)), tuple(strokes),
                        tuple(notes), caption)  # fmt: skip


def filling_through_carrier(told: Told) -> BenchDrawing:
    """Soft foam put in from below, the sound skin left alone."""
    size = _pad(told)
    notes = [
        Note("skin is whole: do not cut it", (30.0, 14.0), "right"),
        Note(f"soft foam {size}" if size else "soft foam, a little larger than the hollow",
             (450.0, 32.0), "left"),
        Note("in from below, carrier open or off", (244.0, 178.0), "right"),
    ]
    strokes = [
        Stroke("in", ((230.0, 190.0), (230.0, 118.0)), "move"),
        Stroke("lead", ((340.0, 39.0), (262.0, 90.0)), "measure"),
    ]
    caption = (
        "Take the cover off or open it underneath, never through the face. Overfill slightly, so "
        "that the skin lies on foam everywhere."
    )
    return BenchDrawing("Filling through the carrier", 196.0, tuple(_layers(False, True)),
                        tuple(strokes), tuple(notes), caption)  # fmt: skip
