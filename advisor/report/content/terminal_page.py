"""The advice in a screenful of plain text, for the command line."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from advisor.advice.result import Advice, MethodAdvice, PlanAdvice, Status, Verdict
from advisor.facts.quantity import System, show, shown_unit
from advisor.report.status_words import MAY_FAIL_FROM
from advisor.wording.counts import hold_words, simulated_cases
from advisor.wording.money import price_text
from advisor.wording.phrases import filled, in_units

WIDTH = 96
STATUS_WORDS = {
    Status.HOLDS: "holds",
    Status.FAILS: "fails",
    Status.NOT_POSSIBLE: "not possible",
    Status.BLOCKED: "stopped",
    Status.NOT_NEEDED: "not needed",
}
def brief_text(advice: Advice, system: System = System.METRIC) -> str:
    """Verdict, plan, methods, loads, questions and what would change the choice.

    Lines of at most 96 characters; ends without a newline.
    """
    lines: list[str] = []
    for block in (_head, _not_covered, _plan, _ask, _methods, _loads, _flips, _cautions, _foot):
        part = list(block(advice, system))
        if part and lines:
            lines.append("")
        lines += part
    return "\n".join(lines)


def _wrapped(text: str, system: System, indent: str = "", later: str | None = None) -> list[str]:
    """Lines of a sentence, its quantities in ``system`` too."""
    return textwrap.wrap(
        in_units(text, system), WIDTH, initial_indent=indent, subsequent_indent=later or indent
    )


def _head(advice: Advice, system: System) -> Iterator[str]:
    yield f"{advice.case}  {advice.title}".rstrip()
    yield from _wrapped(filled("{}: {}", advice.verdict.upper(), advice.headline), system)
    for finding in advice.findings:
        yield from _wrapped(filled("Finding: {}", finding), system)


def _not_covered(advice: Advice, system: System) -> Iterator[str]:
    told = advice.not_covered
    if told is None or advice.verdict is Verdict.REFER:
        return
    for head, near in told.nearest_lines:
        yield from _wrapped(filled("{}: {}", head, near), system, "", "  ")
    yield "What a person checks"
    for text in told.check:
        yield from _wrapped(text, system, "  - ", "    ")


def _plan(advice: Advice, system: System) -> Iterator[str]:
    plan = advice.plan
    if plan is None:
        return
    if advice.verdict is Verdict.DECLINE:  # it must not be mistaken for work to do
        yield "Best that was found, not advised"
    else:
        yield "Best so far (provisional)" if advice.provisional else "Plan"
    for number, title in enumerate(plan.titles, start=1):
        yield f"  {number}. {title}"
    yield from _wrapped(_plan_words(plan, advice), system, "  ")
    others = [other for other in advice.plans if other is not plan][:3]
    if others:
        yield "Next best"
    for other in others:
        yield from _wrapped(
            f"{', '.join(other.titles)}: {_plan_words(other, advice)}", system, "  ", "    "
        )


def _plan_words(plan: PlanAdvice, advice: Advice) -> str:
    price, minutes = plan.price, plan.minutes
    words = hold_words(plan.hold_probability, plan.hold_basis)
    if advice.open_hazards:
        words = "not promised to hold before the hazards are cleared"
    if plan.possible_probability < 0.995:
        words += f", can be done in {round(100 * plan.possible_probability)} of 100"
    if price is None or minutes is None:
        return words
    cost = price_text(price, advice.currency, advice.tax)
    return f"{words}; {cost}; {minutes.typical:.0f} minutes of work"


def _ask(advice: Advice, system: System) -> Iterator[str]:
    wanted = [question for question in advice.ask if question.worth_asking or question.gate]
    if advice.verdict is not Verdict.ASK or not wanted:
        return
    hazards = [question for question in wanted if question.gate]
    if hazards:
        yield "Clear these hazards first; until then there is no price and there are no steps"
    else:
        yield "Ask next"
    for question in hazards or wanted[:5]:
        yield from _wrapped(filled("{} {}", question.ask, question.how), system, "  - ", "    ")
        if question.why:
            yield from _wrapped(question.why_in(system) + ".", system, "    ")


def _methods(advice: Advice, system: System) -> Iterator[str]:
    if not advice.methods:
        return
    if advice.verdict is Verdict.REFER:
        names = ", ".join(method.title.lower() for method in advice.methods)
        yield from _wrapped(f"Stopped: {names}.", system)
        return
    yield "Methods (usage: load over the limit, what the joint carries for years; holds up to 1)"
    for method in advice.methods:
        yield from _method(method, system)


def _method(method: MethodAdvice, system: System) -> Iterator[str]:
    usage = ""
    if method.usage is not None:
        usage = f"  usage {_number(method.usage.typical)}"
        usage += f" ({_number(method.usage.low)} to {_number(method.usage.high)})"
    status = STATUS_WORDS[method.status]
    if method.status is Status.FAILS and method.hold_probability >= MAY_FAIL_FROM:
        status = "may fail"
    yield f"  {method.title:<40}{status:<13}{usage}".rstrip()
    if method.because:
        reason = method.because[0]
        yield from _wrapped(reason.text, system, "      ")
        if len(reason.path_titles) > 2:
            yield from _wrapped(" > ".join(reason.path_titles), system, "      ", "        ")


def _number(value: float) -> str:
    return "far above" if value >= 1e5 else f"{value:.2g}"


def _loads(advice: Advice, system: System) -> Iterator[str]:
    if not advice.loads or advice.verdict is Verdict.REFER:
        return
    yield "Loads (5 of 100, middle, 95 of 100)"
    for load in advice.loads:
        low, middle, high = (
            show(float(f"{v:.2g}"), load.dimension, system).removesuffix(
                shown_unit(load.dimension, system)
            ).strip()
            for v in (load.value.low, load.value.typical, load.value.high)
        )
        unit = shown_unit(load.dimension, system)
        yield f"  {load.title:<54}{low:>8} {middle:>8} {high:>8} {unit}"
        causes = [c for c in load.causes if c.value.typical >= 0.05 * load.value.typical]
        for cause in causes[:4]:
            share = show(float(f"{cause.value.typical:.2g}"), load.dimension, system)
            yield f"      {cause.title}: {share}"


def _flips(advice: Advice, system: System) -> Iterator[str]:
    if not advice.flips:
        return
    yield "What would change the choice"
    for flip in advice.flips[:6]:
        yield from _wrapped(flip.text_in(system), system, "  - ", "    ")


def _cautions(advice: Advice, system: System) -> Iterator[str]:
    if not advice.cautions:
        return
    yield "Cautions"
    for text in advice.cautions:
        yield from _wrapped(text, system, "  - ", "    ")


def _foot(advice: Advice, system: System) -> Iterator[str]:
    for sentence in advice.own_rules.sentences:
        yield from _wrapped(sentence, system)
    for note in advice.notes or ("Estimate, not a test result.",):
        yield from _wrapped(note, system)
    yield (
        f"Rules {advice.rules_version} ({advice.rules_digest[:12]}), seed {advice.seed}, "
        f"{simulated_cases(advice.worlds)}."
    )
