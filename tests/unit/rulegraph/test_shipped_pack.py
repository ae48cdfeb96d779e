"""The rules as they ship: sources behind every figure, paths that are real, gates that ask."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import networkx as nx
import numpy as np
import pytest

from advisor.advice.advise import advise
from advisor.advice.result import Advice, Reason, Status
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Case
from advisor.facts.case_file import read_case
from advisor.facts.declaration import Kind
from advisor.mechanics.relation import RELATIONS
from advisor.rulegraph.model.nodes import Draw, Fold, Pick, TableDraw
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import METHOD

ROOT = Path(__file__).parents[3]
FILES = sorted(ROOT.glob("demo_cases/*.yaml")) + sorted(ROOT.glob("tests/field/fc-*.yaml"))


@pytest.fixture(scope="module")
def advices(pack: RulePack) -> dict[str, Advice]:
    cases = {path.stem: read_case(path, pack.facts, methods=pack.methods) for path in FILES}
    return {name: advise(case, pack, 512, flips=False) for name, case in cases.items()}


def reasons(found: tuple[Reason, ...]) -> Iterator[Reason]:
    for reason in found:
        yield reason
        yield from reasons(reason.children)


def test_order_computes_everything_after_what_feeds_it(pack: RulePack) -> None:
    assert nx.is_directed_acyclic_graph(pack.graph)
    place = {name: i for i, name in enumerate(pack.order)}
    assert place.keys() >= {*pack.nodes, *pack.facts}
    for name, node in pack.nodes.items():
        assert all(place[other] < place[name] for other in node.names()), name


def test_every_node_names_a_source_unless_it_is_arithmetic(pack: RulePack) -> None:
    for name, node in pack.nodes.items():
        if isinstance(node.operation, Fold | Pick | TableDraw):
            assert not node.source or node.source in pack.sources, name
        else:
            assert node.source in pack.sources and node.status, name


def test_every_rule_names_a_source(pack: RulePack) -> None:
    origins = [gate.origin for gate in pack.gates.values()]
    origins += [need.origin for need in pack.needs.values()]
    origins += [caution.origin for caution in pack.cautions.values()]
    origins += [rule.origin for rule in pack.fact_rules.values() if rule.origin is not None]
    for method in pack.methods.values():
        origins += [requirement.origin for requirement in method.requirements]
        origins += [mode.origin for joint in method.joints for mode in joint.modes]
    assert {origin.source for origin in origins} <= pack.sources.keys()
    assert all(origin.status for origin in origins)


def test_relations_are_registered_under_the_names_the_rules_use(pack: RulePack) -> None:
    used = {node.relation for node in pack.nodes.values() if node.relation}
    assert len(used) > 15
    assert used <= RELATIONS.keys()


def test_spreads_do_not_fall_and_end(pack: RulePack) -> None:
    for name, node in pack.nodes.items():
        if isinstance(node.operation, Draw):
            spreads = [node.operation.rest, *(spread for _, spread in node.operation.branches)]
            for low, typical, high in spreads:
                assert -np.inf < low <= typical <= high < np.inf, name


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_reason_paths_are_paths_of_the_graph(
    path: Path, advices: dict[str, Advice], pack: RulePack
) -> None:
    advice = advices[path.stem]
    assert advice.methods
    for method in advice.methods:
        assert method.because, method.method
        for reason in reasons(method.because):
            assert reason.path and reason.source is not None, method.method
            assert reason.source.key in pack.sources
            alone = reason.path == (METHOD + method.method,)
            assert alone or nx.is_path(pack.graph, list(reason.path)), reason.path
            assert len(reason.path_titles) == len(reason.path)
    for load in advice.loads:
        for cause in load.causes:
            assert nx.is_path(pack.graph, list(cause.path)), cause.path
            assert cause.node in cause.path


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_failing_method_is_argued_from_a_load_to_its_joint(
    path: Path, advices: dict[str, Advice], pack: RulePack
) -> None:
    for method in advices[path.stem].methods:
        if method.status is Status.FAILS and method.usage is not None and method.usage.low > 1.0:
            reason = method.because[0]
            assert reason.path[-1].startswith(f"usage.{method.method}.")
            assert reason.path[-2].startswith("demand.")
            assert len(reason.path) >= 3


def test_every_kind_of_part_in_an_aircraft_needs_a_station(pack: RulePack) -> None:
    """Common practice, no source: trim inside an aircraft is signed for by a station."""
    elsewhere = {"folding_roof", "motorcycle_seat", "steering_wheel_rim", "seat_belt"}
    for kind in set(pack.parts) - elsewhere:
        case = Case("HB-1", facts={"part.kind": (kind,), "vehicle.kind": ("aircraft",)})
        assert "aircraft_station" in pack.gates_asked(case), kind


def test_every_gate_is_asked_somewhere(pack: RulePack) -> None:
    assert all(gate.asked_for for gate in pack.gates.values())
    assert {gate.fact for gate in pack.gates.values()} == {
        name for name, decl in pack.facts.items() if decl.gate
    }


def test_every_fact_can_be_drawn(pack: RulePack) -> None:
    worlds = SampledWorlds(Case("HB-1", facts={"vehicle.kind": ("boat",)}), pack, 64)
    for name, decl in pack.facts.items():
        if decl.kind is Kind.TEXT:
            continue
        column = worlds.values[name]
        assert column.shape == (64,), name
        if decl.kind is Kind.QUANTITY and name not in pack.measurements:
            assert np.all((column >= decl.low) & (column <= decl.high)), name
        if decl.kind is Kind.CHOICE:
            assert set(column.tolist()) <= set(range(len(decl.keys))), name
