"""Pure numpy relations: what pulls on a damage and what a joint carries.

Units throughout: N, mm, MPa (N/mm2), degC, years, kg, unless a docstring says
otherwise. Every function takes floats or equally shaped arrays. Importing the
package registers every relation.
"""

from __future__ import annotations

from advisor.mechanics import (
    aging,
    bond,
    carrier,
    crack,
    cut,
    fastening,
    fatigue,
    foam,
    leather,
    occupant,
    places,
    plasticizer,
    point,
    seam,
    sold,
    split,
    suspension,
    temperature,
    tension,
    thread,
    vinyl,
    void,
    weld,
)

__all__ = [
    "aging",
    "bond",
    "carrier",
    "crack",
    "cut",
    "fastening",
    "fatigue",
    "foam",
    "leather",
    "occupant",
    "places",
    "plasticizer",
    "point",
    "seam",
    "sold",
    "split",
    "suspension",
    "temperature",
    "tension",
    "thread",
    "vinyl",
    "void",
    "weld",
]
