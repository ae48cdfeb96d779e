"""Reading what is agreed or measured for a job, as it is written on the command line."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from typing import Any

from .model import Wishes
from .yardage import Panel

_CROSS = re.compile(r"\s*[xX×*]\s*")
#: No part of a vehicle is longer than this [mm].
LONGEST = 20_000.0
MOST_ALIKE = 40


class WishError(ValueError):
    """Something written that cannot be used; says what was found and what is accepted."""


def read_wishes(agreed: Mapping[str, Any]) -> Wishes:
    """Wishes from options: ``hollow`` "120x80x25", ``panels`` ("1900x550", "1900x100x2").

    Other options are numbers as they are. A panel of which two or more are cut, no wider than
    a fifth of its length, may have a cross seam. Raises WishError.
    """
    panels: Sequence[str] = agreed.get("panels") or ()
    hollow = agreed.get("hollow")
    return Wishes(
        certainty=agreed.get("certainty"),
        distance=agreed.get("distance"),
        hollow=None if hollow is None else _hollow(hollow),
        area=agreed.get("area"),
        panels=tuple(_panel(text, i + 1) for i, text in enumerate(panels)) or None,
        roll=agreed.get("roll"),
        repeat=agreed.get("repeat"),
        nap=agreed.get("nap"),
    )


def _hollow(text: str) -> tuple[float, float, float]:
    sides = _numbers(text)
    if len(sides) != 3:
        raise WishError(f"hollow {text!r}: accepted is length x width x depth in mm: 120x80x25")
    return sides[0], sides[1], sides[2]


def _panel(text: str, number: int) -> Panel:
    accepted = "length x width in mm, and how many: 1900x550 or 1900x100x2"
    sides = _numbers(text)
    if len(sides) not in (2, 3):
        raise WishError(f"panel {text!r}: accepted is {accepted}")
    count = sides[2] if len(sides) == 3 else 1.0
    if count != int(count) or count > MOST_ALIKE:
        raise WishError(f"panel {text!r}: how many is a whole number up to {MOST_ALIKE}")
    strip = count > 1 and sides[1] <= sides[0] / 5.0
    return Panel(f"Panel {number}", sides[0], sides[1], int(count), strip)


def _numbers(text: str) -> list[float]:
    found = []
    for part in _CROSS.split(text.strip()):
        try:
            value = float(part)
        except ValueError:
            raise WishError(f"{text!r}: {part!r} is not a number in mm") from None
        if not (math.isfinite(value) and 0.0 < value <= LONGEST):
            raise WishError(f"{text!r}: {part} is not between 0 and {LONGEST:g} mm")
        found.append(value)
    return found
