"""Conditions of the rules in words."""

from __future__ import annotations

import math

from advisor.rulegraph.model.conditions import AllOrAny, Condition, IsOneOf, IsYes, Not, Within
from advisor.rulegraph.model.pack import RulePack
from advisor.wording.amounts import for_people
from advisor.wording.figures import to_digits
from advisor.wording.sentences import lowered


def condition_words(condition: Condition, pack: RulePack) -> str:
    """A condition as part of a sentence: ``vehicle used as "shuttle"``. TypeError for others."""
    if isinstance(condition, IsOneOf):
        options = pack.facts[condition.name].options
        titles = [f"“{lowered(one.title)}”" for one in options if one.key in condition.keys]
        verb = "is not" if condition.negate else "is"
        return f"{_title(condition.name, pack)} {verb} {' or '.join(titles)}"
    if isinstance(condition, IsYes):
        return f"{_title(condition.name, pack)}: {'yes' if condition.wanted else 'no'}"
    if isinstance(condition, Within):
        return f"{_title(condition.name, pack)} is {_span(condition, pack)}"
    if isinstance(condition, AllOrAny):
        word = " or " if condition.any_will_do else " and "
        return word.join(_part(part, pack) for part in condition.parts)
    if isinstance(condition, Not):
        return f"this does not hold: {condition_words(condition.part, pack)}"
    raise TypeError(f"no words for {type(condition).__name__}")


def _part(part: Condition, pack: RulePack) -> str:
    """One of several conditions; what is made of several itself stands in brackets."""
    words = condition_words(part, pack)
    return f"({words})" if isinstance(part, AllOrAny) else words


def _title(name: str, pack: RulePack) -> str:
    return lowered(pack.title_of(name))


def _span(within: Within, pack: RulePack) -> str:
    rule = pack.facts.get(within.name) or pack.nodes[within.name]
    words = "" if rule.unit == "1" else f" {for_people(rule.unit)}"
    if math.isinf(within.high):
        return f"{to_digits(within.low)}{words} or more"
    if math.isinf(within.low):
        return f"{to_digits(within.high)}{words} or less"
    return f"{to_digits(within.low)} to {to_digits(within.high)}{words}"
