"""Compiling what a repair has to restore, and what stops it: needs, cautions and gates."""

from __future__ import annotations

from advisor.facts.faults import nearest_name

from .checks import PART
from .compiling import Compiler
from .reading import PackFiles
from .rules import Caution, GateRule, Need, Origin


def build_needs(files: PackFiles, compiler: Compiler) -> dict[str, Need]:
    file = files.one("needs.yaml")
    kinds = compiler.facts["damage.kind"].keys if "damage.kind" in compiler.facts else ()
    needs = {}
    for key, model in file.content.needs.items():
        compiler.source(file, ("needs", key), model.source)
        condition = compiler.condition(file, ("needs", key, "when"), model.when)
        for i, kind in enumerate(model.leads_for):
            if kind not in kinds:
                near = nearest_name(kind, kinds)
                place = ("needs", key, "leads_for", i)
                compiler.faults.append(
                    file.fault(place, "no such damage", kind, ", ".join(kinds), near)
                )
        if condition is not None:
            origin = Origin(model.source, model.status)
            needs[key] = Need(key, model.title, condition, model.leads_for, origin)
    return needs


def build_cautions(files: PackFiles, compiler: Compiler) -> dict[str, Caution]:
    file = files.one("hazards.yaml")
    found = {}
    for key, model in file.content.cautions.items():
        compiler.source(file, ("cautions", key), model.source)
        found[key] = Caution(key, model.text, Origin(model.source, model.status))
    return found


def build_gates(files: PackFiles, compiler: Compiler) -> dict[str, GateRule]:
    file = files.one("hazards.yaml")
    gates = {}
    for key, model in file.content.gates.items():
        loc = ("gates", key)
        compiler.source(file, loc, model.source)
        decl = compiler.facts.get(model.fact)
        if decl is None or not decl.gate:
            near = nearest_name(model.fact, [n for n, d in compiler.facts.items() if d.gate])
            accepted = "a fact declared with gate: yes"
            compiler.faults.append(
                file.fault((*loc, "fact"), "not a gate question", model.fact, accepted, near)
            )
        closed = compiler.condition(file, (*loc, "closed_when"), model.closed_when)
        if closed is None:
            continue
        gates[key] = GateRule(
            key,
            model.fact,
            model.title,
            compiler.condition(file, (*loc, "asked_when"), model.asked_when),
            closed,
            compiler.condition(file, (*loc, "caution_when"), model.caution_when),
            model.refer,
            model.caution,
            Origin(model.source, model.status),
        )
    return gates


def build_part_gates(files: PackFiles, compiler: Compiler) -> dict[str, tuple[str, ...]]:
    gates = files.one("hazards.yaml").content.gates
    found = {}
    for file in files.folder("parts/"):
        for i, gate in enumerate(file.content.gates):
            if gate not in gates:
                near = nearest_name(gate, gates)
                compiler.faults.append(
                    file.fault(("gates", i), "no such gate", gate, ", ".join(gates), near)
                )
        found[file.content.part] = file.content.gates
    parts = compiler.facts.get(PART)
    if parts is None:
        return found
    return {
        key: tuple(dict.fromkeys(gate for kind in parts.line(key) for gate in found.get(kind, ())))
        for key in parts.keys
    }
