"""Compiling the nodes of the load-path graph."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from advisor.facts.faults import nearest_name
from advisor.mechanics.relation import RELATIONS
from advisor.rulegraph.compiling.compiler import Compiler
from advisor.rulegraph.compiling.tables import Tables
from advisor.rulegraph.model.conditions import Condition
from advisor.rulegraph.model.nodes import (
    Apply,
    Draw,
    Fold,
    Node,
    Operation,
    Pick,
    Ref,
    TableDraw,
    Tied,
)
from advisor.rulegraph.reading.pack_files import Loc, PackFile, PackFiles
from advisor.rulegraph.schema.base import SpreadModel
from advisor.rulegraph.schema.loads import NodeModel


@dataclass(frozen=True)
class NodeSource:
    """A node's model and where it is written; ``scope`` is the method it belongs to."""

    model: NodeModel
    file: PackFile
    loc: Loc
    scope: str = ""


def collect_nodes(files: PackFiles, compiler: Compiler) -> dict[str, NodeSource]:
    """All nodes by full name, with their units made known to the compiler."""
    found: dict[str, NodeSource] = {}

    def add(name: str, source: NodeSource) -> None:
        if name in found or name in compiler.facts:
            fault = source.file.fault(source.loc, "the name is taken", name, at_key=True)
            compiler.faults.append(fault)
            return
        found[name] = source
        compiler.node_units[name] = source.model.unit
        for argument, value in source.model.inputs.items():
            if isinstance(value, SpreadModel):
                relation = RELATIONS.get(source.model.relation or "")
                unit = relation.inputs.get(argument, "1") if relation else "1"
                compiler.node_units[f"{name}.{argument}"] = unit

    for file in files.each("loads/"):
        for name, model in file.content.nodes.items():
            add(name, NodeSource(model, file, ("nodes", name)))
    for file in files.each("methods/"):
        method = file.content.key
        for name, model in file.content.nodes.items():
            add(f"{method}.{name}", NodeSource(model, file, ("nodes", name), method))
    return found


def build_nodes(
    found: Mapping[str, NodeSource], compiler: Compiler, tables: Tables
) -> dict[str, Node]:
    """Compile every node; inline spreads become nodes of their own."""
    nodes: dict[str, Node] = {}
    for name, source in found.items():
        model, file, loc = source.model, source.file, source.loc
        for argument, value in model.inputs.items():
            if isinstance(value, SpreadModel):
                nodes[f"{name}.{argument}"] = _inline(name, argument, value, source, compiler)
        operation = _operation(name, source, compiler, tables)
        if operation is None:
            continue
        if model.tied_to is not None and isinstance(operation, Draw | TableDraw):
            to = compiler.ref(file, (*loc, "tied_to"), model.tied_to, None, source.scope).name
            other = found.get(to or "")
            if to is not None and other is not None:
                operation = replace(operation, tied=Tied(to, model.tied_by))
                if other.model.draw is None and other.model.table is None:
                    place, accepted = (*loc, "tied_to"), "a node that is drawn"
                    compiler.faults.append(file.fault(place, "is not drawn", to, accepted))
        cited = model.source
        status = model.status
        relation = RELATIONS.get(model.relation or "")
        if cited is not None:
            compiler.source(file, loc, cited)
        elif model.draw is not None or relation is not None:
            compiler.source(file, loc, None)
        nodes[name] = Node(
            name=name,
            title=model.title,
            unit=model.unit,
            operation=operation,
            when=compiler.condition(file, (*loc, "when"), model.when),
            otherwise=model.otherwise,
            driver=_driver(source, compiler),
            cause=model.cause,
            source=cited or "",
            status=status or "",
            note=model.note,
            relation=model.relation,
            valid=_valid(operation, relation.valid if relation else {}),
        )
        _check_driver(nodes[name], source, compiler)
    return nodes


def _driver(source: NodeSource, compiler: Compiler) -> str | None:
    """The input that drives the node, a method's own node first."""
    written = source.model.driver
    return written and compiler.full_name(written, source.scope)


def _check_driver(node: Node, source: NodeSource, compiler: Compiler) -> None:
    inputs = set(node.names())
    judged = _whole(node, source.model) and not source.file.gaps(source.loc)
    if node.driver is not None and node.driver not in inputs and judged:
        problem, accepted = "not an input of this node", ", ".join(sorted(inputs))
        place = (*source.loc, "driver")
        compiler.unknown(
            source.file, place, problem, node.driver, inputs, f"one of its inputs: {accepted}"
        )


def _whole(node: Node, model: NodeModel) -> bool:
    """True where every condition of the node could be compiled, so that all it reads is known."""
    written = model.pick[:-1] if model.pick else model.draw.by if model.draw else ()
    compiled = getattr(node.operation, "branches", ())
    return len(compiled) == len(written) and (node.when is None) == (model.when is None)


def _valid(
    operation: Operation, ranges: Mapping[str, tuple[float, float]]
) -> tuple[tuple[str, str, float, float], ...]:
    if not isinstance(operation, Apply):
        return ()
    found = []
    for argument, (low, high) in ranges.items():
        ref = operation.inputs.get(argument)
        if ref is not None and ref.name is not None:
            found.append((argument, ref.name, low, high))
    return tuple(found)


def _inline(
    name: str, argument: str, value: SpreadModel, source: NodeSource, compiler: Compiler
) -> Node:
    file, loc = source.file, (*source.loc, "inputs", argument)
    unit = compiler.node_units[f"{name}.{argument}"]
    triple = compiler.spread(file, loc, value, unit)
    cited = compiler.source(file, loc, value.source)
    title = f"{source.model.title}: {argument.replace('_', ' ')}"
    draw = Draw((), triple)
    full = f"{name}.{argument}"
    return Node(full, title, unit, draw, None, 0.0, None, False, cited, value.status or "")


def _operation(
    name: str, source: NodeSource, compiler: Compiler, tables: Tables
) -> Operation | None:
    model, file, loc = source.model, source.file, source.loc
    if model.draw is not None:
        branches = []
        for i, branch in enumerate(model.draw.by):
            place = (*loc, "draw", "by", i)
            condition = compiler.condition(file, (*place, "when"), branch.when)
            triple = compiler.spread(file, place, branch, model.unit)
            if condition is not None:
                branches.append((condition, triple))
        return Draw(tuple(branches), compiler.spread(file, (*loc, "draw"), model.draw, model.unit))
    if model.table is not None and model.column is not None:
        return tables.draw(file, loc, model.table, model.column, model.unit, compiler)
    if model.relation is not None:
        return _apply(name, source, compiler)
    if model.pick is not None:
        return _pick(source, compiler)
    for kind in ("sum", "product", "least", "largest"):
        members = getattr(model, kind)
        if members is not None:
            unit = None if kind == "product" else model.unit
            refs = tuple(
                compiler.ref(file, (*loc, kind, i), member, unit, source.scope)
                for i, member in enumerate(members)
            )
            if not refs and not file.gaps(loc):
                compiler.faults.append(file.fault((*loc, kind), "an empty list"))
                return None
            return Fold(kind, refs)
    return None


def _apply(name: str, source: NodeSource, compiler: Compiler) -> Operation | None:
    model, file, loc = source.model, source.file, source.loc
    relation = RELATIONS.get(model.relation or "")
    if relation is None:
        near = nearest_name(model.relation or "", RELATIONS)
        place = (*loc, "relation")
        compiler.faults.append(
            file.fault(
                place,
                "no such relation",
                model.relation or "",
                "see docs/forces-and-joints.md",
                near,
            )
        )
        return None
    if relation.result != model.unit:
        message = f"{relation.name} gives another unit"
        compiler.faults.append(
            file.fault((*loc, "unit"), message, model.unit, relation.result)
        )
    for argument in model.inputs:
        if argument not in relation.inputs:
            near = nearest_name(argument, relation.inputs)
            accepted = ", ".join(relation.inputs)
            compiler.faults.append(
                file.fault((*loc, "inputs", argument), "no such input", argument, accepted, near)
            )
    inputs: dict[str, Ref] = {}
    for argument, unit in relation.inputs.items():
        if argument not in model.inputs:
            if not file.gaps(loc):
                fault = file.fault((*loc, "inputs"), f"input {argument} is missing")
                compiler.faults.append(fault)
            continue
        value = model.inputs[argument]
        if isinstance(value, SpreadModel):
            inputs[argument] = Ref(f"{name}.{argument}")
        else:
            place = (*loc, "inputs", argument)
            inputs[argument] = compiler.ref(file, place, value, unit, source.scope)
    return Apply(relation.name, inputs)


def _pick(source: NodeSource, compiler: Compiler) -> Operation | None:
    model, file, loc = source.model, source.file, source.loc
    assert model.pick is not None
    branches: list[tuple[Condition, Ref]] = []
    for i, branch in enumerate(model.pick):
        place = (*loc, "pick", i)
        ref = compiler.ref(file, (*place, "use"), branch.use, model.unit, source.scope)
        if branch.when is None:
            return Pick(tuple(branches), ref)
        condition = compiler.condition(file, (*place, "when"), branch.when)
        if condition is not None:
            branches.append((condition, ref))
    return None
