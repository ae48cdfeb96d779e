"""What is agreed or measured for one job."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from advisor.job.cutting.yardage import Panel


class HollowShape(StrEnum):
    """What a hollow is like."""

    DISH = "dish"
    SHALLOW = "shallow"
    WEDGE = "wedge"
    BLOCK = "block"


@dataclass(frozen=True)
class Hollow:
    """A hollow behind the skin, measured [mm]."""

    length: float
    width: float
    depth: float
    shape: HollowShape = HollowShape.DISH


@dataclass(frozen=True)
class Wishes:
    """What is agreed or measured for this job; None leaves what is usual."""

    certainty: float | None = None
    """Share of such jobs that stay within the quote, 0.5 to 0.99."""
    distance: float | None = None
    """One way to the customer [km]."""
    hollow: Hollow | None = None
    """The hollow to fill."""
    bridge: float | None = None
    """Sound seam between two splits of one seam [mm]."""
    area: float | None = None
    """Area to colour [m2]."""
    panels: tuple[Panel, ...] | None = None
    """Finished panels of a new cover [mm]."""
    roll: float | None = None
    """Width of the roll [mm]."""
    repeat: float | None = None
    """Pattern repeats along and across, added up [mm]."""
    nap: bool | None = None
    """True where all panels must lie one way."""
    humidity: float | None = None
    """Relative humidity where foam cures, 0.2 to 0.9; taken as 0.6 where not said."""
