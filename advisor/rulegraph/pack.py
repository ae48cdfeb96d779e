"""The rule pack as the engine uses it: compiled, frozen, with its graph and digest."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Literal

from advisor.facts.case import Case
from advisor.facts.declare import FactDecl

from .circuit import Circuit
from .conditions import Condition
from .job_rules import JobRules, QuoteRules
from .nodes import Array, Draw, Node, Ref, TableDraw
from .plastics import PlasticRules, Reading

Looks = Literal["unseen", "slight", "visible"]

#: How usages and methods are named in the graph.
USAGE = "usage."
METHOD = "method."

if TYPE_CHECKING:
    import networkx as nx

    Graph = nx.DiGraph[str]


@dataclass(frozen=True)
class Edge:
    """One thing feeding another in the load-path graph."""

    source: str
    target: str
    kind: str
    relation: str | None


@dataclass(frozen=True)
class ChoicePrior:
    """Weights over the options of a choice or over (no, yes); first branch that holds wins."""

    branches: tuple[tuple[Condition, Array], ...]
    rest: Array


@dataclass(frozen=True)
class Measurement:
    """A measured fact: its prediction and the error of measuring it."""

    fact: str
    predicted_by: str
    error: float
    """Standard deviation of the logarithm."""
    floor: float
    """Added to both sides: readings below it cannot be told apart."""
    finding: str
    when: Condition | None
    source: str
    status: str


Prior = ChoicePrior | Draw | TableDraw


@dataclass(frozen=True)
class Origin:
    """Source and status of a prior or rule."""

    source: str
    status: str
    note: str = ""


@dataclass(frozen=True)
class FactRule:
    """How a fact enters the worlds when it is open, and when it is asked at all."""

    decl: FactDecl
    asked_when: Condition | None
    prior: Prior | None
    by_part: Mapping[str, Prior]
    origin: Origin | None
    reads: str | None = None
    """A mark: the choice that it says something about."""
    unread: str | None = None
    """Answer taken to that choice where the mark says nothing that the rules know."""
    narrows: str | None = None
    """Only asked as long as that choice is not known for certain."""
    finding: str = ""
    """Said where an answer fits none of the computed cases."""


@dataclass(frozen=True)
class Site:
    """Where a demand acts."""

    key: str
    title: str
    unit: str
    sustained: str
    cyclic: str
    peak: str


@dataclass(frozen=True)
class Mode:
    """One way a joint may fail: capacity and the factors on it."""

    key: str
    title: str
    capacity: Ref
    sustained: Ref
    cyclic: Ref
    hot: Ref
    """Temperature factor on what pulls all the time (at the soak temperature)."""
    warm: Ref
    """Temperature factor on what pulls in use."""
    origin: Origin


@dataclass(frozen=True)
class Joint:
    """A joint meets needs at one site, in the worlds where ``when`` holds."""

    meets: tuple[str, ...]
    site: str
    when: Condition | None
    modes: tuple[Mode, ...]


@dataclass(frozen=True)
class Requirement:
    """A condition a method needs, and the sentence said where it does not hold."""

    condition: Condition
    if_not: str
    origin: Origin


@dataclass(frozen=True)
class Spread:
    """A value between ``low`` and ``high``, most likely ``typical``."""

    low: float
    typical: float
    high: float

    @property
    def mean(self) -> float:
        """Mean of the triangular distribution."""
        return (self.low + self.typical + self.high) / 3.0


@dataclass(frozen=True)
class Prices:
    """What work, comebacks and questions cost; money in ``currency``, times in minutes."""

    currency: str
    hourly_rate: Spread
    call_out_minimum: Spread
    material_markup: Spread
    comeback_goodwill: Spread
    aborted_minutes: Spread
    question_overhead: Spread
    looks: Mapping[Looks, Spread]
    looks_weight: str
    """Node that weighs the looks charges."""
    holds_at: float
    declines_below: float
    quote: QuoteRules


@dataclass(frozen=True)
class Charge:
    """Minutes or a price: spread times an optional size, under a condition."""

    what: str
    spread: Spread
    per: Ref
    when: Condition | None
    set_up: bool = False
    """Minutes spent whatever the size of the damage."""


@dataclass(frozen=True)
class MethodStep:
    """A step of the work with its cautions."""

    text: str
    cautions: tuple[str, ...]
    when: Condition | None


def method_word(key: str) -> str:
    """The trade's word for a method, whatever its variant."""
    return key.partition(".")[0]


@dataclass(frozen=True)
class Method:
    """One method of repair, or a variant of one (``hand_stitch.every_other_hole``)."""

    key: str
    title: str
    meets: tuple[str, ...]
    requirements: tuple[Requirement, ...]
    joints: tuple[Joint, ...]
    reliability: Spread
    follow_with: tuple[tuple[str, Condition | None], ...]
    only_beside: tuple[str, ...]
    """Methods that carry the load; without one of them this one is never planned."""
    order: int
    looks: Looks
    work: tuple[Charge, ...]
    materials: tuple[Charge, ...]
    tools: tuple[str, ...]
    steps: tuple[MethodStep, ...]
    cautions: tuple[str, ...]
    remark: str
    fallback: bool


@dataclass(frozen=True)
class Need:
    """What a repair has to restore."""

    key: str
    title: str
    when: Condition
    leads_for: tuple[str, ...]
    origin: Origin


@dataclass(frozen=True)
class GateRule:
    """A hazard or missing authority that stops or refers the job."""

    key: str
    fact: str
    title: str
    asked_when: Condition | None
    closed_when: Condition
    caution_when: Condition | None
    refer: str
    caution: str
    origin: Origin


def _not_clear(gate: GateRule, case: Case) -> bool:
    """Answered with "near", or with several answers of which not all are harmless."""
    answer = case.facts.get(gate.fact)
    if answer is None:
        return False
    alone = Case(case.name, facts={gate.fact: answer})
    if gate.caution_when is not None and gate.caution_when.known(alone) is not False:
        return True
    several = isinstance(answer, tuple) and len(answer) > 1
    return several and gate.closed_when.known(case) is not False


@dataclass(frozen=True)
class Caution:
    """A warning shown beside a step."""

    key: str
    text: str
    origin: Origin


@dataclass(frozen=True)
class PackSource:
    """One entry of the bibliography."""

    key: str
    title: str
    note: str


@dataclass(frozen=True)
class RulePack:
    """Everything the engine knows besides the case."""

    version: str
    title: str
    digest: str
    overlaid: tuple[str, ...]
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
    part_gates: Mapping[str, tuple[str, ...]]
    needs: Mapping[str, Need]
    methods: Mapping[str, Method]
    gates: Mapping[str, GateRule]
    cautions: Mapping[str, Caution]
    prices: Prices
    job: JobRules
    sources: Mapping[str, PackSource]
    plastics: PlasticRules | None = None
    """What marks are read as; None where the pack says nothing about plastics."""

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

    @cached_property
    def circuit(self) -> Circuit:
        """The conditions that are put to every case, compiled together.

        Those of needs, requirements and charges; and of joints, helpers and steps that
        read nothing more, so that no value is computed for their sake.
        """
        always = [need.when for need in self.needs.values()]
        perhaps: list[Condition | None] = []
        for method in self.methods.values():
            always += [requirement.condition for requirement in method.requirements]
            charges = (*method.work, *method.materials)
            always += [charge.when for charge in charges if charge.when is not None]
            perhaps += [joint.when for joint in method.joints]
            perhaps += [when for _, when in method.follow_with]
            perhaps += [step.when for step in method.steps]
        read = {name for condition in always for name in condition.names()}
        wanted = [when for when in perhaps if when is not None and read.issuperset(when.names())]
        return Circuit([*always, *wanted])

    def read_by(self, method: str) -> frozenset[str]:
        """Facts and nodes that a method's screening, joints and charges read themselves."""
        if method not in self._read:
            self._read[method] = frozenset(_names_of(self.methods[method], self.sites))
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

    def feeding(self, name: str) -> frozenset[str]:
        """Every fact and node that feeds ``name``, directly or not."""
        found: set[str] = set()
        waiting = [name]
        while waiting:
            for source in self._sources_of.get(waiting.pop(), ()):
                if source not in found:
                    found.add(source)
                    waiting.append(source)
        return frozenset(found)

    @cached_property
    def _sources_of(self) -> dict[str, list[str]]:
        sources: dict[str, list[str]] = {}
        for edge in self.edges:
            sources.setdefault(edge.target, []).append(edge.source)
        return sources

    @cached_property
    def _read(self) -> dict[str, frozenset[str]]:
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

    @property
    def currency(self) -> str:
        """ISO 4217 code."""
        return self.prices.currency

    @property
    def method_words(self) -> tuple[str, ...]:
        """The methods without their variants."""
        return tuple(dict.fromkeys(method_word(key) for key in self.methods))

    def asked(self, case: Case) -> tuple[FactDecl, ...]:
        """Facts that apply to this case as far as it is known, in asking order."""
        last = self._last_asked.get("")
        if last is None or last[0] is not case:
            last = self._last_asked[""] = (case, self._asked(case))
        return last[1]

    @cached_property
    def _last_asked(self) -> dict[str, tuple[Case, tuple[FactDecl, ...]]]:
        """A window asks this of one case many times over."""
        return {}

    def _asked(self, case: Case) -> tuple[FactDecl, ...]:
        case = self.as_read(case)
        wanted = set(self.gates_asked(case))
        gate_facts = {self.gates[key].fact for key in wanted}
        found = []
        for name, rule in self.fact_rules.items():
            if rule.decl.gate and name not in gate_facts:
                continue
            if rule.asked_when is not None and rule.asked_when.known(case) is False:
                continue
            if rule.narrows and name not in case.facts and case.choice(rule.narrows):
                continue
            found.append(rule.decl)
        return tuple(found)

    def as_read(self, case: Case) -> Case:
        """The case with what its marks say about facts that nobody answered."""
        from .readings import as_read

        return as_read(self, case)

    def reading(self, fact: str, text: str) -> Reading | None:
        """What a text says about another fact; None where nothing is read from that fact."""
        from .readings import reading_of

        return reading_of(self, fact, text)

    def gates_asked(self, case: Case) -> tuple[str, ...]:
        """Gates that must be asked outright in this case."""
        kinds = case.facts.get("part.kind", ())
        assert isinstance(kinds, tuple)
        if kinds:
            listed = tuple(gate for kind in kinds for gate in self.part_gates.get(kind, ()))
        else:
            # Before the part is known, what every part would be asked for such a vehicle.
            every = [set(gates) for gates in self.part_gates.values()]
            listed = tuple(
                key
                for key in (set.intersection(*every) if every else ())
                if (when := self.gates[key].asked_when) is not None and when.known(case)
            )
        gates = self.gates.items()
        return tuple(key for key, gate in gates if self._gate_asked(gate, case, listed))

    def _gate_asked(self, gate: GateRule, case: Case, listed: tuple[str, ...]) -> bool:
        """The part calls for it, or what was answered is no all-clear."""
        if gate.closed_when.known(case):
            return True
        if gate.asked_when is not None and gate.asked_when.known(case) is False:
            return False
        return gate.key in listed or _not_clear(gate, case)

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


def _names_of(method: Method, sites: Mapping[str, Site]) -> Iterator[str]:
    conditions = [requirement.condition for requirement in method.requirements]
    conditions += [joint.when for joint in method.joints if joint.when is not None]
    charges = (*method.work, *method.materials)
    conditions += [charge.when for charge in charges if charge.when is not None]
    for condition in conditions:
        yield from condition.names()
    refs = [charge.per for charge in charges]
    for joint in method.joints:
        site = sites[joint.site]
        yield from (site.sustained, site.cyclic, site.peak)
        for mode in joint.modes:
            refs += [mode.capacity, mode.sustained, mode.cyclic, mode.hot, mode.warm]
    yield from (ref.name for ref in refs if ref.name is not None)
