"""What the rules take a mark for: its density, and the option of a choice that it says."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from advisor.facts.declaration import FactDecl
from advisor.facts.faults import AnswerError
from advisor.facts.plastic_marks.mark import PlasticMark, mark_words
from advisor.facts.plastic_marks.reader import read_mark
from advisor.facts.plastic_marks.symbols import base_of
from advisor.rulegraph.model.nodes import Triple
from advisor.wording.sentences import capital

#: Density of the liquids of the float test [g/cm3], and what a bubble or a hair makes of it.
WATER, BRINE, DOUBT = 1.00, 1.20, 0.01


@dataclass(frozen=True)
class MarkRule:
    """What marks of one make-up are read as."""

    has: tuple[str, ...]
    """Every one of these is in it."""
    any_of: tuple[str, ...]
    """At least one of these is in it, where any are named."""
    only: frozenset[str]
    """Nothing but these is in it."""
    fillers: frozenset[str] | None
    """A filler of one of these kinds is in it; none at all where it is empty."""
    filled: float | None
    """At least this mass share of filler. A share that is not marked counts as enough."""
    plasticized: bool | None
    read: tuple[str, ...]
    why: str
    source: str
    status: str

    def fits(self, mark: PlasticMark) -> bool:
        """Whether a mark is of this make-up."""
        present = {name for part in mark.components for name in (part, base_of(part))}
        if not present.issuperset(self.has):
            return False
        if self.any_of and present.isdisjoint(self.any_of):
            return False
        if self.only and not all({c, base_of(c)} & self.only for c in mark.components):
            return False
        if self.plasticized is not None and self.plasticized != _soft(mark):
            return False
        return self._fillers_fit(mark)

    def _fillers_fit(self, mark: PlasticMark) -> bool:
        kinds = {filler.kind for filler in mark.fillers}
        if self.fillers is not None and (
            kinds.isdisjoint(self.fillers) if self.fillers else bool(kinds)
        ):
            return False
        return self.filled is None or mark.filled is None or mark.filled >= self.filled


def _soft(mark: PlasticMark) -> bool:
    return bool(mark.plasticizer) or any(part.endswith("-P") for part in mark.components)


@dataclass(frozen=True)
class PlasticRules:
    """Densities of polymers and fillers, and the marks the rules know."""

    polymers: Mapping[str, Triple]
    fillers: Mapping[str, Triple]
    marks: tuple[MarkRule, ...]

    def rule_for(self, mark: PlasticMark) -> MarkRule | None:
        """The first rule that fits."""
        return next((rule for rule in self.marks if rule.fits(mark)), None)

    def density(self, mark: PlasticMark) -> Triple | None:
        """Density of a solid plastic by the rule of mixture [g/cm3].

        None where a component is not in the tables, the filler's share is not marked,
        or something is in it whose share no mark gives (plasticizer, flame retardant). Of a
        blend the mark only says which plastic there is most of: its share runs from an
        equal part to nearly all; that it is likely a third of the way is an own estimate.
        """
        parts = [self.polymers.get(c, self.polymers.get(base_of(c))) for c in mark.components]
        known = [part for part in parts if part is not None]
        whole = self._fillers(mark)
        unknown = len(known) < len(parts) or whole is None or mark.filled is None
        if unknown or _soft(mark) or mark.flame_retardant is not None:
            return None
        assert whole is not None and mark.filled is not None
        from advisor.mechanics.fastening import blend_density

        matrix = _blend(known)
        low, typical, high = (
            float(blend_density(mark.filled, a, b)) for a, b in zip(matrix, whole, strict=True)
        )
        return low, typical, high

    def _fillers(self, mark: PlasticMark) -> Triple | None:
        """Density of all fillers together; any at all where there are none."""
        if not mark.fillers:
            return (1.0, 1.0, 1.0)
        found = [self.fillers.get(filler.kind) for filler in mark.fillers]
        known = [one for one in found if one is not None]
        if len(known) < len(found):
            return None
        shares = [filler.share for filler in mark.fillers]
        if None in shares:
            middle = 1.0 / (sum(1.0 / one[1] for one in known) / len(known))
            return min(one[0] for one in known), middle, max(one[2] for one in known)
        whole = sum(share for share in shares if share is not None)
        return _mixed([(share or 0.0) / whole for share in shares], known)


def _mixed(shares: Sequence[float], densities: Sequence[Triple]) -> Triple:
    """Density of a mixture of known mass shares, additive volumes."""
    low, typical, high = (
        1.0 / sum(share / one[i] for share, one in zip(shares, densities, strict=True))
        for i in range(3)
    )
    return low, typical, high


def _blend(parts: Sequence[Triple]) -> Triple:
    """Density of a blend of which only the order of its parts is known."""
    first, rest = parts[0], parts[1:]
    if not rest:
        return first
    equal = [1.0 / len(parts)] * len(parts)
    mixed = _mixed(equal, parts)
    middle = equal[0] + (1.0 - equal[0]) / 3.0
    others = [(1.0 - middle) / len(rest)] * len(rest)
    typical = _mixed([middle, *others], parts)[1]
    return min(mixed[0], first[0]), typical, max(mixed[2], first[2])


@dataclass(frozen=True)
class Reading:
    """What a written mark says about a choice."""

    fact: str
    target: str
    text: str
    """As it was written."""
    understood: str
    """In words; empty where it could not be read."""
    options: tuple[str, ...]
    """Answers that it leaves possible; empty where it leaves all of them."""
    titles: str
    """Those answers in words."""
    problem: str
    """Why nothing was taken from it; empty where something was."""
    density: Triple | None = None

    @property
    def mark(self) -> str:
        """The mark with its brackets, as it was written."""
        text = self.text.strip()
        return text if text.startswith(">") else f"“{text}”"

    @property
    def words(self) -> str:
        """What is shown while it is typed."""
        said = [self.understood or "Not read as a mark"]
        if self.problem:
            said.append(capital(self.problem))
        if self.titles:
            said.append(f"Taken as: {self.titles}")
        if self.density is not None:
            said.append(f"About {self.density[1]:.2f} g/cm³: {floating(self.density)}")
        return ". ".join(said) + "."


def floating(density: Triple) -> str:
    """What the float test shows at a density."""
    low, _, high = density
    bounds = ((WATER, "floats in water"), (BRINE, "sinks in water, floats in saturated salt water"))
    for liquid, words in bounds:
        if high < liquid - DOUBT:
            return words
        if low < liquid + DOUBT:
            return f"may float or sink in {'water' if liquid == WATER else 'saturated salt water'}"
    return "sinks in water and in saturated salt water"


def read_plastic(
    fact: str, target: FactDecl, text: str, rules: PlasticRules, unread: str | None
) -> Reading:
    """What the mark ``text``, the answer to ``fact``, says about ``target``.

    Of several layers the last is the hard part: the visible one is named first.
    """
    fallback = (unread,) if unread else ()
    titles = " or ".join(target.option(key).title for key in fallback)
    try:
        layers = read_mark(text)
    except AnswerError as error:
        return Reading(fact, target.name, text, "", fallback, titles, str(error))
    mark = layers[-1]
    words = mark_words(layers)
    if len(layers) > 1:
        words += "; the last one is taken for the hard part"
    rule = rules.rule_for(mark)
    options = tuple(key for key in (rule.read if rule else ()) if key in target.keys)
    density = rules.density(mark)
    if not options:
        problem = "the rules have no hard part of this plastic"
        problem += f" ({rule.why})" if rule and rule.why else ""
        return Reading(fact, target.name, text, words, fallback, titles, problem, density)
    titles = " or ".join(target.option(key).title for key in options)
    return Reading(fact, target.name, text, words, options, titles, "", density)


def agree(decl: FactDecl, one: Sequence[str], other: Sequence[str]) -> tuple[str, ...]:
    """Answers of ``one`` that ``other`` allows: the same, or one a kind of the other."""
    return tuple(
        key
        for key in one
        if any(key in decl.line(allowed) or allowed in decl.line(key) for allowed in other)
    )
