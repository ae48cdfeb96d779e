"""One damaged part with all that is known of it."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

#: The facts that every case begins with.
PART, DAMAGE, VEHICLE = "part.kind", "damage.kind", "vehicle.kind"


@dataclass(frozen=True)
class Span:
    """A quantity in its canonical unit, known between ``low`` and ``high``.

    ``written`` is the answer as the technician wrote it ("4.5 in"), kept so that a
    saved case reads as it was given; it takes no part in comparing.
    """

    low: float
    high: float
    written: str = field(default="", compare=False)

    @property
    def exact(self) -> bool:
        """True where one value was measured."""
        return self.low == self.high

    @property
    def middle(self) -> float:
        """Midpoint."""
        return 0.5 * (self.low + self.high)


#: An answer: yes/no, a quantity, text, or the choices it may be ("leather or vinyl").
#: A choice is always a tuple, with one entry where it is certain.
Value = bool | Span | str | tuple[str, ...]


@dataclass(frozen=True)
class EarlierRepair:
    """What was tried before and how it went."""

    method: str
    what: str = ""
    result: str = ""
    lasted: str = ""


@dataclass(frozen=True)
class Case:
    """One damaged part: given facts by name; whatever is not there is open."""

    name: str
    title: str = ""
    facts: Mapping[str, Value] = field(default_factory=dict)
    earlier_repairs: tuple[EarlierRepair, ...] | None = None
    """None where nobody was asked; an empty tuple where nothing was tried."""
    photos: tuple[str, ...] = ()
    note: str = ""
    read: Mapping[str, str] = field(default_factory=dict, compare=False)
    """Facts that nobody answered but that follow from another one, and from which."""

    @property
    def seed(self) -> int:
        """Seed from the case's name, so that one case always gives one answer."""
        return int.from_bytes(hashlib.sha256(self.name.encode()).digest()[:4], "big")

    def with_fact(self, name: str, value: Value) -> Case:
        """A copy in which ``name`` is answered."""
        return replace(self, facts={**self.facts, name: value}, read=self._still_read(name))

    def without(self, name: str) -> Case:
        """A copy in which ``name`` is open again."""
        facts = {key: value for key, value in self.facts.items() if key != name}
        return replace(self, facts=facts, read=self._still_read(name))

    def _still_read(self, name: str) -> dict[str, str]:
        return {fact: source for fact, source in self.read.items() if fact != name}

    def choice(self, name: str) -> str | None:
        """The one certain answer of a choice, or None."""
        value = self.facts.get(name)
        if isinstance(value, tuple) and len(value) == 1:
            return value[0]
        return None
