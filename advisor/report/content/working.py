"""The working behind the customer's part: for the dealer, the next technician, the record."""

from __future__ import annotations

from advisor.advice.result import (
    Advice,
    FactState,
    Figure,
    GateAdvice,
    GateState,
    MethodAdvice,
    Origin,
    PlanAdvice,
    Reason,
    Status,
    Verdict,
)
from advisor.facts.case import Case
from advisor.facts.quantity import System
from advisor.report.blocks import (
    Block,
    Column,
    Item,
    Items,
    Mark,
    Row,
    Section,
    Table,
    Text,
    Tone,
)
from advisor.report.content.citations import Citations
from advisor.report.content.customer_part import (
    LEAST_SHARE,
    acting,
    all_loads_shown,
    causes_shown,
    load_table,
)
from advisor.report.content.methods_compared import in_order, is_load_path, proposed, standing
from advisor.report.content.work_steps import work_steps
from advisor.report.measures import Measures
from advisor.report.status_words import ESTIMATE, ORIGIN
from advisor.wording.counts import hold_count, of_hundred, simulated_cases, usage_text
from advisor.wording.figures import Range, low_to_high, to_digits
from advisor.wording.money import price_figure, price_text
from advisor.wording.phrases import filled, joined, read_phrase
from advisor.wording.sentences import capital, chain, in_turn, listed, lowered, sentence

GATE_STATE = {
    GateState.CLOSED: "STOPS THE JOB",
    GateState.OPEN: "NOT ANSWERED YET",
    GateState.CAUTION: "TAKE CARE",
    GateState.CLEAR: "asked, clear",
}

FACT_COLUMNS = (Column("What", 3.0), Column("Answer", 4.0), Column("How we know", 1.6))
PLAN_COLUMNS = (
    Column("Way", 4.2),
    Column("Holds in", 1.6),
    Column("Price", 2.4),
    Column("In the long run", 1.6, right=True),
)
MOST_PLANS = 4
#: Two ways whose costs in the long run are this near are equally good; a share.
NEARLY_SAME = 0.02


def working(
    advice: Advice, case: Case, measures: Measures, cites: Citations
) -> tuple[Section, ...]:
    """Sections of the working; empty ones are left out."""
    referred = advice.verdict is Verdict.REFER
    plan = proposed(advice)
    sections = [
        *([] if referred else _argument(advice, measures, cites)),
        _given(advice, case, measures),
        *([] if referred else [_assumed(advice, measures), _flips(advice, measures)]),
        _hazards(advice, cites, provisional=advice.verdict is Verdict.ASK),
        *([_steps(plan, provisional=advice.verdict is Verdict.ASK)]
          if plan and plan.steps else []),
        _notes(advice),
        Section("Sources", _some_items(cites.items(), Mark.NONE)),
    ]
    return tuple(section for section in sections if section.blocks)


def _argument(advice: Advice, measures: Measures, cites: Citations) -> list[Section]:
    loads: list[Block] = []
    if acting(advice) and not all_loads_shown(advice):
        loads.append(load_table(acting(advice), measures, None))
        loads += [Text(said, Tone.SMALL) for said in measures.explain(acting(advice))]
        if any(len(causes_shown(load)) < len(load.causes) for load in acting(advice)):
            said = f"Causes that come to less than {100 * LEAST_SHARE:.0f} % are left out."
            loads.append(Text(said, Tone.SMALL))
    return [
        Section("What reaches the damage, cause by cause", tuple(loads)),
        _methods(advice, measures, cites),
        _plans(advice),
    ]


def _some_items(items: tuple[Item, ...], mark: Mark = Mark.BULLET) -> tuple[Block, ...]:
    return (Items(items, mark),) if items else ()


def _methods(advice: Advice, measures: Measures, cites: Citations) -> Section:
    computed = in_order(advice)
    others = [m for m in advice.methods if m not in computed and m.status is not Status.NOT_NEEDED]
    items: list[Item] = []
    for method in (*computed, *others):
        items.append(Item(_method_line(method, advice), _numbers(method), strong=True))
        for reason in method.because:
            items.extend(_reason(reason, advice, measures, cites, level=1))
    idle = [lowered(m.title) for m in advice.methods if m.status is Status.NOT_NEEDED]
    blocks = list(_some_items(tuple(items)))
    if idle:
        blocks.append(Text(f"Not needed for this damage: {listed(tuple(idle))}.", Tone.SMALL))
    return Section("Method by method", tuple(blocks))


def _method_line(method: MethodAdvice, advice: Advice) -> str:
    return f"{method.title}: {standing(method, advice)}"


def _numbers(method: MethodAdvice) -> tuple[str, ...]:
    if method.usage is None:
        return ()
    parts = [usage_text(method.usage), f"holds in {of_hundred(method.hold_probability)}"]
    paths = {reason.path_titles[-1:] for reason in method.because}
    if method.limiting_title and (method.limiting_title,) not in paths:
        parts.append(f"fails first: {method.limiting_title}")
    return (sentence("; ".join(parts)),)


def _reason(
    reason: Reason, advice: Advice, measures: Measures, cites: Citations, level: int
) -> list[Item]:
    notes: list[str] = []
    if is_load_path(advice, reason):
        notes.append(f"Load path: {chain(reason.path_titles)}")
    elif _answers(reason, advice):
        notes.append(f"Based on: {listed(_answers(reason, advice))}")
    notes += [_figure(figure, measures, cites) for figure in reason.figures]
    text = sentence(reason.text) + cites.mark(reason.source)
    items = [Item(text, tuple(notes), level)]
    for child in reason.children:
        items.extend(_reason(child, advice, measures, cites, level + 1))
    return items


def _answers(reason: Reason, advice: Advice) -> tuple[str, ...]:
    """Titles of the facts on a path."""
    facts = {fact.fact for fact in advice.facts}
    named = zip(reason.path, reason.path_titles, strict=False)
    return tuple(title for node, title in named if node in facts)


def _figure(figure: Figure, measures: Measures, cites: Citations) -> str:
    shown = measures.shown(figure.value, figure.dimension, figure.unit)
    origin = ORIGIN[figure.origin]
    return f"{figure.title}: {shown.text()}, {origin}{cites.mark(figure.source)}"


def _price(plan: PlanAdvice, advice: Advice) -> str:
    return price_text(plan.price, advice.currency, advice.tax) if plan.price else "-"


def _in_the_long_run(plan: PlanAdvice, advice: Advice) -> str:
    """With tax, as the price beside it."""
    if plan.expected_cost is None:
        return "-"
    cost = plan.expected_cost
    return price_figure(Range(cost, cost, cost), advice.currency, advice.tax)


def _plans(advice: Advice) -> Section:
    if not advice.plans:
        return Section("Other ways to do it", ())
    rows = tuple(
        Row(
            (
                in_turn(plan.titles),
                hold_count(plan.hold_probability, plan.hold_basis),
                _price(plan, advice),
                _in_the_long_run(plan, advice),
            ),
            strong=index == 0,
        )
        for index, plan in enumerate(advice.plans[:MOST_PLANS])
    )
    said = (
        "In the long run: the price, plus the chance that it comes back times what a comeback "
        "costs, plus a charge where the repair is visible. The cheapest in the long run is best. "
        f"It stays the cheapest in {of_hundred(advice.settled)} simulated cases."
    )
    costs = [plan.expected_cost for plan in advice.plans[:2] if plan.expected_cost is not None]
    if len(costs) > 1 and costs[1] <= costs[0] * (1.0 + NEARLY_SAME):
        said += " The second costs nearly the same: either is a good choice."
    return Section("The ways compared", (Table(PLAN_COLUMNS, rows), Text(said, Tone.SMALL)))


def _fact_row(fact: FactState, measures: Measures) -> Row:
    answer = fact.text.removeprefix("assumed ")
    assumed = fact.origin is Origin.ASSUMED
    if fact.value is not None and (assumed or measures.system is not System.METRIC):
        shown = measures.shown(fact.value, fact.dimension, "")
        answer = f"{low_to_high(shown.value, 2 if assumed else 3)} {shown.unit}".strip()
    return Row((fact.title, sentence(answer).removesuffix("."), ORIGIN[fact.origin]))


def _given(advice: Advice, case: Case, measures: Measures) -> Section:
    given = [f for f in advice.facts if f.origin in (Origin.MEASURED, Origin.TOLD)]
    rows = tuple(_fact_row(fact, measures) for fact in given)
    blocks: list[Block] = [Table(FACT_COLUMNS, rows)] if rows else []
    if case.note:
        blocks.append(Text(read_phrase(f"Note: {case.note}")))
    if case.earlier_repairs:
        blocks.append(Text("Tried before:", strong=True))
        blocks.extend(_some_items(tuple(Item(said) for said in _earlier(advice, case))))
    return Section("What was measured and entered", tuple(blocks))


def _earlier(advice: Advice, case: Case) -> list[str]:
    titles = {m.method: m.title for m in advice.methods}
    said = []
    for repair in case.earlier_repairs or ():
        name = titles.get(repair.method, repair.method.replace("_", " "))
        parts = [name, repair.what, repair.result]
        parts += [f"lasted {repair.lasted}"] * bool(repair.lasted)
        said.append(sentence(read_phrase(", ".join(part for part in parts if part))))
    return said


def _assumed(advice: Advice, measures: Measures) -> Section:
    given = (Origin.MEASURED, Origin.TOLD)
    assumed = [f for f in advice.facts if f.origin not in given and (f.value or f.shares)]
    if not assumed:
        return Section("What we assumed", ())
    rows = tuple(Row(_fact_row(fact, measures).cells[:2]) for fact in assumed)
    said = Text("Nobody measured or entered these. Each was varied over the simulated cases.")
    return Section("What we assumed", (said, Table(FACT_COLUMNS[:2], rows)))


def _flips(advice: Advice, measures: Measures) -> Section:
    items = tuple(Item(sentence(flip.text_in(measures.system))) for flip in advice.flips)
    return Section("What would change the choice", _some_items(items))


def _hazard(gate: GateAdvice, asked: FactState | None, cites: Citations) -> Item:
    """What was asked and answered; the name of the hazard itself only where it is there."""
    title = gate.title
    if asked is not None and gate.state is not GateState.CLOSED:
        title = asked.title
        if gate.state is not GateState.OPEN:
            title += f", “{capital(asked.text)}”"
    said: tuple[str, ...] = ()
    if gate.state is GateState.CAUTION:
        said = (sentence(gate.text) + cites.mark(gate.source),)
    return Item(f"{title}: {GATE_STATE[gate.state]}", said)


def _hazards(advice: Advice, cites: Citations, *, provisional: bool) -> Section:
    order = list(GATE_STATE)
    gates = sorted(advice.gates, key=lambda gate: order.index(gate.state))
    answers = {fact.fact: fact for fact in advice.facts}
    items = [_hazard(gate, answers.get(gate.fact), cites) for gate in gates]
    shown = {gate.text for gate in advice.gates}
    if advice.plan is not None and not provisional:  # they stand at the steps
        shown.update(text for step in advice.plan.steps for text in step.cautions)
    items += [Item(sentence(said)) for said in advice.cautions if said not in shown]
    said = Text(
        "Local codes, the maker's instructions and licensed practice come first.", Tone.SMALL
    )
    return Section("Hazards and cautions", (*_some_items(tuple(items)), *([said] if items else [])))


def _steps(plan: PlanAdvice, *, provisional: bool) -> Section:
    """The steps; none while questions are open, so that nobody starts the work."""
    if provisional:
        said = Text("The steps are given once the questions above are answered.")
        return Section("The work, step by step", (said,))
    return Section("The work, step by step", tuple(plan_steps(plan)))


def plan_steps(plan: PlanAdvice) -> list[Block]:
    """The steps of a plan in order, each run under its method, then its tools and materials."""
    titles = dict(zip(plan.methods, plan.titles, strict=True))
    steps = ((step.method, titles[step.method], step.text, step.cautions) for step in plan.steps)
    blocks: list[Block] = [block for _, block in work_steps(steps)]
    if blocks and plan.tools:
        blocks.append(Text(filled("Tools: {}.", joined("; ", plan.tools))))
    if blocks and plan.materials:
        blocks.append(Text(filled("Materials: {}.", joined("; ", plan.materials))))
    return blocks


def _notes(advice: Advice) -> Section:
    items = [Item(sentence(said)) for said in advice.notes if said not in ESTIMATE]
    if advice.effective_worlds < 0.5 * advice.worlds:
        count = f"{float(to_digits(advice.effective_worlds, 3)):,.0f}"
        said = (f"{simulated_cases(advice.worlds)}; about {count} of them agree with what was "
                "measured.")
        items.append(Item(said))
    return Section("Notes", _some_items(tuple(items)))
