"""Can the score of practice be gamed, and are drawn cases good ones?

    python -m tests.benchmarks.practice_cases scores [--drawn 500] [--pairs 75] [--seed 1]
    python -m tests.benchmarks.practice_cases cases [--count 60] [--seed 1]

``scores`` plays strategies over drawn cases with a clear choice (one in seven with a hazard
closed) and over pairs of twins, and compares them with the advisor's own way: it asks what it
says is worth asking, then takes what leads. ``cases`` draws a set and counts what is in it.
Exit code 0 where every bar holds, else 1.

What it cannot show: advisor, truth and cases come from one engine, and for one case from the
same streams of random numbers, so the advisor's lead over the others is partly built in.
"""

from __future__ import annotations

import argparse
import random
import statistics
import sys
import time
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from advisor.advice.advise import advise_quick
from advisor.advice.choosing.hazards import judge_gates
from advisor.advice.choosing.working import Working, work_out
from advisor.advice.result import GateState
from advisor.facts.case import DAMAGE, PART
from advisor.facts.declaration import Kind
from advisor.facts.faults import BadInput
from advisor.practice.answers import Answer, Belief
from advisor.practice.cases import CaseSource, PracticeCase, choices_of, seen_at_a_glance
from advisor.practice.generating.boundaries import judged
from advisor.practice.generating.generate import Generated, generate
from advisor.practice.generating.whole_cases import (
    begun,
    closing_answer,
    damage_weights,
    draw_case,
    usual_vehicles,
)
from advisor.practice.scoring import Score, score
from advisor.practice.topics import REFER, all_topics
from advisor.practice.truth import Truth, best_shares, lead_or_decline, truth_of
from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import method_word
from tests.field.known_leads import known_leads

WORLDS = 1024
#: One drawn case in so many has a hazard closed.
CLOSED_EVERY = 7
#: Most questions that the advisor's own way asks.
MOST_QUESTIONS = 8
#: A set of so many cases holds every method that leads a known case, and every hazard.
ALL_OCCUR = 500
STITCHES, GLUES = ("hand_stitch", "machine_restitch"), ("adhesive_bond",)
RECOVERS, REPLACES = ("recover_panel",), ("replace_part",)


@dataclass(frozen=True)
class Played:
    """A case with all that the strategies need to know of it."""

    truth: Truth
    intake_costs: dict[str, float]
    """Expected cost of each contender at the first look."""
    asked: tuple[str, ...]
    """What the advisor's own way asks."""
    told_choice: str
    told_shares: dict[str, float]

    @property
    def damage(self) -> str:
        """Kind of damage."""
        return self.truth.case.hidden.choice(DAMAGE) or ""

    @property
    def first(self) -> Belief:
        """The cheapest at the first look, and the share of the cases in which it is."""
        return _honest(min(self.intake_costs, key=self.intake_costs.__getitem__),
                       self.truth.shares)  # fmt: skip

    @property
    def hazards(self) -> tuple[str, ...]:
        """All hazards that concern the part."""
        return tuple(gate.gate for gate in self.truth.advice.gates)

    @property
    def closed(self) -> bool:
        """Whether a hazard closes the job."""
        return self.truth.right == REFER


def _honest(choice: str, shares: dict[str, float]) -> Belief:
    others = {word: share for word, share in shares.items() if word != choice}
    second = max(others, key=others.__getitem__, default="")
    stated = min(shares.get(choice, 0.0), 1.0)
    return Belief(choice, stated, second, min(others.get(second, 0.0), 1.0 - stated))


def _costs(working: Working) -> dict[str, float]:
    worlds, found = working.situation.worlds, dict[str, float]()
    for plan in working.plans:
        found.setdefault(method_word(plan.lead), worlds.mean(plan.cost))
    return found


def played(case: PracticeCase, pack: RulePack) -> Played:
    """The truth of a case, and the advisor's own way through it."""
    truth = truth_of(case, pack, WORLDS)
    assert truth.intake.working is not None
    now, asked, told = case.intake, list[str](), truth.intake
    for _ in range(MOST_QUESTIONS):
        question = next(
            (q for q in told.advice.ask if q.worth_asking and not q.gate and q.fact not in asked),
            None,
        )
        if question is None:
            break
        asked.append(question.fact)
        if question.fact in case.hidden.facts:
            now = now.with_fact(question.fact, case.hidden.facts[question.fact])
            told = advise_quick(now, pack, WORLDS, rough=True)
    assert told.working is not None
    choice, shares = lead_or_decline(told.working), best_shares(told.working)
    return Played(truth, _costs(truth.intake.working), tuple(asked), choice, shares)


def drawn_cases(pack: RulePack, count: int, seed: int) -> list[PracticeCase]:
    """Cases as the priors draw them, kept where one choice is clearly right."""
    draw, found = random.Random(seed), list[PracticeCase]()
    weights = {part: damage_weights(part, pack) for part in pack.parts}
    for number in range(60 * count):
        if len(found) == count:
            break
        part = draw.choice(list(weights))
        if not weights[part]:
            continue
        damage = draw.choice(list(weights[part]))
        vehicle = draw.choice(usual_vehicles(part, pack))
        name = f"D-{seed}-{number}"
        whole = draw_case(begun(name, part, damage, vehicle), pack, draw.randrange(1 << 31))
        if any(g.state in (GateState.OPEN, GateState.CLOSED) for g in judge_gates(whole, pack)):
            continue
        working = work_out(whole, pack, WORLDS, rough=True)
        clear = judged(working)
        if clear is None or not clear.clear:
            continue
        shown, right = seen_at_a_glance(whole, pack), clear.right
        if len(found) % CLOSED_EVERY == CLOSED_EVERY - 1:
            gates = [pack.gates[key] for key in pack.gates_asked(whole)]
            draw.shuffle(gates)
            for gate in gates:
                shut = closing_answer(whole, pack, gate)
                if shut is not None and gate.fact in whole.facts:
                    whole, right = whole.with_fact(gate.fact, shut), REFER
                    break
        topics = all_topics().of(whole, pack, right, False)
        case = PracticeCase(name, name, whole, shown, CaseSource.GENERATED, right, topics)
        intake = advise_quick(case.intake, pack, 64, rough=True)
        if intake.working is not None and intake.working.plans:
            found.append(case)
    return found


Strategy = Callable[[Played], Answer]


def strategies(cases: Sequence[Played], pack: RulePack, seed: int = 5) -> dict[str, Strategy]:
    """Ways to answer, the advisor's own first."""
    draw = random.Random(seed)
    words = list(pack.method_words)
    common: dict[str, str] = {}
    share: dict[str, float] = {}  # a damage that was never seen gets a method at random
    for damage in {one.damage for one in cases}:
        rights = Counter(o.truth.right for o in cases if o.damage == damage and not o.closed)
        if rights:
            common[damage], times = rights.most_common(1)[0]
            share[damage] = times / rights.total()

    def own(one: Played, *, sure: float | None = None, hazards: bool = True) -> Answer:
        if one.closed and hazards:
            return Answer(Belief(REFER, 1.0), Belief(REFER, 1.0), one.hazards)
        final = _honest(one.told_choice, one.told_shares)
        if sure is not None:
            final = Belief(one.told_choice, sure)
        return Answer(one.first, final, one.hazards if hazards else (), one.asked)

    def alone(belief: Callable[[Played], Belief]) -> Strategy:
        def way(one: Played) -> Answer:
            stated = Belief(REFER, 1.0) if one.closed else belief(one)
            return Answer(stated, stated, one.hazards)
        return way

    def fixed(wanted: Sequence[str]) -> Strategy:
        def belief(one: Played) -> Belief:
            have = [word for word in wanted if word in one.intake_costs]
            return Belief(min(have, key=one.intake_costs.__getitem__, default=wanted[0]), 0.9)
        return alone(belief)

    def everything(one: Played) -> Answer:
        if one.closed:
            return Answer(Belief(REFER, 1.0), Belief(REFER, 1.0), one.hazards)
        case = one.truth.case
        asked = tuple(
            name for name in case.hidden.facts
            if name not in case.shown and not pack.facts[name].gate
            and pack.facts[name].kind is not Kind.TEXT
        )  # fmt: skip
        return Answer(one.first, Belief(one.truth.right, 0.95), one.hazards, asked)

    def at_random(one: Played, among: Sequence[str]) -> Belief:
        return Belief(draw.choice(among), 1.0 / max(len(one.intake_costs), 2))

    return {
        "advisor's own way": own,
        "first look, honest": alone(lambda one: one.first),
        "first look, 100 % sure": alone(lambda one: Belief(one.first.choice, 1.0)),
        "own way, 100 % sure": lambda one: own(one, sure=1.0),
        "asks everything": everything,
        "commonest method": alone(lambda one: Belief(
            common.get(one.damage) or draw.choice(words), share.get(one.damage, 0.1)
        )),
        "always stitches": fixed(STITCHES),
        "always glues": fixed(GLUES),
        "always re-covers": fixed(RECOVERS),
        "always replaces": fixed(REPLACES),
        "always refers": alone(lambda one: Belief(REFER, 1.0)),
        "random": alone(lambda one: at_random(one, words)),
        "random of the likely": alone(lambda one: at_random(one, list(one.intake_costs))),
        "wrong on purpose, 0 %": alone(
            lambda one: Belief(max(one.intake_costs, key=one.intake_costs.__getitem__), 0.0)
        ),
        "hazards never asked": lambda one: own(one, hazards=False),
    }


#: Strategies that must lose many times what the advisor loses.
NAIVE = (
    "commonest method", "always stitches", "always glues", "always re-covers", "always replaces",
    "always refers", "asks everything", "random", "random of the likely", "wrong on purpose, 0 %",
)  # fmt: skip


@dataclass(frozen=True)
class Row:
    """How one strategy did."""

    right: float
    regret: float
    asking: float
    loss: float
    spread: float
    """Half of the 95 % interval of the loss."""
    first: float
    final: float
    """Quadratic scores, at the first look and at the end."""
    missed: int
    needless: int
    both: float
    """Share of pairs of which both were right; cases are taken two by two."""


def rows(cases: Sequence[Played], pack: RulePack, known: Sequence[Played] = ()) -> dict[str, Row]:
    """Every strategy over cases; ``known`` are those that the memoriser learned from."""
    found = {}
    for name, way in strategies(known or cases, pack).items():
        scores: list[Score] = [score(one.truth, way(one)) for one in cases]
        told = [s for s in scores if s.loss is not None]
        losses = [s.loss or 0.0 for s in told]
        good = [s.right for s in scores]
        pairs = list(zip(good[::2], good[1::2], strict=False))
        found[name] = Row(
            statistics.mean(s.right for s in told), statistics.mean(s.regret or 0 for s in told),
            statistics.mean(s.asking for s in told), statistics.mean(losses),
            1.96 * statistics.stdev(losses) / len(losses) ** 0.5,
            statistics.mean(s.certainty_first for s in told),
            statistics.mean(s.certainty_final for s in told),
            sum(len(s.hazards_missed) for s in scores), sum(s.needless_referral for s in scores),
            sum(a and b for a, b in pairs) / max(len(pairs), 1),
        )  # fmt: skip
    return found


def bars(drawn: dict[str, Row], twins: dict[str, Row], closed: int) -> dict[str, bool]:
    """What must hold, by name."""
    own, pair = drawn["advisor's own way"], twins["advisor's own way"]
    found = {}
    for name in NAIVE:
        found[f"{name}: 20 times the loss on drawn cases"] = drawn[name].loss >= 20 * own.loss
        found[f"{name}: 5 times on twins"] = twins[name].loss >= 5 * pair.loss
        for one, best in ((drawn, own), (twins, pair)):
            clear = one[name].loss - one[name].spread > best.loss + best.spread
            found[f"{name}: interval clear of it"] = clear and found.get(
                f"{name}: interval clear of it", True)  # fmt: skip
    sure, honest = drawn["first look, 100 % sure"], drawn["first look, honest"]
    found["100 % at the first look scores worse than the honest share"] = sure.first > honest.first
    found["so it does on twins"] = (
        twins["first look, 100 % sure"].first > twins["first look, honest"].first
    )
    found["wrong on purpose scores worse than the honest guesser"] = (
        drawn["wrong on purpose, 0 %"].first > honest.first
        and twins["wrong on purpose, 0 %"].first > twins["first look, honest"].first
    )
    never = drawn["hazards never asked"]
    found["hazards never asked: the same money"] = abs(never.loss - own.loss) < 1e-9
    found["hazards never asked: every closed one missed"] = (
        never.missed >= closed and own.missed == 0
    )
    found["commonest method: never both twins right"] = twins["commonest method"].both == 0.0
    return found


def table(title: str, found: dict[str, Row]) -> None:
    """Print the strategies, one a line."""
    print(f"\n{title}\n{'':25s} right regret asking   loss   +-   S1   S2  missed needless both")
    for name, row in found.items():
        print(
            f"{name:25s} {row.right:5.2f} {row.regret:6.1f} {row.asking:6.1f} {row.loss:6.1f} "
            f"{row.spread:4.1f} {row.first:4.2f} {row.final:4.2f} {row.missed:7d} "
            f"{row.needless:8d} {row.both:4.2f}"
        )


def all_played(cases: Sequence[PracticeCase], pack: RulePack) -> list[Played]:
    """Those of the cases that can be worked out."""
    found = []
    for case in cases:
        try:
            found.append(played(case, pack))
        except BadInput:
            continue
    return found


def scores(drawn: int, pairs: int, seed: int) -> int:
    """Play everything, print it, and say which bars hold."""
    pack = load_pack()
    own = all_played(drawn_cases(pack, drawn, seed), pack)
    made = generate(pack, pairs, seed).cases
    both = [c for case in made if REFER not in (case.right, case.twin and case.twin.right)
            for c in (case, case.other())]  # fmt: skip
    twins = all_played(both, pack)
    closed = sum(one.closed for one in own)
    asked = statistics.mean(len(one.asked) for one in own)
    print(f"{len(own)} drawn cases, {closed} with a hazard closed, {asked:.1f} questions asked by "
          f"the advisor; {len(twins) // 2} pairs without a hazard of {len(made)}; {WORLDS} "
          f"simulated cases; losses in {pack.currency}")  # fmt: skip
    of_drawn, of_twins = rows(own, pack), rows(twins, pack, own)
    table("drawn cases", of_drawn)
    table("twins", of_twins)
    found = bars(of_drawn, of_twins, closed)
    print()
    for name, holds in found.items():
        print(f"{'holds ' if holds else 'FAILS '} {name}")
    return 0 if all(found.values()) else 1


def counts(made: Generated, pack: RulePack) -> dict[str, Counter[str]]:
    """What is in a set, by kind."""
    cases = [c for case in made.cases for c in (case, case.other())]
    gates = {gate.fact: key for key, gate in pack.gates.items()}
    return {
        "right": Counter(case.right for case in cases),
        "part": Counter(case.hidden.choice(PART) or "" for case in made.cases),
        "damage": Counter(case.hidden.choice(DAMAGE) or "" for case in made.cases),
        "topic": Counter(key for case in made.cases for key in case.topics),
        "fact": Counter(case.twin.fact for case in made.cases if case.twin),
        "pair": Counter("/".join(sorted((c.right, c.twin.right))) for c in made.cases if c.twin),
        "hazard": Counter(
            gates[c.twin.fact] for c in made.cases if c.twin and c.twin.fact in gates
        ),
    }  # fmt: skip


def cases(count: int, seed: int) -> int:
    """Draw a set, print what is in it and how long it took."""
    pack = load_pack()
    wall, cpu = time.perf_counter(), time.process_time()
    made = generate(pack, count, seed)
    wall, cpu = time.perf_counter() - wall, time.process_time() - cpu
    print(f"{len(made.cases)} of {count} cases from {made.drawn} draws in {wall:.1f} s, "
          f"{cpu:.1f} s of one core; usage crosses 1 in {made.crossing}")  # fmt: skip
    print("dropped:", dict(made.refused.most_common()))
    found = counts(made, pack)
    for kind, counted in found.items():
        print(f"{kind} ({len(counted)}):", dict(counted.most_common()))
    hidden = sum(c.twin is not None and c.twin.fact not in c.shown for c in made.cases)
    print(f"deciding fact hidden in {hidden}")
    print("never right:", sorted(set(choices_of(pack)) - set(found["right"])))
    leads = sorted(set(known_leads(pack)) - set(found["right"]))
    print("lead a case of the field or the week and none here:", leads)
    hazards = sorted(set(pack.gates) - set(found["hazard"]))
    print("hazards that close none:", hazards)
    few = [key for key in all_topics().topics if found["topic"][key] < 2]
    print("topics with fewer than 2:", few)
    full = len(made.cases) == count and made.crossing >= count / 3
    if count >= ALL_OCCUR:
        full = full and not leads and not hazards
    return 0 if full and not few else 1


def main(args: Sequence[str]) -> int:
    """Read the command line and run."""
    parser = argparse.ArgumentParser(description=__doc__, allow_abbrev=False)
    parser.add_argument("what", choices=["scores", "cases"])
    parser.add_argument("--drawn", type=int, default=500)
    parser.add_argument("--pairs", type=int, default=75)
    parser.add_argument("--count", type=int, default=60)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args(args)
    if given.what == "cases":
        return cases(given.count, given.seed)
    return scores(given.drawn, given.pairs, given.seed)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
