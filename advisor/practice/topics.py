"""Topics of practice, and what a glance tells: read from ``topics.yaml``.

The words of the rules stand there and in no module. A topic of a damage that a shop added
follows from what it is a kind of.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Literal

from pydantic import TypeAdapter, ValidationError

from advisor.facts.case import DAMAGE, VEHICLE, Case, Span
from advisor.facts.faults import BadInput
from advisor.facts.marked_yaml import read_marked
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import method_word
from advisor.rulegraph.reading.pack_files import PackFile
from advisor.rulegraph.reading.validation_faults import faults_of
from advisor.rulegraph.schema.base import Strict

FILE = Path(__file__).with_name("topics.yaml")

#: What is right in a case: a method, sending it on, saying no; or asking before either.
Right = Literal["refer", "refuse", "ask"]

#: The choices that are no method.
REFER, DECLINE = "refer", "decline"


class TopicModel(Strict):
    """One topic as it stands in the file."""

    title: str
    damage: tuple[str, ...] = ()
    vehicle: tuple[str, ...] = ()
    lead: tuple[str, ...] = ()
    longest: float | None = None
    right: Right | None = None


class TopicsModel(Strict):
    """The whole file."""

    at_a_glance: tuple[str, ...]
    price_only: tuple[str, ...]
    topics: dict[str, TopicModel]


@dataclass(frozen=True)
class Topic:
    """What is practised, remembered and reported by itself."""

    key: str
    title: str
    damage: tuple[str, ...] = ()
    """Kinds of damage; empty: any."""
    vehicle: tuple[str, ...] = ()
    lead: tuple[str, ...] = ()
    """Methods one of which leads; empty: any."""
    longest: float | None = None
    """Longest damage [mm]."""
    right: Right | None = None

    def fits(self, case: Case, pack: RulePack, best: str, ask: bool) -> bool:
        """Whether a case is about it, with ``best`` the right choice in the whole case.

        ``ask`` is True where a fact decides that is worth asking for first.
        """
        return (
            _is_one(DAMAGE, self.damage, case, pack)
            and _is_one(VEHICLE, self.vehicle, case, pack)
            and (self.longest is None or _length(case, pack) <= self.longest)
            and (self.right_is(best) or (self.right == "ask" and ask))
        )

    @property
    def by_choice(self) -> bool:
        """Whether it goes by what is right in a case and by nothing else."""
        others = self.damage or self.vehicle or self.longest is not None
        return bool(self.lead or self.right in ("refer", "refuse")) and not others

    def right_is(self, best: str) -> bool:
        """Whether it is about cases in which ``best`` is the right choice."""
        return (not self.lead or method_word(best) in self.lead) and (
            self.right is None or self.right == _right(best)
        )


@dataclass(frozen=True)
class Topics:
    """All topics, in order, and what a glance tells."""

    topics: Mapping[str, Topic]
    at_a_glance: tuple[str, ...]
    price_only: tuple[str, ...]

    def of(self, case: Case, pack: RulePack, best: str, ask: bool) -> tuple[str, ...]:
        """Keys of the topics that a whole case belongs to, the main one first."""
        return tuple(t.key for t in self.topics.values() if t.fits(case, pack, best, ask))


def _right(best: str) -> Right | None:
    return {REFER: "refer", DECLINE: "refuse"}.get(best)  # type: ignore[return-value]


def _is_one(fact: str, wanted: tuple[str, ...], case: Case, pack: RulePack) -> bool:
    key = case.choice(fact)
    if not wanted:
        return True
    return key is not None and not set(pack.facts[fact].line(key)).isdisjoint(wanted)


def _length(case: Case, pack: RulePack) -> float:
    given = case.facts.get(pack.roles.damage_length)
    return given.middle if isinstance(given, Span) else float("inf")


@lru_cache(maxsize=1)
def all_topics() -> Topics:
    """The topics that ship with the program. Raises BadInput where their file is spoiled."""
    marked = read_marked(FILE)
    form = TypeAdapter(TopicsModel)
    try:
        model = form.validate_python(marked.data)
    except ValidationError as error:
        raise BadInput(faults_of(PackFile(FILE.name, FILE, marked), error, form)) from None
    topics = {
        key: Topic(key, one.title, one.damage, one.vehicle, one.lead, one.longest, one.right)
        for key, one in model.topics.items()
    }
    return Topics(topics, model.at_a_glance, model.price_only)
