"""Cases and packs for the tests of the advice."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from advisor.facts.case import Case, Span
from advisor.facts.case_file import read_case
from advisor.rulegraph.model.nodes import Draw, Node, TableDraw
from advisor.rulegraph.model.pack import RulePack

DEMOS = Path(__file__).parents[3] / "demo_cases"


def demo(name: str, pack: RulePack) -> Case:
    """A demo case by the name of its file."""
    return read_case(DEMOS / f"{name}.yaml", pack.facts, methods=pack.methods)


def demos(pack: RulePack) -> dict[str, Case]:
    """All demo cases."""
    return {path.stem: demo(path.stem, pack) for path in sorted(DEMOS.glob("*.yaml"))}


def case(name: str = "HB-1", **facts: Any) -> Case:
    """A case from ``part__kind="armrest"`` and the like; a number is an exact quantity."""
    given: dict[str, Any] = {}
    for key, value in facts.items():
        if isinstance(value, str):
            value = (value,)
        elif isinstance(value, int | float) and not isinstance(value, bool):
            value = Span(float(value), float(value))
        given[key.replace("__", ".")] = value
    return Case(name, facts=given)


def split_seam(**facts: Any) -> Case:
    """A split armrest seam in a bus with every gate answered."""
    known = {"part__kind": "armrest", "vehicle__kind": "bus", "damage__kind": "seam_open",
             "gate__airbag": "none", "gate__energy_absorber": False,
             "gate__contamination": "none", "skin__material": "vinyl_backed"}  # fmt: skip
    return case(**{**known, **facts})


def point_valued(pack: RulePack) -> RulePack:
    """The pack with every spread of a node shrunk to its typical value."""
    return replace(pack, nodes={name: _point(node) for name, node in pack.nodes.items()})


def _point(node: Node) -> Node:
    operation = node.operation
    if isinstance(operation, Draw):
        branches = tuple((when, (t[1],) * 3) for when, t in operation.branches)
        rest = operation.rest[1]
        return replace(node, operation=Draw(branches, (rest, rest, rest)))
    if isinstance(operation, TableDraw):
        middle = operation.typical
        return replace(node, operation=TableDraw(operation.key, middle, middle, middle))
    return node
