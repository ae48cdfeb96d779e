"""Compiling what a repair has to restore, and what stops it: needs, cautions and gates."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from advisor.rulegraph.compiling.compiler import Compiler
from advisor.rulegraph.compiling.cross_checks import PART
from advisor.rulegraph.model.rules import Caution, GateRule, Need, Origin
from advisor.rulegraph.reading.pack_files import PackFile, PackFiles


def build_needs(files: PackFiles, compiler: Compiler) -> dict[str, Need]:
    kinds = compiler.facts["damage.kind"].keys if "damage.kind" in compiler.facts else ()
    needs = {}
    for file, key, model in _entries(files, "needs.yaml", "needs"):
        compiler.source(file, ("needs", key), model.source)
        condition = compiler.condition(file, ("needs", key, "when"), model.when)
        place = ("needs", key, "leads_for")
        compiler.check_names(file, place, model.leads_for, kinds, "no such damage")
        if condition is not None:
            origin = Origin(model.source, model.status)
            needs[key] = Need(key, model.title, condition, model.leads_for, origin)
    return needs


def build_cautions(files: PackFiles, compiler: Compiler) -> dict[str, Caution]:
    found = {}
    for file, key, model in _entries(files, "hazards.yaml", "cautions"):
        compiler.source(file, ("cautions", key), model.source)
        found[key] = Caution(key, model.text, Origin(model.source, model.status))
    return found


def build_gates(files: PackFiles, compiler: Compiler) -> dict[str, GateRule]:
    gates = {}
    for file, key, model in _entries(files, "hazards.yaml", "gates"):
        loc = ("gates", key)
        compiler.source(file, loc, model.source)
        decl = compiler.facts.get(model.fact)
        if decl is None or not decl.gate:
            asked = [name for name, fact in compiler.facts.items() if fact.gate]
            place, accepted = (*loc, "fact"), "a fact declared with gate: yes"
            compiler.unknown(file, place, "not a gate question", model.fact, asked, accepted)
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
    gates = [key for _, key, _ in _entries(files, "hazards.yaml", "gates")]
    found = {}
    for file in files.each("parts/"):
        compiler.check_names(file, ("gates",), file.content.gates, gates, "no such gate")
        found[file.content.part] = file.content.gates
    parts = compiler.facts.get(PART)
    if parts is None:
        return found
    return {
        key: tuple(dict.fromkeys(gate for kind in parts.line(key) for gate in found.get(kind, ())))
        for key in parts.keys
    }


def _entries(files: PackFiles, name: str, section: str) -> Iterator[tuple[PackFile, str, Any]]:
    """The entries of one section of a file, which is there once or, being at fault, not."""
    for file in files.each(name):
        for key, model in getattr(file.content, section).items():
            yield file, key, model
