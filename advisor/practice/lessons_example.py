"""An example for each lesson: a case in which a load counts much, or a method does well.

The demo cases come first. Where none of them will do, a case is made of the conditions that the
rules themselves set: so a load or a method that the rules gain finds its example too.
"""

from __future__ import annotations

import math
import threading
from collections.abc import Iterator, Sequence
from itertools import chain, islice, product, zip_longest

import numpy as np

from advisor import paths
from advisor.advice.advise import advise_quick
from advisor.advice.explaining.reasons import drive
from advisor.advice.result import Advice, Status
from advisor.advice.sampling.worlds import SampledWorlds, Watch
from advisor.facts.case import DAMAGE, PART, VEHICLE, Case, Span, Value
from advisor.facts.case_file import read_case
from advisor.practice.generating.whole_cases import answer_of
from advisor.rulegraph.model.conditions import AllOrAny, Condition, IsOneOf, IsYes, Within
from advisor.rulegraph.model.nodes import TableDraw
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import METHOD

#: Simulated cases by which an example is chosen.
FEW = 64
#: A load that makes up so much of what arrives, or a method so good, needs no better example.
ENOUGH = 0.25
IN_PLAN, HOLDS, POSSIBLE = 1.0, 0.7, 0.3
#: Ways to meet the conditions that are tried, and cases made of each.
MOST_WAYS, MOST_CASES = 8, 4
MOST = 40
"""Cases tried for one lesson."""

Facts = dict[str, Value]


class Examples:
    """Finds a case for a lesson; what was looked at once is kept."""

    def __init__(self, pack: RulePack) -> None:
        self._pack = pack
        self._found: dict[str, tuple[float, Case]] = {}
        self._demos: Iterator[Case] = _demos(pack)
        self._lock = threading.Lock()

    def find(self, key: str, watch: Watch | None = None) -> Case | None:
        """The example of a lesson: some tenths of a second. None where none was found.

        A cause that only an answer brings about may have none. ``watch`` is told what is being
        done and may stop it by raising. May be called from several threads.
        """
        with self._lock:
            more = chain(self._demos, islice(_made_for(key, self._pack), MOST))
            while self._score(key) < ENOUGH and (case := next(more, ...)) is not ...:
                if watch is not None:
                    watch("looking for an example")
                if case is not None:
                    self._look_at(case)
            return self._best(key)

    def _look_at(self, case: Case) -> None:
        advice = advise_quick(case, self._pack, FEW, rough=True).advice
        for key, score in _scores(advice, self._pack):
            if score > self._score(key):
                self._found[key] = score, case

    def _score(self, key: str) -> float:
        return self._found[key][0] if key in self._found else 0.0

    def _best(self, key: str) -> Case | None:
        return self._found[key][1] if key in self._found else None


def _demos(pack: RulePack) -> Iterator[Case]:
    for path in sorted(paths.demo_folder().glob("*.yaml")):
        yield read_case(path, pack.facts)


def _scores(advice: Advice, pack: RulePack) -> Iterator[tuple[str, float]]:
    planned = advice.plan.methods if advice.plan is not None else ()
    for method in advice.methods:
        if method.status in (Status.HOLDS, Status.FAILS):
            good = HOLDS if method.status is Status.HOLDS else POSSIBLE
            yield METHOD + method.method, IN_PLAN if method.method in planned else good
    for load in advice.loads:
        yield str(getattr(pack.sites[load.site], load.duration)), 1.0
        for cause in load.causes:
            yield cause.node, cause.value.typical / max(load.value.typical, 1e-12)


# -- a case made for a lesson --------------------------------------------------


def _made_for(key: str, pack: RulePack) -> Iterator[Case | None]:
    """Cases in which the rules' own conditions for a load or a method hold.

    One of each way in turn, so that a way that leads nowhere does not use up all that are tried;
    None for one that no simulated case can be.
    """
    strength = _by_part(key, pack)
    ways = [
        _cases(conditions, facts, strength, pack)
        for conditions in _wanted(key, pack) for facts in islice(_ways(conditions, {}), MOST_WAYS)
    ]  # fmt: skip
    for some in islice(zip_longest(*ways), MOST_CASES):
        yield from some


def _cases(
    conditions: Sequence[Condition], facts: Facts, strength: dict[str, float], pack: RulePack
) -> Iterator[Case | None]:
    """Cases with these answers, the part first on which the load is strongest."""
    pairs = sorted(_pairs(facts, pack), key=lambda pair: -strength.get(pair[0], 1.0))
    for part, damage in pairs:
        option = pack.facts[PART].option(part)
        vehicles = option.usual_in or pack.facts[VEHICLE].keys[:1]
        answers = {**facts, PART: (part,), DAMAGE: (damage,)}
        answers.setdefault(VEHICLE, (vehicles[0],))
        case = Case(f"{part} {damage}", option.title, answers)
        if {decl.name for decl in pack.asked(case)}.issuperset(answers):
            yield _completed(case, conditions, pack)


def _completed(case: Case, conditions: Sequence[Condition], pack: RulePack) -> Case | None:
    """The case with what else the conditions need, as it is in a simulated case that meets all.

    None where no simulated case does.
    """
    asked = {decl.name for decl in pack.asked(case)}
    still = [one for one in conditions if one.known(case) is None]
    if any(one.known(case) is False for one in conditions):
        return None
    if still:
        worlds = SampledWorlds(case, pack, FEW)
        met = np.all([one.test(worlds.values) for one in still], axis=0)
        if not met.any():
            return None
        at = int(met.argmax())
        for name in {name for one in still for name in one.reads if name in pack.facts}:
            if name not in case.facts and name in asked:
                drawn = float(worlds.values[name][at])
                case = case.with_fact(name, answer_of(pack.facts[name], drawn, case))
    return case


def _wanted(key: str, pack: RulePack) -> Iterator[list[Condition]]:
    """What must hold: for a method, or for a load and a method that has to carry it."""
    if key.startswith(METHOD):
        yield from _of_method(key.removeprefix(METHOD), pack)
        return
    nodes = [pack.nodes[name] for name in drive(key, pack) if name in pack.nodes]
    own = [node.when for node in nodes if node.when is not None]
    reached = {
        site.key for site in pack.sites.values() for demand in site.demands
        if key == demand or key in pack.nodes[demand].names()
    }  # fmt: skip
    for name, method in pack.methods.items():
        if any(joint.site in reached for joint in method.joints):
            yield from ([*own, *conditions] for conditions in _of_method(name, pack))


def _by_part(key: str, pack: RulePack) -> dict[str, float]:
    """How strong a load is by the tables of parts; empty where these say nothing of it."""
    found: dict[str, float] = {}
    names = [] if key.startswith(METHOD) else [*drive(key, pack), *pack.nodes[key].names()]
    for name in dict.fromkeys(names):
        table = pack.nodes[name].operation if name in pack.nodes else None
        if isinstance(table, TableDraw) and table.key == PART:
            for part, value in zip(pack.facts[PART].keys, table.typical, strict=False):
                found[part] = found.get(part, 1.0) * value
    return found


def _of_method(name: str, pack: RulePack) -> Iterator[list[Condition]]:
    """When a method can be done, for each need that it meets."""
    method = pack.methods[name]
    for need in method.meets:
        yield [*(one.condition for one in method.requirements), pack.needs[need].when]


def _ways(conditions: Sequence[Condition], facts: Facts) -> Iterator[Facts]:
    """Answers that meet all conditions, as far as simple answers can."""
    if not conditions:
        yield facts
        return
    first, *rest = conditions
    if isinstance(first, AllOrAny):
        if not first.any_will_do:
            yield from _ways([*first.parts, *rest], facts)
            return
        for part in first.parts:
            yield from _ways([part, *rest], facts)
        return
    for answers in _answers(first, facts):
        yield from _ways(rest, answers)


def _answers(condition: Condition, facts: Facts) -> Iterator[Facts]:
    if isinstance(condition, IsYes):
        if facts.get(condition.name, condition.wanted) == condition.wanted:
            yield {**facts, condition.name: condition.wanted}
    elif isinstance(condition, IsOneOf):
        given = facts.get(condition.name)
        if isinstance(given, tuple):
            if (given[0] in condition.keys) != condition.negate:
                yield facts
        elif condition.negate:
            yield facts
        else:
            for key in sorted(condition.keys):
                yield {**facts, condition.name: (key,)}
    elif isinstance(condition, Within):
        low = condition.low if math.isfinite(condition.low) else 0.6 * condition.high
        high = condition.high if math.isfinite(condition.high) else 1.5 * condition.low
        yield {**facts, condition.name: Span(0.5 * (low + high), 0.5 * (low + high))}
    else:
        yield facts


def _pairs(facts: Facts, pack: RulePack) -> list[tuple[str, str]]:
    """Parts and damages that go together, and with what is already answered; usual ones first."""
    keys = [
        [str(given[0])] if isinstance(given := facts.get(name), tuple) else
        [one.key for one in pack.facts[name].options if not one.not_covered]
        for name in (DAMAGE, PART)
    ]  # fmt: skip
    pairs = [(part, damage) for damage, part in product(*keys)]
    ranked = sorted(pairs, key=lambda pair: pack.coverage.rank(*pair))
    return [pair for pair in ranked if pack.coverage.occurs(*pair)]
