"""From validated files to the compiled rule pack, checking every reference between them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any, TypeVar

import numpy as np

from advisor import mechanics as _mechanics
from advisor.facts.declare import FactDecl, Kind, Option, Stage
from advisor.facts.faults import BadInput, nearest_name

from .build_job import build_job, build_quote
from .build_methods import build_methods
from .build_nodes import NodeSource, build_nodes, collect_nodes
from .build_plastics import build_plastics
from .build_tables import Tables
from .checks import PART, check_declared, check_facts, check_gates
from .compiling import Compiler
from .graph import computing_order, load_path_edges, method_edges
from .nodes import Draw, TableDraw
from .pack import (
    Caution,
    ChoicePrior,
    FactRule,
    GateRule,
    Measurement,
    Method,
    Need,
    Origin,
    PackSource,
    Prices,
    Prior,
    RulePack,
    Site,
    Spread,
)
from .reading import Loc, PackFile, PackFiles
from .schema import FactModel, MeasureModel, PriorModel, WeightsBranch

Value = TypeVar("Value")
assert _mechanics  # importing it registers the relations


def build_pack(files: PackFiles) -> RulePack:
    """Compile the pack; raises BadInput with every dangling name, wrong unit and cycle."""
    check_declared(files)
    facts = _declared(files)
    sources = {
        key: PackSource(key, model.title, model.note)
        for key, model in files.one("sources.yaml").content.items()
    }
    compiler = Compiler(facts, {}, frozenset(sources))
    tables = Tables.collect(files, compiler)
    found = collect_nodes(files, compiler)
    nodes = build_nodes(found, compiler, tables)
    rules = _fact_rules(files, compiler, tables)
    measurements = _measurements(files, compiler)
    sites = _sites(files, compiler)
    cautions = _cautions(files, compiler)
    needs = _needs(files, compiler)
    methods = build_methods(files, compiler, sites, cautions)
    gates = _gates(files, compiler)
    part_gates = _part_gates(files, compiler)
    described = {file.content.part: file.content.title for file in files.folder("parts/")}
    kinds = facts[PART].options if PART in facts else ()
    edges = tuple(load_path_edges(nodes, rules, measurements))
    order = computing_order(iter((*rules, *nodes)), edges, compiler, _places(files, found))
    prices = _prices(files, compiler, methods)
    job = build_job(files, compiler, methods)
    plastics = build_plastics(files, compiler, tables)
    check_facts(files, compiler, measurements, methods)
    check_gates(files, compiler)
    if compiler.faults:
        raise BadInput(compiler.faults)
    head = files.one("pack.yaml").content
    return RulePack(
        version=head.version,
        title=head.title,
        digest=files.digest,
        overlaid=tuple(files.overlaid),
        facts=facts,
        fact_rules=rules,
        earlier_facts={
            name: model.earlier for _, name, model in files.facts() if model.earlier is not None
        },
        nodes=nodes,
        order=order,
        edges=(*edges, *method_edges(methods, sites)),
        sites=sites,
        measurements=measurements,
        parts={kind.key: described.get(kind.key, kind.title) for kind in kinds},
        part_gates=part_gates,
        needs=needs,
        methods=methods,
        gates=gates,
        cautions=cautions,
        prices=prices,
        job=job,
        sources=sources,
        plastics=plastics,
    )


def _declared(files: PackFiles) -> dict[str, FactDecl]:
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


def _places(
    files: PackFiles, found: Mapping[str, NodeSource]
) -> dict[str, tuple[PackFile, Loc]]:
    facts: dict[str, tuple[PackFile, Loc]] = {
        name: (file, (name,)) for file, name, _ in files.facts()
    }
    return facts | {name: (source.file, source.loc) for name, source in found.items()}


def _declare(name: str, model: FactModel) -> FactDecl:
    return FactDecl(
        name=name,
        kind=Kind(model.kind),
        stage=Stage(model.stage),
        title=model.title,
        ask=model.ask,
        how=model.how,
        options=tuple(
            Option(key, o.title, o.sentence, o.like, o.group, o.usual_in)
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
        reads=model.reads.fact if model.reads else "",
        high_by=dict(model.high_by),
    )


def _fact_rules(files: PackFiles, compiler: Compiler, tables: Tables) -> dict[str, FactRule]:
    rules = {}
    for file, name, model in files.facts():
        prior = None
        origin = None
        if model.prior is not None:
            prior = _prior(file, (name, "prior"), name, model.prior, compiler, tables)
            origin = Origin(model.prior.source, model.prior.status, model.prior.note)
        special = {}
        for part in files.folder("parts/"):
            own = part.content.priors.get(name)
            if own is not None:
                special[part.content.part] = _prior(
                    part, ("priors", name), name, own, compiler, tables
                )
        by_part = dict(_inherited(special, compiler))
        asked = compiler.condition(file, (name, "asked_when"), model.asked_when)
        rules[name] = FactRule(
            compiler.facts[name], asked, prior, by_part, origin, *_read_from(model),
            narrows=model.narrows, finding=model.finding,
        )  # fmt: skip
    for part in files.folder("parts/"):
        for name in part.content.priors:
            if name not in rules:
                near = nearest_name(name, rules)
                compiler.faults.append(
                    part.fault(
                        ("priors", name), "no such fact", name, "a declared fact", near, at_key=True
                    )
                )
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
        return ChoicePrior((), np.ones(1))
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
    return draw if draw is not None else TableDraw("", *(np.zeros(1),) * 3)


def _weights(
    file: PackFile, loc: Loc, decl: FactDecl, model: PriorModel | WeightsBranch, compiler: Compiler
) -> Any:
    keys = ("no", "yes") if decl.kind is Kind.YES_NO else decl.keys
    weights = model.weights or {}
    for key in weights:
        if key not in keys:
            near = nearest_name(key, keys)
            place = (*loc, "weights", key)
            accepted = ", ".join(keys)
            compiler.faults.append(
                file.fault(place, "no such option", key, accepted, near, at_key=True)
            )
    row = np.array([weights.get(key, 0.0) for key in keys])
    total = row.sum()
    return row / total if total > 0 else np.full(len(keys), 1.0 / len(keys))


def _measurements(files: PackFiles, compiler: Compiler) -> dict[str, Measurement]:
    found = {}
    for file, i, model in _each_measurement(files):
        loc: Loc = ("measurements", i)
        compiler.source(file, loc, model.source)
        decl = compiler.facts.get(model.fact)
        if decl is None or decl.kind is not Kind.QUANTITY:
            near = nearest_name(model.fact, compiler.facts)
            compiler.faults.append(
                file.fault((*loc, "fact"), "no such quantity", model.fact, "a fact", near)
            )
            continue
        compiler.ref(file, (*loc, "predicted_by"), model.predicted_by, decl.unit)
        found[model.fact] = Measurement(
            model.fact,
            model.predicted_by,
            model.error,
            model.floor,
            model.finding,
            compiler.condition(file, (*loc, "when"), model.when),
            model.source,
            model.status,
        )
    return found


def _each_measurement(files: PackFiles) -> Iterator[tuple[PackFile, int, MeasureModel]]:
    for file in files.folder("loads/"):
        for i, model in enumerate(file.content.measurements):
            yield file, i, model


def _sites(files: PackFiles, compiler: Compiler) -> dict[str, Site]:
    sites: dict[str, Site] = {}
    written = [(file, file.content.sites) for file in files.folder("loads/")]
    for file, key, model in [(f, *site) for f, found in written for site in found.items()]:
        if key in sites:
            compiler.faults.append(
                file.fault(("sites", key), "a second site of this name", key, at_key=True)
            )
        for duration in ("sustained", "cyclic", "peak"):
            name = getattr(model, duration)
            compiler.ref(file, ("sites", key, duration), name, model.unit)
        sites[key] = Site(key, model.title, model.unit, model.sustained, model.cyclic, model.peak)
    return sites


def _needs(files: PackFiles, compiler: Compiler) -> dict[str, Need]:
    file = files.one("needs.yaml")
    kinds = compiler.facts["damage.kind"].keys if "damage.kind" in compiler.facts else ()
    needs = {}
    for key, model in file.content.needs.items():
        compiler.source(file, ("needs", key), model.source)
        condition = compiler.condition(file, ("needs", key, "when"), model.when)
        for i, kind in enumerate(model.leads_for):
            if kind not in kinds:
                near = nearest_name(kind, kinds)
                place = ("needs", key, "leads_for", i)
                compiler.faults.append(
                    file.fault(place, "no such damage", kind, ", ".join(kinds), near)
                )
        if condition is not None:
            origin = Origin(model.source, model.status)
            needs[key] = Need(key, model.title, condition, model.leads_for, origin)
    return needs


def _cautions(files: PackFiles, compiler: Compiler) -> dict[str, Caution]:
    file = files.one("hazards.yaml")
    found = {}
    for key, model in file.content.cautions.items():
        compiler.source(file, ("cautions", key), model.source)
        found[key] = Caution(key, model.text, Origin(model.source, model.status))
    return found


def _gates(files: PackFiles, compiler: Compiler) -> dict[str, GateRule]:
    file = files.one("hazards.yaml")
    gates = {}
    for key, model in file.content.gates.items():
        loc = ("gates", key)
        compiler.source(file, loc, model.source)
        decl = compiler.facts.get(model.fact)
        if decl is None or not decl.gate:
            near = nearest_name(model.fact, [n for n, d in compiler.facts.items() if d.gate])
            accepted = "a fact declared with gate: yes"
            compiler.faults.append(
                file.fault((*loc, "fact"), "not a gate question", model.fact, accepted, near)
            )
        closed = compiler.condition(file, (*loc, "closed_when"), model.closed_when)
        if closed is None:
            continue
        gates[key] = GateRule(
            key,
            model.fact,
            model.title,
            compiler.condition(file, (*loc, "asked_when"), model.asked_when),
            closed,
            compiler.condition(file, (*loc, "caution_when"), model.caution_when),
            model.refer,
            model.caution,
            Origin(model.source, model.status),
        )
    return gates


def _prices(
    files: PackFiles, compiler: Compiler, methods: Mapping[str, Method]
) -> Prices:
    file = files.one("prices.yaml")
    model = file.content
    compiler.ref(file, ("looks_weight",), model.looks_weight, "1")
    for place, spread in model.spreads():
        compiler.source(file, place, spread.source)
    return Prices(
        currency=model.currency,
        hourly_rate=Spread(*model.hourly_rate.triple),
        call_out_minimum=Spread(*model.call_out_minimum.triple),
        material_markup=Spread(*model.material_markup.triple),
        comeback_goodwill=Spread(*model.comeback_goodwill.triple),
        aborted_minutes=Spread(*model.aborted_minutes.triple),
        question_overhead=Spread(*model.question_overhead.triple),
        looks={key: Spread(*spread.triple) for key, spread in model.looks.items()},
        looks_weight=model.looks_weight,
        holds_at=model.holds_at,
        declines_below=model.declines_below,
        quote=build_quote(files, compiler, methods),
    )


def _part_gates(files: PackFiles, compiler: Compiler) -> dict[str, tuple[str, ...]]:
    gates = files.one("hazards.yaml").content.gates
    found = {}
    for file in files.folder("parts/"):
        for i, gate in enumerate(file.content.gates):
            if gate not in gates:
                near = nearest_name(gate, gates)
                compiler.faults.append(
                    file.fault(("gates", i), "no such gate", gate, ", ".join(gates), near)
                )
        found[file.content.part] = file.content.gates
    parts = compiler.facts.get(PART)
    if parts is None:
        return found
    return {
        key: tuple(dict.fromkeys(gate for kind in parts.line(key) for gate in found.get(kind, ())))
        for key in parts.keys
    }
