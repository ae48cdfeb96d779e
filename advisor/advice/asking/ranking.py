"""What to ask next: open gates, then the questions worth their minutes, best first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from advisor.advice.asking.pairs import Pair, best_pair
from advisor.advice.asking.value_of_information import at_stake, knowing, open_facts
from advisor.advice.choosing.methods import title_here
from advisor.advice.choosing.plans import Plan, is_hopeless
from advisor.advice.result import GateAdvice, GateState, Question
from advisor.advice.sampling.worlds import Misfit, SampledWorlds
from advisor.facts.case import Case
from advisor.facts.declaration import FactDecl, Kind
from advisor.rulegraph.model.pack import RulePack
from advisor.wording.phrases import filled
from advisor.wording.sentences import lowered

QUOTED = "Nothing is quoted or ordered before it is known"


def rank_questions(
    case: Case,
    worlds: SampledWorlds,
    plans: Sequence[Plan],
    gates: Sequence[GateAdvice],
) -> tuple[Question, ...]:
    """Open gate questions first, then every other open fact by its value net of minutes.

    Where no answer alone is worth its minutes, two together may be: they lead then. Of those
    worth asking what is seen and felt comes before what takes a tool, and that before what harms
    the part.
    """
    found = [gate_question(gate, worlds.pack) for gate in gates if gate.state is GateState.OPEN]
    found += [_measure_again(misfit, worlds) for misfit in worlds.misfits]
    if not plans:
        return tuple(found)
    costs, declining = at_stake(plans, worlds)
    rate = worlds.pack.prices.hourly_rate.mean / 60.0
    decls = open_facts(case, worlds)
    ranked = []
    for decl in decls:
        worlds.tick()
        known = knowing(decl, worlds, costs, declining)
        quoted = _before_quote(decl, worlds)
        worth = Worth(known.value, known.error, QUOTED if quoted else decl.why, quoted=quoted)
        ranked += _asked(decl, case, worlds, worth)
    ranked.sort(key=lambda one: (-(one.value - rate * one.minutes), one.fact))
    ranked = [one for one in ranked if one.value > 1e-9 or one.worth_asking]
    if not any(question.worth_asking for question in ranked):
        pair = best_pair(decls, worlds, costs, declining)
        paired = [] if pair is None else _together(pair, case, worlds, plans)
        facts = {question.fact for question in paired}
        ranked = [*paired, *(one for one in ranked if one.fact not in facts)]
    ranked.sort(key=lambda one: _late(one, worlds.pack))
    return (*found, *ranked)


def _late(question: Question, pack: RulePack) -> tuple[bool, bool, bool]:
    if not question.worth_asking:
        return True, False, False
    decl = pack.facts[question.fact]
    return False, decl.spoils, bool(decl.tool)


def _before_quote(decl: FactDecl, worlds: SampledWorlds) -> bool:
    """Whether nothing is quoted before this fact is known, in most of these worlds."""
    condition = worlds.pack.fact_rules[decl.name].before_quote
    return condition is not None and worlds.mostly(condition)


@dataclass(frozen=True)
class Worth:
    """What an answer is worth and what it settles."""

    value: float
    error: float
    said: str
    together: str = ""
    quoted: bool = False
    """Nothing is quoted before it is known, whatever it is worth."""


def _asked(decl: FactDecl, case: Case, worlds: SampledWorlds, worth: Worth) -> list[Question]:
    """The question for a fact, and for every mark that would say it as well."""
    prices = worlds.pack.prices
    rate, overhead = prices.hourly_rate.mean / 60.0, prices.question_overhead.mean
    return [
        Question(
            asked.name, asked.title, asked.ask, asked.how, worth.value, asked.minutes, False,
            worth.said,
            worth.quoted
            or bool(worth.together)
            or worth.value > rate * (asked.minutes + overhead),
            worth.error, worth.together,
        )
        for asked in (decl, *_marks_saying(decl, case, worlds.pack))
    ]  # fmt: skip


def _together(
    pair: Pair, case: Case, worlds: SampledWorlds, plans: Sequence[Plan]
) -> list[Question]:
    """Both questions of a pair, each of which says that it wants the other."""
    settles = "whether anything here holds well enough"
    if pair.other < len(plans):
        hopeless = is_hopeless(plans[pair.other], worlds)
        settles = "between " + (
            "plans" if hopeless else _settles(plans[0], plans[pair.other], worlds)
        )
    found = []
    for decl, other in ((pair.first, pair.second), (pair.second, pair.first)):
        said = f"Together with “{lowered(other.title)}” it decides {settles}"
        worth = Worth(pair.value, pair.error, said, other.name)
        found += _asked(decl, case, worlds, worth)
    return found


def _settles(lead: Plan, other: Plan, worlds: SampledWorlds) -> str:
    """Which of two plans: by the methods that lead them, or by what only one of them has."""
    if other.lead != lead.lead:
        return f"{called(lead.lead, worlds)} and {called(other.lead, worlds)}"
    extra = [key for key in other.methods if key not in lead.methods]
    less = [key for key in lead.methods if key not in other.methods]
    if not extra and not less:
        return "plans that differ in what else they need"
    return f"a plan with and without {called((extra + less)[0], worlds)}"


def called(key: str, worlds: SampledWorlds) -> str:
    """A method in the middle of a sentence."""
    return lowered(title_here(worlds.pack.methods[key], worlds))


def _marks_saying(decl: FactDecl, case: Case, pack: RulePack) -> list[FactDecl]:
    """Texts still open that would say what ``decl`` is, such as the mark on a plastic."""
    return [
        asked for asked in pack.asked(case) if asked.reads == decl.name
        and asked.name not in case.facts
    ]  # fmt: skip


def gate_question(gate: GateAdvice, pack: RulePack) -> Question:
    """An unanswered gate as a question."""
    decl = pack.facts[gate.fact]
    why = "Safety first: there is no plan until this is answered"
    return Question(
        decl.name, decl.title, decl.ask, decl.how, 0.0, decl.minutes, True, why, True
    )


def _measure_again(misfit: Misfit, worlds: SampledWorlds) -> Question:
    """A reading that no simulated case explains: nothing is decided until it is checked."""
    decl = worlds.pack.facts[misfit.fact]
    verb = "Measure" if decl.kind is Kind.QUANTITY else "Check"
    ask = filled("{} again: {}", verb, lowered(decl.ask))
    why = misfit.finding
    return Question(decl.name, decl.title, ask, decl.how, 0.0, decl.minutes, False, why, True)
