"""What may be known about a case: the declaration of one fact."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property


class Kind(StrEnum):
    """What an answer to a fact looks like."""

    CHOICE = "choice"
    QUANTITY = "quantity"
    YES_NO = "yes_no"
    TEXT = "text"


class Stage(StrEnum):
    """Where in the interview a fact is asked."""

    PART = "part"
    DAMAGE = "damage"
    HAZARDS = "hazards"
    FORCES = "forces"
    JOB = "job"


#: Canonical unit of every dimension. The engine computes in these and nothing else.
CANONICAL_UNITS: Mapping[str, str] = {
    "number": "1",
    "length": "mm",
    "area": "mm2",
    "force": "N",
    "line_force": "N/mm",
    "pressure": "MPa",
    "mass": "kg",
    "temperature": "degC",
    "time": "min",
    "age": "yr",
    "rate": "mm/yr",
    "volume": "l",
    "per_year": "1/yr",
}


@dataclass(frozen=True)
class Option:
    """One valid answer of a choice."""

    key: str
    title: str
    sentence: str = ""
    like: str | None = None
    """The option that this one is a kind of: what is said of that holds for this too."""
    group: str = ""
    """Heading under which a long list shows it; empty where the list has no headings."""
    usual_in: tuple[str, ...] = ()
    """Answers to ``vehicle.kind`` with which it is usual; empty: with all of them."""
    not_covered: bool = False
    """None of the others fits: nothing can be calculated, and a person has to look."""
    words: tuple[str, ...] = ()
    """What people also call it: never shown, but the search finds it by these."""


@dataclass(frozen=True)
class FactDecl:
    """One named thing about a case, with the words a technician is asked.

    ``low`` and ``high`` are the bounds outside which an answer is impossible, in
    the canonical unit of ``dimension``. ``usual`` bounds draw a slider only.
    """

    name: str
    kind: Kind
    stage: Stage
    title: str
    ask: str
    how: str
    options: tuple[Option, ...] = ()
    dimension: str = "number"
    low: float = 0.0
    high: float = 0.0
    minutes: float = 1.0
    gate: bool = False
    may_stay_open: bool = True
    why: str = ""
    identity: bool = False
    """What the thing is, not how it is: nothing is said about its being otherwise."""
    whole: bool = False
    """A count: its answers are whole numbers."""
    prices: bool = False
    """The price goes by it: asked before a quote even where it changes no method."""
    reads: str = ""
    """A text that is a mark on a plastic: the choice that it says something about."""
    tool: str = ""
    """What it takes that not every shop has, by the name it is bought under; empty for nothing."""
    spoils: bool = False
    """Looking harms the part a little: never the first thing to ask for."""
    high_by: Mapping[str, float] = field(default_factory=dict)
    """Tighter upper bound for one kind of part, as ``part.kind`` to bound."""

    @property
    def unit(self) -> str:
        """Canonical unit."""
        return CANONICAL_UNITS[self.dimension]

    @cached_property
    def keys(self) -> tuple[str, ...]:
        """Accepted answers of a choice."""
        return tuple(option.key for option in self.options)

    def line(self, key: str) -> tuple[str, ...]:
        """The option, what it is a kind of, what that is a kind of, and so on."""
        found: list[str] = []
        up: str | None = key
        while up is not None and up not in found:
            found.append(up)
            up = self.option(up).like
        return tuple(found)

    def kinds_of(self, key: str) -> tuple[str, ...]:
        """The option and every option that is a kind of it, in asking order."""
        return tuple(option for option in self.keys if key in self.line(option))

    def option(self, key: str) -> Option:
        """The option called ``key``; KeyError if there is none."""
        for option in self.options:
            if option.key == key:
                return option
        raise KeyError(key)
