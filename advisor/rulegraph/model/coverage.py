"""What the rules cover: which damage occurs on which part, and which answers contradict."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from itertools import product
from typing import Protocol

from advisor.facts.alike_words import same_word, telling_words
from advisor.facts.case import DAMAGE, PART, Case
from advisor.facts.declaration import FactDecl, Option
from advisor.rulegraph.model.asked import Origin
from advisor.rulegraph.model.conditions import Condition

#: Nearest parts, and nearest damages, that are told.
NEAREST = 3


@dataclass(frozen=True)
class Contradiction:
    """Answers that cannot all be true."""

    key: str
    when: Condition
    finding: str
    look_at: str
    origin: Origin


@dataclass(frozen=True)
class Coverage:
    """Which damage occurs on which part; what is said and asked where neither is known."""

    usual: Mapping[str, frozenset[str]] = field(default_factory=dict)
    """Part to the damages that are usual on it."""
    rare: Mapping[str, frozenset[str]] = field(default_factory=dict)
    """Part to the damages that occur on it, but seldom."""
    ask: tuple[str, ...] = ()
    check: tuple[str, ...] = ()
    nearest: Mapping[str, Mapping[str, tuple[str, ...]]] = field(default_factory=dict)
    contradictions: tuple[Contradiction, ...] = ()
    origin: Origin | None = None

    def occurs(self, part: str, damage: str) -> bool:
        """Whether a damage occurs on a part; of a part nobody has looked at everything may."""
        if part not in self.usual:
            return True
        return damage in self.usual[part] or damage in self.rare[part]

    def rank(self, part: str, damage: str) -> int:
        """0 where it is usual, 1 where it is rare, 2 where it does not occur."""
        if part not in self.usual or damage in self.usual[part]:
            return 0
        return 1 if damage in self.rare[part] else 2


class Covers(Protocol):
    """What of a rule pack says what is covered."""

    @property
    def facts(self) -> Mapping[str, FactDecl]:
        """Every declared fact."""
        ...

    @property
    def coverage(self) -> Coverage:
        """Which damage occurs on which part."""
        ...


def unnamed(pack: Covers, case: Case) -> tuple[str, ...]:
    """Facts answered with "none of these", perhaps among others."""
    found = []
    for name, value in case.facts.items():
        decl = pack.facts.get(name)
        if decl is not None and isinstance(value, tuple) and any(
            option.not_covered for option in decl.options if option.key in value
        ):  # fmt: skip
            found.append(name)
    return tuple(found)


def pairs(case: Case) -> list[tuple[str, str]]:
    """Pairs of part and damage that the answers leave, whether they occur or not."""
    parts, damages = (case.facts.get(name, ()) for name in (PART, DAMAGE))
    assert isinstance(parts, tuple) and isinstance(damages, tuple)
    return list(product(parts, damages))


def impossible(pack: Covers, case: Case) -> bool:
    """Whether part and damage are both answered, and none of the pairs occurs."""
    told = pairs(case)
    return bool(told) and not any(pack.coverage.occurs(*pair) for pair in told)


def is_covered(pack: Covers, case: Case) -> bool:
    """Whether something can be calculated, as far as part and damage are answered."""
    return not unnamed(pack, case) and not impossible(pack, case)


def offered(pack: Covers, name: str, case: Case) -> tuple[Option, ...]:
    """Options of a choice that go with the other answers, the usual ones first.

    What is answered already stays among them, and so does "none of these", which is last.
    """
    options = pack.facts[name].options
    if name not in (PART, DAMAGE):
        return options
    given, others = case.facts.get(name), case.facts.get(DAMAGE if name == PART else PART, ())
    chosen = given if isinstance(given, tuple) else ()
    assert isinstance(others, tuple)
    told = [
        other for other in others
        if not pack.facts[DAMAGE if name == PART else PART].option(other).not_covered
    ]  # fmt: skip

    def rank(option: Option) -> int:
        if option.not_covered:
            return 3
        named = [(option.key, o) if name == PART else (o, option.key) for o in told]
        return min((pack.coverage.rank(*pair) for pair in named), default=0)

    ranks = {option.key: rank(option) for option in options}
    kept = [option for option in options if ranks[option.key] != 2 or option.key in chosen]
    if name == DAMAGE:
        return tuple(sorted(kept, key=lambda option: ranks[option.key]))
    return tuple(kept)


def nearest(pack: Covers, name: str, case: Case, own_words: str) -> tuple[Option, ...]:
    """Options of part or damage that come nearest to what was told, the best first.

    By the answers that point at a damage, then by the words in which it was told, then by
    what is usual with the part or the damage that is known. Empty where nothing tells.
    """
    coverage = pack.coverage
    pointed = [
        damage
        for fact, by_answer in coverage.nearest.items()
        for answer in _answers(case, fact)
        for damage in by_answer.get(answer, ())
    ]
    other = DAMAGE if name == PART else PART
    known = [
        key for key in _answers(case, other) if not pack.facts[other].option(key).not_covered
    ]
    asked = telling_words(own_words)
    rated = []
    for number, option in enumerate(pack.facts[name].options):
        told = [(option.key, k) if name == PART else (k, option.key) for k in known]
        rank = min((coverage.rank(*pair) for pair in told), default=0)
        near = name == DAMAGE and option.key in pointed
        said = (option.title, option.sentence, option.key.replace("_", " "), *option.words)
        words = telling_words(" ".join(said))
        alike = sum(any(same_word(one, word) for word in words) for one in asked)
        if option.not_covered or rank > 1 or not (near or alike or known):
            continue
        rated.append((not near, -alike, rank, number, option))
    return tuple(option for *_, option in sorted(rated, key=lambda one: one[:-1])[:NEAREST])


def _answers(case: Case, name: str) -> tuple[str, ...]:
    value = case.facts.get(name)
    return value if isinstance(value, tuple) else ()


def contradicting(coverage: Coverage, case: Case) -> Iterable[Contradiction]:
    """Contradictions among the answers of a case."""
    return (one for one in coverage.contradictions if one.when.known(case) is True)
