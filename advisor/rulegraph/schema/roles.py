"""What roles.yaml may contain, as a pydantic model."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from advisor.rulegraph.schema.base import Name, Strict


class RolesModel(Strict):
    damage_length: Name
    damage_opening: Name
    damage_count: Name
    stitch_pitch: Name
    skin_thickness: Name
    padding_thickness: Name
    base_thickness: Name
    base_density: Name
    coloured_area: Name
    part_count: Name
    skin: Name
    base: Name
    same_vehicle: Annotated[tuple[Name, ...], Field(min_length=1)]
    quote_hangs_on: Annotated[tuple[Name, ...], Field(min_length=1)]
    tried_by_hand: tuple[Name, ...] = ()
