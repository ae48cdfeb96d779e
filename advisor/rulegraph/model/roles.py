"""Which fact or node plays which role in the job sheet and the drawing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

#: Roles that a quantity or a node plays, each with the unit it is calculated in.
ROLE_UNITS: Mapping[str, str] = {
    "damage_length": "mm",
    "damage_opening": "mm",
    "damage_count": "1",
    "stitch_pitch": "mm",
    "skin_thickness": "mm",
    "padding_thickness": "mm",
    "base_thickness": "mm",
    "base_density": "g/cm3",
    "coloured_area": "mm2",
    "part_count": "1",
}


@dataclass(frozen=True)
class Roles:
    """Names of facts and nodes by what the program needs them for."""

    damage_length: str
    damage_opening: str
    damage_count: str
    stitch_pitch: str
    skin_thickness: str
    padding_thickness: str
    base_thickness: str
    base_density: str
    coloured_area: str
    part_count: str
    """Equal parts of one job: all but setting up is charged for each."""
    skin: str
    """Choice that the covers of the job sheet are listed by."""
    base: str
    """Choice that the welding rods are listed by."""
    same_vehicle: tuple[str, ...]
    """Choices that are answered alike for all parts of one vehicle."""
    quote_hangs_on: tuple[str, ...] = ()
    """Facts without which a price is no quote: how long, how many, how it is reached."""
    tried_by_hand: tuple[str, ...] = ()
    """Figures that one may move in the lessons to see what follows; of a sum all its parts move."""
