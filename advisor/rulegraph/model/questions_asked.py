"""Which questions a case raises: facts that apply, and gates that must be asked outright."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

from advisor.facts.case import Case
from advisor.facts.declaration import FactDecl
from advisor.rulegraph.model.marks_read import ReadsMarks, as_read
from advisor.rulegraph.model.rules import GateRule


class AsksHazards(ReadsMarks, Protocol):
    """What of a rule pack says which hazards are asked about."""

    @property
    def gates(self) -> Mapping[str, GateRule]:
        """Every hazard rule by key."""
        ...

    @property
    def part_gates(self) -> Mapping[str, tuple[str, ...]]:
        """Kind of part to the hazards that are asked about there."""
        ...


def facts_asked(pack: AsksHazards, case: Case) -> tuple[FactDecl, ...]:
    """Facts that apply to this case as far as it is known, in asking order."""
    case = as_read(pack, case)
    gate_facts = {pack.gates[key].fact for key in gates_asked(pack, case)}
    found = []
    for name, rule in pack.fact_rules.items():
        if rule.decl.gate and name not in gate_facts:
            continue
        if rule.asked_when is not None and rule.asked_when.known(case) is False:
            continue
        if rule.narrows and name not in case.facts and case.choice(rule.narrows):
            continue
        found.append(rule.decl)
    return tuple(found)


def gates_asked(pack: AsksHazards, case: Case) -> tuple[str, ...]:
    """Gates that must be asked outright in this case."""
    kinds = case.facts.get("part.kind", ())
    assert isinstance(kinds, tuple)
    if kinds:
        listed = tuple(gate for kind in kinds for gate in pack.part_gates.get(kind, ()))
    else:
        # Before the part is known, what every part would be asked for such a vehicle.
        every = [set(gates) for gates in pack.part_gates.values()]
        listed = tuple(
            key
            for key in (set.intersection(*every) if every else ())
            if (when := pack.gates[key].asked_when) is not None and when.known(case)
        )
    return tuple(key for key, gate in pack.gates.items() if _gate_asked(gate, case, listed))


def _gate_asked(gate: GateRule, case: Case, listed: tuple[str, ...]) -> bool:
    """The part calls for it, or what was answered is no all-clear."""
    if gate.closed_when.known(case):
        return True
    if gate.asked_when is not None and gate.asked_when.known(case) is False:
        return False
    return gate.key in listed or _not_clear(gate, case)


def _not_clear(gate: GateRule, case: Case) -> bool:
    """Answered with "near", or with several answers of which not all are harmless."""
    answer = case.facts.get(gate.fact)
    if answer is None:
        return False
    alone = Case(case.name, facts={gate.fact: answer})
    if gate.caution_when is not None and gate.caution_when.known(alone) is not False:
        return True
    several = isinstance(answer, tuple) and len(answer) > 1
    return several and gate.closed_when.known(case) is not False
