"""Which questions are answered by pictures. Loads nothing, for the first question asks it."""

from __future__ import annotations

from pathlib import Path

from advisor import paths
from advisor.facts.case import DAMAGE, PART, VEHICLE
from advisor.facts.declaration import FactDecl

#: Facts whose options have pictograms: what their files begin with, and how wide they are, px.
PICTURED = {PART: ("part", 44), VEHICLE: ("vehicle", 44), DAMAGE: ("damage", 66)}


def pictogram_file(fact: FactDecl, key: str) -> Path | None:
    """File of an option's picture: its own or that of what it is a kind of; None for none."""
    if fact.name not in PICTURED:
        return None
    kind = PICTURED[fact.name][0]
    files = (paths.asset(f"pictograms/{kind}_{name}.svg") for name in fact.line(key))
    return next((file for file in files if file.is_file()), None)
