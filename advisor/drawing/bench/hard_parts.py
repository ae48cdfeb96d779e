"""Weld groove, wire staples and strips behind a crack."""

from __future__ import annotations

import math

from advisor.drawing.bench.bench_shapes import BenchDrawing, Told, disc, measure, rounded
from advisor.drawing.section_shapes import Note, Shape, Stroke

THICK = 62.0
GROOVE = 60.0
"""Angle of a V groove where the job sheet names none, degrees."""


#: Where the beads of a weld lie, the first at the root: across and below the face, and radius.
BEADS = ((0.0, 42.0, 13.0), (-13.0, 18.0, 13.0), (13.0, 18.0, 13.0), (0.0, -4.0, 13.0))
ONE_BEAD = (0.0, 20.0, 22.0)


def _rods_in(passes: int, mid: float, y: float) -> list[Shape]:
    """The rods laid in the groove; more than four are drawn as four."""
    laid = [ONE_BEAD] if passes == 1 else BEADS[: max(passes, 2)]
    return [disc("rod", mid + x, y + down, radius, "foam") for x, down, radius in laid]


def _crack_seen_flat(x: float, y: float, wide: float) -> tuple[list[Shape], list[Stroke]]:
    """A crack seen from behind, a stop hole at each tip."""
    zigzag = tuple(
        (x + wide * i / 6.0, y + (5.0 if i % 2 else -5.0) * (0.0 if i in (0, 6) else 1.0))
        for i in range(7)
    )
    shapes = [disc("stop hole", x, y, 6.0, "void"), disc("stop hole", x + wide, y, 6.0, "void")]
    return shapes, [Stroke("crack", zigzag, "cut")]


def weld_groove(told: Told) -> BenchDrawing:
    """The V scraped into the plate with the rods laid in it, and the crack with its stop holes."""
    y, mid = 48.0, 120.0
    angle = told("groove") or f"{GROOVE:g}"
    half = THICK * math.tan(math.radians(GROOVE / 2.0))
    plates = [
        Shape("plate", ((10.0, y), (mid - half, y), (mid, y + THICK), (10.0, y + THICK)),
              "carrier", "solid"),
        Shape("plate", ((mid + half, y), (230.0, y), (230.0, y + THICK), (mid, y + THICK)),
              "carrier", "solid"),
    ]  # fmt: skip
    passes = told("passes")
    rods = _rods_in(int(passes) if passes.isdigit() else len(BEADS), mid, y)
    flat = rounded("part from above", 262.0, y, 188.0, THICK, "carrier")
    holes, crack = _crack_seen_flat(296.0, y + THICK / 2, 120.0)
    rod = told("rod_diameter")
    laid = f"rod {rod}" if rod else "rod"
    if passes:
        laid += " in 1 pass" if passes == "1" else f" in {passes} passes"
    drill = told("stop_drill")
    speed = told("weld_speed")
    notes = [
        Note(f"V of {angle} degrees", (mid, 18.0), "above"),
        Note(laid, (mid, y + THICK + 26.0), "below"),
        Note(f"stop hole {drill} at each tip".replace("  ", " "), (356.0, y + THICK + 26.0),
             "below"),
        Note("from above", (356.0, 18.0), "above"),
    ]
    strokes = [
        *crack,
        Stroke("lead", ((mid - 4.0, y - 28.0), (mid - 0.5 * half, y + 8.0)), "measure"),
        Stroke("lead", ((mid, y + THICK + 20.0), (mid, y + 48.0)), "measure"),
        Stroke("lead", ((356.0, y + THICK + 20.0), (296.0, y + THICK / 2 + 8.0)), "measure"),
        Stroke("lead", ((356.0, y + THICK + 20.0), (416.0, y + THICK / 2 + 8.0)), "measure"),
    ]
    said = "Cut across the crack. Scrape the V to the bottom; the last bead stands a little proud."
    if speed:
        said += f" Move at {speed}."
    return BenchDrawing("Weld groove", y + THICK + 46.0, (*plates, *rods, flat, *holes),
                        tuple(strokes), tuple(notes), said)  # fmt: skip


def wire_staples(told: Told) -> BenchDrawing:
    """Wire staples melted in across a crack."""
    y, high = 34.0, 84.0
    plate = rounded("part from behind", 30.0, y, 400.0, high, "carrier")
    holes, crack = _crack_seen_flat(70.0, y + high / 2, 320.0)
    strokes = list(crack)
    at = [110.0, 170.0, 230.0, 290.0, 350.0]
    for x in at:
        strokes.append(Stroke("staple", ((x - 9, y + 18), (x, y + 24), (x, y + high - 24),
                                         (x + 9, y + high - 18)), "first_needle"))  # fmt: skip
    spaced, said = measure((at[1], y - 10.0), (at[2], y - 10.0), told("staple_spacing"))
    strokes += spaced
    number = told("staples")
    notes = [
        *said,
        Note(f"{number} staples across the crack, ends bent apart" if number else
             "staples across the crack, ends bent apart", (230.0, y + high + 8.0), "below"),
        Note("stop hole", (30.0, y - 14.0), "right"),
    ]  # fmt: skip
    strokes.append(Stroke("lead", ((56.0, y - 6.0), (70.0, y + high / 2 - 8.0)), "measure"))
    return BenchDrawing("Wire staples", y + high + 28.0, (plate, *holes), tuple(strokes),
                        tuple(notes), "From behind. Sink each until it lies flush.")  # fmt: skip


def strip_behind(told: Told) -> BenchDrawing:
    """A strip bonded or fused behind a crack, past both its tips."""
    y, high = 44.0, 96.0
    plate = rounded("part from behind", 30.0, y, 400.0, high, "carrier")
    strip = rounded("strip", 92.0, y + 18.0, 276.0, high - 36.0, "foam", dashed=True)
    holes, crack = _crack_seen_flat(140.0, y + high / 2, 180.0)
    side = told("doubler_side") or told("strip_side")
    length = told("doubler_length") or told("strip_length")
    over, said = measure((320.0, y - 8.0), (368.0, y - 8.0), side)
    long, long_said = measure((92.0, y + high + 10.0), (368.0, y + high + 10.0),
                              f"strip {length}" if length else "strip", "below")  # fmt: skip
    strokes = [*crack, *over, *long]
    notes = [*said, *long_said, Note("from behind", (30.0, 20.0), "right")]
    caption = "The same overlap on both sides of the crack and past both tips. "
    caption += "Clean and key both faces first; nothing on the face that shows."
    return BenchDrawing("Strip behind the crack", y + high + 34.0, (plate, strip, *holes),
                        tuple(strokes), tuple(notes), caption)  # fmt: skip
