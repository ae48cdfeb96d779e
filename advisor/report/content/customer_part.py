"""The customer's part: verdict, plan, price, why, and the methods compared."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.advice.result import (
    Advice,
    Cause,
    GateState,
    Load,
    NotCovered,
    PlanAdvice,
    Question,
    Reason,
    Status,
    Verdict,
)
from advisor.report.blocks import (
    Block,
    Box,
    Column,
    Item,
    Items,
    Mark,
    Pairs,
    Row,
    Section,
    Table,
    Text,
    Tone,
)
from advisor.report.content.citations import Citations
from advisor.report.content.methods_compared import compared, is_proposed, proposed
from advisor.report.measures import Measures
from advisor.report.status_words import LOOKS
from advisor.wording.counts import holds_in
from advisor.wording.durations import duration_text, duration_with_range
from advisor.wording.figures import Range, column_figure, decimal_places
from advisor.wording.money import price_text
from advisor.wording.phrases import filled, joined
from advisor.wording.sentences import in_turn, sentence

VERDICT_LABEL = {
    Verdict.PLAN: ("What we advise", Tone.GOOD),
    Verdict.ASK: ("Not decided yet", Tone.WARN),
    Verdict.REFER: ("Referred", Tone.BAD),
    Verdict.DECLINE: ("We advise against a repair", Tone.BAD),
}

LOAD_COLUMNS = (
    Column("What pulls", 5.0),
    Column("Low", 1.0, right=True),
    Column("Typical", 1.1, right=True),
    Column("High", 1.0, right=True),
    Column("Unit", 1.0),
)

MOST_LOAD_ROWS = 8
LEAST_SHARE = 0.01
"""Of a load; a cause that comes to less is left out."""
MOST_QUESTIONS = 4
MOST_REASONS = 2
"""Arguments about methods in the customer's part; the bars and the working have the rest."""


def front(
    advice: Advice, measures: Measures, cites: Citations, shop: Sequence[str] = ()
) -> tuple[Section, ...]:
    """Sections of the customer's part, in reading order.

    ``shop`` is what was seen of jobs like this one, a line each.
    """
    label, tone = VERDICT_LABEL[advice.verdict]
    odd = advice.not_covered if advice.verdict is Verdict.ASK else None
    if odd is not None:
        label = "This cannot be calculated"
    opening = [Box(label, sentence(advice.headline), tone)]
    opening += [Box("Check this first", sentence(f), Tone.WARN) for f in advice.findings]
    opening += [
        Box("A hazard question is switched off", one.sentence, Tone.WARN)
        for one in advice.own_rules.switched_off
    ]
    sections = [Section("", tuple(opening))]
    if advice.verdict is Verdict.REFER:
        sections.append(_referred(advice, cites))
        return tuple(sections)
    if advice.verdict is Verdict.ASK:
        sections.append(_questions(advice, measures))
    if odd is not None:
        sections.append(_not_covered(odd))
        return tuple(section for section in sections if section.blocks)
    plan = proposed(advice)
    if plan is not None:
        sections.append(_proposal(advice, plan, shop))
    sections.append(_why(advice, measures, cites, full=advice.verdict is not Verdict.ASK))
    sections.append(compared(advice))
    return tuple(section for section in sections if section.blocks)


def _not_covered(told: NotCovered) -> Section:
    rows = tuple((head, sentence(near)) for head, near in told.nearest_lines)
    return Section(
        "What is nearest, and what a person checks",
        (*([Pairs(rows)] if rows else []), Items(tuple(Item(text, ()) for text in told.check))),
    )


NOT_SAID = "Not said before the hazards are cleared."


def _proposal(advice: Advice, plan: PlanAdvice, shop: Sequence[str]) -> Section:
    title = "What is best so far" if advice.provisional else "What we propose"
    holding = holds_in(plan.hold_probability, advice.effective_worlds, plan.hold_basis)
    costs: tuple[tuple[str, str], ...] = ()
    if plan.price is not None and plan.minutes is not None:
        costs = (
            ("Price", sentence(price_text(plan.price, advice.currency, advice.tax))),
            ("Working time", sentence(duration_with_range(plan.minutes))),
        )
    rows = (
        ("The work", sentence(in_turn(plan.titles))),
        *costs,
        ("Will it hold", NOT_SAID if advice.open_hazards else sentence(holding)),
        *_appearance(advice, plan),
    )
    seen = tuple(Text(line, Tone.SMALL) for line in shop)
    said = Text(_how_simulated(advice), Tone.SMALL)
    return Section(title, (Pairs(rows), said, *seen), keep=True)


def _appearance(advice: Advice, plan: PlanAdvice) -> tuple[tuple[str, str], ...]:
    looks = next((m.looks for m in advice.methods if m.method == plan.lead), "")
    said = LOOKS.get(looks, "")
    return (("How it looks", sentence(f"The repair is {said}")),) if said else ()


def _how_simulated(advice: Advice) -> str:
    return (
        f"We simulated your part {advice.worlds:,} times, each time with different realistic "
        "values for what was not measured. The count shows how much depends on what we do not "
        "know; it is an estimate, not a promise."
    )


def _why(advice: Advice, measures: Measures, cites: Citations, *, full: bool) -> Section:
    """The argument; the loads are left to the working where questions come first."""
    blocks: list[Block] = [Text(said) for said in _front_reasons(advice, cites)]
    pulling = where_damaged(advice)
    if pulling and full:
        blocks.append(load_table(pulling, measures, MOST_LOAD_ROWS))
        said = measures.explain(pulling)
        if not all_loads_shown(advice):
            said = (*said, "The smaller causes and the other loads are in the details.")
        blocks.append(Text(" ".join(said), Tone.SMALL))
    return Section("Why", tuple(blocks))


def _front_reasons(advice: Advice, cites: Citations) -> list[str]:
    """What was needed in one paragraph, then why the leading methods; not the hazards."""
    gates = {gate.fact for gate in advice.gates}
    reasons = [reason for reason in advice.reasons if not gates.intersection(reason.path[:1])]
    plain = [_said(reason, cites) for reason in reasons if not reason.children]
    plan = proposed(advice)
    lead = plan.lead if plan else ""
    leading = [
        m.because
        for m in advice.methods
        if is_proposed(m, advice) and (m.method == lead or m.status is Status.HOLDS)
    ]
    argued = [r for r in reasons if r.children and (r.children in leading or not leading)]
    return [
        *([joined(" ", plain)] if plain else []),
        *(_said(reason, cites) for reason in argued[:MOST_REASONS]),
    ]


def _said(reason: Reason, cites: Citations) -> str:
    return sentence(reason.text) + cites.mark(reason.source)


def acting(advice: Advice) -> tuple[Load, ...]:
    """The loads that are not nil."""
    return tuple(load for load in advice.loads if load.value.high > 0)


def where_damaged(advice: Advice) -> tuple[Load, ...]:
    """The loads at the site that matters most, which stands first."""
    loads = acting(advice)
    return tuple(load for load in loads if load.site == loads[0].site)


def all_loads_shown(advice: Advice) -> bool:
    """True where the customer's part already shows every cause of every load."""
    rows = sum(1 + len(causes_shown(load)) for load in acting(advice))
    fits = rows <= MOST_LOAD_ROWS and where_damaged(advice) == acting(advice)
    return advice.verdict is not Verdict.ASK and fits


def causes_shown(load: Load) -> list[Cause]:
    """The causes of a load that come to anything, most first."""
    shown = [c for c in load.causes if c.value.high >= LEAST_SHARE * load.value.high]
    return sorted(shown, key=lambda cause: -cause.value.typical)


def load_table(loads: tuple[Load, ...], measures: Measures, most: int | None) -> Table:
    """Loads with their causes below them, the smaller left out where ``most`` rows are too few."""
    shown = [causes_shown(load) for load in loads]
    kept = max((len(causes) for causes in shown), default=0)
    while most is not None and kept and sum(1 + min(kept, len(each)) for each in shown) > most:
        kept -= 1
    rows: list[Row] = []
    for load, causes in zip(loads, shown, strict=True):
        rows.append(_load_row(load.title, load.value, load, measures, strong=kept > 0))
        for cause in causes[:kept]:
            rows.append(_load_row(cause.title, cause.value, load, measures, level=1))
    return Table(LOAD_COLUMNS, tuple(rows))


def _load_row(
    title: str,
    value: Range,
    load: Load,
    measures: Measures,
    *,
    strong: bool = False,
    level: int = 0,
) -> Row:
    shown = measures.shown(value, load.dimension, load.unit)
    whole = measures.shown(load.value, load.dimension, load.unit).value
    places = decimal_places(whole.typical or whole.high)
    ends = (shown.value.low, shown.value.typical, shown.value.high)
    cells = (column_figure(end, most_places=places) for end in ends)
    return Row((title, *cells, shown.unit), level, strong)


def _questions(advice: Advice, measures: Measures) -> Section:
    asked = [q for q in advice.ask if q.gate or q.worth_asking]
    blocks: list[Block] = []
    gates = tuple(_question(q, measures) for q in asked if q.gate)
    others = tuple(_question(q, measures) for q in asked if not q.gate)
    if gates:
        said = "Clear these hazards first. Until then there is no price and there are no steps."
        blocks += [Text(said, strong=True), Items(gates)]
    if others and not gates:
        shown = others[:MOST_QUESTIONS]
        said = "To decide between methods, most useful first:"
        if advice.not_covered is not None:
            said = "For the person who looks at it:"
        blocks += [Text(said, strong=True)]
        blocks.append(Items(shown, Mark.NUMBER))
    return Section("What still has to be answered", tuple(blocks))


def _question(question: Question, measures: Measures) -> Item:
    how, ask = sentence(question.how), sentence(question.ask)
    if question.gate:
        return Item(ask, (how,) if how else ())
    takes = filled("{} Takes {}.", how, duration_text(question.minutes)).strip()
    why = sentence(question.why_in(measures.system))
    return Item(ask, (takes, *([why] if why else [])))


def _referred(advice: Advice, cites: Citations) -> Section:
    closed = [gate for gate in advice.gates if gate.state is GateState.CLOSED]
    blocks: list[Block] = []
    for gate in closed:
        title = gate.title + cites.mark(gate.source)
        blocks.append(Text(title, strong=True))
        if gate.text not in advice.headline:
            blocks.append(Text(sentence(gate.text)))
    blocks += [Text(said) for said in _front_reasons(advice, cites)]
    blocks.append(
        Text("No method, price or time is offered here. Leave the part as it is until then.")
    )
    all_said = all(gate.text in advice.headline for gate in closed)
    return Section("Why" if all_said else "Who this goes to, and why", tuple(blocks))
