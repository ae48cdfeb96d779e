"""What is to be heeded about a lot: withdrawn, past its shelf life, or soon."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from advisor.papers.materials.lot import Lot

#: A lot is warned of so many days before its last one.
SOON = 30


class Heed(StrEnum):
    """Kinds of warning, the gravest first."""

    WITHDRAWN = "withdrawn"
    EXPIRED = "past its shelf life"
    SOON = "shelf life ends soon"
    NOT_KNOWN = "shelf life not known"


@dataclass(frozen=True)
class Warned:
    """One warning about one lot."""

    lot: Lot
    kind: Heed
    text: str


def warning(lot: Lot, today: date, soon: int = SOON) -> Warned | None:
    """The gravest warning about a lot on a day; None where there is nothing to heed.

    ``soon`` is how many days ahead. The last day itself is still within.
    """
    last = lot.last_day
    if lot.withdrawn is not None:
        by = f" by {lot.withdrawn.by}" if lot.withdrawn.by else ""
        text = f"withdrawn on {lot.withdrawn.on.isoformat()}{by}: {lot.withdrawn.why}"
        return Warned(lot, Heed.WITHDRAWN, text)
    if last is None:
        if lot.life_known:
            return None
        return Warned(lot, Heed.NOT_KNOWN, "no shelf life given, nor that the maker states none")
    left = (last - today).days
    days = "1 day" if abs(left) == 1 else f"{abs(left)} days"
    if left < 0:
        return Warned(lot, Heed.EXPIRED, f"past its shelf life since {last.isoformat()} ({days})")
    if left <= soon:
        when = "today is its last day" if left == 0 else f"{days} left"
        return Warned(lot, Heed.SOON, f"use by {last.isoformat()}: {when}")
    return None


def warnings(lots: Iterable[Lot], today: date, soon: int = SOON) -> list[Warned]:
    """All warnings on a day, the gravest first, then by name."""
    found = [warned for lot in lots if (warned := warning(lot, today, soon)) is not None]
    order = list(Heed)
    return sorted(found, key=lambda warned: (order.index(warned.kind), warned.lot.lot))
