"""Damages in customers' words, never tried before: ``python -m tests.field.rehearsal [F G ...]``.

Prints for each case that is not right what is wrong with it: words that do not find their part or
damage, answers that cannot be given, a wrong lead, question or price; then the share that is right.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path
from typing import Literal

import yaml
from pydantic import Field

from advisor.advice.advise import advise
from advisor.advice.result import Advice, Verdict
from advisor.drawing.picker_layout import found
from advisor.facts.answer import AnswerError, check_value
from advisor.facts.case import DAMAGE, PART, Case, EarlierRepair, Value
from advisor.job.model import JobSheet
from advisor.job.sheet import job_sheet, together
from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.pack import RulePack
from tests.field.gates import with_other_gates_cleared
from tests.field.week import lead_of
from tests.field.week_cases import Answers, Strict, Words, read_method_words

WORLDS = 1024
TOP = 3
#: A price counts as absurd where it misses what customers pay by more than this.
ABSURD = 1.5


class Also(Strict):
    """A second damage of the same vehicle; its part where it is another one."""

    part: Words = ()
    damage: Words
    facts: Answers = Field(default_factory=dict)
    lead: Words


class Earlier(Strict):
    """A repair that was tried before."""

    method: str
    result: str = ""
    lasted: str = ""


class Told(Strict):
    """One damage as it was told, and what is right for it."""

    id: str
    said: str
    part: Words
    damage: Words
    type: tuple[str, str]
    setting: str
    facts: Answers = Field(default_factory=dict)
    earlier: tuple[Earlier, ...] = ()
    open: Words = ()
    answer: Literal["plan", "ask", "refer", "stop", "not_covered"]
    may_ask: Words = ()
    ask: Words = ()
    lead: Words = ()
    never: Words = ()
    pays: tuple[float, float] | None = None
    also: Also | None = None
    judged: str = ""
    """Why, looked at afterwards, the expectation was wrong and the answer is right."""


class Rehearsal(Strict):
    """Everything in ``rehearsal.yaml``."""

    settings: dict[str, Answers]
    cases: tuple[Told, ...] = Field(min_length=1)


@cache
def read_rehearsal() -> Rehearsal:
    """The cases. Raises ValidationError where the file is not as described."""
    text = (Path(__file__).parent / "rehearsal.yaml").read_text(encoding="utf-8")
    return Rehearsal.model_validate(yaml.safe_load(text))


class Tried:
    """One case entered by the program's own ways: words first, then the answers."""

    def __init__(self, told: Told, pack: RulePack) -> None:
        self.told, self.pack = told, pack
        self.missing: list[str] = []
        self.case = self._case(told.part[0], told.damage[0], told.facts, told.id)
        self.advice = advise(self.case, pack, WORLDS, flips=False)
        self.sheet = job_sheet(self.case, pack, self.advice)
        self.second: tuple[Advice, JobSheet] | None = None
        if told.also is not None:
            part = (*told.also.part, told.part[0])[0]
            case = self._case(part, told.also.damage[0], told.also.facts, f"{told.id}-2")
            advice = advise(case, pack, WORLDS, flips=False)
            self.second = advice, job_sheet(case, pack, advice)

    def _case(self, part: str, damage: str, facts: Answers, name: str) -> Case:
        setting = read_rehearsal().settings[self.told.setting]
        told: Answers = {PART: part, DAMAGE: damage}
        given = {**setting, **told, **facts}
        kept: dict[str, Value] = {}
        for fact, raw in given.items():
            if raw is None:
                continue
            try:
                kind = kept.get(PART)
                assert kind is None or isinstance(kind, tuple)
                kept[fact] = check_value(self.pack.facts[fact], raw, kind)
            except (KeyError, AnswerError) as error:
                self.missing.append(f"cannot tell {fact}: {raw} ({error})")
        earlier = tuple(
            EarlierRepair(one.method, result=one.result, lasted=one.lasted)
            for one in self.told.earlier
        )
        case = Case(name, self.told.said, facts=kept, earlier_repairs=earlier)
        case = with_other_gates_cleared(case, self.pack, self.told.open)
        asked = {decl.name for decl in self.pack.asked(case)}
        for fact in facts:
            if fact in kept and fact not in asked:
                self.missing.append(f"{fact} is not asked")
                case = case.without(fact)
        return case

    @property
    def lead(self) -> str:
        """Key of what leads, final or so far; ``refer``; empty where nothing does."""
        return lead_of(self.advice)

    @property
    def asked(self) -> list[str]:
        """Hazards first, as they are asked, the questions that come first, what a quote wants."""
        open_hazards = [self.pack.gates[gate.gate].fact for gate in self.advice.open_hazards]
        sizes = [size.fact for size in self.sheet.open_sizes]
        return open_hazards + [question.fact for question in self.advice.ask[:TOP]] + sizes

    @property
    def quoted(self) -> float | None:
        """What the customer is quoted with tax, for all that was told; None without a price."""
        sheets = [self.sheet] + ([self.second[1]] if self.second else [])
        price = together(sheets, self.pack).price
        return price.total.high if price is not None else None

    def faults(self) -> list[str]:
        """What is wrong; nothing where the case is right."""
        return [*self._lost(), *self.missing, *self._wrong()]

    def _lost(self) -> Iterator[str]:
        told = self.told
        vehicles = self.case.facts.get("vehicle.kind", ())
        assert isinstance(vehicles, tuple)
        bare = Case(told.id, facts={k: v for k, v in self.case.facts.items()
                                    if k in ("vehicle.kind",)})  # fmt: skip
        named = bare.with_fact(PART, (told.part[0],))
        for fact, case, right, text in (
            (PART, bare, told.part, told.type[0]), (DAMAGE, named, told.damage, told.type[1]),
        ):  # fmt: skip
            if not text:
                continue
            shown = [o.key for o in found(self.pack.offered(fact, case), text, vehicles)]
            if not set(shown[:TOP]) & set(right):
                yield f"typing “{text}” finds {', '.join(shown[:TOP]) or 'nothing'}"

    def _wrong(self) -> Iterator[str]:
        told, advice = self.told, self.advice
        words = read_method_words()
        asked = ", ".join(self.asked) or "nothing"
        if told.answer == "not_covered":
            if advice.not_covered is None:
                yield f"{advice.verdict} {self.lead}: should be said to be not covered"
            return
        if advice.not_covered is not None:
            yield "said to be not covered"
            return
        if told.answer == "refer" and advice.verdict is not Verdict.REFER:
            yield f"{advice.verdict} {self.lead}, not refer"
        if told.answer == "stop" and advice.verdict not in (Verdict.REFER, Verdict.DECLINE):
            yield f"{advice.verdict} {self.lead}, not stopped"
        if told.answer == "ask":
            if advice.verdict is not Verdict.ASK and not self.sheet.open_sizes:
                yield f"{advice.verdict} {self.lead} without asking {' or '.join(told.ask)}"
            elif not set(told.ask) & set(self.asked):
                yield f"asks {asked}, not {' or '.join(told.ask)}"
        if told.answer == "plan":
            if advice.verdict is Verdict.ASK and not set(told.may_ask) & set(self.asked):
                yield f"asks {asked} ({self.lead} leads)"
            elif advice.verdict not in (Verdict.PLAN, Verdict.ASK):
                yield f"{advice.verdict}: {advice.headline}"
        if told.lead and self.lead and not any(words.means(w, self.lead) for w in told.lead):
            yield f"{self.lead} leads, not {' or '.join(told.lead)}"
        if any(words.means(word, self.lead) for word in told.never):
            yield f"{self.lead} must never lead"
        if self.second is not None and told.also is not None:
            plan = self.second[0].plan
            lead = plan.lead if plan is not None else ""
            if not any(words.means(word, lead) for word in told.also.lead):
                yield f"second: {lead or 'nothing'} leads, not {' or '.join(told.also.lead)}"
        if told.pays is not None and told.answer == "plan":
            low, high = told.pays
            quoted = self.quoted
            if quoted is None:
                yield "no price"
            elif not low <= quoted <= high:
                far = "absurd " if quoted > high * ABSURD or quoted < low / ABSURD else ""
                yield f"{far}price {quoted:.0f}, customers pay {low:.0f} to {high:.0f}"


def main(arguments: Sequence[str]) -> int:
    """Print what is wrong, by case; 0 where nothing is."""
    pack = load_pack()
    named = tuple(arguments)
    cases = [told for told in read_rehearsal().cases if not named or told.id.startswith(named)]
    wrong: Counter[str] = Counter()
    for told in cases:
        tried = Tried(told, pack)
        if faults := tried.faults():
            wrong[told.id[0]] += 1
            print(f"{told.id}  {told.said}")
            print(f"      {tried.advice.verdict}, {tried.lead or '-'}", end="")
            print(f", {tried.quoted:.0f}" if tried.quoted else "")
            print(*(f"      - {fault}" for fault in faults), sep="\n")
            if told.judged:
                print(f"      the expectation was wrong: {told.judged}")
    for letter, number in sorted(Counter(told.id[0] for told in cases).items()):
        right = number - wrong[letter]
        print(f"set {letter}: {right} of {number} right, {right / number:.0%}")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
