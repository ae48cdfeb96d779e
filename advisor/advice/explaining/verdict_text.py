"""The sentences of a verdict."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.advice.choosing.hazards import source_of
from advisor.advice.choosing.needs import Situation
from advisor.advice.choosing.plans import LIKELY
from advisor.advice.result import (
    GateAdvice,
    GateState,
    MethodAdvice,
    NotCovered,
    PlanAdvice,
    Question,
    Reason,
    Status,
    Verdict,
)
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.declaration import Kind
from advisor.rulegraph.model.asked import Origin as RuleOrigin
from advisor.rulegraph.model.marks_read import notes_on
from advisor.rulegraph.model.pack import RulePack
from advisor.wording.amounts import unit_text
from advisor.wording.counts import BASIS_NOTES, hold_count, hold_words, of_hundred
from advisor.wording.phrases import filled, named
from advisor.wording.sentences import in_turn, lowered

ESTIMATE = "Estimate, not a test result."


def headline_of(
    verdict: Verdict,
    gates: Sequence[GateAdvice],
    questions: Sequence[Question],
    plan: PlanAdvice | None,
    methods: Sequence[MethodAdvice],
    pack: RulePack,
    told: NotCovered | None = None,
    findings: Sequence[str] = (),
) -> str:
    """One sentence that a customer understands."""
    if verdict is Verdict.REFER:
        closed = next(gate for gate in gates if gate.state is GateState.CLOSED)
        return filled("Do not repair this here: {}. {}", lowered(closed.title), closed.text)
    if told is not None:
        return told.text
    if findings:
        return filled("Nothing is calculated before this is cleared. {}", findings[0])
    if verdict is Verdict.ASK:
        first = questions[0]
        begin = f"First find out: {lowered(first.title)}."
        if plan is None:
            return begin
        return f"{begin} Best so far: {in_turn(plan.titles)}."
    if plan is None:
        return "No known method repairs all of this damage. Tell the customer."
    if verdict is Verdict.DECLINE:
        if plan.possible_probability < plan.hold_probability:
            return (
                f"Almost nothing can be done here: the best is “{lowered(plan.lead_title)}”, "
                f"possible in {of_hundred(plan.possible_probability)} simulated cases. "
                "Tell the customer."
            )
        held = hold_words(plan.hold_probability, plan.hold_basis)
        return (
            f"Nothing holds well enough. The best is “{lowered(plan.lead_title)}”: {held}. "
            f"{_instead(methods, pack)}"
        )
    return f"{in_turn(plan.titles)}: {hold_words(plan.hold_probability, plan.hold_basis)}."


def _instead(methods: Sequence[MethodAdvice], pack: RulePack) -> str:
    """What to tell a customer whose job is declined: no new part where none is available."""
    renewals = ((m.status, pack.methods[m.method].renewal) for m in methods)
    new_parts = [status for status, renewal in renewals if renewal and renewal.what == "part"]
    if new_parts and all(status is Status.NOT_POSSIBLE for status in new_parts):
        return "Tell the customer."
    return "Advise a new part, or decline the job."


def reasons_of(
    verdict: Verdict,
    gates: Sequence[GateAdvice],
    questions: Sequence[Question],
    plan: PlanAdvice | None,
    methods: Sequence[MethodAdvice],
    pack: RulePack,
    situation: Situation,
) -> tuple[Reason, ...]:
    """The argument for the verdict: hazards, needs, the plan, and what was set aside."""
    reasons = [
        Reason(_gate_words(gate), (gate.fact,), (pack.title_of(gate.fact),), (), gate.source)
        for state in (GateState.CLOSED, GateState.OPEN)
        for gate in gates
        if gate.state is state
    ]
    if verdict is Verdict.REFER:
        return tuple(reasons)
    doubts = situation.worlds.misfits
    if doubts:
        practice = source_of(pack, RuleOrigin("practice", "common_practice"))
        said = [
            Reason(doubt.finding, (doubt.fact,), (pack.title_of(doubt.fact),), (), practice)
            for doubt in doubts
        ]
        return (*said, *reasons)
    for key, share in situation.told_needs.items():
        need = pack.needs[key]
        names = tuple(dict.fromkeys(need.when.names()))
        titles = tuple(pack.title_of(name) for name in names)
        source = source_of(pack, need.origin)
        begin = "Needed"
        if share < LIKELY and key != situation.primary:
            begin = f"Perhaps needed, in {of_hundred(share)} simulated cases"
        reasons.append(Reason(f"{begin}: {need.title.lower()}.", names, titles, (), source))
    if plan is not None:
        chosen = [m for m in methods if m.method in plan.methods]
        reasons += [_kept(method) for method in chosen]
        reasons += [
            _set_aside(m, plan) for m in methods if m.method not in plan.methods and m.because
        ]
    return tuple(reasons)


def beginning_reasons(
    gates: Sequence[GateAdvice], missing: Sequence[str], pack: RulePack
) -> tuple[Reason, ...]:
    """The argument while nothing can be calculated: hazards, and the facts still needed."""
    closed = [gate for gate in gates if gate.state is GateState.CLOSED]
    shown = closed or [gate for gate in gates if gate.state is GateState.OPEN]
    reasons = [
        Reason(_gate_words(gate), (gate.fact,), (gate.title,), (), gate.source) for gate in shown
    ]
    if not closed:
        practice = source_of(pack, RuleOrigin("practice", "common_practice"))
        for name in missing:
            title = pack.title_of(name)
            text = f"Needed before loads and methods can be calculated: {title.lower()}."
            reasons.append(Reason(text, (name,), (title,), (), practice))
    return tuple(reasons)


def _gate_words(gate: GateAdvice) -> str:
    if gate.state is GateState.OPEN:
        return filled("Not answered yet; there is no plan until it is: {}", gate.text)
    return filled("{}. {}", gate.title, gate.text)


def _kept(method: MethodAdvice) -> Reason:
    first = method.because[0]
    words = hold_words(method.hold_probability, method.hold_basis)
    text = filled("{}: {}. {}", method.title, words, first.text)
    return Reason(text, first.path, first.path_titles, first.figures, first.source, method.because)


def _set_aside(method: MethodAdvice, plan: PlanAdvice) -> Reason:
    first = method.because[0]
    words = {
        Status.FAILS: f"holds in only {hold_count(method.hold_probability, method.hold_basis)}",
        Status.NOT_POSSIBLE: "not possible here",
        Status.HOLDS: "would hold too, but costs more overall",
    }.get(method.status, "set aside")
    text = filled("{}: {}. {}", method.title, words, first.text)
    return Reason(text, first.path, first.path_titles, first.figures, first.source, method.because)


def notes_of(worlds: SampledWorlds, plan: PlanAdvice | None) -> tuple[str, ...]:
    """What a reader must know about the numbers: left ranges, thin evidence, the estimate."""
    notes = [ESTIMATE]
    if plan is not None and plan.hold_basis in BASIS_NOTES:
        notes.append(BASIS_NOTES[plan.hold_basis])
    notes += notes_on(worlds.pack, worlds.case)
    for node in worlds.pack.limited_nodes:
        if node.name not in worlds.values:
            continue
        for _, name, low, high in node.valid:
            decl = worlds.pack.facts.get(name)
            if decl is None or decl.kind is not Kind.QUANTITY or name not in worlds.case.facts:
                continue
            column = worlds.values[name]
            if worlds.mean((column < low) | (column > high)) > 0.05:
                bounds = named(f"{low:g} to {high:g}", unit_text(decl.unit))
                notes.append(
                    filled("{} is outside {}, where “{}” is documented: trust it less.",
                           decl.title, bounds, node.title.lower())
                )
    if worlds.effective < 400 and worlds.n >= 400:
        notes.append(
            "The measurements agree with few of the simulated cases: the figures are rough."
        )
    return tuple(dict.fromkeys(notes))
