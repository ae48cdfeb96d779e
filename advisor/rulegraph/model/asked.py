"""What is asked, compiled: facts with their priors, and hazards, as frozen data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from advisor.facts.declaration import FactDecl
from advisor.rulegraph.model.conditions import Condition
from advisor.rulegraph.model.nodes import Draw, Row, TableDraw


@dataclass(frozen=True)
class ChoicePrior:
    """Weights over the options of a choice or over (no, yes); first branch that holds wins."""

    branches: tuple[tuple[Condition, Row], ...]
    rest: Row


Prior = ChoicePrior | Draw | TableDraw


@dataclass(frozen=True)
class Origin:
    """Source and status of a prior or rule."""

    source: str
    status: str
    note: str = ""


@dataclass(frozen=True)
class FactRule:
    """How a fact enters the worlds when it is open, and when it is asked at all."""

    decl: FactDecl
    asked_when: Condition | None
    prior: Prior | None
    by_part: Mapping[str, Prior]
    origin: Origin | None
    reads: str | None = None
    """A mark: the choice that it says something about."""
    unread: str | None = None
    """Answer taken to that choice where the mark says nothing that the rules know."""
    narrows: str | None = None
    """Only asked as long as that choice is not known for certain."""
    finding: str = ""
    """Said where an answer fits none of the simulated cases."""
    before_quote: Condition | None = None
    """Where it holds nothing is quoted before this is known, even if it changes no method."""


@dataclass(frozen=True)
class GateRule:
    """A hazard or missing authority that stops or refers the job."""

    key: str
    fact: str
    title: str
    asked_for: frozenset[tuple[str, str]]
    """Pairs of part and vehicle for which it is asked."""
    asked_when: Condition | None
    closed_when: Condition
    caution_when: Condition | None
    refer: str
    caution: str
    origin: Origin
    about_papers: bool = False
    """It is about papers of what a repair adds to a certified part."""
