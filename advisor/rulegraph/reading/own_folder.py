"""A shop's own folder over the shipped rules: it adds to hazards and never takes one away."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from advisor.facts.faults import BadInput
from advisor.facts.marked_yaml import read_marked
from advisor.rulegraph.reading.folders import found_files
from advisor.rulegraph.reading.pack_files import PackFile, PackFiles

HAZARDS = "hazards.yaml"
#: Sections whose entries each stand for something of their own.
SECTIONS = ("gates", "cautions", "needs", "rows", "nodes", "sites", "columns")
#: Files whose entries are their top keys.
FLAT = ("facts/", "sources.yaml")
#: Keys that tell which entry a file is.
NAMED = ("method", "variant", "part", "table")


def keep_hazards(found: PackFiles, shipped: Mapping[str, PackFile]) -> None:
    """Put back every hazard that an own file in the place of a shipped one leaves out.

    Its question and its entry; of an entry that is there, the parts and vehicles for which
    it is asked; and the cautions. ``shipped`` are the files that were replaced.
    """
    for name, file in shipped.items():
        own = found.files.get(name)
        if own is None or own.content is None or file.content is None:
            continue
        if name == HAZARDS:
            own.content = _whole_hazards(found, own, file.content)
        elif name.startswith("parts/") and own.marked.data.get("gates") == []:
            found.kept.append(f"{name}: the hazards of this part")
        elif name.startswith("facts/"):
            declared = {key for _, key, _ in found.facts()}
            lacking = {
                key: model for key, model in file.content.items()
                if model.gate and key not in declared
            }  # fmt: skip
            own.content.update(lacking)
            found.kept += [f"{name}: {key}" for key in lacking]


def _whole_hazards(found: PackFiles, file: PackFile, shipped: Any) -> Any:
    """What an own file of hazards says and what it leaves out.

    One that holds only additions leaves nothing out; a copy that lacks some does.
    """
    own = file.content
    gates = dict(own.gates)
    emptied = file.marked.data.get("gates", True) == {}
    copied = emptied or not gates.keys().isdisjoint(shipped.gates)
    for key, model in shipped.gates.items():
        if key not in gates:
            gates[key] = model
            if copied:
                found.kept.append(f"{HAZARDS}: {key}")
        elif gates[key].asked_for != model.asked_for:
            if not set(model.asked_for) <= set(gates[key].asked_for):
                found.kept.append(f"{HAZARDS}: where {key} is asked")
            rows = dict.fromkeys((*model.asked_for, *gates[key].asked_for))
            gates[key] = gates[key].model_copy(update={"asked_for": tuple(rows)})
    cautions = {**shipped.cautions, **own.cautions}
    return own.model_copy(update={
        "gates": gates, "cautions": cautions,
        "parts_without_hazards": shipped.parts_without_hazards,
    })  # fmt: skip


def left_out(own: PackFile, shipped: PackFile) -> Iterator[str]:
    """Entries of a shipped file that the own file in its place does not have."""
    if own.name == HAZARDS:
        return  # it adds to the shipped one, whose entries all stay
    before, after = shipped.marked.data, own.marked.data
    for key in NAMED:
        if before.get(key) != after.get(key):
            yield f"{own.name}: {before.get(key)}"
    if own.name.startswith(FLAT):
        yield from _lacking(own.name, before, after)
    for section in SECTIONS:
        if isinstance(before.get(section), dict):
            inside = after.get(section)
            yield from _lacking(
                own.name, before[section], inside if isinstance(inside, dict) else {}
            )


def _lacking(name: str, before: Mapping[str, Any], after: Mapping[str, Any]) -> Iterator[str]:
    yield from (f"{name}: {key}" for key in before if key not in after)


def may_hold_hazards(overlay: Path, shipped: Path) -> bool:
    """Whether an own folder that cannot be used may ask for hazards beyond the shipped ones.

    In doubt it may: a file that cannot be read, and any that is not what the program has.
    """
    try:
        files = found_files(overlay)
    except BadInput:
        return True
    return any(_adds_hazards(name, path, shipped / name) for name, path in files.items())


def _adds_hazards(name: str, path: Path, shipped: Path) -> bool:
    try:
        own = read_marked(path).data
    except BadInput:
        # What it holds cannot be told; only these files can hold a hazard.
        return name.startswith((HAZARDS.removesuffix(".yaml"), "facts/", "parts/"))
    before: Any = {}
    if shipped.exists():
        before = read_marked(shipped).data
    if name == HAZARDS:
        gates, known = own.get("gates") or {}, before["gates"]
        return any(key not in known or gate != known[key] for key, gate in gates.items())
    if name.startswith("facts/"):
        return any(_is_gate(fact) and key not in before for key, fact in own.items())
    return name.startswith("parts/") and bool(own.get("gates"))


def _is_gate(fact: Any) -> bool:
    return isinstance(fact, dict) and bool(fact.get("gate"))
