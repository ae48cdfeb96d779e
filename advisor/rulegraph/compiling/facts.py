"""Compiling the facts: their declarations, and what is assumed of one that is open."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import TypeVar

import numpy as np

from advisor.facts.case import PART
from advisor.facts.declaration import FactDecl, Kind, Option, Stage
from advisor.rulegraph.compiling.compiler import Compiler
from advisor.rulegraph.compiling.tables import Tables
from advisor.rulegraph.model.asked import ChoicePrior, FactRule, Origin, Prior
from advisor.rulegraph.model.nodes import Draw, Row, TableDraw
from advisor.rulegraph.reading.pack_files import Loc, PackFile, PackFiles
from advisor.rulegraph.schema.facts import FactModel, PriorModel, WeightsBranch

Value = TypeVar("Value")


def build_declarations(files: PackFiles) -> dict[str, FactDecl]:
    facts = {name: _declare(name, model) for _, name, model in files.facts()}
    parts = facts.get(PART)
    if parts is None:
        return facts
    bounds = Compiler({PART: parts})
    return {
        name: replace(decl, high_by=dict(_inherited(decl.high_by, bounds)))
        if decl.high_by
        else decl
        for name, decl in facts.items()
    }


def _declare(name: str, model: FactModel) -> FactDecl:
    return FactDecl(
        name=name,
        kind=Kind(model.kind),
        stage=Stage(model.stage),
        title=model.title,
        ask=model.ask,
        how=model.how,
        options=tuple(
            Option(key, o.title, o.sentence, o.like, o.group, o.usual_in, o.not_covered, o.words)
            for key, o in model.options.items()
        ),
        dimension=model.dimension,
        low=model.low,
        high=model.high,
        minutes=model.minutes,
        gate=model.gate,
        may_stay_open=model.may_stay_open,
        why=model.why,
        identity=model.identity,
        whole=model.whole,
        prices=model.prices,
        reads=model.reads.fact if model.reads else "",
        tool=model.tool,
        spoils=model.spoils,
        high_by=dict(model.high_by),
    )


def build_fact_rules(files: PackFiles, compiler: Compiler, tables: Tables) -> dict[str, FactRule]:
    rules = {}
    for file, name, model in files.facts():
        prior = None
        origin = None
        if model.prior is not None:
            prior = _prior(file, (name, "prior"), name, model.prior, compiler, tables)
            origin = Origin(model.prior.source, model.prior.status, model.prior.note)
        special = {}
        for part in files.each("parts/"):
            own = part.content.priors.get(name)
            if own is not None:
                special[part.content.part] = _prior(
                    part, ("priors", name), name, own, compiler, tables
                )
        by_part = dict(_inherited(special, compiler))
        asked = compiler.condition(file, (name, "asked_when"), model.asked_when)
        quoted = compiler.condition(file, (name, "before_quote"), model.before_quote)
        rules[name] = FactRule(
            compiler.facts[name], asked, prior, by_part, origin, *_read_from(model),
            narrows=model.narrows, finding=model.finding, before_quote=quoted,
        )  # fmt: skip
    for part in files.each("parts/"):
        priors, accepted = part.content.priors, "a declared fact"
        compiler.check_names(part, ("priors",), priors, rules, "no such fact", accepted)
    return rules


def _read_from(model: FactModel) -> tuple[str | None, str | None]:
    """The choice a mark is read for, and the answer where it says nothing known."""
    return (model.reads.fact, model.reads.unread) if model.reads else (None, None)


def _inherited(given: Mapping[str, Value], compiler: Compiler) -> Iterator[tuple[str, Value]]:
    """What is given for a kind of part, or else for what that is a kind of."""
    parts = compiler.facts.get(PART)
    for key in parts.keys if parts is not None else ():
        assert parts is not None
        for kind in parts.line(key):
            if kind in given:
                yield key, given[kind]
                break


def _prior(
    file: PackFile, loc: Loc, name: str, model: PriorModel, compiler: Compiler, tables: Tables
) -> Prior:
    decl = compiler.facts[name]
    compiler.source(file, loc, model.source)
    if model.weights is not None and decl.kind is Kind.QUANTITY:
        accepted = "spread, or table and column"
        place = (*loc, "weights")
        compiler.faults.append(file.fault(place, f"{name} is a quantity", "weights", accepted))
        return ChoicePrior((), (1.0,))
    if model.weights is not None:
        branches = []
        for i, branch in enumerate(model.by):
            condition = compiler.condition(file, (*loc, "by", i, "when"), branch.when)
            weights = _weights(file, (*loc, "by", i), decl, branch, compiler)
            if condition is not None:
                branches.append((condition, weights))
        return ChoicePrior(tuple(branches), _weights(file, loc, decl, model, compiler))
    if decl.kind is not Kind.QUANTITY:
        accepted = "weights over its options"
        compiler.faults.append(file.fault(loc, f"{name} is not a quantity", "", accepted))
    if model.spread is not None:
        draws = []
        for i, special in enumerate(model.spread.by):
            place = (*loc, "spread", "by", i)
            condition = compiler.condition(file, (*place, "when"), special.when)
            triple = compiler.spread(file, place, special, decl.unit)
            if condition is not None:
                draws.append((condition, triple))
        rest = compiler.spread(file, (*loc, "spread"), model.spread, decl.unit)
        return Draw(tuple(draws), rest)
    assert model.table is not None and model.column is not None
    draw = tables.draw(file, loc, model.table, model.column, decl.unit, compiler)
    return draw if draw is not None else TableDraw("", (0.0,), (0.0,), (0.0,))


def _weights(
    file: PackFile, loc: Loc, decl: FactDecl, model: PriorModel | WeightsBranch, compiler: Compiler
) -> Row:
    keys = ("no", "yes") if decl.kind is Kind.YES_NO else decl.keys
    weights = model.weights or {}
    compiler.check_names(file, (*loc, "weights"), weights, keys, "no such option")
    row = np.array([weights.get(key, 0.0) for key in keys])
    if not row.sum() > 0:
        row = np.ones(len(keys))
    return tuple((row / row.sum()).tolist())
