"""A shop's own tests put in the place of the figures that they were made for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from advisor.rulegraph.compiling.compiler import Compiler
from advisor.rulegraph.model.nodes import Draw, Node, TableDraw
from advisor.rulegraph.model.own_tests import OwnTest, Triple, share_after_ten_years, spread_of
from advisor.rulegraph.model.rules import PackSource
from advisor.rulegraph.reading.pack_files import Loc, PackFile, PackFiles
from advisor.rulegraph.schema.own_tests import OwnTestModel
from advisor.wording.phrases import filled

OWN_TESTS = "own_tests.yaml"


def own_test_sources(files: PackFiles) -> dict[str, PackSource]:
    """An entry of the bibliography for each test."""
    found = {}
    for _, key, model in _tests(files):
        samples = "1 sample" if len(model.readings) == 1 else f"{len(model.readings)} samples"
        title = filled("Own test of {}, {}: {}", model.date.isoformat(), samples, model.how)
        found[_source(key)] = PackSource(_source(key), title, "", f"tests > {key} in {OWN_TESTS}")
    return found


def put_own_tests(
    files: PackFiles, compiler: Compiler, nodes: dict[str, Node]
) -> tuple[OwnTest, ...]:
    """Replace the figures in ``nodes`` by what the shop's tests say; faults where they cannot."""
    found: dict[tuple[str, str], OwnTest] = {}
    for file, key, model in _tests(files):
        loc: Loc = ("tests", key)
        before = _before(file, loc, model, compiler, nodes)
        if before is None:
            continue
        place = model.value, model.of or ""
        if place in found:
            problem = f"the same figure as {found[place].key}: put all readings into one test"
            compiler.faults.append(file.fault((*loc, "value"), problem, model.value))
            continue
        after = _after(model, before)
        node = nodes[model.value]
        title = filled("{}: {}", node.title, model.of) if model.of else node.title
        found[place] = OwnTest(
            key, title, node.unit, model.of or "", len(model.readings), model.date.isoformat(),
            model.how, before, after, node,
        )  # fmt: skip
        nodes[model.value] = _replaced(node, model, after, key, compiler)
    return tuple(found.values())


def _tests(files: PackFiles) -> Iterator[tuple[PackFile, str, OwnTestModel]]:
    for file in files.each(OWN_TESTS):
        for key, model in file.content.tests.items():
            yield file, key, model


def _source(key: str) -> str:
    return f"own_test.{key}"


def _before(
    file: PackFile, loc: Loc, model: OwnTestModel, compiler: Compiler, nodes: dict[str, Node]
) -> Triple | None:
    """The figure as it is without the test; None, with a fault, where no test can stand for it."""
    node = nodes.get(model.value)
    drawn = [name for name, one in nodes.items() if isinstance(one.operation, Draw | TableDraw)]
    accepted = "a figure of the rules that is drawn from a range"
    if node is None or model.value not in drawn:
        problem = "no such figure" if node is None else "is calculated from other figures"
        compiler.unknown(file, (*loc, "value"), problem, model.value, drawn, accepted)
        return None
    if model.unit != node.unit:
        compiler.faults.append(file.fault((*loc, "unit"), "wrong unit", model.unit, node.unit))
        return None
    if model.hung_hours is not None and node.unit != "1":
        problem, wanted = "only for a figure that is a share, in the unit 1", "no hung_hours"
        compiler.faults.append(file.fault((*loc, "hung_hours"), problem, node.unit, wanted))
        return None
    operation = node.operation
    if isinstance(operation, TableDraw):
        keys = compiler.facts[operation.key].keys
        if model.of is None:
            problem = f"the figure has a row for each answer to {operation.key}: say of which"
            compiler.faults.append(file.fault(loc, problem, "", f"of: {', '.join(keys)}"))
            return None
        if model.of not in keys:
            compiler.unknown(file, (*loc, "of"), "no such row", model.of, keys)
            return None
        row = keys.index(model.of)
        return operation.low[row], operation.typical[row], operation.high[row]
    assert isinstance(operation, Draw)
    if model.of is not None:
        problem = "the figure is one for all and has no rows"
        compiler.faults.append(file.fault((*loc, "of"), problem, model.of, "no of"))
        return None
    if operation.branches:
        problem = "the figure differs with the case; change it where it stands"
        compiler.faults.append(file.fault((*loc, "value"), problem, model.value, accepted))
        return None
    return operation.rest


def _after(model: OwnTestModel, before: Triple) -> Triple:
    read = [reading / model.divide_by for reading in model.readings]
    if model.hung_hours is not None:
        read = [share_after_ten_years(share, model.hung_hours) for share in read]
    low, typical, high = spread_of(read, before)
    return (low, typical, min(high, 1.0)) if model.hung_hours is not None else (low, typical, high)


def _replaced(
    node: Node, model: OwnTestModel, after: Triple, key: str, compiler: Compiler
) -> Node:
    operation = node.operation
    if isinstance(operation, TableDraw):
        row = compiler.facts[operation.key].keys.index(str(model.of))
        columns = (operation.low, operation.typical, operation.high)
        low, typical, high = (
            (*column[:row], own, *column[row + 1 :])
            for column, own in zip(columns, after, strict=True)
        )
        table = replace(operation, low=low, typical=typical, high=high)
        return replace(node, operation=table)
    assert isinstance(operation, Draw)
    own = replace(operation, branches=(), rest=after)
    return replace(node, operation=own, source=_source(key), status="looked_up")
