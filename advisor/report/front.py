"""The customer's part: verdict, plan, price, why, and the methods compared."""

from __future__ import annotations

from advisor.advice.result import (
    Advice,
    GateState,
    Load,
    MethodAdvice,
    PlanAdvice,
    Question,
    Range,
    Reason,
    Status,
    Verdict,
)
from advisor.report import axis, words
from advisor.report.blocks import (
    Bar,
    Bars,
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
from advisor.report.citations import Citations
from advisor.report.measures import Measures

VERDICT_LABEL = {
    Verdict.PLAN: ("What we advise", Tone.GOOD),
    Verdict.ASK: ("Not settled yet", Tone.WARN),
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

MOST_LOAD_ROWS = 9
MOST_BARS = 7
MOST_QUESTIONS = 4
MOST_REASONS = 2
"""Arguments about methods in the customer's part; the bars and the working have the rest."""


def front(advice: Advice, measures: Measures, cites: Citations) -> tuple[Section, ...]:
    """Sections of the customer's part, in reading order."""
    label, tone = VERDICT_LABEL[advice.verdict]
    opening = [Box(label, words.sentence(advice.headline), tone)]
    opening += [Box("Look at this first", words.sentence(f), Tone.WARN) for f in advice.findings]
    sections = [Section("", tuple(opening))]
    if advice.verdict is Verdict.REFER:
        sections.append(_referred(advice, cites))
        return tuple(sections)
    if advice.verdict is Verdict.ASK:
        sections.append(_questions(advice))
    plan = proposed(advice)
    if plan is not None:
        sections.append(_proposal(advice, plan))
    sections.append(_why(advice, measures, cites, full=advice.verdict is not Verdict.ASK))
    sections.append(_compared(advice))
    return tuple(section for section in sections if section.blocks)


def proposed(advice: Advice) -> PlanAdvice | None:
    """The plan that may be offered; none where the job is referred or declined."""
    return advice.plan if advice.verdict in (Verdict.PLAN, Verdict.ASK) else None


def is_proposed(method: MethodAdvice, advice: Advice) -> bool:
    """True for a method of the plan that may be offered."""
    plan = proposed(advice)
    return plan is not None and method.method in plan.methods


def _proposal(advice: Advice, plan: PlanAdvice) -> Section:
    title = "What leads so far" if advice.provisional else "What we propose"
    holding = words.hold(plan.hold_probability, advice.effective_worlds)
    rows = (
        ("The work", _in_order(plan.titles)),
        ("Price", words.price(plan.price, advice.currency)),
        ("Time at the bench", words.durations(plan.minutes)),
        ("Will it hold", words.sentence(holding)),
        *_appearance(advice, plan),
    )
    return Section(title, (Pairs(rows), Text(_computed_case(advice), Tone.SMALL)), keep=True)


def _in_order(titles: tuple[str, ...]) -> str:
    if len(titles) == 1:
        return words.sentence(titles[0])
    first, *rest = titles
    return words.sentence(f"{first}, then {', then '.join(words.inner(t) for t in rest)}")


def _appearance(advice: Advice, plan: PlanAdvice) -> tuple[tuple[str, str], ...]:
    looks = next((m.looks for m in advice.methods if m.method == plan.lead), "")
    said = words.LOOKS.get(looks, "")
    return (("How it looks", words.sentence(f"The mend is {said}")),) if said else ()


def _computed_case(advice: Advice) -> str:
    return (
        f"A computed case is your part with everything nobody has measured set to one believable "
        f"value. We computed {advice.worlds} of them. The count shows how much hangs on what we do "
        "not know; it is an estimate, not a promise."
    )


def _why(advice: Advice, measures: Measures, cites: Citations, *, full: bool) -> Section:
    """The argument; the loads are left to the working where questions come first."""
    blocks: list[Block] = [
        Text(words.sentence(reason.text) + cites.mark(reason.source))
        for reason in _front_reasons(advice)
    ]
    pulling = acting(advice)
    if pulling and full:
        blocks.append(load_table(pulling, measures, MOST_LOAD_ROWS))
        blocks.extend(Text(said, Tone.SMALL) for said in measures.explain(pulling))
    return Section("Why", tuple(blocks))


def _front_reasons(advice: Advice) -> list[Reason]:
    """What was needed and why the leading methods; hazards have a place of their own."""
    gates = {gate.fact for gate in advice.gates}
    told = [reason for reason in advice.reasons if not gates.intersection(reason.path[:1])]
    plain = [reason for reason in told if not reason.children]
    return plain + [reason for reason in told if reason.children][:MOST_REASONS]


def acting(advice: Advice) -> tuple[Load, ...]:
    """The loads that are not nil."""
    return tuple(load for load in advice.loads if load.value.high > 0)


def causes_fit(advice: Advice) -> bool:
    """True where the customer's part already shows every cause of every load."""
    rows = sum(1 + len(load.causes) for load in acting(advice))
    return advice.verdict is not Verdict.ASK and rows <= MOST_LOAD_ROWS


def load_table(loads: tuple[Load, ...], measures: Measures, most: int | None) -> Table:
    """Loads with the causes below them; causes are left out where ``most`` rows do not do."""
    full = sum(1 + len(load.causes) for load in loads)
    with_causes = most is None or full <= most
    rows: list[Row] = []
    for load in loads:
        rows.append(_load_row(load.title, load.value, load, measures, strong=True))
        causes = [cause for cause in load.causes if cause.value.high > 0] if with_causes else []
        for cause in sorted(causes, key=lambda c: -c.value.typical):
            rows.append(_load_row(f"from {cause.title}", cause.value, load, measures))
    return Table(LOAD_COLUMNS, tuple(rows))


def _load_row(
    title: str, value: Range, load: Load, measures: Measures, *, strong: bool = False
) -> Row:
    shown = measures.shown(value, load.dimension, load.unit)
    cells = (words.figures(v) for v in (shown.value.low, shown.value.typical, shown.value.high))
    return Row((title, *cells, shown.unit), level=0 if strong else 1, strong=strong)


def _compared(advice: Advice) -> Section:
    title = "The methods compared"
    computed = in_order(advice)
    if not computed:
        return Section(title, ())
    left_out = len(computed) - MOST_BARS
    bars = tuple(_bar(advice, method) for method in computed[:MOST_BARS])
    said = (
        "A bar shows how much of what a joint carries for years is used up. The upright line is "
        "the limit: what ends beyond it fails. The thin line is the range from a kind to a harsh "
        "case. Beyond the limit the scale is squeezed."
    )
    if left_out > 0:
        said += f" {left_out} more stand in the working."
    chart = Bars(axis.ticks(), axis.CAPACITY_AT, bars)
    return Section(title, (chart, Text(said, Tone.SMALL)))


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
        raise ValueError(f"{method.method}: nothing was computed")
    fails = method.status is Status.FAILS
    mark = ", leads so far" if advice.provisional else ", proposed"
    mark = mark if is_proposed(method, advice) else ""
    return Bar(
        title=method.title,
        verdict=words.STATUS[method.status] + mark,
        detail=words.sentence(words.usage(usage)),
        low=axis.position(usage.low),
        typical=axis.position(usage.typical),
        high=axis.position(usage.high),
        beyond=usage.high > axis.TOP,
        tone=Tone.BAD if fails else Tone.GOOD,
        why=f"Breaks by: {breaking_path(method)}" if fails and breaking_path(method) else "",
    )


def breaking_path(method: MethodAdvice) -> str:
    """The load path that decides a method, else the name of what gives way."""
    for reason in method.because:
        if reason.path_titles:
            return words.chain(reason.path_titles)
    return method.limiting_title


def _questions(advice: Advice) -> Section:
    asked = [q for q in advice.ask if q.gate or q.worth_asking]
    blocks: list[Block] = []
    gates = tuple(_question(q) for q in asked if q.gate)
    others = tuple(_question(q) for q in asked if not q.gate)
    if gates:
        blocks += [Text("Before any work starts, for safety:", strong=True), Items(gates)]
    if others:
        shown = others[:MOST_QUESTIONS]
        blocks += [Text("To settle the choice, most useful first:", strong=True)]
        blocks.append(Items(shown, Mark.NUMBER))
    return Section("What still has to be answered", tuple(blocks))


def _question(question: Question) -> Item:
    notes = [words.sentence(question.how)] if question.how else []
    why = words.sentence(question.why)
    if not question.gate:
        why = f"{why} Takes {words.duration(question.minutes)}.".strip()
    return Item(words.sentence(question.ask), (*notes, *([why] if why else [])))


def _referred(advice: Advice, cites: Citations) -> Section:
    closed = [gate for gate in advice.gates if gate.state is GateState.CLOSED]
    blocks: list[Block] = []
    for gate in closed:
        said = words.sentence(gate.text) + cites.mark(gate.source)
        blocks += [Text(gate.title, strong=True), Text(said)]
    others = _front_reasons(advice)
    blocks += [Text(words.sentence(r.text) + cites.mark(r.source)) for r in others]
    blocks.append(
        Text("No method, price or time is offered here. Leave the part as it is until then.")
    )
    return Section("Who this goes to, and why", tuple(blocks))
