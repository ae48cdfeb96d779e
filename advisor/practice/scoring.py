"""What an answer is worth: money lost, hazards missed, and how well certainty was stated.

Three things that are never put into one figure: none makes another good.

- *Loss*: regret (expected cost of the choice beyond the right one) and the price of asking.
- *Hazards*: counts of their own.
- *Certainty*: the quadratic score over many classes (Brier 1950), 0 best and 2 worst. The
  score of the own choice alone could be won by choosing wrong on purpose with certainty 0.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from advisor.advice.result import GateState
from advisor.practice.answers import Answer, Belief, Help
from advisor.practice.forces import ForceCompared, SectionForces, compared
from advisor.practice.topics import REFER
from advisor.practice.truth import Truth

#: A choice that loses no more than this share of the right one's cost counts as right.
GOOD_ENOUGH = 0.05


@dataclass(frozen=True)
class AskedFor:
    """One question that was asked, and what it was worth at the first look."""

    fact: str
    minutes: float
    price: float
    value: float
    """Expected saving from knowing it, before its minutes."""
    worth_asking: bool


@dataclass(frozen=True)
class Score:
    """What one answer is worth; money in the rules' currency."""

    right: bool
    """The very choice that is right."""
    good: bool
    """Right, or no more than 5 % of the right one's cost beyond it, and no hazard missed."""
    regret: float | None
    """None, as ``loss``, where a hazard closes the job: that is not told in money."""
    asking: float
    loss: float | None
    share_of_guessing: float | None
    """1 - loss over the mean loss of a random method: 0 is guessing, 1 perfect, below 0 worse."""
    best_cost: float | None
    """Expected cost of the right choice."""
    minutes: float
    """Spent asking."""
    gained: float | None
    """Regret that asking saved: that of the first choice less that of the final one."""
    asked: tuple[AskedFor, ...]
    hazards_missed: tuple[str, ...]
    """Hazards that close the job, not asked about, with a method chosen. By key."""
    hazards_not_asked: tuple[str, ...]
    """All that concern the part and were not asked about, the missed ones among them."""
    needless_referral: bool
    certainty_first: float
    """Quadratic score at the first look, 0 best to 2 worst."""
    certainty_final: float
    """The same after asking."""
    first_right: bool
    """Whether the choice at the first look was the right one."""
    forces: tuple[ForceCompared, ...] = ()
    governing_right: bool | None = None
    """None where no force decides, or none was asked for."""

    @property
    def forces_agreed(self) -> int:
        """Forces drawn right in all."""
        return sum(one.agreed for one in self.forces)


def chances(belief: Belief, contenders: tuple[str, ...], right: str) -> dict[str, float]:
    """The chance that a belief gives to each choice: what is left is spread evenly.

    Over the methods that have a plan at the first look, and the right choice where it is not
    one of those.
    """
    stated = {belief.choice: belief.certainty}
    if belief.second:
        stated[belief.second] = belief.second_certainty
    left = max(1.0 - sum(stated.values()), 0.0)
    others = [one for one in dict.fromkeys((*contenders, right)) if one not in stated]
    if not others and left > 0.0:  # nobody else it could be: what is left counts against them all
        return stated
    return {**stated, **{one: left / len(others) for one in others}}


def quadratic_score(stated: Mapping[str, float], right: str) -> float:
    """Sum over all choices of (stated - is right) squared: 0 best, 2 worst (Brier 1950).

        >>> round(quadratic_score({"a": 0.7, "b": 0.2, "c": 0.1}, "a"), 2)
        0.14
    """
    return sum((stated.get(k, 0.0) - (k == right)) ** 2 for k in {*stated, right})


def score(truth: Truth, answer: Answer, forces: SectionForces | None = None) -> Score:
    """What an answer is worth. ``forces`` None leaves out the drawn forces."""
    choice, right = answer.final.choice, truth.right
    asked = tuple(_asked(truth, fact) for fact in dict.fromkeys(answer.asked))
    own = answer.help > Help.COMPLETE  # what a worked example asks is not the learner's
    spent = sum(one.price for one in asked) if own else 0.0
    gates = truth.advice.gates
    not_asked = tuple(gate.gate for gate in gates if gate.gate not in answer.hazards)
    missed = tuple(
        gate.gate for gate in gates
        if gate.state is GateState.CLOSED and gate.gate in not_asked and choice != REFER
    )  # fmt: skip
    regret, first = truth.regret(choice), truth.regret(answer.first.choice)
    best = truth.costs.get(right)
    loss = None if regret is None else regret + spent
    near = regret is not None and best is not None and regret <= GOOD_ENOUGH * abs(best)
    drawn = compared(answer.forces, forces) if forces else ()
    return Score(
        right=choice == right,
        good=(choice == right or near) and not missed,
        regret=regret,
        asking=spent,
        loss=loss,
        share_of_guessing=_share_of_guessing(truth, loss),
        best_cost=best,
        minutes=sum(one.minutes for one in asked) if own else 0.0,
        gained=None if regret is None or first is None else first - regret,
        asked=asked,
        hazards_missed=missed,
        hazards_not_asked=not_asked,
        needless_referral=choice == REFER and right != REFER,
        certainty_first=_certainty(truth, answer.first),
        certainty_final=_certainty(truth, answer.final),
        first_right=answer.first.choice == right,
        forces=drawn,
        governing_right=None
        if forces is None or not forces.governing
        else answer.governing == forces.governing,
    )


def _asked(truth: Truth, fact: str) -> AskedFor:
    decls = truth.intake.working.situation.worlds.pack.facts if truth.intake.working else {}
    minutes = decls[fact].minutes
    worth = truth.worth(fact)
    return AskedFor(
        fact, minutes, truth.price_of_asking(minutes), worth.value if worth else 0.0,
        worth is not None and worth.worth_asking,
    )  # fmt: skip


def _certainty(truth: Truth, belief: Belief) -> float:
    return quadratic_score(chances(belief, truth.contenders, truth.right), truth.right)


def _share_of_guessing(truth: Truth, loss: float | None) -> float | None:
    """How far from a random choice among the methods that have a plan at the first look."""
    regrets = [truth.regret(word) or 0.0 for word in truth.contenders] if truth.costs else []
    guessing = sum(regrets) / len(regrets) if regrets else 0.0
    return None if loss is None or guessing <= 0.0 else 1.0 - loss / guessing
