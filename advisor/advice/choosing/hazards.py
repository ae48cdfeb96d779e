"""Gates: hazards and missing authority, asked outright and never traded against cost."""

from __future__ import annotations

from advisor.advice.result import GateAdvice, GateState, Source
from advisor.facts.case import Case
from advisor.rulegraph.model.asked import GateRule, Origin
from advisor.rulegraph.model.pack import RulePack
from advisor.wording.phrases import filled

#: The status of a figure that was read where its source says.
LOOKED_UP = "looked_up"


def source_of(pack: RulePack, origin: Origin) -> Source:
    """The bibliography entry behind a rule, with its status; what was looked up with its place."""
    entry = pack.sources.get(origin.source)
    title = entry.title if entry else origin.source
    if entry and entry.place and origin.status == LOOKED_UP:
        title = filled("{}: {}", title, entry.place)
    return Source(origin.source, title, origin.status)


def judge_gates(case: Case, pack: RulePack) -> tuple[GateAdvice, ...]:
    """Every gate that concerns this case, as it stands."""
    return tuple(_judge(case, pack, pack.gates[key]) for key in pack.gates_asked(case))


def _judge(case: Case, pack: RulePack, gate: GateRule) -> GateAdvice:
    closed = gate.closed_when.known(case)
    state, text = GateState.CLEAR, ""
    if closed:
        state, text = GateState.CLOSED, gate.refer
    elif gate.fact not in case.facts or closed is None:
        state, text = GateState.OPEN, pack.facts[gate.fact].ask
    elif gate.caution_when is not None and gate.caution_when.known(case) is not False:
        state, text = GateState.CAUTION, gate.caution
    return GateAdvice(gate.key, gate.fact, gate.title, state, text, source_of(pack, gate.origin))
