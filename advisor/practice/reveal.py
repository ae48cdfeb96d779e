"""What is shown after a round: the learner's choice and drawing beside the advisor's."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from advisor.advice.result import Advice, GateState, MethodAdvice, Source, Status
from advisor.drawing.pull_and_strength import PullAndStrength, pull_and_strength, tempting
from advisor.practice.answers import Answer
from advisor.practice.cases import PracticeCase, choices_of
from advisor.practice.forces import WHEN_TITLES, SectionForces, When
from advisor.practice.scoring import Score, score
from advisor.practice.topics import DECLINE, REFER
from advisor.practice.truth import Truth
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import method_word
from advisor.wording.answers import in_words
from advisor.wording.counts import of_hundred
from advisor.wording.figures import to_digits
from advisor.wording.money import money_text
from advisor.wording.sentences import lowered, sentence

#: So many facts are offered where it is asked what made the difference between two twins.
DIFFERENCES = 4
#: Share of its limit up to which a failing joint is said to be near it.
NEAR_LIMIT = 1.05


@dataclass(frozen=True)
class HazardShown:
    """A hazard as it stands in the whole case."""

    key: str
    title: str
    """What it is when it is so, as a sentence."""
    name: str
    """As its question is called."""
    answer: str
    asked: bool
    closes: bool
    missed: bool
    text: str
    """Why it stops the job, and where it goes; empty where it does not."""
    source: Source


@dataclass(frozen=True)
class WrongMethod:
    """Why another method is not the right one, and by how much."""

    method: str
    title: str
    status: Status
    why: str
    """The sentence of the advisor that rules it out, or what it costs more."""
    usage: float | None
    """Pull over strength (typical); above 1 it does not hold. None where none was calculated."""
    hold_probability: float | None
    """None where it is not possible."""
    regret: float | None
    """What it would have cost beyond the right choice; None where a hazard closes the job."""
    chosen: bool


@dataclass(frozen=True)
class Settling:
    """A question that was worth asking at the first look."""

    fact: str
    title: str
    why: str
    value: float
    """Expected saving from knowing it."""
    price: float
    """What asking it costs."""
    asked: bool
    answer: str
    """In words; empty where the case does not say."""


@dataclass(frozen=True)
class TwinShown:
    """The twin: the same part with one fact changed, and another choice right."""

    case: PracticeCase
    fact: str
    """What made the difference; to be asked first, from ``differences``."""
    title: str
    was: str
    is_now: str
    right: str
    right_title: str
    differences: tuple[tuple[str, str], ...]
    """Facts with titles to choose from, the right one among them, in asking order."""


@dataclass(frozen=True)
class Reveal:
    """Everything that is shown after a round."""

    case: PracticeCase
    answer: Answer
    score: Score
    right: str
    right_title: str
    chosen_title: str
    headline: str
    """One sentence: right or not, and what it costs the shop."""
    remember: str
    """One thing to remember, from this case's numbers."""
    hazards: tuple[HazardShown, ...]
    """The missed ones first."""
    forces: SectionForces
    """``score.forces`` has them beside the learner's."""
    strengths: tuple[PullAndStrength, ...]
    """Pull against strength, of each method that was calculated, the right one first."""
    wrong: tuple[WrongMethod, ...]
    """The chosen one first where it was wrong, then by what it loses."""
    settling: tuple[Settling, ...]
    """Best first; empty where the first look was enough."""
    twin: TwinShown | None
    advice: Advice
    """Of the whole case: loads, plans and figures for drawing them."""
    currency: str


def reveal(truth: Truth, answer: Answer, forces: SectionForces, pack: RulePack) -> Reveal:
    """What was right in a case, and why, beside what was answered."""
    titles = choices_of(pack)
    scored = score(truth, answer, forces)
    wrong = _wrong(truth, answer.final.choice)
    return Reveal(
        case=truth.case,
        answer=answer,
        score=scored,
        right=truth.right,
        right_title=titles[truth.right],
        chosen_title=titles[answer.final.choice],
        headline=_headline(truth, answer, scored, pack),
        remember=_remember(truth, wrong, pack),
        hazards=_hazards(truth, answer, scored, pack),
        forces=forces,
        strengths=_strengths(truth),
        wrong=wrong,
        settling=_settling(truth, answer, pack),
        twin=_twin(truth, pack),
        advice=truth.advice,
        currency=pack.currency,
    )


def _headline(truth: Truth, answer: Answer, scored: Score, pack: RulePack) -> str:
    titles = choices_of(pack)
    chosen, right = titles[answer.final.choice], titles[truth.right]
    if scored.hazards_missed:
        names = ", ".join(lowered(pack.gates[key].title) for key in scored.hazards_missed)
        return sentence(f"A hazard was missed: {names}. The job must be referred")
    if scored.right:
        text = f"Right: {lowered(right)}"
    elif scored.good:
        text = f"{chosen} is as good as {lowered(right)} here"
    else:
        text = f"Not {lowered(chosen)}, but {lowered(right)}"
    if scored.regret:
        text += f". {chosen} costs the shop {_money(scored.regret, pack)} more"
    return sentence(text)


def _money(value: float, pack: RulePack) -> str:
    return money_text(value, pack.currency)


def _hazards(
    truth: Truth, answer: Answer, scored: Score, pack: RulePack
) -> tuple[HazardShown, ...]:
    facts = truth.case.hidden.facts
    found = []
    for gate in truth.advice.gates:
        decl, told = pack.facts[gate.fact], facts.get(gate.fact)
        found.append(HazardShown(
            gate.gate, gate.title, decl.title, "" if told is None else in_words(decl, told),
            gate.gate in answer.hazards, gate.state is GateState.CLOSED,
            gate.gate in scored.hazards_missed,
            gate.text if gate.state is not GateState.OPEN else "", gate.source,
        ))  # fmt: skip
    return tuple(sorted(found, key=lambda one: (not one.missed, not one.closes, one.asked)))


def _strengths(truth: Truth) -> tuple[PullAndStrength, ...]:
    found = [pair for one in truth.advice.methods if (pair := pull_and_strength(one))]
    return tuple(sorted(found, key=lambda p: (method_word(p.method) != truth.right, p.usage)))


def _wrong(truth: Truth, chosen: str) -> tuple[WrongMethod, ...]:
    best: dict[str, MethodAdvice] = {}
    for one in truth.advice.methods:
        word, lead = method_word(one.method), _shared_needs(one, truth)
        known = best.get(word)
        if word != truth.right and (lead or word == chosen) and (
            known is None or _nearer(one, known)
        ):
            best[word] = one
    found = [_wrong_method(word, one, truth, chosen) for word, one in best.items()]
    return tuple(sorted(
        found, key=lambda one: (not one.chosen, one.regret or 0.0, one.method)
    ))  # fmt: skip


def _nearer(one: MethodAdvice, other: MethodAdvice) -> bool:
    order = list(Status)
    return (order.index(one.status), -one.hold_probability) < (
        order.index(other.status), -other.hold_probability
    )  # fmt: skip


def _shared_needs(one: MethodAdvice, truth: Truth) -> bool:
    plan = truth.advice.plan
    lead = next((m for m in truth.advice.methods if plan and m.method == plan.lead), None)
    return lead is not None and not set(one.meets).isdisjoint(lead.meets)


def _wrong_method(word: str, one: MethodAdvice, truth: Truth, chosen: str) -> WrongMethod:
    regret = truth.regret(word)
    possible = one.status in (Status.HOLDS, Status.FAILS)
    why = one.because[0].text if one.because else ""
    if one.status is Status.HOLDS and regret:
        why = f"It holds, but costs the shop {_money(regret, _pack(truth))} more"
    return WrongMethod(
        word, one.title, one.status, why, one.usage.typical if one.usage else None,
        one.hold_probability if possible else None, regret, word == chosen,
    )  # fmt: skip


def _pack(truth: Truth) -> RulePack:
    assert truth.whole.working is not None
    return truth.whole.working.situation.worlds.pack


def _settling(truth: Truth, answer: Answer, pack: RulePack) -> tuple[Settling, ...]:
    facts = truth.case.hidden.facts
    return tuple(
        Settling(
            q.fact, q.title, q.why, q.value, truth.price_of_asking(q.minutes),
            q.fact in answer.asked,
            in_words(pack.facts[q.fact], facts[q.fact]) if q.fact in facts else "",
        )
        for q in truth.questions
    )  # fmt: skip


def _twin(truth: Truth, pack: RulePack) -> TwinShown | None:
    twin = truth.case.twin
    if twin is None:
        return None
    decl, was = pack.facts[twin.fact], truth.case.hidden.facts[twin.fact]
    return TwinShown(
        truth.case.other(), twin.fact, decl.title, in_words(decl, was),
        in_words(decl, twin.value), twin.right, choices_of(pack)[twin.right],
        _differences(truth, twin.fact, pack),
    )  # fmt: skip


def _differences(truth: Truth, fact: str, pack: RulePack) -> tuple[tuple[str, str], ...]:
    """The deciding fact among others that the case has: those worth most at the first look."""
    facts = truth.case.hidden.facts
    gates = pack.facts[fact].gate
    others = [q.fact for q in truth.intake.advice.ask if q.fact in facts and q.gate == gates]
    others += [name for name in facts if not pack.facts[name].identity]
    kept = {fact, *list(dict.fromkeys(one for one in others if one != fact))[: DIFFERENCES - 1]}
    return tuple((name, pack.facts[name].title) for name in pack.facts if name in kept)


def _remember(truth: Truth, wrong: Sequence[WrongMethod], pack: RulePack) -> str:
    """One thing to remember in one sentence, made from this case's numbers."""
    advice = truth.advice
    if truth.right == REFER:
        gate = next(one for one in advice.gates if one.state is GateState.CLOSED)
        return sentence(f"{gate.title}: ask before anything is touched, and refer it")
    if truth.right == DECLINE or advice.plan is None:
        return _nothing_holds(advice)
    other = tempting(advice.methods, advice.plan)
    if other is not None:
        return sentence(_pull_sentence(other[0], other[1], truth))
    costly = next((one for one in wrong if one.status is Status.HOLDS and one.regret), None)
    refused = next((one for one in wrong if one.status is Status.NOT_POSSIBLE and one.why), None)
    if costly is not None:
        lead = lowered(advice.plan.lead_title)
        money = _money(costly.regret or 0.0, pack)
        return sentence(f"“{costly.title}” would hold as well, but “{lead}” costs {money} less")
    if refused is not None:
        return sentence(f"“{refused.title}” is not possible here: {lowered(refused.why)}")
    return sentence(advice.plan.lead_title + " is what is left once the others are ruled out")


def _nothing_holds(advice: Advice) -> str:
    """That no repair holds, and how far the nearest one is past its limit."""
    failing = [one for one in advice.methods if one.status is Status.FAILS and one.usage]
    say = "say so, and what a new cover or part would cost"
    if not failing:
        return sentence(f"No repair can be carried out here: {say}")
    nearest = max(failing, key=lambda one: one.hold_probability)
    held = of_hundred(nearest.hold_probability)
    return sentence(f"No repair holds here, not even “{lowered(nearest.title)}” ({held}): {say}")


def _pull_sentence(method: MethodAdvice, pair: PullAndStrength, truth: Truth) -> str:
    """``“Glue” would not hold: the pull (an arm) is 0.38 N/mm, the joint carries 0.05 ...``."""
    pull, strength = pair.pull, pair.strength
    when = next((
        WHEN_TITLES[When(load.duration)] for load in truth.advice.loads
        if load.demand == pull.node or pull.node.endswith(load.demand)
    ), "")  # fmt: skip
    cause = f" ({lowered(pair.cause)})" if pair.cause else ""
    alone = pull.value.typical / max(strength.value.typical, 1e-12)
    loaded = "that is" if pair.usage < 1.02 * alone else "with the other pulls it is loaded to"
    ends = f"{loaded} {to_digits(pair.usage)} times its limit"
    if pair.usage < NEAR_LIMIT:  # “1 times its limit” would tell nothing
        others = "" if pair.usage < 1.02 * alone else " with the other pulls"
        ends = f"that is near its limit{others}, and holds in {of_hundred(method.hold_probability)}"
    return (
        f"“{pair.title}” would not hold: the pull{cause} is {to_digits(pull.value.typical)}"
        f" {pull.unit}{' ' + when if when else ''}, the joint carries"
        f" {to_digits(strength.value.typical)} for years; {ends}"
    )
