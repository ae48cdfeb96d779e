"""What a section drawing is made of: plain data, no Qt."""

from __future__ import annotations

from dataclasses import dataclass

Point = tuple[float, float]


@dataclass(frozen=True)
class Layers:
    """What lies where the part is cut. Lengths in mm."""

    skin: float | None = 1.0
    """Thickness; None where the part has no skin."""
    foam: float | None = 20.0
    """Thickness; None where there is no foam."""
    carrier: float | None = 3.0
    """Thickness; None where nothing hard lies below."""
    base: str = "carrier"
    """Word for what lies below the skin."""
    gap: float = 0.0
    """Opening between the lips."""
    radius: float | None = None
    """Radius of curvature; None where flat or not known."""
    foam_state: str = "sound"
    """``sound``, ``collapsed``, ``crumbled``, ``tired`` or ``wet``."""
    carrier_state: str = "sound"
    """``sound``, ``cracked`` or ``rotten``."""
    skin_open: bool = True
    """Whether the skin is cut, torn or worn through at the damage."""
    skin_missing: bool = False
    """Whether skin is gone, not only parted."""
    edge_lifted: bool = False
    hanging: bool = False
    """Whether the lining has let go of what is above it."""
    stitched: bool = False
    """Whether the damage is a seam, with its row of holes."""
    worn: bool = False
    """Whether only the surface is damaged."""
    fixing_broken: bool = False
    """Whether a clip or prong under the carrier is broken."""
    site: str = "skin"
    """Where the damage is loaded: ``skin``, ``edge``, ``lining``, ``carrier`` or ``fixing``."""
    assumed: frozenset[str] = frozenset()
    """Which of these were assumed and not entered."""


@dataclass(frozen=True)
class Shape:
    """A filled area. ``fill`` and ``hatch`` name a look, not a colour."""

    name: str
    points: tuple[Point, ...]
    fill: str
    hatch: str = ""
    dashed: bool = False


@dataclass(frozen=True)
class Stroke:
    """An open line."""

    name: str
    points: tuple[Point, ...]
    look: str = "thin"


@dataclass(frozen=True)
class Note:
    """A word in the drawing; ``side`` is where the text lies from the point."""

    text: str
    at: Point
    side: str = "right"


@dataclass(frozen=True)
class Drawing:
    """Everything to paint, back to front."""

    shapes: tuple[Shape, ...]
    strokes: tuple[Stroke, ...]
    notes: tuple[Note, ...]
    lips: tuple[Point, Point]
    """Left and right edge of the opening at the surface the forces act on."""
    carrier_lips: tuple[Point, Point]
    scale: float
    """Pixels per millimetre."""
    true_to_scale: bool
    upside_down: bool = False
