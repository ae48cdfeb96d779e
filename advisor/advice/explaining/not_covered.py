"""What is said where part or damage is none of those known, or the two do not go together."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.advice.result import Near, NotCovered, Question, Reason, Source
from advisor.facts.case import DAMAGE, PART, Case
from advisor.facts.declaration import Kind
from advisor.rulegraph.model import coverage
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import method_word
from advisor.wording.phrases import filled
from advisor.wording.sentences import lowered

#: Methods that are named as those of the nearest damages.
MOST_METHODS = 5


def not_covered(case: Case, pack: RulePack) -> NotCovered | None:
    """What is nearest and what to check; None where part and damage are known and go together."""
    odd = coverage.unnamed(pack, case)
    impossible = not odd and coverage.impossible(pack, case)
    if not odd and not impossible:
        return None
    # Of a pair that does not occur either answer may be the wrong one.
    told = odd or (PART, DAMAGE)
    words = " ".join(
        [case.title, case.note, *(str(case.facts.get(name, "")) for name in _texts(pack))]
    )
    near = {
        name: coverage.nearest(pack, name, case, words) if name in told else ()
        for name in (PART, DAMAGE)
    }
    damages = [option.key for option in near[DAMAGE]] or [
        key for key in _keys(case, DAMAGE) if not pack.facts[DAMAGE].option(key).not_covered
    ]
    return NotCovered(
        facts=told,
        text=_pair_text(case, pack) if impossible else _odd_text(odd, pack),
        parts=tuple(Near(option.key, option.title) for option in near[PART]),
        damages=tuple(Near(option.key, option.title) for option in near[DAMAGE]),
        methods=tuple(_methods(damages, pack)),
        check=pack.coverage.check,
        pair=impossible,
    )


def questions_not_covered(told: NotCovered, case: Case, pack: RulePack) -> list[Question]:
    """What to look at again, or to tell a person who looks at it."""
    names = told.facts if told.pair else pack.coverage.ask
    found = []
    for name in names:
        decl = pack.facts[name]
        ask, why = decl.ask, decl.why
        if told.pair:
            ask, why = filled("Check again: {}", lowered(decl.ask)), told.text
        elif name in case.facts:
            continue
        found.append(
            Question(name, decl.title, ask, decl.how, 0.0, decl.minutes, False, why, True)
        )
    return found


def reason_not_covered(told: NotCovered, source: Source) -> Reason:
    """Why nothing is calculated, with what is nearest and what a person checks below it."""
    texts = [filled("{}: {}.", *line) for line in told.nearest_lines]
    below = tuple(Reason(text, (), (), (), source) for text in (*texts, *told.check))
    return Reason(told.text, told.facts, (), (), source, below)


def _texts(pack: RulePack) -> list[str]:
    """Facts asked of such a case that are answered in own words."""
    return [name for name in pack.coverage.ask if pack.facts[name].kind is Kind.TEXT]


def _keys(case: Case, name: str) -> tuple[str, ...]:
    value = case.facts.get(name)
    return value if isinstance(value, tuple) else ()


def _odd_text(odd: tuple[str, ...], pack: RulePack) -> str:
    titles = [pack.facts[name].title for name in odd]
    names = " and ".join([titles[0], *map(lowered, titles[1:])])
    known = "is none of those" if len(odd) == 1 else "are none of those"
    return (
        f"{names} {known} known here, so nothing can be calculated: no method, no hold, no price. "
        "A person has to look at it."
    )


def _pair_text(case: Case, pack: RulePack) -> str:
    part, damage = (
        " or ".join(f"“{pack.facts[name].option(key).title}”" for key in _keys(case, name))
        for name in (PART, DAMAGE)
    )
    return (
        f"{damage} does not occur on {part}, so nothing can be calculated. "
        "Check part and damage again."
    )


def _methods(damages: Iterable[str], pack: RulePack) -> Iterable[Near]:
    """Methods that answer what these damages need, as words of the trade."""
    needs = [
        key for damage in damages for key, need in pack.needs.items() if damage in need.leads_for
    ]
    words = dict.fromkeys(
        method_word(key)
        for need in dict.fromkeys(needs)
        for key, method in pack.methods.items()
        if need in method.meets and not method.only_beside
    )
    return [Near(word, pack.whole(word).title) for word in list(words)[:MOST_METHODS]]
