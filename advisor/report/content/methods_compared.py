"""The methods compared: usage against capacity as bars, and the path that breaks each."""

from __future__ import annotations

from advisor.advice.result import Advice, MethodAdvice, PlanAdvice, Reason, Status, Verdict
from advisor.drawing.usage_bar import LIMIT_AT, TICKS, position, usage_bar
from advisor.report.blocks import Bar, Bars, Section, Text, Tick, Tone
from advisor.report.status_words import standing_words
from advisor.wording.counts import usage_text
from advisor.wording.sentences import chain, sentence

MOST_OTHERS, MOST_FAILING = 2, 3
"""Bars beside those of the plan: what also holds, and what fails."""
PATH_END = 3
"""Steps of a load path beside a bar; the working has the whole path."""


def proposed(advice: Advice) -> PlanAdvice | None:
    """The plan that may be offered; none where the job is referred or declined."""
    return advice.plan if advice.verdict in (Verdict.PLAN, Verdict.ASK) else None


def is_proposed(method: MethodAdvice, advice: Advice) -> bool:
    """True for a method of the plan that may be offered."""
    plan = proposed(advice)
    return plan is not None and method.method in plan.methods


def standing(method: MethodAdvice, advice: Advice) -> str:
    """How a method stands, in words: ``HOLDS, proposed``, ``FAILS ALONE, used as a helper``."""
    plan = proposed(advice)
    if plan is None or method.method not in plan.methods:
        return standing_words(method)
    if method.status is Status.FAILS and method.method != plan.lead:
        return "FAILS ALONE, used as a helper"
    return standing_words(method) + (", best so far" if advice.provisional else ", proposed")


def compared(advice: Advice) -> Section:
    """The methods as bars of usage against what the joint carries; empty where none is computed."""
    title = "The methods compared"
    computed = in_order(advice)
    if not computed:
        return Section(title, ())
    shown = _worth_a_bar(advice, computed)
    left_out = len(computed) - len(shown)
    bars = tuple(_bar(advice, method) for method in shown)
    said = (
        "A bar shows how close a joint comes to its limit, what it carries for years; past the "
        "limit it fails. The thin line covers 90 of 100 cases. Past the limit the scale is "
        "compressed."
    )
    if left_out > 0:
        said += f" {left_out} more are in the details."
    ticks = tuple(Tick(position(at), label) for at, label in TICKS)
    chart = Bars(ticks, LIMIT_AT, bars)
    return Section(title, (Text(said, Tone.SMALL), chart))


def _worth_a_bar(advice: Advice, computed: list[MethodAdvice]) -> list[MethodAdvice]:
    """The plan's methods, the best others, and the quickest that fail: those people ask for."""
    others = [m for m in computed if m.status is Status.HOLDS and not is_proposed(m, advice)]
    failing = [m for m in computed if m.status is Status.FAILS and not is_proposed(m, advice)]
    failing.sort(key=lambda m: m.minutes.typical if m.minutes else 0.0)
    chosen = others[:MOST_OTHERS] + failing[:MOST_FAILING]
    return [m for m in computed if is_proposed(m, advice) or m in chosen]


def in_order(advice: Advice) -> list[MethodAdvice]:
    """The methods computed to hold or fail: the plan's first, then by how well they hold."""
    plan = proposed(advice)
    planned = plan.methods if plan else ()
    computed = [m for m in advice.methods if m.usage and m.status in (Status.HOLDS, Status.FAILS)]
    return sorted(
        computed,
        key=lambda m: (
            planned.index(m.method) if m.method in planned else len(planned),
            m.status is Status.FAILS,
            m.usage.typical if m.usage else 0.0,
        ),
    )


def _bar(advice: Advice, method: MethodAdvice) -> Bar:
    usage = method.usage
    if usage is None:
        raise ValueError(f"{method.method}: nothing was calculated")
    shape = usage_bar(usage)
    fails, breaking = method.status is Status.FAILS, breaking_path(advice, method)
    return Bar(
        title=method.title,
        verdict=standing(method, advice),
        detail=sentence(usage_text(usage)),
        low=shape.low,
        typical=shape.typical,
        high=shape.high,
        beyond=shape.beyond,
        tone=Tone.BAD if fails else Tone.GOOD,
        why=_breaks(method, breaking) if fails else "",
    )


def _breaks(method: MethodAdvice, path: str) -> str:
    if not path:
        return ""
    return f"{'Would break' if method.hold_probability >= 0.5 else 'Breaks'} by: {path}"


def breaking_path(advice: Advice, method: MethodAdvice) -> str:
    """Cause, load and joint that decide a method, else the name of what gives way."""
    for reason in method.because:
        if is_load_path(advice, reason):
            return chain(reason.path_titles[-PATH_END:])
    return method.limiting_title


def is_load_path(advice: Advice, reason: Reason) -> bool:
    """True where the path runs through a load, not only from an answer to a method."""
    if not reason.path_titles:
        return False
    facts = {fact.fact for fact in advice.facts}
    passed = {node for load in advice.loads for cause in load.causes for node in cause.path}
    return bool(reason.figures) or bool((passed - facts).intersection(reason.path))
