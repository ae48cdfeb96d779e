"""Which questions a case raises: facts that apply, and gates that must be asked outright."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import product
from typing import Protocol

from advisor.facts.case import PART, VEHICLE, Case
from advisor.facts.declaration import FactDecl
from advisor.rulegraph.model.asked import GateRule
from advisor.rulegraph.model.coverage import Covers, unnamed
from advisor.rulegraph.model.marks_read import ReadsMarks, as_read


class AsksHazards(ReadsMarks, Covers, Protocol):
    """What of a rule pack says which hazards are asked about."""

    @property
    def gates(self) -> Mapping[str, GateRule]:
        """Every hazard rule by key."""
        ...

    @property
    def switched_off(self) -> frozenset[str]:
        """Hazards that the shop does not ask about."""
        ...

    def gates_asked(self, case: Case) -> tuple[str, ...]:
        """Gates that must be asked outright in this case."""
        ...


def facts_asked(pack: AsksHazards, case: Case) -> tuple[FactDecl, ...]:
    """Facts that apply to this case as far as it is known, in asking order.

    Where part or damage is none of those that are known, besides the hazards only what a
    person needs who looks at it: nothing else would be calculated with.
    """
    case = as_read(pack, case)
    odd = bool(unnamed(pack, case))
    gate_facts = {pack.gates[key].fact for key in pack.gates_asked(case)}
    found = []
    for name, rule in pack.fact_rules.items():
        if rule.decl.gate and name not in gate_facts:
            continue
        if rule.decl.may_stay_open and not rule.decl.gate and odd != (name in pack.coverage.ask):
            continue
        if rule.asked_when is not None and rule.asked_when.known(case) is False:
            continue
        if rule.narrows and name not in case.facts and case.choice(rule.narrows):
            continue
        found.append(rule.decl)
    return tuple(found)


def gates_asked(pack: AsksHazards, case: Case) -> tuple[str, ...]:
    """Gates that must be asked outright in this case."""
    return tuple(key for key, gate in pack.gates.items() if _gate_asked(pack, gate, case))


def _gate_asked(pack: AsksHazards, gate: GateRule, case: Case) -> bool:
    """The part and vehicle call for it, or what was answered is no all-clear."""
    if gate.closed_when.known(case):
        return True
    if gate.asked_when is not None and gate.asked_when.known(case) is False:
        return False
    called = gate.key not in pack.switched_off and _called_for(pack, gate, case)
    return called or _not_clear(gate, case)


def _called_for(pack: AsksHazards, gate: GateRule, case: Case) -> bool:
    """Any of the parts and vehicles that it may be calls for it.

    Before the part is known, only what every part calls for in such a vehicle.
    """
    kinds, vehicles = (case.facts.get(name, ()) for name in (PART, VEHICLE))
    assert isinstance(kinds, tuple) and isinstance(vehicles, tuple)
    if not kinds:
        every = pack.facts[PART].keys
        sure = gate.asked_when is None or gate.asked_when.known(case)
        return bool(sure and vehicles and gate.asked_for.issuperset(product(every, vehicles)))
    return not gate.asked_for.isdisjoint(product(kinds, vehicles or pack.facts[VEHICLE].keys))


def _not_clear(gate: GateRule, case: Case) -> bool:
    """Answered with "near", or with several answers of which not all are harmless.

    On any part, of a vehicle in which the question is asked at all.
    """
    answer, vehicles = case.facts.get(gate.fact), case.facts.get(VEHICLE, ())
    assert isinstance(vehicles, tuple)
    if answer is None or (vehicles and not {v for _, v in gate.asked_for} & set(vehicles)):
        return False
    alone = Case(case.name, facts={gate.fact: answer})
    if gate.caution_when is not None and gate.caution_when.known(alone) is not False:
        return True
    several = isinstance(answer, tuple) and len(answer) > 1
    return several and gate.closed_when.known(case) is not False
