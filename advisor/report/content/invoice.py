"""One page for the invoice: what was done and why, with the pull drawn against the strength.

Everything on it is said in the window in the same words and figures. It is an estimate and
approves nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from advisor.advice.result import Advice, MethodAdvice, PlanAdvice, Verdict
from advisor.drawing.pull_and_strength import PullAndStrength, pull_and_strength, tempting
from advisor.drawing.section_shapes import Layers
from advisor.facts.case import Case
from advisor.facts.quantity import System
from advisor.job.model import JobSheet
from advisor.report.blocks import PAPERS
from advisor.report.measures import Measures
from advisor.report.status_words import ESTIMATE, MAY_FAIL_FROM
from advisor.wording.counts import HoldBasis, hold_words, of_hundred
from advisor.wording.durations import duration_with_range
from advisor.wording.figures import UNBOUNDED, Range, to_digits
from advisor.wording.money import price_text
from advisor.wording.sentences import capital, in_turn, lowered, sentence

MOST_BARS = 3
NO_APPROVAL = f"{ESTIMATE} This page approves nothing and releases nothing."


@dataclass(frozen=True)
class ShopHead:
    """Who writes the page, and what the customer calls the job; empty fields are left out."""

    name: str = ""
    address: str = ""
    logo: str = ""
    customer: str = ""
    vehicle: str = ""
    invoice: str = ""
    """Number of the invoice that the page goes with."""
    day: date | None = None
    paper: str = "A4"
    warranty: str = ""
    """The shop's own words, printed as they are."""


@dataclass(frozen=True)
class BarLine:
    """A method on the page: how much of its joint is used."""

    title: str
    usage: Range
    said: str
    holds: bool
    may_hold: bool = False
    """Holds in the greater part of the simulated cases, yet not in enough of them."""


@dataclass(frozen=True)
class InvoicePage:
    """The page in words and figures, ready to be laid out."""

    head: ShopHead
    case: str
    title: str
    method: str
    why: tuple[str, ...]
    """At most four sentences a clerk understands."""
    price: str
    hold: str
    time: str
    lasts: str
    """How long it should last; empty where nobody says."""
    weak: str
    bars: tuple[BarLine, ...]
    rows: tuple[PullAndStrength, ...]
    layers: Layers | None
    told: tuple[str, ...]
    photo: str | bytes = ""
    cautions: tuple[str, ...] = ()
    system: System = System.METRIC
    footer: str = ""
    refused: str = ""
    """Why there is no page: a hazard is open, or the job is not repaired."""
    labels: Mapping[str, str] = field(default_factory=dict)


def build_invoice_page(
    advice: Advice, case: Case, head: ShopHead, layers: Layers | None,
    system: System = System.METRIC, years: Range | None = None,
) -> InvoicePage:  # fmt: skip
    """The page of a case; ``years`` are those that the job sheet says it lasts.

    ``refused`` says why where there is nothing that may be offered.

    Raises ValueError for a paper that is not offered.
    """
    if head.paper not in PAPERS:
        raise ValueError(f"paper “{head.paper}” is not known; accepted: {', '.join(PAPERS)}")
    plan = advice.plan
    refused = _refused(advice)
    title = advice.title or case.title or case.name
    footer = (
        f"{NO_APPROVAL} Case {case.name}, rules {advice.rules_version} "
        f"({advice.rules_digest[:12]})."
    )
    if refused or plan is None or plan.price is None or plan.minutes is None:
        return InvoicePage(
            head, case.name, title, "", (), "", "", "", "", "", (), (), None, (),
            system=system, footer=footer, refused=refused or "There is nothing to offer yet.",
        )  # fmt: skip
    lead = next((method for method in advice.methods if method.method == plan.lead), None)
    own = pull_and_strength(lead) if lead is not None else None
    other = tempting(advice.methods, plan)
    rows = tuple(pair for pair in (own, other[1] if other else None) if own and pair)
    return InvoicePage(
        head=head, case=case.name, title=title, method=capital(in_turn(plan.titles)),
        why=_why(advice, plan, own, other[1] if other else None),
        price=price_text(plan.price, advice.currency, advice.tax),
        hold=capital(hold_words(plan.hold_probability, plan.hold_basis)),
        time=capital(duration_with_range(plan.minutes)),
        lasts=_lasts(years),
        weak=_weak(plan, lead.limiting_title if lead is not None else ""),
        bars=_bars(advice, plan), rows=rows, layers=layers if rows else None,
        told=_told(advice), photo=next((p for p in case.photos if Path(p).is_file()), ""),
        cautions=tuple(advice.cautions), system=system, footer=footer,
    )  # fmt: skip


def years_of(sheet: JobSheet | None) -> Range | None:
    """How long the job sheet says that the repair lasts; None where it says nothing."""
    ways = sheet.choices if sheet is not None else ()
    return next((way.years for way in ways if way.key == "repair"), None)


def _refused(advice: Advice) -> str:
    if advice.verdict is Verdict.REFER:
        return "A hazard stops this job. It is referred; there is no repair to invoice."
    if advice.open_hazards:
        named = ", ".join(gate.title for gate in advice.open_hazards)
        return f"Hazards are not answered yet: {named}. No price and no page before that."
    return "This is not worth repairing." if advice.verdict is Verdict.DECLINE else ""


def _why(
    advice: Advice, plan: PlanAdvice, own: PullAndStrength | None, other: PullAndStrength | None
) -> tuple[str, ...]:
    """Four sentences: what pulls, what carries it, why not the usual way, how sure."""
    found = []
    if own is not None:
        if own.cause:
            found.append(f"What loads it most: {lowered(own.cause)}.")
        used = f"{max(round(100 * own.usage), 1)} %" if own.usage <= 1 else "all"
        found.append(f"The repair is loaded to {used} of what it carries for years.")
    if other is not None:
        times = f"it would be loaded to {to_digits(other.usage)} times what it carries"
        if other.usage >= UNBOUNDED:
            times = "it carries no lasting load here"
        why = f"{times}; {lowered(other.weakness)}"
        found.append(f"Why not {lowered(other.title)}: {why}.")
    held = hold_words(plan.hold_probability, plan.hold_basis)
    found.append(sentence(capital(held)))
    return tuple(found[-4:])


def _lasts(years: Range | None) -> str:
    return f"{years.low:g} to {years.high:g} years, then look at it again" if years else ""


def _weak(plan: PlanAdvice, limiting: str) -> str:
    lost = of_hundred(1.0 - plan.hold_probability)
    if plan.hold_basis is HoldBasis.EXPERIENCE:
        return f"By experience of the trade about {lost} such repairs come back."
    if not limiting:
        return f"In {lost} such cases it does not hold."
    return f"In {lost} such cases it does not hold. What would give way first: {lowered(limiting)}."


def _bars(advice: Advice, plan: PlanAdvice) -> tuple[BarLine, ...]:
    """The plan's own, then the nearest others that were calculated."""
    found = [m for m in advice.methods if m.usage is not None]
    first = [m for m in found if m.method == plan.lead]
    others = [m for m in found if m.method not in plan.methods]
    fails = sorted((m for m in others if m.status == "fails"), key=lambda m: m.hold_probability)
    holds = [m for m in others if m.status == "holds"]
    shown = [*first, *holds[:1], *fails[:1], *holds[1:]][:MOST_BARS]
    return tuple(_bar(m, m.usage, plan) for m in shown if m.usage is not None)


def _bar(method: MethodAdvice, usage: Range, plan: PlanAdvice) -> BarLine:
    """A bar with its count; that of the work proposed is the count for all of the work."""
    own = method.method == plan.lead
    chance = plan.hold_probability if own else method.hold_probability
    may = method.status != "holds" and chance >= MAY_FAIL_FROM
    said = f"{'may fail, ' if may else ''}holds {of_hundred(chance)}"
    return BarLine(method.title, usage, said, method.status == "holds", may)


def _told(advice: Advice) -> tuple[str, ...]:
    """What the technician saw or measured, in words."""
    seen = [s for s in advice.facts if s.origin in ("told", "measured")]
    return tuple(f"{s.title}: {lowered(s.text)}" for s in seen)


def two_sentences(page: InvoicePage) -> str:
    """What can be put into any invoice: the work with its price, and why."""
    if page.refused:
        return page.refused
    why = page.why[-2] if len(page.why) > 1 else page.why[-1]
    return f"{page.method}: {page.price}. {why}"


def figure_of(page: InvoicePage, row: PullAndStrength, value: Range) -> str:
    """A pull or a strength in the units of the page."""
    middle = Range(value.typical, value.typical, value.typical)
    return Measures(page.system).shown(middle, row.pull.dimension, row.pull.unit).text()
