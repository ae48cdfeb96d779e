"""Reading what is agreed or measured for a job, as a person writes it."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any, TypeVar

from advisor.job.cutting.yardage import LARGEST_REPEAT, Panel
from advisor.job.measured_and_agreed import Hollow, HollowShape, Wishes
from advisor.wording.amounts import factor

Read = TypeVar("Read")

_CROSS = re.compile(r"\s*[x×*]\s*", re.IGNORECASE)
_SIZES = re.compile(r"(?P<sizes>.*?[0-9.])\s*(?P<unit>mm|cm|m|in|ft)?", re.IGNORECASE)
#: No part of a vehicle is longer than this [mm].
LONGEST = 20_000.0
MOST_ALIKE = 40
#: Wishes that are one number: least, most, and what is accepted in words.
LIMITS: Mapping[str, tuple[float, float, str]] = {
    "certainty": (0.5, 0.99, "a share from 0.5 to 0.99"),
    "distance": (0.0, 2000.0, "0 to 2000 km"),
    "area": (0.0001, 100.0, "0.0001 to 100 m2"),
    "bridge": (0.0, 5000.0, "0 to 5000 mm"),
    "humidity": (0.2, 0.9, "a share from 0.2 to 0.9"),
    "roll": (200.0, 4000.0, "200 to 4000 mm"),
    "repeat": (0.0, LARGEST_REPEAT, f"0 to {LARGEST_REPEAT:g} mm"),
}
SHAPES = ", ".join(HollowShape)


class WishError(ValueError):
    """What is written cannot be used; one line for each fault: what was found, what is accepted."""

    def __init__(self, faults: Sequence[str]) -> None:
        super().__init__("\n".join(faults))
        self.faults = tuple(faults)


def read_wishes(agreed: Mapping[str, Any]) -> Wishes:
    """Wishes from options: ``hollow`` "wedge 120x80x25", ``panels`` ("1900x550", "1900x100x2").

    Sizes are in mm unless a unit follows: "48 x 22 in". Numbers are as in `LIMITS`. A panel
    may be named, "Top 1900x550"; one of which two or more are cut, no wider than a fifth of
    its length, may have a cross seam. Raises WishError with all faults.
    """
    faults: list[str] = []

    def read(make: Callable[..., Read], *given: Any) -> Read | None:
        try:
            return make(*given)
        except WishError as error:
            faults.extend(error.faults)
            return None

    texts: Sequence[str] = agreed.get("panels") or ()
    panels = [read(_panel, text, i + 1) for i, text in enumerate(texts)]
    hollow = agreed.get("hollow")
    numbers = {name: read(_number, name, agreed.get(name)) for name in LIMITS}
    found = Wishes(
        **numbers,
        hollow=None if hollow is None else read(_hollow, hollow),
        panels=tuple(panel for panel in panels if panel is not None) or None,
        nap=agreed.get("nap"),
    )
    if faults:
        raise WishError(faults)
    return found


def _number(name: str, value: Any) -> float | None:
    if value is None:
        return None
    least, most, accepted = LIMITS[name]
    if not (math.isfinite(value) and least <= value <= most):
        raise WishError([f"{name} {value:g}: accepted is {accepted}"])
    return float(value)


def _hollow(text: str) -> Hollow:
    """``wedge 120x80x25``; without a word it is a dish."""
    accepted = f"length x width x depth in mm: 120x80x25, with a shape if need be ({SHAPES})"
    named = re.fullmatch(r"\s*(?P<shape>[A-Za-z]{4,})[\s:]+(?P<sizes>[0-9.].*)", text)
    shape = "dish" if named is None else named["shape"].lower()
    sides = _sizes(text if named is None else named["sizes"])
    if len(sides) != 3 or shape not in list(HollowShape):
        raise WishError([f"hollow {text!r}: accepted is {accepted}"])
    return Hollow(sides[0], sides[1], sides[2], HollowShape(shape))


def _panel(text: str, number: int) -> Panel:
    """``Top 1900x550``, ``1900x100x2``."""
    accepted = "length x width in mm, and how many: 1900x550 or 1900x100x2"
    named = re.match(r"(?P<title>[^0-9]*[^0-9\s:.])[\s:]+(?P<sizes>[0-9].*)", text.strip())
    title = f"Panel {number}" if named is None else named["title"].strip()
    sides = _sizes(text if named is None else named["sizes"], counted=True)
    if len(sides) not in (2, 3):
        raise WishError([f"panel {text!r}: accepted is {accepted}"])
    count = sides[2] if len(sides) == 3 else 1.0
    if count != int(count) or count > MOST_ALIKE:
        raise WishError([f"panel {text!r}: how many is a whole number up to {MOST_ALIKE}"])
    strip = count > 1 and sides[1] <= sides[0] / 5.0
    return Panel(title, sides[0], sides[1], int(count), strip)


def _sizes(text: str, *, counted: bool = False) -> list[float]:
    """Sides in mm; with ``counted`` a third number is a count and has no unit."""
    parted = _SIZES.fullmatch(text.strip())
    sizes, unit = (text, None) if parted is None else (parted["sizes"], parted["unit"])
    in_mm = factor((unit or "mm").lower(), "mm", "length")
    found = []
    for i, part in enumerate(_CROSS.split(sizes.strip())):
        try:
            value = float(part)
        except ValueError:
            raise WishError([f"{text!r}: {part!r} is not a number in mm"]) from None
        value *= 1.0 if counted and i == 2 else in_mm
        if not (math.isfinite(value) and 0.0 < value <= LONGEST):
            raise WishError([f"{text!r}: {part} is not between 0 and {LONGEST:g} mm"])
        found.append(value)
    return found
