"""How much of a trim shop's week the advisor gets right: ``python -m tests.field.week``.

Prints for every kind of job how many of its cases can be told, are planned right as well, and are
priced right as well; then for each of four shops the share of a week's jobs that is right; then
what is missing or wrong, case by case; then the same jobs as other customers word them.
``python -m tests.field.week 4 18`` looks at these rows only. Exit code 0 where at least 95 % of
the weight is right in every column and every wording, else 1.
"""

from __future__ import annotations

import re
import sys
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from advisor.advice.advise import advise
from advisor.advice.result import Advice, Status, Verdict
from advisor.facts.answer import AnswerError, check_value
from advisor.facts.case import PART, Case, Span, Value
from advisor.job.model import JobSheet, WorkKind
from advisor.job.sheet import job_sheet
from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.pack import RulePack
from tests.field.gates import with_other_gates_cleared
from tests.field.week_cases import (
    COLUMNS,
    REFER,
    Answers,
    MethodWords,
    PriceRule,
    Row,
    Telling,
    Week,
    WeekCase,
    Worth,
    read_method_words,
    read_week,
)

#: Few worlds are enough to see what leads.
WORLDS = 1024
TARGET = 95.0
TOP = 3
#: Two prices this near are the same; a share.
SAME = 0.01


@dataclass(frozen=True)
class Outcome:
    """One case as it was answered: what is missing, wrong in the plan, wrong in the price."""

    case: WeekCase
    missing: tuple[str, ...] = ()
    plan_faults: tuple[str, ...] = ()
    price_faults: tuple[str, ...] = ()

    @property
    def told(self) -> bool:
        """True where every answer it needs can be given."""
        return not self.missing

    @property
    def planned(self) -> bool:
        """True where it can be told and the plan is right."""
        return self.told and not self.plan_faults

    @property
    def right(self) -> bool:
        """True where it can be told, is planned right and priced right."""
        return self.planned and not self.price_faults

    @property
    def faults(self) -> tuple[str, ...]:
        """What stands between it and being right."""
        return (*self.missing, *self.plan_faults, *self.price_faults)


class Teller:
    """Tells cases to the program as far as its rules have the words."""

    def __init__(self, week: Week, pack: RulePack) -> None:
        self.week = week
        self.pack = pack

    def tell(
        self, entry: WeekCase, changed: Answers | None = None, *, drop_unasked: bool = False
    ) -> tuple[Case, list[str]]:
        """The case with hazards answered, and what of it cannot be told.

        ``changed`` takes the place of the case's own answers; None as an answer leaves it open.
        ``drop_unasked`` leaves out an answer that the program does not ask for here, which is
        missing otherwise: another damage is told of, and nobody answers what is not asked.
        """
        own: Answers = {**entry.facts, **entry.wants, **(changed or {})}
        given = {**self.week.settings[entry.setting], **own}
        facts: dict[str, Value] = {}
        missing: list[str] = []
        for name, raw in given.items():
            if raw is None:
                continue
            if name not in self.pack.facts:
                missing.append(f"no question {name}")
                continue
            try:
                facts[name] = self._value(name, raw, facts.get(PART))
            except AnswerError:
                missing.append(f"no answer {name}: {_shown(raw)}")
        case = Case(entry.id, entry.told, facts=facts, earlier_repairs=())
        case = with_other_gates_cleared(case, self.pack)
        if not missing:
            asked = {decl.name for decl in self.pack.asked(case)}
            unasked = [name for name in own if name in facts and name not in asked]
            if not drop_unasked:
                missing += [f"not asked here: {name}" for name in unasked]
            for name in unasked if drop_unasked else ():
                case = case.without(name)
        return case, missing

    def _value(self, name: str, raw: object, part: Value | None) -> Value:
        kind = part if isinstance(part, (str, tuple)) else None
        return check_value(self.pack.facts[name], raw, kind)


def _shown(raw: object) -> str:
    return {True: "yes", False: "no"}[raw] if isinstance(raw, bool) else str(raw)


def lead_of(advice: Advice) -> str:
    """Key of what leads, final or so far; ``refer``, or empty where nothing does."""
    if advice.verdict is Verdict.REFER:
        return REFER
    return advice.plan.lead if advice.plan is not None else ""


@dataclass(frozen=True)
class Answered:
    """What the program says of one told case."""

    advice: Advice
    sheet: JobSheet

    @property
    def lead(self) -> str:
        """Key of what leads, final or so far; ``refer``, or empty where nothing does."""
        return lead_of(self.advice)

    @property
    def methods(self) -> tuple[str, ...]:
        """Keys of the methods of the leading plan."""
        return self.advice.plan.methods if self.advice.plan is not None else ()

    @property
    def worked(self) -> float | None:
        """Expected price before tax, reserve and the call-out minimum; None where none is given."""
        price = self.sheet.price
        if price is None:
            return None
        left_out = ("minimum", "reserve")
        return sum(line.amount for line in price.lines if line.kind not in left_out)

    @property
    def text(self) -> str:
        """Everything a technician reads of the plan, or of why there is none."""
        sheet, advice = self.sheet, self.advice
        said: list[str] = [advice.headline, sheet.why, *advice.cautions, *sheet.notes]
        said += [f"{step.text} {' '.join(step.cautions)}" for step in sheet.steps]
        said += [material.what + " " + material.note for material in sheet.materials]
        said += [text for group in sheet.groups for text in group.tips]
        said += [
            f"{amount.title} {amount.words or round(amount.value.typical)} {amount.note}"
            for group in sheet.groups
            for amount in group.amounts
        ]
        said += [item.title for item in sheet.items] + [wait.title for wait in sheet.waits]
        if advice.verdict is Verdict.REFER:
            said += [gate.text for gate in advice.gates] + [why.text for why in advice.reasons]
        return "\n".join(said)


class Judge:
    """Answers the cases and holds the answers against what is right."""

    def __init__(self, week: Week, words: MethodWords, pack: RulePack) -> None:
        self.week, self.words, self.pack = week, words, pack
        self.teller = Teller(week, pack)

    def judged(self, entry: WeekCase) -> Outcome:
        """One case. What cannot be told is not advised on: a plan for another damage is none."""
        case, missing = self.teller.tell(entry)
        if missing:
            return Outcome(entry, tuple(missing))
        found = self._answered(case)
        plan_faults = tuple(self._plan_faults(entry, found))
        if plan_faults:
            return Outcome(entry, plan_faults=plan_faults)
        return Outcome(entry, price_faults=tuple(self._price_faults(entry, found)))

    def retold(self, telling: Telling) -> tuple[str, ...]:
        """What is wrong with the answer to a case in other words; nothing where it is right."""
        entry = self.week.by_id[telling.of]
        case, missing = self.teller.tell(entry, telling.answers, drop_unasked=True)
        if missing:
            return tuple(missing)
        found = self._answered(case)
        if found.advice.verdict is Verdict.ASK:
            asked = [question.fact for question in found.advice.ask[:TOP]]
            return () if set(asked) & set(telling.apart) else (f"asks {', '.join(asked)}",)
        if self._any(entry.never, found.lead) or not self._any(entry.lead, found.lead):
            return (f"{found.lead or 'nothing'} leads, not {' or '.join(entry.lead)}",)
        return ()

    def _answered(self, case: Case) -> Answered:
        advice = advise(case, self.pack, WORLDS, flips=False)
        return Answered(advice, job_sheet(case, self.pack, advice))

    def _any(self, words: Iterable[str], key: str) -> bool:
        return any(self.words.means(word, key) for word in words)

    def _plan_faults(self, entry: WeekCase, found: Answered) -> Iterator[str]:
        verdict, lead = found.advice.verdict, found.lead
        if not self._any(entry.lead, lead):
            yield f"{lead or 'nothing'} leads, not {' or '.join(entry.lead)}"
        elif self._any(entry.never, lead):
            yield f"{lead} must never lead"
        asked = [question.fact for question in found.advice.ask[:TOP]]
        if entry.ask:
            if verdict is not Verdict.ASK or not set(entry.ask) & set(asked):
                yield f"{verdict}, does not ask {' or '.join(entry.ask)} first"
        elif verdict is Verdict.ASK:
            yield f"asks {', '.join(asked)}"
        elif verdict is Verdict.DECLINE:
            yield "declined"
        for word in entry.with_:
            if not any(self.words.means(word, key) for key in found.methods):
                yield f"{word} is not in the plan"
        for key in found.methods:
            if self._any(entry.never_in_plan, key):
                yield f"{key} is in the plan"
        offered = {m.method for m in found.advice.methods if m.status is Status.HOLDS}
        offered.update(key for plan in found.advice.plans for key in plan.methods)
        if entry.option and not any(self._any(entry.option, key) for key in offered):
            yield f"{' or '.join(entry.option)} is not offered"
        yield from _sheet_faults(entry, found)

    def _price_faults(self, entry: WeekCase, found: Answered) -> Iterator[str]:
        if entry.lead == (REFER,):
            if found.sheet.price is not None:
                yield "a price for what is referred"
            return
        price = found.worked
        if price is None:
            yield "no price"
            return
        for rule in entry.price:
            yield from self._rule_faults(entry, rule, price)

    def _rule_faults(self, entry: WeekCase, rule: PriceRule, price: float) -> Iterator[str]:
        if rule.worth is not None:
            low, high = self._bounds(rule.worth)
            if not low <= price <= high:
                yield f"{price:.0f} is outside {low:.0f} to {high:.0f}"
        elif rule.further:
            yield from self._further_faults(entry, rule.further, price)
        elif rule.if_ is not None:
            words = ", ".join(f"{name} {_shown(raw)}" for name, raw in rule.if_.items())
            other = self._priced(entry, rule.if_)
            if isinstance(other, str):
                yield f"if {words}: {other}"
            elif not _moves(price, other, str(rule.is_)):
                yield f"if {words}: {other:.0f} against {price:.0f} is not {rule.is_}"

    def _further_faults(self, entry: WeekCase, fact: str, price: float) -> Iterator[str]:
        case, _ = self.teller.tell(entry)
        value = case.facts[fact]
        assert isinstance(value, Span)
        first = self._priced(entry, {fact: 1})
        if isinstance(first, str):
            yield f"if {fact} 1: {first}"
            return
        step = (price - first) / (value.low - 1.0)
        if not SAME * first < step < first:
            yield f"each further {fact} adds {step:.0f}, the first costs {first:.0f}"

    def _priced(self, entry: WeekCase, changed: Answers) -> float | str:
        """Price of the case told otherwise, or why there is none."""
        case, missing = self.teller.tell(entry, changed)
        if missing:
            return "; ".join(missing)
        worked = self._answered(case).worked
        return "no price" if worked is None else worked

    def _bounds(self, worth: Worth) -> tuple[float, float]:
        prices = self.pack.prices
        rate, markup = prices.hourly_rate.mean / 60.0, 1.0 + prices.material_markup.mean
        sums = [m * rate + b * markup for m, b in zip(worth.minutes, worth.bought, strict=True)]
        return sums[0], sums[-1]


def _moves(price: float, other: float, how: str) -> bool:
    """Whether ``other`` stands to ``price`` as ``how`` says."""
    if how == "same":
        return abs(other - price) <= SAME * price
    if how == "not_cheaper":
        return other >= price * (1.0 - SAME)
    return other > price * (1.0 + SAME) if how == "dearer" else other < price * (1.0 - SAME)


def _sheet_faults(entry: WeekCase, found: Answered) -> Iterator[str]:
    text, sheet = found.text, found.sheet
    yield from (f"does not say {p}" for p in entry.says if not _in(p, text))
    yield from (f"says {p}" for p in entry.says_not if _in(p, text))
    at = 0
    for pattern in entry.steps:
        later = [i for i, step in enumerate(sheet.steps) if i >= at and _in(pattern, step.text)]
        if not later:
            yield f"no step {pattern} from step {at + 1} on"
            break
        at = later[0]
    if entry.sheet.deposit and sheet.deposit is None:
        yield "no deposit"
    if entry.sheet.cut and sheet.cut is None:
        yield "no cutting layout"
    if entry.sheet.access_once:
        access = [item.title for item in sheet.items if _is_access(item.kind, item.title)]
        if len(access) > 1:
            yield f"access is charged {len(access)} times: {'; '.join(access)}"


def _is_access(kind: WorkKind, title: str) -> bool:
    return kind is WorkKind.ACCESS or _in(r"\boff and (back )?on\b|\brefit", title)


def _in(pattern: str, text: str) -> bool:
    return re.search(pattern, text, re.IGNORECASE) is not None


def judge_week(rows: Sequence[int] = ()) -> list[Outcome]:
    """All cases, or those of some rows, in the order of the file."""
    week = read_week()
    judge = Judge(week, read_method_words(), load_pack())
    return [judge.judged(case) for case in week.cases if not rows or case.row in rows]


def judge_tellings(rows: Sequence[int] = ()) -> list[tuple[Telling, tuple[str, ...]]]:
    """Cases in other words, all or of some rows, each with what is wrong."""
    week = read_week()
    judge = Judge(week, read_method_words(), load_pack())
    return [
        (telling, judge.retold(telling))
        for telling in week.tellings
        if not rows or week.by_id[telling.of].row in rows
    ]


def share_right(outcomes: Iterable[Outcome]) -> float:
    """Share of cases that are right, 0 to 1."""
    found = list(outcomes)
    return sum(outcome.right for outcome in found) / len(found)


def coverage(rows: Iterable[Row], outcomes: Sequence[Outcome]) -> dict[str, float]:
    """Per cent of a week's jobs that are right, by shop."""
    shares = {row: share_right(o for o in outcomes if o.case.row == row.row) for row in rows}
    return {
        column: sum(row.share(column) * share for row, share in shares.items())
        for column in COLUMNS
    }


def table(rows: Sequence[Row], outcomes: Sequence[Outcome]) -> list[str]:
    """One line a kind of job, and the four columns."""
    weights = "".join(f"{column:>12}" for column in COLUMNS)
    lines = [f"{'row':>3}  {'kind of job':<46}{'cases':>6}{'told':>6}{'planned':>9}{'priced':>8}"
             f"{'right':>7}{weights}"]  # fmt: skip
    for row in rows:
        own = [o for o in outcomes if o.case.row == row.row]
        told, planned = sum(o.told for o in own), sum(o.planned for o in own)
        right = sum(o.right for o in own)
        cells = "".join(f"{row.share(column):>12}" for column in COLUMNS)
        lines.append(f"{row.row:>3}  {row.kind:<46}{len(own):>6}{told:>6}{planned:>9}{right:>8}"
                     f"{share_right(own):>7.0%}{cells}")  # fmt: skip
    told, planned = sum(o.told for o in outcomes), sum(o.planned for o in outcomes)
    right = sum(o.right for o in outcomes)
    cells = "".join(f"{value:>10.1f} %" for value in coverage(rows, outcomes).values())
    lines.append(f"{'':>3}  {'all; weight that is right':<46}{len(outcomes):>6}{told:>6}"
                 f"{planned:>9}{right:>8}{share_right(outcomes):>7.0%}{cells}")  # fmt: skip
    return lines


def details(outcomes: Iterable[Outcome]) -> list[str]:
    """What is missing or wrong, by case; then how often each missing thing was missed."""
    wrong = [outcome for outcome in outcomes if not outcome.right]
    lines = []
    for outcome in wrong:
        state = "cannot be told" if not outcome.told else "priced" if outcome.planned else "planned"
        label = state if not outcome.told else f"{state} wrong"
        lines.append(f"{outcome.case.id:<7}{label}: {'; '.join(outcome.faults)}")
    missed = Counter(fault for outcome in wrong for fault in outcome.missing)
    if missed:
        lines += ["", "What cannot be told, by how many cases miss it:"]
        lines += [f"{count:>4}  {fault}" for fault, count in missed.most_common()]
    return lines


def methods_missing(words: MethodWords, pack: RulePack) -> list[str]:
    """Methods that cases ask for and the rules do not have, in the order of the words file."""
    return [word for word in words.wanted if not any(words.means(word, k) for k in pack.methods)]


def met(shares: Mapping[str, float]) -> bool:
    """Whether every shop's week is right as far as is wanted."""
    return all(share >= TARGET for share in shares.values())


def main(arguments: Sequence[str]) -> int:
    """Print the table; 0 where the target is met in every column, else 1."""
    wanted = [int(word) for word in arguments]
    outcomes = judge_week(wanted)
    rows = [row for row in read_week().rows if not wanted or row.row in wanted]
    print("\n".join([*table(rows, outcomes), "", *details(outcomes)]))
    tellings = judge_tellings(wanted)
    right = sum(not faults for _, faults in tellings)
    print(f"\nThe same jobs in other words: {right} of {len(tellings)} lead to the same or ask")
    print("\n".join(f"{t.of:<7}{t.told}: {'; '.join(f)}" for t, f in tellings if f))
    lacking = methods_missing(read_method_words(), load_pack())
    print(f"\nMethods that the rules do not have: {', '.join(lacking) or 'none'}")
    if wanted:
        return 0 if all(o.right for o in outcomes) and right == len(tellings) else 1
    reached = met(coverage(rows, outcomes)) and right == len(tellings)
    state = "met" if reached else "NOT MET"
    print(f"\nTarget ({TARGET:g} % of the weight in every column, every wording): {state}")
    return 0 if reached else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
