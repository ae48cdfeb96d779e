"""Gate questions of the field cases: what a case does not name as a hazard is answered no.

The harmless answer of a gate is read from its own rule, so a new gate needs no new line
in every file. ``open_gates.yaml`` lists the gates that a case names only as "to be checked".
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from pathlib import Path

import yaml

from advisor.facts.case import Case, Value
from advisor.rulegraph.model.asked import GateRule
from advisor.rulegraph.model.pack import RulePack

HERE = Path(__file__).parent


def read_open_gates() -> dict[str, tuple[str, ...]]:
    """Gate questions that stay open, by case."""
    raw = yaml.safe_load((HERE / "open_gates.yaml").read_text(encoding="utf-8"))
    return {name: tuple(facts) for name, facts in raw.items()}


def harmless_answer(case: Case, pack: RulePack, gate: GateRule) -> Value | None:
    """The answer that, given in this case, neither closes a gate nor calls for a caution.

    Where each answer does one of the two, the one that only calls for a caution; None where
    the gate is closed by what it is, whatever one answers. Raises ValueError where two answers
    are equally harmless: then nobody can say which is the "no" of this question.
    """
    decl = pack.facts[gate.fact]
    every: list[Value] = [(key,) for key in decl.keys] if decl.options else [False, True]
    told = {answer: case.with_fact(gate.fact, answer) for answer in every}
    passing = [a for a, told_so in told.items() if gate.closed_when.known(told_so) is False]
    caution = gate.caution_when
    calm = [a for a in passing if caution is None or caution.known(told[a]) is False]
    found = calm or passing
    if len(found) > 1:
        raise ValueError(f"{gate.fact}: one answer should be harmless, found {found}")
    return found[0] if found else None


def with_other_gates_cleared(case: Case, pack: RulePack, left_open: Collection[str] = ()) -> Case:
    """The case with every gate question that concerns it answered, but for ``left_open``."""
    for key in pack.gates_asked(case):
        gate = pack.gates[key]
        if gate.fact not in case.facts and gate.fact not in left_open:
            answer = harmless_answer(case, pack, gate)
            case = case if answer is None else case.with_fact(gate.fact, answer)
    return case


def with_open_gates_checked(cases: Mapping[str, Case], pack: RulePack) -> dict[str, Case]:
    """The cases with a gate left open, once somebody looked and found no hazard there."""
    return {name: with_other_gates_cleared(cases[name], pack) for name in read_open_gates()}


def with_hazards_as_told(cases: Mapping[str, Case], pack: RulePack) -> dict[str, Case]:
    """All cases with what they do not name as a hazard answered no."""
    left_open = read_open_gates()
    return {
        name: with_other_gates_cleared(case, pack, left_open.get(name, ()))
        for name, case in cases.items()
    }
