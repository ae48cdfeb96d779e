"""How many questions it takes, and what the ones that were not asked cost.

Run with ``python -m tests.field.interview [runs]``. A customer comes with the part, vehicle
and damage of a field case and nothing else; everything else is drawn from the pack's own
priors and hidden. Hazards are answered clear. Then questions are answered from what is
hidden, in four ways: none; those that the program asks, until it has none; as many in the
order of the form; and all of them but for the measurements. What a choice loses is its
expected cost, with all that told, beyond that of the plan which leads then.

This tells whether the questions are well chosen *if the rules are right*; the field table
tells whether the rules are.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from advisor.advice.advise import advise_quick
from advisor.advice.choosing.hazards import judge_gates
from advisor.advice.choosing.plans import Plan
from advisor.advice.choosing.working import Working, work_out
from advisor.advice.result import GateState
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Case, Span, Value
from advisor.facts.declaration import FactDecl, Kind
from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import method_word
from tests.field.gates import with_other_gates_cleared
from tests.field.table import read_cases

RUNS = 80
TOLD_AT_THE_DOOR = ("part.kind", "vehicle.kind", "damage.kind")
WORLDS = 4096
#: More questions than any case has facts.
MOST = 100


@dataclass
class Way:
    """One way to ask, and how it went in every run."""

    title: str
    questions: list[int] = field(default_factory=list)
    minutes: list[float] = field(default_factory=list)
    losses: list[float] = field(default_factory=list)
    same: list[bool] = field(default_factory=list)
    """Whether the method is the one that leads when all is told."""


class Customer:
    """A case of which only the beginning is told, and the hidden rest."""

    def __init__(self, told: Case, pack: RulePack, seed: int) -> None:
        kept = {name: told.facts[name] for name in TOLD_AT_THE_DOOR if name in told.facts}
        first = {n: v[:1] if isinstance(v, tuple) else v for n, v in kept.items()}
        self.pack = pack
        self.told = Case(told.name, facts=first)
        self._hidden = SampledWorlds(self.told, pack, 2, seed=seed)

    def answer(self, fact: str) -> Value:
        """What the technician would see."""
        decl, drawn = self.pack.facts[fact], self._hidden.values[fact][0]
        if decl.kind is Kind.CHOICE:
            return (decl.keys[int(drawn)],)
        if decl.kind is Kind.YES_NO:
            return bool(drawn)
        number = min(max(float(f"{drawn:.3g}"), decl.low), decl.high)
        number = float(round(number)) if decl.whole else number
        return Span(number, number)

    def telling(self, case: Case, fact: str) -> Case:
        """The case with one more answer, and every hazard that it brings up cleared."""
        return with_other_gates_cleared(case.with_fact(fact, self.answer(fact)), self.pack)

    def open_facts(self, case: Case) -> list[FactDecl]:
        """What could still be looked at or asked, without a measurement."""
        return [
            decl for decl in self.pack.asked(case)
            if decl.name not in case.facts and decl.kind is not Kind.TEXT
            and not decl.gate and decl.name not in self.pack.measurements
        ]  # fmt: skip

    def asked_by_the_program(self, case: Case) -> tuple[list[str], list[Plan | None]]:
        """Facts in the order in which the program asks, until it has no question.

        With them the plan that leads before the first of them, and after each.
        """
        facts: list[str] = []
        leading: list[Plan | None] = []
        while True:
            quick = advise_quick(case, self.pack, WORLDS)
            leading.append(_first(quick.working))
            asked = (q.fact for q in quick.advice.ask if q.worth_asking and not q.gate)
            fact = next(asked, None)
            if fact is None or len(facts) == MOST:
                return facts, leading
            case = self.telling(case, self.pack.facts[fact].reads or fact)
            facts.append(fact)

    def asked_in_order(self, case: Case) -> Iterator[str]:
        """Facts in the order of the form."""
        while rest := self.open_facts(case):
            case = self.telling(case, rest[0].name)
            yield rest[0].name

    def after(self, facts: list[str]) -> Case:
        """The case with these facts told."""
        case = with_other_gates_cleared(self.told, self.pack)
        for fact in facts:
            case = self.telling(case, self.pack.facts[fact].reads or fact)
        return case


def loss(chosen: Plan, told: Working) -> float:
    """What a method costs beyond the one that leads with everything told, at least nothing.

    The first plan under the same method stands for it: what turns up on opening is met as
    found. Where the method turns out not to be possible, the time until then is lost.
    """
    worlds = told.situation.worlds
    alike = next((plan for plan in told.plans if plan.lead == chosen.lead), None)
    if alike is None:
        prices = worlds.pack.prices
        return prices.aborted_minutes.mean * prices.hourly_rate.mean / 60.0
    return max(worlds.mean(alike.cost) - worlds.mean(told.plans[0].cost), 0.0)


def _first(working: Working | None) -> Plan | None:
    """The plan that leads; None where there is none."""
    return working.plans[0] if working is not None and working.plans else None


def run(customer: Customer, ways: dict[str, Way]) -> bool:
    """One customer, asked in every way; False where a gate is closed or there is no plan."""
    start = customer.after([])
    if any(gate.state is GateState.CLOSED for gate in judge_gates(start, customer.pack)):
        return False
    program, leading = customer.asked_by_the_program(start)
    everything = list(customer.asked_in_order(start))
    told = work_out(customer.after(everything), customer.pack, WORLDS)
    asked = {"none": [], "program": program, "form": everything[: len(program)],
             "all": everything}  # fmt: skip
    by_form = work_out(customer.after(asked["form"]), customer.pack, WORLDS)
    chosen = {"none": leading[0], "program": leading[-1], "form": _first(by_form),
              "all": _first(told)}  # fmt: skip
    if not told.plans or any(plan is None for plan in chosen.values()):
        return False
    overhead = customer.pack.prices.question_overhead.mean
    for way, plan in chosen.items():
        assert plan is not None
        record = ways[way]
        record.questions.append(len(asked[way]))
        record.minutes.append(
            sum(customer.pack.facts[fact].minutes + overhead for fact in asked[way])
        )
        record.losses.append(loss(plan, told))
        record.same.append(method_word(plan.lead) == method_word(told.plans[0].lead))
    return True


def evaluate(
    pack: RulePack, runs: int, watch: Callable[[str], None] = lambda _: None
) -> dict[str, Way]:
    """All ways to ask over ``runs`` customers, the field cases in turn."""
    ways = {"none": Way("nothing"), "program": Way("what the program asks"),
            "form": Way("as many, in the order of the form"), "all": Way("everything")}  # fmt: skip
    cases = list(read_cases(pack).values())
    for number in range(runs):
        told = cases[number % len(cases)]
        watch(f"customer {number + 1} of {runs}")
        run(Customer(told, pack, seed=1000 + number), ways)
    return ways


def mean(values: list[float]) -> float:
    """The average; 0 of nothing."""
    return sum(values) / len(values) if values else 0.0


def table(ways: dict[str, Way], rate: float) -> str:
    """The ways side by side; ``rate`` is money a minute."""
    lines = [f"{'asked':<36}{'questions':>10}{'minutes':>9}{'loses':>8}{'with minutes':>14}"
             f"{'same method':>13}"]  # fmt: skip
    for way in ways.values():
        lost, minutes = mean(way.losses), mean(way.minutes)
        same = round(100 * mean([float(s) for s in way.same]))
        lines.append(f"{way.title:<36}{mean([float(q) for q in way.questions]):>10.1f}"
                     f"{minutes:>9.1f}{lost:>8.1f}{lost + rate * minutes:>14.1f}"
                     f"{same:>9} of 100")  # fmt: skip
    return "\n".join(lines)


def main(arguments: list[str]) -> None:
    """Print the table."""
    pack = load_pack()
    runs = int(arguments[0]) if arguments else RUNS
    ways = evaluate(pack, runs)
    print(f"{len(ways['all'].losses)} of {runs} customers; money in {pack.currency}, a customer")
    print(table(ways, pack.prices.hourly_rate.mean / 60.0))


if __name__ == "__main__":
    main(sys.argv[1:])
