"""A whole case drawn from the priors of the rules: everything that can be told is told.

Measurements stay open: what would be read follows from the simulated case, not the other way.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from advisor.advice.choosing.hazards import judge_gates
from advisor.advice.result import GateState
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.answer import highest
from advisor.facts.case import DAMAGE, PART, VEHICLE, Case, Span, Value
from advisor.facts.declaration import FactDecl, Kind
from advisor.rulegraph.model.asked import GateRule
from advisor.rulegraph.model.pack import RulePack

#: A damage less likely than this on a part is not drawn for it.
RARE = 0.02
#: An answer is plausible for a part from this share of the simulated cases on.
PLAUSIBLE = 0.02
#: A quantity is, between these quantiles.
TAILS = (0.01, 0.99)
#: Simulated cases that tell what is plausible.
FEW = 512


def damage_weights(part: str, pack: RulePack) -> dict[str, float]:
    """Share of each damage on a part by the rules' own prior, those that are not rare.

    Empty for a part that is none of those known.
    """
    if pack.facts[PART].option(part).not_covered:
        return {}
    worlds = SampledWorlds(Case("weights", facts={PART: (part,)}), pack, FEW, seed=1)
    decl = pack.facts[DAMAGE]
    share = np.bincount(worlds.values[DAMAGE].astype(int), minlength=len(decl.keys)) / FEW
    return {
        key: float(one) for key, one in zip(decl.keys, share, strict=True)
        if one > RARE and not decl.option(key).not_covered and pack.coverage.occurs(part, key)
    }  # fmt: skip


def usual_vehicles(part: str, pack: RulePack) -> tuple[str, ...]:
    """Vehicles in which such a part is usual; all where the rules say nothing."""
    keys = pack.facts[VEHICLE].keys
    usual = pack.facts[PART].option(part).usual_in
    return tuple(key for key in keys if key in usual) or keys


def begun(name: str, part: str, damage: str, vehicle: str) -> Case:
    """A case of which no more is told."""
    return Case(name, facts={PART: (part,), DAMAGE: (damage,), VEHICLE: (vehicle,)})


def draw_case(case: Case, pack: RulePack, seed: int) -> Case:
    """The whole of a case that was begun, every hazard answered as harmlessly as it can be.

    Some hazards stay open or closed where no answer is harmless: the caller looks.
    """
    hidden = SampledWorlds(case, pack, 2, seed=seed)
    for _ in range(8):
        answers = {
            decl.name: answer_of(decl, float(hidden.values[decl.name][0]), case)
            for decl in pack.asked(case) if _is_open(decl, case, pack)
        }  # fmt: skip
        if not answers:
            break
        case = replace(case, facts={**case.facts, **answers})
        # What was asked only for as long as another answer was open is no question any more.
        asked = {decl.name for decl in pack.asked(case)}
        case = replace(case, facts={k: v for k, v in case.facts.items() if k in asked})
    return cleared(case, pack)


def _is_open(decl: FactDecl, case: Case, pack: RulePack) -> bool:
    return not (
        decl.name in case.facts or decl.gate or decl.kind is Kind.TEXT
        or decl.name in pack.measurements
    )  # fmt: skip


def answer_of(decl: FactDecl, drawn: float, case: Case) -> Value:
    """What is drawn of a fact in a simulated case, as an answer."""
    if decl.kind is Kind.CHOICE:
        return (decl.keys[int(drawn)],)
    if decl.kind is Kind.YES_NO:
        return bool(drawn)
    return rounded(decl, drawn, case)


def rounded(decl: FactDecl, value: float, case: Case) -> Span:
    """A quantity as somebody would read it off: two digits, within its bounds."""
    kinds = case.facts.get(PART, ())
    most = highest(decl, kinds if isinstance(kinds, tuple) else ())
    read = min(max(float(f"{value:.2g}"), decl.low), most)
    read = float(round(read)) if decl.whole else read
    return Span(read, read)


def cleared(case: Case, pack: RulePack) -> Case:
    """The case with every open hazard answered: clear where it can be, else with a caution."""
    for _ in range(4):
        still = [
            pack.gates[gate.gate] for gate in judge_gates(case, pack)
            if gate.state is GateState.OPEN and gate.fact not in case.facts
        ]  # fmt: skip
        if not still:
            break
        for gate in still:
            answer = _first(case, pack, gate, _is_clear) or _first(case, pack, gate, _is_caution)
            if answer is not None and gate.fact not in case.facts:
                case = case.with_fact(gate.fact, answer[0])
    return case


def closing_answer(case: Case, pack: RulePack, gate: GateRule) -> Value | None:
    """An answer that closes a hazard in this case; None where there is none."""
    found = _first(case, pack, gate, lambda gate, told: gate.closed_when.known(told) is True)
    return found[0] if found else None


def _first(
    case: Case, pack: RulePack, gate: GateRule, fits: Callable[[GateRule, Case], bool]
) -> tuple[Value] | None:
    decl = pack.facts[gate.fact]
    answers: list[Value] = [(key,) for key in decl.keys] if decl.options else [False, True]
    for answer in answers:
        if fits(gate, case.with_fact(gate.fact, answer)):
            return (answer,)
    return None


def _is_caution(gate: GateRule, told: Case) -> bool:
    return gate.closed_when.known(told) is False


def _is_clear(gate: GateRule, told: Case) -> bool:
    cautions = gate.caution_when is not None and gate.caution_when.known(told) is not False
    return _is_caution(gate, told) and not cautions


def is_plausible(decl: FactDecl, value: Value, worlds: SampledWorlds) -> bool:
    """Whether such an answer is to be expected, in worlds in which the fact is open."""
    column = worlds.values[decl.name]
    if isinstance(value, Span):
        low, high = np.quantile(column, TAILS)
        return bool(low <= value.middle <= high)
    code = decl.keys.index(value[0]) if isinstance(value, tuple) else int(bool(value))
    return bool((column.astype(int) == code).mean() >= PLAUSIBLE)


def short_length(longest: float, decl: FactDecl, draw: random.Random) -> Span:
    """A length of damage up to ``longest`` [mm], whole millimetres."""
    value = float(draw.randint(max(int(decl.low), 3), int(longest)))
    return Span(value, value)
