"""The load-path graph: what feeds what, in an order in which everything can be computed."""

from __future__ import annotations

from collections.abc import Mapping

import networkx as nx

from advisor.facts.faults import Fault

from .compiling import Compiler
from .load import Loc, PackFile
from .nodes import Draw, Node, TableDraw
from .pack import ChoicePrior, FactRule, Graph, Measurement, Method, Site

USAGE = "usage."
METHOD = "method."


def load_path_graph(
    nodes: Mapping[str, Node],
    rules: Mapping[str, FactRule],
    measurements: Mapping[str, Measurement],
    compiler: Compiler,
    places: Mapping[str, tuple[PackFile, Loc]],
) -> tuple[Graph, tuple[str, ...]]:
    """The acyclic graph of facts and nodes, and a topological order of it.

    Edge attribute ``kind`` is ``input``, ``condition`` or ``prior``; ``relation`` names
    the physical relation of the receiving node. A cycle is a fault that names its members.
    """
    graph: Graph = nx.DiGraph()
    graph.add_nodes_from(rules, kind="fact")
    graph.add_nodes_from(nodes, kind="node")
    for name, node in nodes.items():
        if node.when is not None:
            for source in node.when.names():
                graph.add_edge(source, name, kind="condition", relation=None)
        for source in node.operation.names():
            graph.add_edge(source, name, kind="input", relation=node.relation)
    for name, rule in rules.items():
        for prior in (rule.prior, *rule.by_part.values()):
            for source in _prior_names(prior):
                graph.add_edge(source, name, kind="prior", relation=None)
        if rule.by_part and name != "part.kind":
            graph.add_edge("part.kind", name, kind="prior", relation=None)
    for name, measurement in measurements.items():
        graph.add_edge(measurement.predicted_by, name, kind="prior", relation="measured")
    try:
        return graph, tuple(nx.lexicographical_topological_sort(graph))
    except nx.NetworkXUnfeasible:
        _report_cycle(graph, compiler, places)
        return graph, ()


def add_methods(graph: Graph, methods: Mapping[str, Method], sites: Mapping[str, Site]) -> None:
    """Add what methods make of the loads: ``usage.METHOD.MODE`` and ``method.METHOD``.

    A usage is fed by the demands of its site and by what its mode carries; a method by
    its usages and by the facts that say whether it is possible.
    """
    for key, method in methods.items():
        graph.add_node(METHOD + key, kind="method")
        for requirement in method.requirements:
            for name in requirement.condition.names():
                graph.add_edge(name, METHOD + key, kind="condition", relation=None)
        for joint in method.joints:
            site = sites[joint.site]
            for mode in joint.modes:
                usage = f"{USAGE}{key}.{mode.key}"
                graph.add_node(usage, kind="usage")
                graph.add_edge(usage, METHOD + key, kind="usage", relation=None)
                refs = (mode.capacity, mode.sustained, mode.cyclic, mode.hot, mode.warm)
                names = [ref.name for ref in refs if ref.name is not None]
                for name in (*names, site.sustained, site.cyclic, site.peak):
                    graph.add_edge(name, usage, kind="input", relation="demand over capacity")


def _prior_names(prior: ChoicePrior | Draw | TableDraw | None) -> list[str]:
    if prior is None:
        return []
    if isinstance(prior, ChoicePrior):
        return [name for condition, _ in prior.branches for name in condition.names()]
    return list(prior.names())


def _report_cycle(
    graph: Graph, compiler: Compiler, places: Mapping[str, tuple[PackFile, Loc]]
) -> None:
    members = [edge[0] for edge in nx.find_cycle(graph)]
    words = " > ".join([*members, members[0]])
    for member in members:
        if member in places:
            file, loc = places[member]
            compiler.faults.append(
                file.fault(loc, "these feed each other in a circle", words, "an acyclic graph")
            )
            return
    message = "these assume each other in a circle"
    compiler.faults.append(
        Fault("facts.yaml", 0, 0, members[0], message, words, "an acyclic graph")
    )
