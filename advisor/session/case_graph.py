"""Which part of the rule graph matters for a case, and what each node says. Knows no Qt."""

from __future__ import annotations

import pathlib as files
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np

from advisor.advice.choosing.working import Working, work_out
from advisor.advice.explaining.reasons import figure, range_of
from advisor.advice.result import Advice, Cause, Figure, Load, Origin, Reason, Source, Status
from advisor.facts.case import Case
from advisor.facts.declaration import Kind
from advisor.facts.quantity import System
from advisor.mechanics.relation import RELATIONS
from advisor.report.status_words import ORIGIN
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import METHOD, USAGE
from advisor.session.answer_text import range_text, source_text, standing
from advisor.session.case_graph_notes import made_of
from advisor.session.compare_advice import used
from advisor.session.rule_places import rule_place
from advisor.wording.amounts import for_people
from advisor.wording.counts import usage_text
from advisor.wording.figures import Range
from advisor.wording.sentences import capital, chain, lowered, sentence

DEMAND = "demand."
#: A usage is cut here: what is beyond carries nothing.
MOST = 1e6
#: A cause is small below these shares of its load: of the typical one, and of the highest.
SMALL, SMALL_AT_MOST = 0.01, 0.05


@dataclass(frozen=True)
class Path:
    """The load path that decides one method, from the fact to the method."""

    method: str
    title: str
    nodes: tuple[str, ...]


@dataclass(frozen=True)
class NodeInfo:
    """What a node says when it is looked at."""

    name: str
    title: str
    kind: str
    figure: str
    origin: str
    lines: tuple[str, ...]
    """Relation, note and source, each a sentence."""


ALONE = ", alone"
"""Beside the usage of a way to fail, where there are others."""
WORST = "This way to fail alone. The verdict takes the worst of all in each simulated case: {}."


class GraphScope:
    """The rule graph around one case: nodes, edges, deciding paths and figures."""

    def __init__(
        self, case: Case, pack: RulePack, advice: Advice, system: System,
        kept: Working | None = None, folders: Sequence[files.Path] = (),
    ) -> None:  # fmt: skip
        """``kept`` is what the advice rests on; worked out anew where it was not kept.

        ``folders`` hold the rules, whose place each node then tells.
        """
        self._folders = folders
        self.case = pack.as_read(case)
        self.pack = pack
        self.advice = advice
        self.system = system
        self._methods = {m.method: m for m in advice.methods}
        self._states = {state.fact: state for state in advice.facts}
        self._kept = kept
        self._figures: dict[str, str] = {}
        self._shorts: dict[str, str] = {}

    @cached_property
    def working(self) -> Working:
        """What the figures are taken from."""
        return self._kept or work_out(self.case, self.pack, self.advice.worlds)

    # -- what is drawn ---------------------------------------------------------

    @cached_property
    def paths(self) -> tuple[Path, ...]:
        """The deciding path of every method that has one, the leading plan's first."""
        planned = self.advice.plan.methods if self.advice.plan is not None else ()
        ranked = sorted(self.advice.methods, key=lambda m: m.method not in planned)
        found = []
        for method in ranked:
            reason = next((r for r in method.because if len(r.path) > 1), None)
            if reason is not None and method.status is not Status.NOT_NEEDED:
                end = METHOD + method.method
                nodes = reason.path if reason.path[-1] == end else (*reason.path, end)
                found.append(Path(method.method, method.title, nodes))
        return tuple(found)

    def main(self) -> tuple[list[str], list[tuple[str, str]]]:
        """Nodes and edges of the argument: deciding paths, and the causes of the loads."""
        edges: dict[tuple[str, str], None] = {}
        for path in self.paths:
            edges.update(dict.fromkeys(pairwise(path.nodes)))
        for load in self.advice.loads:
            for cause in load.causes:
                if not is_small(cause, load):
                    edges.update(dict.fromkeys(pairwise(cause.path)))
        for reason in _all_reasons(self.advice):
            edges.update(dict.fromkeys(pairwise(reason.path)))
        return self._sorted({name for edge in edges for name in edge}), list(edges)

    @property
    def small_causes(self) -> bool:
        """Whether `main` leaves causes out that hardly add to their load."""
        return any(is_small(cause, load) for load in self.advice.loads for cause in load.causes)

    def everything(self, only: str = "") -> tuple[list[str], list[tuple[str, str]]]:
        """Nodes and edges of all that was calculated for the methods, or for ``only`` one."""
        worlds = self.working.situation.worlds
        ends = {METHOD + m.method for m in self.advice.methods
                if m.status is not Status.NOT_NEEDED and only in ("", m.method)}
        usages = {
            f"{USAGE}{key}.{mode.mode.key}"
            for key, outcome in self.working.situation.outcomes.items()
            for joint in outcome.joints if joint.applies.any() for mode in joint.modes
        }
        known = ends | usages | set(worlds.values)
        feeds: dict[str, list[str]] = {}
        for edge in self.pack.edges:
            if edge.source in known and edge.target in known:
                feeds.setdefault(edge.target, []).append(edge.source)
        found: set[str] = set()
        waiting = [end for end in ends if end in feeds]
        while waiting:
            name = waiting.pop()
            if name not in found:
                found.add(name)
                waiting += feeds.get(name, [])
        edges = [(source, name) for name in found for source in feeds.get(name, [])]
        order = self._sorted(found)
        rank = {name: i for i, name in enumerate(order)}
        return order, sorted(edges, key=lambda edge: (rank[edge[0]], rank[edge[1]]))

    def _sorted(self, names: set[str]) -> list[str]:
        """In an order that does not change from run to run: facts, nodes, usages, methods."""
        rank = {name: i for i, name in enumerate((*self.pack.facts, *self.pack.nodes))}
        return sorted(names, key=lambda name: (rank.get(name, len(rank)), name))

    def methods_in(self, names: Sequence[str]) -> set[str]:
        """The methods among the nodes: they stand in the last layer."""
        return {name for name in names if name.startswith(METHOD)}

    # -- what a node says ------------------------------------------------------

    def title(self, name: str) -> str:
        """Words for a node; a usage says whose joint it is in."""
        if name.startswith(USAGE):
            method, _, _ = name.removeprefix(USAGE).rpartition(".")
            known = self.pack.methods.get(method)
            title = capital(self.pack.title_of(name))
            return f"{known.title}: {lowered(title)}" if known else title
        return self.pack.title_of(name)

    def short_title(self, name: str) -> str:
        """Words for a box in the picture, where the method stands beside its usages."""
        return capital(self.pack.title_of(name))

    def is_assumed(self, name: str) -> bool:
        """Whether a fact was not answered."""
        return name in self.pack.facts and name not in self.case.facts

    def figure_of(self, name: str) -> str:
        """The figure of a node in a few words; worked out once."""
        if name not in self._figures:
            self._figures[name] = self._figure(name)
        return self._figures[name]

    def short_of(self, name: str) -> str:
        """The typical figure of a node alone, for a box in the picture."""
        if name not in self._shorts:
            self._shorts[name] = self._short(name)
        return self._shorts[name]

    def _short(self, name: str) -> str:
        if name.startswith(USAGE):
            usage = self._usage(name)
            if usage is None:
                return "not loaded"
            return used(usage.typical) + (ALONE if self._one_of_several(name) else "")
        fact = self.pack.facts.get(name)
        if name in self.pack.nodes or (fact is not None and fact.kind is Kind.QUANTITY):
            found = self.numbers(name)
            middle = found.value.typical
            one = Range(middle, middle, middle)
            return range_text(one, found.dimension, found.unit, self.system)
        return self.figure_of(name)

    def _figure(self, name: str) -> str:
        if name.startswith(METHOD):
            method = self._methods.get(name.removeprefix(METHOD))
            return standing(method) if method is not None else ""
        if name.startswith(USAGE):
            usage = self._usage(name)
            return usage_text(usage) if usage is not None else "not loaded"
        fact = self.pack.facts.get(name)
        if fact is not None and fact.kind is not Kind.QUANTITY:
            state = self._states.get(name)
            return state.text if state is not None else "does not apply"
        found = self.numbers(name)
        return range_text(found.value, found.dimension, found.unit, self.system)

    def _usage(self, name: str) -> Range | None:
        method, _, key = name.removeprefix(USAGE).rpartition(".")
        outcome = self.working.situation.outcomes.get(method)
        worlds = self.working.situation.worlds
        for joint in outcome.joints if outcome is not None else ():
            for mode in joint.modes:
                if mode.mode.key == key and joint.applies.any():
                    return range_of(worlds, np.minimum(mode.total, MOST), joint.applies)
        return None

    def _one_of_several(self, name: str) -> bool:
        """Whether the joint may also fail in another way, so that its own usage is another."""
        method = name.removeprefix(USAGE).rpartition(".")[0]
        outcome = self.working.situation.outcomes.get(method)
        joints = outcome.joints if outcome is not None else ()
        return sum(len(joint.modes) for joint in joints if joint.applies.any()) > 1

    def _worst_of_all(self, name: str) -> str:
        """How the usage of one way to fail goes with that of the verdict."""
        method = self._methods.get(name.removeprefix(USAGE).rpartition(".")[0])
        if method is None or method.usage is None or not self._one_of_several(name):
            return ""
        return WORST.format(used(method.usage.typical))

    def numbers(self, name: str) -> Figure:
        """The figure of a node or a quantity, with its spread and source."""
        return figure(name, self.working.situation.worlds)

    def info(self, name: str) -> NodeInfo:
        """Everything a node has to say."""
        return NodeInfo(
            name, self.title(name), self._kind(name), capital(self.figure_of(name)),
            self._origin(name), tuple(map(for_people, self._lines(name))),
        )

    def has_lesson(self, name: str) -> bool:
        """Whether there is a lesson about a node: a load, a joint or a method."""
        node = self.pack.nodes.get(name)
        of_method = name.startswith((METHOD, USAGE))
        return of_method or name.startswith(DEMAND) or (node is not None and node.cause)

    def _kind(self, name: str) -> str:
        if name in self.pack.facts:
            return "A fact of the case"
        if name.startswith(METHOD):
            return "A method of repair"
        if name.startswith(USAGE):
            return "How much of a joint's strength is used"
        if name.startswith(DEMAND):
            return "What reaches the damage"
        return "A cause" if self.pack.nodes[name].cause else "A step between fact and load"

    def _origin(self, name: str) -> str:
        if name in self.pack.facts:
            state = self._states.get(name)
            origin = state.origin if state is not None else Origin.ASSUMED
            return capital(ORIGIN[origin])
        return "Calculated" if not name.startswith(METHOD) else ""

    def _lines(self, name: str) -> Iterator[str]:
        node = self.pack.nodes.get(name)
        method = self._methods.get(name.removeprefix(METHOD)) if name.startswith(METHOD) else None
        if method is not None and method.because:
            reason = method.because[0]
            yield sentence(reason.text)
            if len(reason.path_titles) > 1:
                yield sentence(f"Load path: {chain(reason.path_titles)}")
        if name.startswith(USAGE) and (said := self._worst_of_all(name)):
            yield said
        if node is not None:
            yield from made_of(node, self)
        if node is not None and node.relation in RELATIONS:
            rule = RELATIONS[node.relation]
            yield f"Relation: {sentence(rule.title)}"
            yield sentence(f"Formula from: {rule.source}")
        if node is not None and node.note:
            yield sentence(node.note)
        for source in self._sources(name):
            yield sentence(source_text(source))
        if place := rule_place(name, self._folders):
            yield f"Rule: {place}"

    def _sources(self, name: str) -> Iterator[Source]:
        if name.startswith(METHOD):
            method = self._methods.get(name.removeprefix(METHOD))
            reasons = method.because if method is not None else ()
            yield from dict.fromkeys(r.source for r in reasons if r.source is not None)
        elif name.startswith(USAGE):
            reasons_ = [r for r in _all_reasons(self.advice) if name in r.path]
            yield from dict.fromkeys(r.source for r in reasons_ if r.source is not None)
        elif name in self.pack.nodes or self.pack.facts[name].kind is Kind.QUANTITY:
            source = self.numbers(name).source
            if source is not None:
                yield source


def is_small(cause: Cause, load: Load) -> bool:
    """Whether a cause adds next to nothing to its load, typically and at its highest."""
    return (
        cause.value.typical < SMALL * load.value.typical
        and cause.value.high < SMALL_AT_MOST * load.value.high
    )


def _all_reasons(advice: Advice) -> Iterator[Reason]:
    """Every reason with a path, of the methods' arguments."""
    waiting = [reason for method in advice.methods for reason in method.because]
    while waiting:
        reason = waiting.pop(0)
        waiting += reason.children
        if len(reason.path) > 1:
            yield reason
