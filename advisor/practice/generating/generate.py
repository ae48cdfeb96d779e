"""Cases near boundaries, in pairs: one fact changed, and another choice is right.

A case is drawn whole; the facts that are worth most at the first look, and those that forces
follow from, are changed one answer at a time until another method leads. A pair is kept where
both choices are right by a clear margin over as many simulated cases as the advice takes. The
deciding fact is hidden only where asking for it pays at the first look: else the better answer
would be luck, and it is told. With it the look leads to the right choice, so nothing else must
be asked. Quotas keep any one method, part, fact or sort of boundary from filling a set. The same
seed gives the same cases.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, replace

from advisor.advice.asking.value_of_information import at_stake, knowing, open_facts
from advisor.advice.choosing.hazards import judge_gates
from advisor.advice.choosing.working import Working, work_out
from advisor.advice.result import GateState
from advisor.advice.sampling.worlds import Watch
from advisor.facts.case import DAMAGE, PART, VEHICLE, Case, Value
from advisor.facts.declaration import FactDecl
from advisor.practice.cases import CaseSource, PracticeCase, Twin, seen_at_a_glance
from advisor.practice.generating.boundaries import (
    Judged,
    crosses,
    difficulty_of,
    judged,
    other_answers,
    usage_of,
    with_answer,
)
from advisor.practice.generating.method_cases import allowing, pairs_for
from advisor.practice.generating.whole_cases import (
    begun,
    cleared,
    closing_answer,
    damage_weights,
    draw_case,
    is_plausible,
    short_length,
    usual_vehicles,
)
from advisor.practice.topics import DECLINE, REFER, Topic, all_topics
from advisor.practice.truth import best_shares, lead_or_decline
from advisor.rulegraph.model.asked import GateRule
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import method_word
from advisor.wording.sentences import lowered

#: Simulated cases that drop a draw, and those that keep it.
LOOK_WORLDS, SURE_WORLDS = 512, 4096
#: Those that tell whether the look and the deciding fact are enough.
ANSWER_WORLDS = 1024
#: A look settles such a share: then hardly any answer would flip it, and few are kept.
SETTLED, KEEP_SETTLED = 0.93, 0.15
#: Facts whose other answers are tried, of those worth most and of those that forces follow from.
WORTH_MOST, FORCE_FACTS = 5, 4
#: So many of the best plans are looked at for what their methods read.
READ_OF = 4
#: Draws for a hazard in which a method is looked for that no case has yet.
NEW_METHOD = 6
#: Draws that count as much as a case: what gives none is drawn less and less.
TRIES = 12.0
#: Usages from which one answer may carry a method across 1.
NEAR = (0.4, 2.5)
#: Share of pairs in which the usage of a method must cross 1.
CROSSING = 1.0 / 3.0
#: Seeds from here on are kept for transfer tests and never practised on.
HELD_OUT = 1_000_000_000


@dataclass(frozen=True)
class Generated:
    """A set of cases, and how it came about."""

    cases: tuple[PracticeCase, ...]
    crossing: int
    """Pairs in which the usage of a method crosses 1."""
    refused: Counter[str]
    """Why draws were dropped."""
    drawn: int


def generate(
    pack: RulePack, count: int, seed: int, *, topic: str = "", fact: str = "",
    difficulty: tuple[float, float] = (0.0, 1.0), draws: int | None = None,
    kinds: Callable[[str, str], bool] | None = None, watch: Watch | None = None,
) -> Generated:  # fmt: skip
    """Up to ``count`` cases with their twins; fewer after ``draws`` (100 a case, if None).

    ``topic`` keeps to one topic (a key of `topics.all_topics`), ``fact`` to pairs that this fact
    decides, ``difficulty`` to a range of 0 to 1, ``kinds`` to those parts and damages for which
    it is true. ``watch`` is told how far it is and may stop it by raising.
    """
    maker = _Maker(pack, count, seed, topic, fact, difficulty, kinds)
    most = 100 * count if draws is None else draws
    while len(maker.kept) < count and maker.drawn < most:
        if watch is not None:
            watch(f"{len(maker.kept)} of {count} cases")
        maker.draw()
    return Generated(
        tuple(maker.kept), maker.used["crossing", ""], maker.refused, maker.drawn
    )


class _Drop(Exception):  # noqa: N818 - a draw that is not kept is no error
    """Why a draw is not kept."""


class _Maker:
    """Draws one case after the other and keeps count of what is there already."""

    def __init__(
        self, pack: RulePack, count: int, seed: int, topic: str, fact: str,
        difficulty: tuple[float, float], kinds: Callable[[str, str], bool] | None,
    ) -> None:  # fmt: skip
        self.pack = pack
        self.count = count
        self.seed = seed
        self.only = topic
        self.fact = fact
        self.difficulty = difficulty
        self.kept: list[PracticeCase] = []
        self.used: Counter[tuple[str, str]] = Counter()
        self.refused: Counter[str] = Counter()
        self.drawn = 0
        self.random = random.Random(seed)
        self.topics = all_topics()
        self.weights = {
            part: {
                damage: weight for damage, weight in damage_weights(part, pack).items()
                if kinds is None or kinds(part, damage)
            }
            for part in pack.parts
        }
        self.pairs: dict[str, list[tuple[str, str]]] = {}
        self.force_facts = _force_facts(pack)

    def draw(self) -> None:
        """One more draw: kept, or counted with the reason why not."""
        self.drawn += 1
        try:
            topic = self._topic()
            case = self._hazard_case() if topic.right == "refer" else self._pair(topic)
        except _Drop as drop:
            self.refused[str(drop)] += 1
            return
        self.kept.append(case)
        if case.twin is not None:
            self.used["seen", case.right] += 1
            self.used["seen", case.twin.right] += 1
        for key in case.topics:
            self.used["topic", key] += 1

    def _topic(self) -> Topic:
        """The topic of the next draw: the one there is least of, mostly."""
        if self.only:
            return self.topics.topics[self.only]
        crossing = self._must_cross()
        keys = [k for k, t in self.topics.topics.items() if not (crossing and t.right == "refer")]
        return self.topics.topics[min(
            keys, key=lambda key: (self.used["topic", key]
                                   + self.used[f"tried {crossing}", key] / TRIES
                                   + 3.0 * self.random.random())
        )]  # fmt: skip

    # Drawing

    def _draw_whole(self, topic: Topic) -> Case:
        draw, pack = self.random, self.pack
        tried = f"tried {self._must_cross()}"
        self.used[tried, topic.key] += 1
        # Of each damage about as many, and no more tries for one that gives no pair.
        had = {
            key: self.used["damage", key] + self.used[tried, key] / TRIES
            for key in self._damages(topic)
        }
        least = min(had.values())
        damage = draw.choice([d for d in had if had[d] <= least + 0.5])
        self.used[tried, damage] += 1
        parts = [
            part for part, weights in self.weights.items()
            if damage in weights and self.used["part", part] < max(self.count / 8, 2)
            and (not topic.vehicle or set(topic.vehicle) & set(usual_vehicles(part, pack)))
        ]  # fmt: skip
        if not parts:
            raise _Drop("no part left for it")
        part = draw.choices(parts, [self.weights[p][damage] ** 0.5 for p in parts])[0]
        wanted = topic.vehicle or pack.facts[VEHICLE].keys
        vehicle = draw.choice([v for v in usual_vehicles(part, pack) if v in wanted])
        case = self._begun(part, damage, vehicle)
        if topic.longest is not None:
            length = pack.roles.damage_length
            case = case.with_fact(length, short_length(topic.longest, pack.facts[length], draw))
        return self._whole(case)

    def _begun(self, part: str, damage: str, vehicle: str) -> Case:
        return begun(f"P-{self.seed}-{self.drawn}", part, damage, vehicle)

    def _whole(self, case: Case) -> Case:
        pack, seed = self.pack, self.random.randrange(1 << 31)
        case = draw_case(case, pack, seed)
        if not pack.is_covered(case):
            raise _Drop("not covered")
        if any(
            gate.state in (GateState.OPEN, GateState.CLOSED) for gate in judge_gates(case, pack)
        ):
            raise _Drop("a hazard cannot be cleared")
        return replace(case, title=self._title(case))

    def _damages(self, topic: Topic) -> list[str]:
        every = {damage for weights in self.weights.values() for damage in weights}
        wanted = set(topic.damage) or every
        if topic.lead:  # damages whose need such a method meets
            meets = {need for word in topic.lead for need in self.pack.whole(word).meets}
            leads = {d for key in meets for d in self.pack.needs[key].leads_for}
            wanted &= leads
        return sorted(wanted & every)

    def _new_method_for(self, gate: GateRule) -> Case:
        """Such a case, of a few draws one in which a method leads that few cases have yet.

        Methods without a rival near by lead no pair about a boundary: here they occur.
        """
        found: Case | None = None
        for _ in range(NEW_METHOD):
            try:
                case = self._draw_for(gate)
            except _Drop:
                continue
            here = judged(work_out(case, self.pack, LOOK_WORLDS, rough=True))
            if here is None or not here.clear or here.right == DECLINE:
                continue
            found = case
            if not self.used["seen", here.right]:
                break
        if found is None:
            raise _Drop("no clear choice")
        return found

    def _draw_for(self, gate: GateRule) -> Case:
        """A whole case of a part and vehicle for which a hazard is asked about.

        Each method about as often, on parts and damages and with answers that allow it.
        """
        usual = [pair for pair in sorted(gate.asked_for) if self.weights.get(pair[0])]
        if not usual:
            raise _Drop("no hazard that could close it")
        parts = {part for part, _ in usual}
        words = [word for word in self.pack.method_words if self._pairs(word, parts)]
        if not words:
            raise _Drop("no hazard that could close it")
        had = {w: self.used["seen", w] + self.used["sought", w] / NEW_METHOD for w in words}
        least = min(had.values())
        word = self.random.choice([w for w in words if had[w] <= least + 0.5])
        self.used["sought", word] += 1
        part, damage = self.random.choice(self._pairs(word, parts))
        vehicle = self.random.choice([v for p, v in usual if p == part])
        case = self._begun(part, damage, vehicle)
        return self._whole(allowing(word, case, self.pack, self.random))

    def _pairs(self, word: str, parts: Collection[str]) -> list[tuple[str, str]]:
        """Pairs of part and damage on which a method may lead, of some parts."""
        if word not in self.pairs:
            every = [(part, damage) for part, has in self.weights.items() for damage in has]
            self.pairs[word] = pairs_for(word, every, self.pack)
        return [pair for pair in self.pairs[word] if pair[0] in parts]

    def _title(self, case: Case) -> str:
        words = [
            self.pack.facts[fact].option(case.choice(fact) or "").title
            for fact in (PART, VEHICLE, DAMAGE)
        ]
        return f"{words[0]}, {lowered(words[1])}: {lowered(words[2])}"

    # Pairs about a boundary between methods

    def _pair(self, topic: Topic) -> PracticeCase:
        case = self._draw_whole(topic)
        pack = self.pack
        shown = seen_at_a_glance(case, pack)
        intake = replace(case, facts={k: v for k, v in case.facts.items() if k in shown})
        whole = work_out(case, pack, LOOK_WORLDS, rough=True)
        here = judged(whole)
        if here is None or not here.clear:
            raise _Drop("no clear choice")
        if self.used["right", here.right] >= self._most("right"):
            raise _Drop("enough of that method")
        must_cross = self._must_cross()
        if must_cross and not _near_its_limit(whole):
            raise _Drop("no method near its limit")
        first = work_out(intake, pack, LOOK_WORLDS, rough=True)
        if first.situation.worlds.misfits or not first.plans:
            raise _Drop("no plan at the first look")
        if not must_cross and topic.right is None and (
            max(best_shares(first).values()) > SETTLED and self.random.random() > KEEP_SETTLED
        ):
            raise _Drop("settled by a look")
        worth = _worth(intake, first)
        leads = [plan.lead for plan in whole.plans[:READ_OF]]
        read = {name for lead in leads for name in pack.reads_of(lead).everything}
        for decl in self._to_try(case, worth, read, must_cross):
            for value in other_answers(decl, whole):
                other = with_answer(whole, decl.name, value)
                there = judged(other)
                if there is None or not there.clear or there.right == here.right:
                    continue
                if not self._wanted(here, there, decl, crosses(whole, other)):
                    continue
                if decl.name in shown:
                    told = replace(intake, facts={
                        k: v for k, v in intake.facts.items() if k != decl.name
                    })  # fmt: skip
                    open_worlds = work_out(told, pack, LOOK_WORLDS, rough=True).situation.worlds
                else:
                    open_worlds = first.situation.worlds
                if not is_plausible(decl, value, open_worlds):
                    continue
                return self._sure(topic, case, decl, value, shown, worth.get(decl.name, 0.0))
        raise _Drop("nothing tried flips it clearly")

    def _to_try(
        self, case: Case, worth: dict[str, float], read: Collection[str], must_cross: bool
    ) -> Iterator[FactDecl]:
        """Facts whose other answers are tried, in no telling order."""
        told = {
            decl.name: decl for decl in self.pack.asked(case)
            if decl.name in case.facts and not decl.gate and not decl.identity
        }  # fmt: skip
        if self.fact:
            return iter([told[self.fact]] if self.fact in told else [])
        names = [name for name in worth if name in told and worth[name] > 0.0][:WORTH_MOST]
        if must_cross:
            names = [name for name in names if name in self.force_facts]
        else:  # what the best methods are chosen or ruled out by, also where a look tells it
            seen = [name for name in told if name in read and name not in names]
            self.random.shuffle(seen)
            names += seen[:FORCE_FACTS]
        force = [name for name in told if name in self.force_facts and name not in names]
        self.random.shuffle(force)
        names += force[: 2 * FORCE_FACTS if must_cross else FORCE_FACTS]
        self.random.shuffle(names)
        return (told[name] for name in names if self.used["fact", name] < self._most("fact"))

    def _most(self, what: str) -> float:
        """How many of a set may have the same method, fact, pair of methods."""
        shares = {"right": 6, "fact": 8, "pair": 8}
        most = max(self.count / shares[what], 1.0)
        return 3.0 * most if self.only else most

    def _wanted(self, here: Judged, there: Judged, decl: FactDecl, crossing: bool) -> bool:
        pair = "/".join(sorted((here.right, there.right)))
        if self.used["pair", pair] >= self._most("pair"):
            return False
        if decl.name in self.topics.price_only and self.used["price_only", ""] >= 1:
            return False
        return crossing or not self._must_cross()

    def _must_cross(self) -> bool:
        """Whether the next pair must be one in which the usage of a method crosses 1."""
        rest = len(self.kept) - self.used["crossing", ""]
        most = (1.0 - CROSSING) * (len(self.kept) + 1)
        return rest + 1 > min(most + 1.0, max((1.0 - CROSSING) * self.count, 1.0))

    def _sure(
        self, topic: Topic, case: Case, decl: FactDecl, value: Value, shown: Sequence[str],
        worth: float,
    ) -> PracticeCase:  # fmt: skip
        """The pair over as many simulated cases as the advice takes; what of it is told."""
        pack = self.pack
        whole = work_out(case, pack, SURE_WORLDS, rough=True)
        changed = cleared(case.with_fact(decl.name, value), pack)
        if set(changed.facts) != set(case.facts):
            raise _Drop("the twin raises another hazard")
        other = work_out(changed, pack, SURE_WORLDS, rough=True)
        here, there = judged(whole), judged(other)
        if here is None or there is None or not (here.clear and there.clear):
            raise _Drop("not so clear over 4096")
        if here.right == there.right:
            raise _Drop("not so clear over 4096")
        prices = pack.prices
        price = prices.hourly_rate.mean / 60.0 * (decl.minutes + prices.question_overhead.mean)
        hidden = decl.name not in shown and worth > price and self._worth(case, shown, decl) > price
        told = tuple(
            name for name in pack.facts
            if name in shown or (name == decl.name and not hidden)
        )  # fmt: skip
        for one, right in ((case, here.right), (changed, there.right)):
            if not self._answerable(one, (*told, decl.name), right):
                raise _Drop("more than one fact decides")
        found = PracticeCase(
            case.name, case.title, case, told, CaseSource.GENERATED, here.right,
            self.topics.of(case, pack, here.right, hidden), here.margin,
            difficulty_of((here.margin, there.margin)),
            Twin(decl.name, value, there.right, there.margin), pack.digest,
        )  # fmt: skip
        return self._kept(topic, found, hidden, crosses(whole, other))

    def _worth(self, case: Case, shown: Sequence[str], decl: FactDecl) -> float:
        """What knowing a fact is worth at the first look, in as many cases as an advice takes."""
        intake = replace(case, facts={k: v for k, v in case.facts.items() if k in shown})
        working = work_out(intake, self.pack, SURE_WORLDS, rough=True)
        worlds = working.situation.worlds
        return knowing(decl, worlds, *at_stake(working.plans, worlds)).value

    def _answerable(self, case: Case, told: Sequence[str], right: str) -> bool:
        """Whether the look and the deciding fact lead to the right choice: the rest is no luck."""
        known = replace(case, facts={k: v for k, v in case.facts.items() if k in told})
        working = work_out(known, self.pack, ANSWER_WORLDS, rough=True)
        return not working.situation.worlds.misfits and lead_or_decline(working) == right

    def _kept(
        self, topic: Topic, found: PracticeCase, hidden: bool, crossing: bool
    ) -> PracticeCase:
        """The case, or its twin where only that is of the topic; dropped where neither is."""
        if topic.key not in found.topics and (self.only or topic.right is not None):
            twin = found.other()
            right = self.topics.of(twin.hidden, self.pack, twin.right, hidden)
            found = replace(twin, name=found.name, topics=right)
            if topic.key not in right:
                raise _Drop("another topic")
        low, high = self.difficulty
        if found.difficulty is not None and not low <= found.difficulty <= high:
            raise _Drop("another difficulty")
        assert found.twin is not None
        for what, key in (
            ("right", found.right), ("part", found.hidden.choice(PART) or ""),
            ("damage", found.hidden.choice(DAMAGE) or ""), ("fact", found.twin.fact),
            ("pair", "/".join(sorted((found.right, found.twin.right)))),
        ):  # fmt: skip
            self.used[what, key] += 1
        self.used["crossing", ""] += crossing
        self.used["price_only", ""] += found.twin.fact in self.topics.price_only
        return found

    # Pairs about a hazard

    def _hazard_case(self) -> PracticeCase:
        """A case that one hazard turns into a referral; its twin is the harmless one.

        Each hazard about as often, on a part and vehicle for which it is asked about.
        """
        pack = self.pack
        gates = [gate for gate in pack.gates.values() if not self.fact or gate.fact == self.fact]
        if not gates:
            raise _Drop("no hazard that could close it")
        had = {
            gate.key: self.used["gate", gate.key] + self.used["gate tried", gate.key] / TRIES
            for gate in gates
        }
        least = min(had.values())
        wanted = self.random.choice([gate for gate in gates if had[gate.key] <= least + 0.5])
        self.used["gate tried", wanted.key] += 1
        case = self._new_method_for(wanted)
        shut = closing_answer(case, pack, wanted)
        if shut is None or wanted.fact not in case.facts:
            raise _Drop("no hazard that could close it")
        changed = case.with_fact(wanted.fact, shut)
        states = {gate.gate: gate.state for gate in judge_gates(changed, pack)}
        if states.get(wanted.key) is not GateState.CLOSED:
            raise _Drop("no hazard that could close it")
        here = judged(work_out(case, pack, SURE_WORLDS, rough=True))
        if here is None or not here.clear or here.right == DECLINE:
            raise _Drop("no clear choice")
        self.used["gate", wanted.key] += 1
        self.used["part", case.choice(PART) or ""] += 1
        return PracticeCase(
            case.name, case.title, changed, seen_at_a_glance(case, pack), CaseSource.GENERATED,
            REFER, self.topics.of(changed, pack, REFER, False),
            twin=Twin(wanted.fact, case.facts[wanted.fact], here.right, here.margin),
            digest=pack.digest,
        )  # fmt: skip


def _near_its_limit(working: Working) -> bool:
    """Whether a method of the best plans is loaded so that one answer may carry it across."""
    words = dict.fromkeys(method_word(plan.lead) for plan in working.plans)
    usages = (usage_of(word, working) for word in words)
    return any(usage is not None and NEAR[0] <= usage <= NEAR[1] for usage in usages)


def _force_facts(pack: RulePack) -> Collection[str]:
    """Facts that a demand follows from: where another answer means another force."""
    demands = {name for site in pack.sites.values() for name in site.demands}
    return {name for name in pack.facts if not demands.isdisjoint(pack.fed_by(name))}


def _worth(intake: Case, first: Working) -> dict[str, float]:
    """What knowing each open fact is worth at the first look, the most first."""
    worlds = first.situation.worlds
    stakes = at_stake(first.plans, worlds)
    found = {
        decl.name: knowing(decl, worlds, *stakes).value for decl in open_facts(intake, worlds)
    }
    return dict(sorted(found.items(), key=lambda one: -one[1]))
