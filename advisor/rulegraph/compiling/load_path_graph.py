"""The load-path graph: what feeds what, in an order in which everything can be computed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from graphlib import CycleError, TopologicalSorter

from advisor.facts.case import PART
from advisor.rulegraph.compiling.compiler import Compiler
from advisor.rulegraph.model.asked import ChoicePrior, FactRule
from advisor.rulegraph.model.nodes import Draw, Node, TableDraw
from advisor.rulegraph.model.rules import METHOD, USAGE, Edge, Measurement, Method, Site
from advisor.rulegraph.reading.pack_files import Loc, PackFile


def load_path_edges(
    nodes: Mapping[str, Node],
    rules: Mapping[str, FactRule],
    measurements: Mapping[str, Measurement],
) -> Iterator[Edge]:
    """What feeds each node and each assumed fact.

    ``kind`` is ``input``, ``condition`` or ``prior``; ``relation`` names the physical
    relation of the receiving node.
    """
    for name, node in nodes.items():
        if node.when is not None:
            for source in node.when.names():
                yield Edge(source, name, "condition", None)
        for source in node.operation.names():
            yield Edge(source, name, "input", node.relation)
    for name, rule in rules.items():
        for prior in (rule.prior, *rule.by_part.values()):
            for source in _prior_names(prior):
                yield Edge(source, name, "prior", None)
        if rule.by_part and name != PART:
            yield Edge(PART, name, "prior", None)
    for name, measurement in measurements.items():
        yield Edge(measurement.predicted_by, name, "prior", "measured")


def method_edges(methods: Mapping[str, Method], sites: Mapping[str, Site]) -> Iterator[Edge]:
    """What methods make of the loads: ``usage.METHOD.MODE`` and ``method.METHOD``.

    A usage is fed by the demands of its site and by what its mode carries; a method by
    its usages and by the facts that say whether it is possible.
    """
    for key, method in methods.items():
        for requirement in method.requirements:
            for name in requirement.condition.names():
                yield Edge(name, METHOD + key, "condition", None)
        for joint in method.joints:
            site = sites[joint.site]
            for mode in joint.modes:
                usage = f"{USAGE}{key}.{mode.key}"
                yield Edge(usage, METHOD + key, "usage", None)
                names = [ref.name for ref in mode.refs if ref.name is not None]
                for name in (*names, *site.demands):
                    yield Edge(name, usage, "input", "demand over capacity")


def computing_order(
    names: Iterator[str],
    edges: tuple[Edge, ...],
    compiler: Compiler,
    places: Mapping[str, tuple[PackFile, Loc]],
) -> tuple[str, ...]:
    """Facts and nodes, each after what feeds it; a circle is a fault that names its members."""
    sorter: TopologicalSorter[str] = TopologicalSorter({name: set() for name in names})
    for edge in edges:
        sorter.add(edge.target, edge.source)
    try:
        return tuple(sorter.static_order())
    except CycleError:
        for circle in _circles(edges):
            _report_circle(circle, compiler, places)
        return ()


def _circles(edges: tuple[Edge, ...]) -> Iterator[list[str]]:
    """One circle of every knot in the graph, each member feeding the next."""
    import networkx as nx

    graph: nx.DiGraph[str] = nx.DiGraph()
    graph.add_edges_from((edge.source, edge.target) for edge in edges)
    for knot in sorted(nx.strongly_connected_components(graph), key=min):
        inside = graph.subgraph(knot)
        if inside.number_of_edges():
            yield [source for source, _ in nx.find_cycle(inside, min(knot))]


def _prior_names(prior: ChoicePrior | Draw | TableDraw | None) -> list[str]:
    if prior is None:
        return []
    if isinstance(prior, ChoicePrior):
        return [name for condition, _ in prior.branches for name in condition.names()]
    return list(prior.names())


def _report_circle(
    circle: list[str], compiler: Compiler, places: Mapping[str, tuple[PackFile, Loc]]
) -> None:
    words = " > ".join((*circle, circle[0]))
    of_facts = all(places[member][0].name.startswith("facts/") for member in circle)
    problem = f"these {'assume' if of_facts else 'feed'} each other in a circle"
    place = next(m for m in circle if of_facts or not places[m][0].name.startswith("facts/"))
    file, loc = places[place]
    compiler.faults.append(file.fault(loc, problem, words, "an acyclic graph", at_key=True))
