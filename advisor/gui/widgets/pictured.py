"""Which questions are answered by pictures. Loads nothing, for the first question asks it."""

from __future__ import annotations

from advisor.facts.case import DAMAGE, PART, VEHICLE

#: Facts whose options have pictograms: what their files begin with, and how wide they are, px.
PICTURED = {PART: ("part", 44), VEHICLE: ("vehicle", 44), DAMAGE: ("damage", 66)}
