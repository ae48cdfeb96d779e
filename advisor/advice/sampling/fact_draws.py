"""Draws of the facts: as answered, or by the prior of the part while a fact is open."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Any, Protocol, TypeVar

import numpy as np
from numpy.typing import NDArray

from advisor.facts.case import PART, Case, Span, Value
from advisor.facts.declaration import FactDecl, Kind
from advisor.mechanics.arith import normal_quantile
from advisor.rulegraph.model.asked import ChoicePrior, FactRule, Prior
from advisor.rulegraph.model.conditions import code_type
from advisor.rulegraph.model.nodes import Array, Worlds, in_its_place, select, taken
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import Measurement

T = TypeVar("T")


class CaseWorlds(Worlds, Protocol):
    """What a draw may ask of the worlds: what a node may, and the case with its rules."""

    case: Case
    pack: RulePack

    def once(self, key: Hashable, reads: frozenset[str], calculate: Callable[[], T]) -> T:
        """What is calculated from the facts and nodes that are read, calculated once."""
        ...


def given_answer(name: str, case: Case, pack: RulePack) -> Value | None:
    """The answer to a fact, or what the list of earlier repairs says of it; None while open."""
    given = case.facts.get(name)
    method = pack.earlier_facts.get(name)
    if given is None and method is not None and case.earlier_repairs is not None:
        return any(repair.method == method for repair in case.earlier_repairs)
    return given


def draw_fact(rule: FactRule, worlds: CaseWorlds) -> NDArray[Any]:
    """A fact in every world, shape (n,): bool, option codes, or float64."""
    name = rule.decl.name
    given = given_answer(name, worlds.case, worlds.pack)
    if given is None and rule.decl.gate:
        given = _harmless_where_not_asked(name, worlds.case, worlds.pack)
    if isinstance(given, bool):
        return np.full(worlds.n, given)
    if isinstance(given, Span):
        if given.exact:
            return np.full(worlds.n, given.low)
        return np.asarray(given.low + worlds.uniform(name) * (given.high - given.low))
    if isinstance(given, tuple):
        return _choice(rule, given, worlds)
    if rule.decl.kind is Kind.QUANTITY and name in worlds.pack.measurements:
        return _reading(worlds.pack.measurements[name], worlds)
    if rule.decl.kind is Kind.QUANTITY:
        drawn = by_part(rule, worlds, lambda prior: _quantity(rule, prior, worlds))
        return np.asarray(np.clip(drawn, rule.decl.low, rule.decl.high))
    return _choice(rule, None, worlds)


def _harmless_where_not_asked(name: str, case: Case, pack: RulePack) -> Value | None:
    """The answer of a hazard question that is not asked here: there is no such hazard.

    None where it is asked, and so open. Drawn at random it would rule methods out by a hazard
    that nobody asks about.
    """
    asked = pack.gates_asked(case)
    decl = pack.facts[name]
    every: list[Value] = [(key,) for key in decl.keys] if decl.options else [False, True]
    for key, gate in pack.gates.items():
        if gate.fact == name and key not in asked:
            for answer in every:
                told = case.with_fact(name, answer)
                cautions = gate.caution_when is not None and gate.caution_when.known(told)
                if gate.closed_when.known(told) is False and cautions is False:
                    return answer
    return None


def by_part(rule: FactRule, worlds: CaseWorlds, draw: Callable[[Prior], Any]) -> Any:
    """Draw under the prior of the part; where the part is one of several, under each."""
    kinds = worlds.case.facts.get(PART, ())
    assert isinstance(kinds, tuple)
    drawn = draw(_prior(rule, kinds[0] if kinds else ""))
    for kind in kinds[1:] if rule.by_part else ():
        other = draw(_prior(rule, kind))
        here = worlds.values[PART] == worlds.pack.facts[PART].keys.index(kind)
        drawn = select(here, other, drawn)
    return drawn


def _prior(rule: FactRule, kind: str) -> Prior:
    special = rule.by_part.get(kind)
    prior = special if special is not None else rule.prior
    if prior is None:
        keys = 2 if rule.decl.kind is Kind.YES_NO else max(len(rule.decl.options), 1)
        return ChoicePrior((), (1.0 / keys,) * keys)
    return prior


def _quantity(rule: FactRule, prior: Prior, worlds: CaseWorlds) -> Array:
    if isinstance(prior, ChoicePrior):
        raise TypeError(f"{rule.decl.name} is a quantity but its prior has weights")
    return np.asarray(prior.evaluate(rule.decl.name, worlds))


def _choice(
    rule: FactRule, given: tuple[str, ...] | None, worlds: CaseWorlds
) -> NDArray[Any]:
    decl = rule.decl
    if given is not None and len(given) == 1:
        return np.full(worlds.n, decl.keys.index(given[0]), dtype=code_type(len(decl.keys)))
    if decl.name == PART:
        return _coded(rule, _prior(rule, ""), given, worlds)
    codes = by_part(rule, worlds, lambda prior: _coded(rule, prior, given, worlds))
    return np.asarray(codes == 1 if decl.kind is Kind.YES_NO else codes)


def _coded(
    rule: FactRule, prior: Prior, given: tuple[str, ...] | None, worlds: CaseWorlds
) -> NDArray[np.unsignedinteger]:
    """Option codes drawn by the weights of the first branch that holds."""
    decl = rule.decl
    if not isinstance(prior, ChoicePrior):
        raise TypeError(f"{decl.name} is a choice but its prior has no weights")
    u = worlds.uniform(decl.name)
    kind = code_type(len(prior.rest))
    counting = taken(prior.branches, prior.rest, worlds)
    drawn = []
    for mask, weights in counting:
        steps = np.cumsum(_limited(np.array(weights), decl, given))
        drawn.append((mask, _drawn(steps, u, kind)))
    return np.asarray(in_its_place(drawn), dtype=kind)


def _drawn(steps: Array, u: Array, kind: np.dtype[np.unsignedinteger]) -> NDArray[Any]:
    """The option on whose step each uniform draw falls."""
    found = (u * steps[-1])[None, :] >= steps[:-1, None]
    return np.asarray(found.sum(axis=0, dtype=kind))


def _limited(weights: Array, decl: FactDecl, given: tuple[str, ...] | None) -> Array:
    """Weights cut down to the options that were named; equal if none of them had any."""
    if given is None:
        return weights
    mask = np.array([key in given for key in decl.keys])
    cut = weights * mask
    return cut if cut.sum() > 0 else mask.astype(np.float64)


def _reading(measurement: Measurement, worlds: CaseWorlds) -> Array:
    """What would be read, were it measured: the prediction with the error of reading."""
    predicted = worlds.values[measurement.predicted_by]
    noise = normal_quantile(worlds.uniform(measurement.fact))
    read = (predicted + measurement.floor) * np.exp(measurement.error * noise)
    return np.maximum(read - measurement.floor, 0.0)
