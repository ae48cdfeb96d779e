"""Compiling what a repair has to restore, and what stops it: needs, cautions and gates."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import product
from typing import Any

from advisor.facts.case import DAMAGE, PART, VEHICLE
from advisor.facts.declaration import FactDecl
from advisor.rulegraph.compiling.compiler import Compiler
from advisor.rulegraph.model.asked import GateRule, Origin
from advisor.rulegraph.model.own_rules import OwnRules, SwitchedOff
from advisor.rulegraph.model.rules import Caution, Need
from advisor.rulegraph.reading.pack_files import Loc, PackFile, PackFiles
from advisor.rulegraph.schema.rule_files import AskedForModel, GateModel


def build_needs(files: PackFiles, compiler: Compiler) -> dict[str, Need]:
    kinds = compiler.facts[DAMAGE].keys if DAMAGE in compiler.facts else ()
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
    entries = list(_entries(files, "hazards.yaml", "gates"))
    pairs = _pairs_asked(files, compiler, entries)
    gates = {}
    for file, key, model in entries:
        loc = ("gates", key)
        compiler.source(file, loc, model.source)
        decl = compiler.facts.get(model.fact)
        if decl is None or not decl.gate:
            asked = [name for name, fact in compiler.facts.items() if fact.gate]
            place, accepted = (*loc, "fact"), "a fact declared with gate: yes"
            compiler.unknown(file, place, "not a hazard question", model.fact, asked, accepted)
        closed = compiler.condition(file, (*loc, "closed_when"), model.closed_when)
        if closed is None:
            continue
        gates[key] = GateRule(
            key,
            model.fact,
            model.title,
            frozenset(pairs[key]),
            compiler.condition(file, (*loc, "asked_when"), model.asked_when),
            closed,
            compiler.condition(file, (*loc, "caution_when"), model.caution_when),
            model.refer,
            model.caution,
            Origin(model.source, model.status),
            model.about_papers,
        )
    return gates


def build_own_rules(
    files: PackFiles, compiler: Compiler, gates: Mapping[str, GateRule]
) -> OwnRules:
    """What a shop's own folder adds, replaces, leaves out and switches off."""
    switched_off = []
    for file, key, model in _entries(files, "hazards.yaml", "switched_off"):
        place = ("switched_off", key)
        if key not in gates:
            compiler.unknown(file, place, "no such gate", key, list(gates), at_key=True)
            continue
        signed = model.date.isoformat()
        switched_off.append(SwitchedOff(key, gates[key].title, model.reason, model.name, signed))
    added = tuple(name for name in files.overlaid if name not in files.replaced)
    return OwnRules(
        added, tuple(files.replaced), tuple(files.hidden), tuple(files.kept), tuple(switched_off)
    )


def _pairs_asked(
    files: PackFiles, compiler: Compiler, entries: Sequence[tuple[PackFile, str, GateModel]]
) -> dict[str, set[tuple[str, str]]]:
    """For every hazard the pairs of part and vehicle for which it is asked.

    A part or vehicle that no hazard names, and a part that is like none that is named, is
    asked everything: nobody has looked at what it holds.
    """
    parts, vehicles = (compiler.facts.get(name) for name in (PART, VEHICLE))
    pairs: dict[str, set[tuple[str, str]]] = {key: set() for _, key, _ in entries}
    _add_from_parts(files, compiler, pairs)
    everywhere = {key for _, key, model in entries if not (model.asked_for or pairs[key])}
    if parts is None or vehicles is None:
        return pairs
    known_parts: set[str] = set()
    for file in files.each("hazards.yaml"):
        names = file.content.parts_without_hazards
        place: Loc = ("parts_without_hazards",)
        compiler.check_names(file, place, names, parts.keys, "no such part")
        known_parts.update(names)
    known_vehicles: set[str] = set()
    for file, key, model in entries:
        for i, row in enumerate(model.asked_for):
            place = ("gates", key, "asked_for", i)
            for column in ("parts", "except_parts"):
                names = getattr(row, column) or ()
                compiler.check_names(file, (*place, column), names, parts.keys, "no such part")
                known_parts.update(names)
            names = row.vehicles or ()
            compiler.check_names(
                file, (*place, "vehicles"), names, vehicles.keys, "no such vehicle"
            )
            known_vehicles.update(names)
    lines = {part: set(parts.line(part)) for part in parts.keys}
    for part, vehicle in product(parts.keys, vehicles.keys):
        line = lines[part]
        unknown = vehicle not in known_vehicles or line.isdisjoint(known_parts)
        if parts.option(part).not_covered:
            continue
        for _, key, model in entries:
            called = any(_applies(row, line, vehicle) for row in model.asked_for)
            if called or unknown or key in everywhere:
                pairs[key].add((part, vehicle))
    _add_unnamed(parts, pairs)
    return pairs


def _add_unnamed(parts: FactDecl, pairs: Mapping[str, set[tuple[str, str]]]) -> None:
    """A part that is none of these is asked what any part is asked in its vehicle."""
    for option in parts.options:
        if option.not_covered:
            for found in pairs.values():
                found.update({(option.key, vehicle) for _, vehicle in found})


def _applies(row: AskedForModel, line: set[str], vehicle: str) -> bool:
    here = row.vehicles is None or vehicle in row.vehicles
    named = row.parts is None or not line.isdisjoint(row.parts)
    return here and named and line.isdisjoint(row.except_parts)


def _add_from_parts(
    files: PackFiles, compiler: Compiler, pairs: Mapping[str, set[tuple[str, str]]]
) -> None:
    """What the files of parts add: further hazards of a part and of those like it."""
    parts, vehicles = (compiler.facts.get(name) for name in (PART, VEHICLE))
    for file in files.each("parts/"):
        problem = "no such hazard (gate)"
        compiler.check_names(file, ("gates",), file.content.gates, list(pairs), problem)
        if parts is None or vehicles is None or file.content.part not in parts.keys:
            continue
        for gate in set(file.content.gates) & pairs.keys():
            pairs[gate].update(product(parts.kinds_of(file.content.part), vehicles.keys))


def _entries(files: PackFiles, name: str, section: str) -> Iterator[tuple[PackFile, str, Any]]:
    """The entries of one section of a file, which is there once or, being at fault, not."""
    for file in files.each(name):
        for key, model in getattr(file.content, section).items():
            yield file, key, model
