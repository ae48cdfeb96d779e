"""A case at one moment, and whether two cases are the same. Knows no Qt."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from advisor.facts.case import Case


@dataclass(frozen=True)
class BeforeAnswer:
    """The case before an answer, and the screen on which it was given."""

    case: Case
    screen: str


def fresh_case(now: datetime | None = None) -> Case:
    """An empty case, named after the minute it was begun."""
    now = now or datetime.now()
    return Case(name=now.strftime("case-%Y%m%d-%H%M%S"))


def same(a: Case, b: Case) -> bool:
    """Equal, and written the same way: "4.5 in" and "114.3 mm" are two answers to keep."""
    return a == b and repr(a) == repr(b)
