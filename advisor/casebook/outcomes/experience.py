"""What a shop saw of jobs like one, for standing beside what is calculated; never part of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, select

from advisor.casebook.database.engine import upsert
from advisor.casebook.database.tables import settings
from advisor.casebook.outcomes.entries import Job, jobs
from advisor.casebook.outcomes.pooled import Cell, cells, pooled, strength
from advisor.casebook.outcomes.shop_factor import (
    CAUTIONS,
    LIFE,
    ShopFactor,
    shop_factor,
    with_factor,
)
from advisor.casebook.outcomes.workmanship import DoneWell, done_well

#: Years after which jobs are counted.
HORIZONS = (1.0, 2.0, 5.0)
_SWITCH = "shop factor"


@dataclass(frozen=True)
class Experience:
    """Counts of jobs by method and damage, and the shop factor where a person wants it.

    Intervals are calculated when they are asked for: there may be thousands of kinds.
    """

    counted: Mapping[float, tuple[float, Mapping[tuple[str, str], Cell]]]
    """By years after the job: what the calculation is worth in jobs, and the cells."""
    factor: ShopFactor
    jobs: tuple[Job, ...]
    switched_on: bool

    @property
    def kinds(self) -> tuple[tuple[str, str], ...]:
        """The methods and damages of which anything was counted."""
        return tuple(sorted({kind for _, listed in self.counted.values() for kind in listed}))

    def of(self, method: str, damage: str) -> tuple[str, ...]:
        """What was seen of jobs with this method on this kind of damage, a line for each time."""
        lines = []
        for years, (k, listed) in self.counted.items():
            cell = listed.get((method, damage))
            if cell is not None:
                after = "1 year" if years == 1 else f"{years:g} years"
                lines.append(f"after {after}: {pooled([cell], k)[0].text}")
        return tuple(lines)

    def workmanship(self, methods: Mapping[str, Any]) -> list[DoneWell]:
        """How often each method of the rules is done well, as far as its jobs say it."""
        by_rules = {
            key: float(method.reliability.mean) for key, method in methods.items()
            if hasattr(method, "reliability")
        }  # fmt: skip
        return done_well(self.jobs, by_rules)

    def beside(self, method: str, damage: str, hold: float | None) -> tuple[str, ...]:
        """All that stands beside a calculated figure, cautions included."""
        lines = tuple(f"Jobs like it in this shop, {line}." for line in self.of(method, damage))
        if not self.switched_on or hold is None:
            return lines
        # More comebacks, less that holds: the ends change places.
        low, mean, high = (
            100 * with_factor(hold, factor)
            for factor in (self.factor.high, self.factor.mean, self.factor.low)
        )
        return (
            *lines,
            f"With this shop's factor, which a person switched on: {mean:.0f} % "
            f"({low:.0f} to {high:.0f}) where {100 * hold:.0f} % is calculated. In all, "
            f"{self.factor.text}. No other figure has it in it.",
            *CAUTIONS,
        )


def experience(connection: Connection, now: int) -> Experience:
    """What the shop saw so far."""
    listed = jobs(connection, now)
    counted = {}
    for years in HORIZONS:
        given = cells(listed, years, LIFE)
        if given:
            by_kind = {(cell.method, cell.damage): cell for cell in given}
            counted[years] = strength(given), by_kind
    return Experience(
        counted, shop_factor(listed), tuple(listed), factor_switched_on(connection))


def factor_switched_on(connection: Connection) -> bool:
    """Whether somebody wants the shop factor to be shown beside calculated figures."""
    asked = select(settings.c.value).where(settings.c.name == _SWITCH)
    return connection.execute(asked).scalar() == "on"


def switch_factor(connection: Connection, on: bool) -> None:
    """Have the shop factor shown beside calculated figures, or not."""
    upsert(connection, settings, {"name": _SWITCH, "value": "on" if on else "off"})
