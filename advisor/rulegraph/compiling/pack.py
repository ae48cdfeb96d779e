"""From validated files to the compiled rule pack, checking every reference between them."""

from __future__ import annotations

from collections.abc import Mapping

from advisor import mechanics as _mechanics
from advisor.facts.case import PART
from advisor.facts.faults import BadInput
from advisor.rulegraph.compiling.compiler import Compiler
from advisor.rulegraph.compiling.coverage import build_coverage
from advisor.rulegraph.compiling.cross_checks import check_declared, check_facts, check_gates
from advisor.rulegraph.compiling.facts import build_declarations, build_fact_rules
from advisor.rulegraph.compiling.hazard_check import check_hazards
from advisor.rulegraph.compiling.hazards import (
    build_cautions,
    build_gates,
    build_needs,
    build_own_rules,
)
from advisor.rulegraph.compiling.job import build_job
from advisor.rulegraph.compiling.load_path_graph import (
    computing_order,
    load_path_edges,
    method_edges,
)
from advisor.rulegraph.compiling.loads import build_measurements, build_sites
from advisor.rulegraph.compiling.methods import build_methods
from advisor.rulegraph.compiling.nodes import NodeSource, build_nodes, collect_nodes
from advisor.rulegraph.compiling.own_tests import own_test_sources, put_own_tests
from advisor.rulegraph.compiling.plastics import build_plastics
from advisor.rulegraph.compiling.prices import build_prices
from advisor.rulegraph.compiling.roles import build_roles
from advisor.rulegraph.compiling.section import build_section
from advisor.rulegraph.compiling.tables import Tables
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import PackSource
from advisor.rulegraph.reading.pack_files import Loc, PackFile, PackFiles

PRICES = "prices.yaml"
assert _mechanics  # importing it registers the relations


def build_pack(files: PackFiles, *, hold_hazards: bool = True) -> RulePack:
    """Compile the pack; raises BadInput with every fault, of form, of a name, unit or circle.

    Names and units are judged wherever the form allows it: what was left out of a file
    as misshapen is no fault for those who refer to it. ``hold_hazards`` False is for writing
    the table of required hazards, and for nothing else.
    """
    check_declared(files)
    facts = build_declarations(files)
    sources = {
        key: PackSource(key, model.title, model.note, model.place)
        for file in files.each("sources.yaml")
        for key, model in file.content.items()
    }
    sources |= own_test_sources(files)
    compiler = Compiler(facts, {}, frozenset(sources), lost=files.lost)
    tables = Tables.collect(files, compiler)
    found = collect_nodes(files, compiler)
    nodes = build_nodes(found, compiler, tables)
    own_tests = put_own_tests(files, compiler, nodes)
    rules = build_fact_rules(files, compiler, tables)
    measurements = build_measurements(files, compiler)
    sites = build_sites(files, compiler)
    cautions = build_cautions(files, compiler)
    needs = build_needs(files, compiler)
    methods = build_methods(files, compiler, sites, cautions)
    gates = build_gates(files, compiler)
    described = {file.content.part: file.content.title for file in files.each("parts/")}
    kinds = facts[PART].options if PART in facts else ()
    edges = tuple(load_path_edges(nodes, rules, measurements))
    order = computing_order(iter((*rules, *nodes)), edges, compiler, _places(files, found))
    examples = PRICES not in files.overlaid
    prices = [
        build_prices(file, compiler, methods, examples=examples) for file in files.each(PRICES)
    ]
    roles = [build_roles(file, compiler) for file in files.each("roles.yaml")]
    section = [
        build_section(file, files, compiler, sites) for file in files.each("drawing.yaml")
    ]
    job = [
        build_job(file, files.each("parts/"), compiler, methods, played)
        for file in files.each("job.yaml")
        for played in roles
    ]
    plastics = build_plastics(files, compiler, tables)
    coverage = build_coverage(files, compiler)
    check_facts(files, compiler, measurements, methods)
    check_gates(files, compiler)
    own = build_own_rules(files, compiler, gates)
    if hold_hazards:
        check_hazards(files, compiler, gates)
    if files.faults or compiler.faults:
        raise BadInput(dict.fromkeys([*files.faults, *compiler.faults]))
    (head,) = (file.content for file in files.each("pack.yaml"))
    return RulePack(
        version=head.version,
        title=head.title,
        digest=files.digest,
        own=own,
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
        needs=needs,
        methods=methods,
        gates=gates,
        cautions=cautions,
        prices=prices[0],
        job=job[0],
        roles=roles[0],
        section=section[0],
        sources=sources,
        plastics=plastics,
        coverage=coverage,
        own_tests=own_tests,
    )


def _places(
    files: PackFiles, found: Mapping[str, NodeSource]
) -> dict[str, tuple[PackFile, Loc]]:
    facts: dict[str, tuple[PackFile, Loc]] = {
        name: (file, (name,)) for file, name, _ in files.facts()
    }
    return facts | {name: (source.file, source.loc) for name, source in found.items()}
