"""The least that every rule pack must ask, stop and say: a table read by a person.

``required_hazards.yaml`` beside this file is written from the shipped rules by
``docs/make_required_hazards.py``. It is no part of a rule pack, so that nothing done to one
can change it; every pack is held against it when it is compiled.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from itertools import product
from pathlib import Path
from typing import Any

import yaml

from advisor.facts.case import PART, VEHICLE, Case
from advisor.facts.declaration import FactDecl, Kind
from advisor.rulegraph.model.asked import GateRule
from advisor.rulegraph.model.pack import RulePack

FILE = Path(__file__).with_name("required_hazards.yaml")
STOP, CAUTION, CLEAR = "stop", "caution", "clear"
#: Behind a hazard in the table: this part stops the job there, whatever is answered.
ALWAYS = "!"

HEAD = """\
# What every rule pack must ask, stop and say at the least. Written by
# docs/make_required_hazards.py from the shipped rules; read it before you commit a change of it.
# A hazard may be added to, never taken away from: a pack that asks less, stops less or
# says something else is refused.
"""


@dataclass(frozen=True)
class RequiredHazard:
    """What one hazard must at least be."""

    key: str
    code: str
    """Its sign in the table."""
    title: str
    fact: str
    question: Mapping[str, str]
    """``kind``, ``title``, ``ask`` and ``how`` of its question."""
    answers: Mapping[str, Mapping[str, str]]
    """For each answer its ``title`` and ``sentence`` (of a choice) and what it ``means``."""
    after: tuple[str, ...]
    """Hazards that, once they stop the job, leave this one unasked."""
    stops_in: tuple[str, ...]
    """Vehicles in which its answers count; empty: in all."""
    refer: str
    caution: str
    asked: frozenset[tuple[str, str]]
    """Pairs of part and vehicle for which it is asked."""
    always: frozenset[tuple[str, str]]
    """Pairs that are stopped whatever is answered."""


@dataclass(frozen=True)
class RequiredHazards:
    """The table, with the parts and vehicles that somebody looked at."""

    parts: tuple[str, ...]
    vehicles: tuple[str, ...]
    hazards: Mapping[str, RequiredHazard]


@cache
def required_hazards(file: Path = FILE) -> RequiredHazards:
    """The table that ships with the program."""
    form = yaml.load(file.read_text(encoding="utf-8"), Loader=yaml.CSafeLoader)
    head, *rows = (line.split() for line in form["table"].splitlines())
    vehicles, parts = tuple(head[1:]), tuple(row[0] for row in rows)
    cells = {
        (row[0], vehicle): set(cell.split("+"))
        for row in rows
        for vehicle, cell in zip(vehicles, row[1:], strict=True)
    }

    def pairs(*signs: str) -> frozenset[tuple[str, str]]:
        return frozenset(pair for pair, cell in cells.items() if not cell.isdisjoint(signs))

    hazards = {}
    for key, one in form["hazards"].items():
        code = one["code"]
        hazards[key] = RequiredHazard(
            key, code, one["title"], one["fact"], one["question"], one["answers"],
            tuple(one.get("after", ())), tuple(one.get("stops_in", ())),
            one["refer"], one.get("caution", ""),
            pairs(code, code + ALWAYS), pairs(code + ALWAYS),
        )  # fmt: skip
    return RequiredHazards(parts, vehicles, hazards)


def required_text(pack: RulePack) -> str:
    """The table of a pack as the text of ``required_hazards.yaml``."""
    parts, vehicles = pack.facts[PART].keys, pack.facts[VEHICLE].keys
    codes = _codes(list(pack.gates))
    always = {
        key: {
            pair
            for pair in product(parts, vehicles)
            if gate.closed_when.known(_case(pair)) is True
        }
        for key, gate in pack.gates.items()
    }
    hazards = {key: _form(gate, pack, codes[key]) for key, gate in pack.gates.items()}
    rows = [["part", *vehicles]]
    for part in parts:
        cells = []
        for vehicle in vehicles:
            pair = (part, vehicle)
            signs = [
                code + (ALWAYS if pair in always[key] else "")
                for key, code in codes.items()
                if pair in pack.gates[key].asked_for or pair in always[key]
            ]
            cells.append("+".join(signs) or "-")
        rows.append([part, *cells])
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    lines = (
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in rows
    )
    form = yaml.safe_dump({"hazards": hazards}, sort_keys=False, allow_unicode=True, width=98)
    table = "".join(f"  {line}\n" for line in lines)
    return f"{HEAD}{form}table: |\n{table}"


def _codes(keys: list[str]) -> dict[str, str]:
    """A sign for each hazard: first letters of its words, or as many letters as it takes."""
    found: dict[str, str] = {}
    for key in keys:
        words = key.split("_")
        code = "".join(word[0] for word in words) if len(words) > 1 else key[:2]
        while code in found.values():
            code = key[: len(code) + 1]
        found[key] = code
    return found


def _case(pair: tuple[str, str], **facts: Any) -> Case:
    part, vehicle = pair
    return Case("table", facts={PART: (part,), VEHICLE: (vehicle,), **facts})


def answers_of(decl: FactDecl) -> dict[str, bool | tuple[str, ...]]:
    """Every single answer to a hazard question, by its word."""
    if decl.kind is Kind.YES_NO:
        return {"no": False, "yes": True}
    return {key: (key,) for key in decl.keys}


def _form(gate: GateRule, pack: RulePack, code: str) -> dict[str, Any]:
    decl = pack.facts[gate.fact]
    pairs = sorted(gate.asked_for)
    answers: dict[str, dict[str, str]] = {}
    stops_in: set[str] = set()
    for word, value in answers_of(decl).items():
        said = {"title": decl.option(word).title} if decl.kind is Kind.CHOICE else {}
        if decl.kind is Kind.CHOICE and decl.option(word).sentence:
            said["sentence"] = decl.option(word).sentence
        stops = {
            vehicle
            for part, vehicle in product(pack.facts[PART].keys, pack.facts[VEHICLE].keys)
            if gate.closed_when.known(_case((part, vehicle), **{gate.fact: value})) is True
            and gate.closed_when.known(_case((part, vehicle))) is not True
        }
        cautions = gate.caution_when is not None and gate.caution_when.known(
            _case(pairs[0], **{gate.fact: value})
        )
        answers[word] = {**said, "means": STOP if stops else CAUTION if cautions else CLEAR}
        stops_in |= stops
    form: dict[str, Any] = {
        "code": code, "title": gate.title, "fact": gate.fact,
        "question": {
            "kind": str(decl.kind), "title": decl.title, "ask": decl.ask, "how": decl.how,
        },
        "answers": answers, "refer": gate.refer,
    }  # fmt: skip
    if gate.asked_when is not None:
        read = gate.asked_when.reads
        form["after"] = [key for key, other in pack.gates.items() if other.fact in read]
    if stops_in != set(pack.facts[VEHICLE].keys):
        form["stops_in"] = sorted(stops_in)
    if gate.caution:
        form["caution"] = gate.caution
    return form
