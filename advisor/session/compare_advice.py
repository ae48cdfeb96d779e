"""Two advices side by side in words: now, with the tried answer, what changes. Knows no Qt."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.advice.result import Advice, MethodAdvice, PlanAdvice, Status, Verdict
from advisor.session.advice_service import Pack
from advisor.session.answer_text import standing
from advisor.session.screens import next_open
from advisor.wording.counts import HoldBasis, of_hundred, percent
from advisor.wording.durations import duration_with_range
from advisor.wording.figures import UNBOUNDED, to_digits
from advisor.wording.money import price_text, round_money
from advisor.wording.sentences import listed, lowered, sentence

VERDICTS: dict[Verdict, str] = {
    Verdict.PLAN: "Repair by this plan",
    Verdict.ASK: "Not final: a question is open",
    Verdict.REFER: "Refer this job",
    Verdict.DECLINE: "Do not repair",
}
#: A usage or price must change by this share to be worth a sentence.
NOTICED = 0.05
#: Sentences on methods other than the lead.
MOST_METHODS = 4


@dataclass(frozen=True)
class Row:
    """One line of the comparison."""

    title: str
    before: str
    after: str

    @property
    def moved(self) -> bool:
        """Whether the two differ."""
        return self.before != self.after


@dataclass(frozen=True)
class Pair:
    """One method before and after."""

    title: str
    before: MethodAdvice | None
    after: MethodAdvice | None


def shown_plan(advice: Advice) -> PlanAdvice | None:
    """The plan that may be shown: none where a hazard stops the job, or it is advised against."""
    return None if advice.verdict in (Verdict.REFER, Verdict.DECLINE) else advice.plan


def rows(before: Advice, after: Advice, pack: Pack) -> tuple[Row, ...]:
    """Verdict, plan, price, time, strength and what to ask, line by line."""
    one, other = _cells(before, pack), _cells(after, pack)
    return tuple(Row(title, one[title], other[title]) for title in one)


def _cells(advice: Advice, pack: Pack) -> dict[str, str]:
    plan = shown_plan(advice)
    cells = {"Verdict": VERDICTS[advice.verdict], "Plan": "none"}
    cells |= dict.fromkeys(("Price", "Time", "Holds", "Best"), "-")
    if plan is not None:
        cells["Plan"] = "\n".join(f"{i}. {t}" for i, t in enumerate(plan.titles, start=1))
        if plan.price is not None and plan.minutes is not None:
            cells["Price"] = price_text(plan.price, advice.currency, advice.tax)
            cells["Time"] = duration_with_range(plan.minutes)
        cells["Holds"] = _held(plan)
        cells["Best"] = f"in {of_hundred(advice.settled)} simulated cases"
    fact = next_open(advice)
    known = pack.facts.get(fact) if fact is not None else None
    cells["Ask next"] = known.title if known is not None else "nothing more"
    return cells


def _held(plan: PlanAdvice) -> str:
    """How often a plan holds, and what that rests on."""
    share = of_hundred(plan.hold_probability)
    if plan.hold_basis is HoldBasis.EXPERIENCE:
        return f"{share} by experience of the trade"
    return f"in {share} simulated cases"


def pairs(before: Advice, after: Advice) -> tuple[Pair, ...]:
    """Methods that are calculated in one of the two, the plans' methods first."""
    old = {m.method: m for m in before.methods}
    new = {m.method: m for m in after.methods}
    plans = (shown_plan(before), shown_plan(after))
    planned = [key for plan in plans if plan is not None for key in plan.methods]
    keys = dict.fromkeys((*planned, *new, *old))
    found = [Pair((new.get(key) or old[key]).title, old.get(key), new.get(key)) for key in keys]
    return tuple(pair for pair in found if has_bar(pair.before) or has_bar(pair.after))


def has_bar(method: MethodAdvice | None) -> bool:
    """Whether there is a usage to draw."""
    if method is None or method.usage is None:
        return False
    return method.status in (Status.HOLDS, Status.FAILS)


def moved(before: Advice, after: Advice) -> tuple[str, ...]:
    """What the other answer changes, in short sentences; one that says so where nothing does."""
    said = [*_verdict(before, after), *_plan(before, after), *_methods(before, after)]
    if said:
        return tuple(said)
    if shown_plan(after) is None:
        return (f"Nothing changes: {lowered(VERDICTS[after.verdict])}.",)
    return ("Nothing changes: the same plan, price and strength.",)


def _verdict(before: Advice, after: Advice) -> list[str]:
    if before.verdict is after.verdict:
        return []
    said = [f"{VERDICTS[after.verdict]}. Now: {lowered(VERDICTS[before.verdict])}."]
    if after.verdict is Verdict.REFER:
        said.append(sentence(after.headline))
    return said


def _plan(before: Advice, after: Advice) -> list[str]:
    old, new = shown_plan(before), shown_plan(after)
    if old is None or new is None:
        return []
    said = []
    if old.lead != new.lead:
        said.append(f"{new.lead_title} is best instead of: {lowered(old.lead_title)}.")
    for lead, ours, others in (("Also needed", new, old), ("No longer needed", old, new)):
        pairs_of = zip(ours.methods, ours.titles, strict=True)
        extra = [t for k, t in pairs_of if k not in others.methods and k != ours.lead]
        if extra:
            said.append(f"{lead}: {listed(tuple(lowered(t) for t in extra))}.")
    if new.price is not None and old.price is not None:
        more = new.price.typical - old.price.typical
        if abs(more) > max(NOTICED * old.price.typical, 1.0):
            word = "more" if more > 0 else "less"
            said.append(f"It costs about {after.currency} {round_money(abs(more))} {word}.")
    was, now = (of_hundred(p.hold_probability) for p in (old, new))
    if abs(new.hold_probability - old.hold_probability) >= 0.01 and was != now:
        word = "more" if new.hold_probability > old.hold_probability else "less"
        bases = {one.hold_basis is HoldBasis.EXPERIENCE for one in (old, new)}
        if bases == {False}:
            said.append(f"It holds {word} often: in {now} simulated cases instead of {was}.")
        else:
            said.append(f"It holds {word} often: {_held(new)} instead of {_held(old)}.")
    return said


def _methods(before: Advice, after: Advice) -> list[str]:
    """Methods whose standing or usage changes, what changes its standing first."""
    turned, shifted = [], []
    for pair in pairs(before, after):
        old, new = pair.before, pair.after
        if old is None or new is None:
            continue
        if standing(old) != standing(new):
            turned.append(
                f"{pair.title}: {standing(old)} now, {standing(new)} with this answer."
            )
        elif old.usage is not None and new.usage is not None:
            was, now = old.usage.typical, new.usage.typical
            if abs(now - was) > NOTICED * max(was, 1e-9):
                change = abs(now - was) / max(was, 1e-9)
                text = f"{pair.title}: {used(was)} now, {used(now)} with this answer."
                shifted.append((change, text))
    shifted.sort(key=lambda item: -item[0])
    return [*turned, *(text for _, text in shifted)][:MOST_METHODS]


def used(usage: float) -> str:
    """A usage in a few words."""
    if usage >= UNBOUNDED:
        return "carries nothing"
    if usage >= 2.0:
        return f"{to_digits(usage)} times the limit"
    return f"loaded to {percent(usage)}"
