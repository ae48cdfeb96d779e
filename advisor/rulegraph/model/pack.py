"""The rule pack as the engine uses it: compiled, frozen, with its graph and digest."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

from advisor.facts.case import Case
from advisor.facts.declaration import FactDecl, Option
from advisor.rulegraph.model import coverage, marks_read, questions_asked
from advisor.rulegraph.model.asked import FactRule, GateRule
from advisor.rulegraph.model.coverage import Coverage
from advisor.rulegraph.model.own_rules import OwnRules

if TYPE_CHECKING:
    import networkx as nx

    from advisor.rulegraph.model.job import JobRules
    from advisor.rulegraph.model.nodes import Node
    from advisor.rulegraph.model.own_tests import OwnTest
    from advisor.rulegraph.model.plastics import PlasticRules, Reading
    from advisor.rulegraph.model.roles import Roles
    from advisor.rulegraph.model.rules import (
        Caution,
        Edge,
        Measurement,
        Method,
        Need,
        PackSource,
        Prices,
        Site,
        )
    from advisor.rulegraph.model.section import SectionRules

    Graph = nx.DiGraph[str]

#: What the first question needs of a pack that was kept; the rest is opened when first asked for.
FIRST = (
    "version", "title", "digest", "own", "facts", "fact_rules", "earlier_facts", "parts",
    "gates", "coverage",
)  # fmt: skip


@dataclass(frozen=True)
class RulePack:
    """Everything the engine knows besides the case."""

    version: str
    title: str
    digest: str
    own: OwnRules
    """What a shop's own folder does to the rules."""
    facts: Mapping[str, FactDecl]
    fact_rules: Mapping[str, FactRule]
    earlier_facts: Mapping[str, str]
    """Yes/no fact to the method an earlier repair of which answers it."""
    nodes: Mapping[str, Node]
    order: tuple[str, ...]
    """Facts and nodes, each after everything it reads."""
    edges: tuple[Edge, ...]
    sites: Mapping[str, Site]
    measurements: Mapping[str, Measurement]
    parts: Mapping[str, str]
    """Kind of part to its title."""
    needs: Mapping[str, Need]
    methods: Mapping[str, Method]
    gates: Mapping[str, GateRule]
    cautions: Mapping[str, Caution]
    prices: Prices
    job: JobRules
    roles: Roles
    section: SectionRules
    sources: Mapping[str, PackSource]
    plastics: PlasticRules | None = field(default_factory=lambda: None)
    """What marks are read as; None where the pack says nothing about plastics."""
    coverage: Coverage = field(default_factory=Coverage)
    """Which damage occurs on which part, and what is said where it is none of these."""
    own_tests: tuple[OwnTest, ...] = field(default_factory=tuple)
    """A shop's own tests on scrap, whose figures stand in the nodes."""

    @property
    def without_own_tests(self) -> RulePack:
        """The pack with the figures of the program in the place of the shop's tests."""
        before: dict[str, Node] = {}
        for test in self.own_tests:
            before.setdefault(test.node.name, test.node)
        return replace(self, nodes={**self.nodes, **before}, own_tests=())

    if not TYPE_CHECKING:  # a misspelt name stays an error

        def __getattr__(self, name: str) -> Any:
            """Open the rest of a kept pack; only asked for what is not there yet."""
            rest: Callable[[], dict[str, Any]] | None = vars(self).get("_rest")
            if rest is not None:
                vars(self).update(rest())
                vars(self).pop("_rest", None)
            if name not in vars(self):
                raise AttributeError(f"a rule pack has no {name}")
            return vars(self)[name]

    @cached_property
    def graph(self) -> Graph:
        """The acyclic load-path graph, from facts over nodes and usages to methods.

        Edge attributes are ``kind`` and ``relation``. Made on first use: computing does
        not need it, looking at it does.
        """
        import networkx as nx

        graph: Graph = nx.DiGraph()
        graph.add_nodes_from(self.facts, kind="fact")
        graph.add_nodes_from(self.nodes, kind="node")
        for edge in self.edges:
            graph.add_edge(edge.source, edge.target, kind=edge.kind, relation=edge.relation)
        return graph

    def reads_of(self, method: str) -> MethodReads:
        """Facts and nodes that a method's screening, joints and charges read themselves."""
        if method not in self._read:
            self._read[method] = _reads_of(self.methods[method], self)
        return self._read[method]

    def fed_by(self, name: str) -> frozenset[str]:
        """``name`` and every fact and node that it feeds, directly or not."""
        if name not in self._fed:
            found, waiting = {name}, [name]
            while waiting:
                for target in self._targets.get(waiting.pop(), ()):
                    if target not in found:
                        found.add(target)
                        waiting.append(target)
            self._fed[name] = frozenset(found)
        return self._fed[name]

    def read_for(self, name: str) -> frozenset[str]:
        """Facts and nodes from which ``name`` is calculated itself."""
        return self._sources_of.get(name, frozenset())

    def feeding(self, name: str) -> frozenset[str]:
        """Every fact and node that feeds ``name``, directly or not."""
        if name not in self._feeding:
            found: set[str] = set()
            waiting = [name]
            while waiting:
                for source in self._sources_of.get(waiting.pop(), ()):
                    if source not in found:
                        found.add(source)
                        waiting.append(source)
            self._feeding[name] = frozenset(found)
        return self._feeding[name]

    @cached_property
    def limited_nodes(self) -> tuple[Node, ...]:
        """Nodes whose relation is documented for a range of its inputs only."""
        return tuple(node for node in self.nodes.values() if node.valid)

    @cached_property
    def _sources_of(self) -> dict[str, frozenset[str]]:
        sources: dict[str, set[str]] = {}
        for edge in self.edges:
            sources.setdefault(edge.target, set()).add(edge.source)
        return {name: frozenset(found) for name, found in sources.items()}

    @cached_property
    def _read(self) -> dict[str, MethodReads]:
        return {}

    @cached_property
    def _feeding(self) -> dict[str, frozenset[str]]:
        return {}

    @cached_property
    def _fed(self) -> dict[str, frozenset[str]]:
        return {}

    @cached_property
    def _targets(self) -> dict[str, list[str]]:
        targets: dict[str, list[str]] = {}
        for edge in self.edges:
            targets.setdefault(edge.source, []).append(edge.target)
        # A text has no value in the worlds, so it is no part of the graph.
        for name, rule in self.fact_rules.items():
            if rule.reads is not None:
                targets.setdefault(name, []).append(rule.reads)
        return targets

    def whole(self, method: str) -> Method:
        """The method that ``method`` is a variant of; itself where it is none."""
        from advisor.rulegraph.model.rules import method_word

        return self.methods.get(method_word(method), self.methods[method])

    @property
    def switched_off(self) -> frozenset[str]:
        """Hazards that the shop does not ask about; one that was told stops all the same."""
        return frozenset(one.hazard for one in self.own.switched_off)

    @property
    def currency(self) -> str:
        """ISO 4217 code."""
        return self.prices.currency

    @property
    def method_words(self) -> tuple[str, ...]:
        """The methods without their variants."""
        from advisor.rulegraph.model.rules import method_word

        return tuple(dict.fromkeys(method_word(key) for key in self.methods))

    def asked(self, case: Case) -> tuple[FactDecl, ...]:
        """Facts that apply to this case as far as it is known, in asking order."""
        last = self._last_asked.get("")
        if last is None or last[0] is not case:
            last = self._last_asked[""] = (case, questions_asked.facts_asked(self, case))
        return last[1]

    @cached_property
    def _last_asked(self) -> dict[str, tuple[Case, tuple[FactDecl, ...]]]:
        """A window asks this of one case many times over."""
        return {}

    @cached_property
    def _last_gates(self) -> dict[str, tuple[Case, tuple[str, ...]]]:
        return {}

    def as_read(self, case: Case) -> Case:
        """The case with what its marks say about facts that nobody answered."""
        return marks_read.as_read(self, case)

    def reading(self, fact: str, text: str) -> Reading | None:
        """What a text says about another fact; None where nothing is read from that fact."""
        return marks_read.reading_of(self, fact, text)

    def offered(self, fact: str, case: Case) -> tuple[Option, ...]:
        """Options of a choice that go with the other answers of the case."""
        return coverage.offered(self, fact, case)

    def is_covered(self, case: Case) -> bool:
        """Whether part and damage, as far as answered, are something that can be calculated."""
        return coverage.is_covered(self, case)

    def gates_asked(self, case: Case) -> tuple[str, ...]:
        """Gates that must be asked outright in this case."""
        last = self._last_gates.get("")
        if last is None or last[0] is not case:
            last = self._last_gates[""] = (case, questions_asked.gates_asked(self, case))
        return last[1]

    def title_of(self, name: str) -> str:
        """Words for a fact, a node, a method or a usage of a path."""
        if name in self.facts:
            return self.facts[name].title
        if name in self.nodes:
            return self.nodes[name].title
        kind, _, rest = name.partition(".")
        if kind == "method" and rest in self.methods:
            return self.methods[rest].title
        method, _, mode = rest.rpartition(".")
        if kind == "usage" and method in self.methods:
            for joint in self.methods[method].joints:
                for candidate in joint.modes:
                    if candidate.key == mode:
                        return candidate.title
        return name


@dataclass(frozen=True)
class MethodReads:
    """Facts and nodes that the parts of a method read themselves."""

    screening: frozenset[str]
    joints: frozenset[str]
    """With the workmanship and the screening: of what is never possible none is calculated."""
    charges: frozenset[str]

    @property
    def everything(self) -> frozenset[str]:
        """What any of them reads."""
        return self.joints | self.charges


def _reads_of(method: Method, pack: RulePack) -> MethodReads:
    screening = {name for one in method.requirements for name in one.condition.reads}
    work = (method.each_place, method.spared)
    joints = screening | {ref.name for ref in work if ref.name is not None}
    charges = {pack.roles.part_count}
    for joint in method.joints:
        joints |= joint.reads(pack.sites[joint.site])
    for charge in (*method.work, *method.materials):
        charges |= charge.reads
    return MethodReads(frozenset(screening), frozenset(joints), frozenset(charges))
