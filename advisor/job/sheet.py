"""From an advice to the job sheet, and several job sheets in one call-out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from advisor.advice.choosing.methods import MethodOutcome, title_here
from advisor.advice.choosing.needs import Situation, find_needs
from advisor.advice.choosing.plans import possible_with, steps_in_order
from advisor.advice.choosing.working import Working
from advisor.advice.result import Advice, PlanAdvice, Status, Verdict
from advisor.advice.sampling.sample_size import likely_ones
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import DAMAGE, PART, Case
from advisor.job.costing import (
    Costs,
    added,
    choices_of,
    costs_of,
    deposit_for,
    materials_of,
    price_of,
)
from advisor.job.effort import in_order, ready_times, schedule, tasks_of, waits_of, work_items
from advisor.job.estimates import NOTHING, total
from advisor.job.measured_and_agreed import Wishes
from advisor.job.model import (
    CutPlan,
    Item,
    JobSheet,
    Material,
    OpenHazard,
    SheetStep,
    Standing,
    VehicleJob,
    Visit,
    WorkKind,
)
from advisor.job.new_cover import cut_plan
from advisor.job.quantities.of_plan import quantity_groups
from advisor.job.sample import Sample
from advisor.job.sizes import open_sizes
from advisor.job.stitch_choice import hole_choice
from advisor.job.vehicles import by_vehicle, vehicle_of
from advisor.rulegraph.model.job import ClauseRule
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import method_word
from advisor.wording.counts import HoldBasis, of_hundred
from advisor.wording.figures import Range
from advisor.wording.phrases import joined
from advisor.wording.sentences import lowered

CLEAR_FIRST = "Clear these hazards first; until then there is no price and there are no steps."
CLEAR_OTHERS = "Another part of this job has hazards to clear first."


def job_sheet(
    case: Case, pack: RulePack, advice: Advice, wishes: Wishes | None = None,
    working: Working | None = None,
) -> JobSheet:  # fmt: skip
    """Quantities, steps, times and price of the plan that leads.

    ``advice`` is what ``advise(case, pack)`` gave, ``working`` what it rests on; without it
    the same simulated cases are drawn again, and give the same figures. Where the job is
    referred or declined, a hazard is open, or nothing is known yet, the sheet is empty and
    ``withheld`` says why; nothing may then be offered. The same input gives the same sheet.
    Raises ValueError for wishes out of range.
    """
    plan = advice.plan
    if plan is None or advice.open_hazards or advice.verdict in (Verdict.REFER, Verdict.DECLINE):
        return _withheld(case, pack, advice)
    if working is None:
        worlds = likely_ones(SampledWorlds(pack.as_read(case), pack, advice.worlds))
        outcomes = {key: MethodOutcome(pack.methods[key], worlds) for key in plan.methods}
        situation = Situation(worlds, *find_needs(worlds), outcomes)
    else:
        situation = working.situation
    sheet = _sheet(advice, plan, _sample(plan, situation, wishes or Wishes()))
    ordered = any(material.special_order for material in sheet.materials)
    standing = Standing.ORDER if ordered else Standing.DO_NOW
    if sheet.provisional:
        standing = Standing.CLEAR_FIRST
    asked = open_sizes(case, pack, plan.methods, situation)
    return replace(sheet, open_sizes=asked, standing=standing)


def _sample(plan: PlanAdvice, situation: Situation, wishes: Wishes) -> Sample:
    """The worlds in which a plan can be carried out: the sheet is read in no other."""
    work = {key: situation.wanted(key) for key in plan.methods}
    possible = possible_with(plan.methods, situation)
    return Sample(situation.worlds.within(possible), wishes, work)


def _sheet(advice: Advice, plan: PlanAdvice, sample: Sample) -> JobSheet:
    pack = sample.worlds.pack
    methods = in_order(plan.methods, pack)
    items, waits = work_items(methods, sample), waits_of(methods, sample)
    materials = materials_of(methods, sample)
    name = advice.title or advice.case
    costs = costs_of(name, items, materials, pack)
    price = price_of([costs], pack, sample.wishes, plan.price)
    tasks = tasks_of(name, methods, items, waits, sample)
    timeline = schedule(tasks)
    choices, said = choices_of(advice, price, sample)
    # A variant of a method cuts less than the whole cover.
    whole = [key for key in methods if method_word(key) == key]
    cut = None
    if _said(sample.rules.new_cover, whole, sample):
        cut = cut_plan(sample)
    elif any(pack.methods[key].cuts_panel for key in methods):
        cut = cut_plan(sample, one_panel=True)
    set_up = total(item.estimate for item in items if item.kind is not WorkKind.WORK)
    return JobSheet(
        case=advice.case,
        title=advice.title,
        vehicle=vehicle_of(sample.worlds.case, pack),
        part=pack.parts.get(sample.choice(PART), ""),
        withheld="",
        open_hazards=(),
        provisional=advice.provisional,
        lead=plan.lead,
        lead_title=plan.lead_title,
        methods=methods,
        titles=tuple(title_here(pack.methods[key], sample.at_work(key).worlds) for key in methods),
        hold_probability=plan.hold_probability,
        hold_basis=plan.hold_basis,
        damage=_damage(sample),
        why=_why(advice, plan),
        groups=quantity_groups(methods, sample),
        cut=cut,
        items=items,
        minutes=total(item.estimate for item in items),
        set_up=set_up,
        waits=waits,
        steps=_steps(methods, sample),
        tasks=tasks,
        timeline=timeline,
        ready=ready_times(name, timeline, waits),
        tools=_tools(methods, pack),
        materials=materials,
        price=price,
        choices=choices,
        advice_on_choice=said,
        holes=hole_choice(advice, methods, sample),
        deposit=deposit_for(materials, price, pack),
        cautions=advice.cautions,
        not_covered=_said(sample.rules.exclusions, methods, sample),
        notes=_notes(cut, materials, pack),
        rules_version=advice.rules_version,
        rules_digest=advice.rules_digest,
        own_rules=advice.own_rules,
        about=plan.minutes,
        drawings=tuple(
            (key, rule.of)
            for key, here in ((key, sample.at_work(key)) for key in methods)
            for rule in pack.methods[key].drawings
            if here.applies(rule.when)
        ),
    )


def _withheld(case: Case, pack: RulePack, advice: Advice) -> JobSheet:
    hazards = tuple(
        OpenHazard(question.title, question.ask, question.how)
        for question in advice.ask
        if question.gate
    )
    why = CLEAR_FIRST if hazards else advice.headline or "There is no plan yet."
    sent_on = advice.verdict in (Verdict.REFER, Verdict.DECLINE)
    return JobSheet(
        case=advice.case, title=advice.title, vehicle=vehicle_of(case, pack), part="",
        withheld=why, open_hazards=hazards,
        provisional=False, lead="", lead_title="", methods=(), titles=(),
        hold_probability=0.0, hold_basis=HoldBasis.BOTH, damage="", why="", groups=(), cut=None,
        items=(), minutes=NOTHING,
        set_up=NOTHING, waits=(), steps=(), tasks=(), timeline=(), ready=(), tools=(), materials=(),
        price=None, choices=(), advice_on_choice="", holes=None, deposit=None,
        cautions=advice.cautions, not_covered=(), notes=(),
        rules_version=advice.rules_version, rules_digest=advice.rules_digest,
        own_rules=advice.own_rules,
        standing=Standing.REFER if sent_on else Standing.CLEAR_FIRST,
    )  # fmt: skip


def _held_back(sheet: JobSheet) -> JobSheet:
    """A sheet without work, time and price, since another part of the job has a hazard open."""
    if sheet.withheld:
        return sheet
    return replace(
        sheet, withheld=CLEAR_OTHERS, groups=(), cut=None, items=(), minutes=NOTHING,
        set_up=NOTHING, waits=(), steps=(), tasks=(), timeline=(), ready=(), tools=(), materials=(),
        price=None, choices=(), advice_on_choice="", holes=None, deposit=None, not_covered=(),
        notes=(), about=None, drawings=(),
    )  # fmt: skip


def _damage(sample: Sample) -> str:
    """The damage, in the words of the answer, and how often it was told to be there."""
    decl = sample.worlds.pack.facts[DAMAGE]
    kind = sample.choice(DAMAGE)
    said = [next(option.title for option in decl.options if option.key == kind)]
    for role, words in (("damage_count", "places"), ("part_count", "such parts")):
        if getattr(sample.worlds.pack.roles, role) in sample.worlds.case.facts:
            number = round(float(np.median(sample.role(role))))
            said += [f"{number} {words}"] if number > 1 else []
    return ", ".join(said)


def _why(advice: Advice, plan: PlanAdvice) -> str:
    """What the customer reads: how far it is loaded, and what cheaper work would not hold."""
    lead = next((m for m in advice.methods if m.method == plan.lead), None)
    said = []
    if lead is not None and lead.usage is not None and lead.usage.typical <= 1.0:
        share = max(round(100.0 * lead.usage.typical), 1)
        said.append(f"It is loaded to about {share} % of its limit, what it carries for years.")
    elif lead is not None and lead.because:
        said.append(lead.because[0].text.rstrip(".") + ".")
    failing = [
        f"{method.title}: {of_hundred(method.hold_probability)}"
        for method in advice.methods
        if method.status is Status.FAILS
        and method.method not in plan.methods
        and method.hold_probability < 0.5
        and method.price is not None
        and plan.price is not None
        and method.price.typical < plan.price.typical + 1.0
    ]
    if failing:
        said.append(f"Cheaper work would not hold ({'; '.join(failing[:2])} simulated cases).")
    return joined(" ", said)


def _steps(methods: Sequence[str], sample: Sample) -> tuple[SheetStep, ...]:
    pack = sample.worlds.pack
    due = [
        (key, step)
        for key, here in ((key, sample.at_work(key)) for key in methods)
        for step in pack.methods[key].steps
        if here.applies(step.when)
    ]
    found = []
    for number, (key, step) in enumerate(steps_in_order(due), 1):
        title = title_here(pack.methods[key], sample.at_work(key).worlds)
        cautions = tuple(pack.cautions[name].text for name in step.cautions)
        found.append(SheetStep(number, key, title, step.text, cautions))
    return tuple(found)


def _tools(methods: Sequence[str], pack: RulePack) -> tuple[str, ...]:
    return tuple(dict.fromkeys(tool for key in methods for tool in pack.methods[key].tools))


def _said(rules: Sequence[ClauseRule], methods: Sequence[str], sample: Sample) -> tuple[str, ...]:
    """Texts that apply to these methods in this case."""
    words = {method_word(key) for key in methods}
    return tuple(
        rule.text
        for rule in rules
        if (not rule.methods or words & set(rule.methods)) and sample.applies(rule.when)
    )


def _notes(cut: CutPlan | None, materials: Sequence[Material], pack: RulePack) -> tuple[str, ...]:
    notes = []
    if pack.prices.quote.examples:
        notes.append(
            "Prices and rates are the program's examples. Replace them with the shop's own: in "
            "the window, under Prices and rates."
        )
    if cut is not None and any(not m.own_price and m.special_order for m in materials):
        notes.append(
            "The price of the new cover is what is usual for such a part. Once you know the cloth, "
            "enter your purchase price in the stock list."
        )
    return tuple(notes)


def together(
    sheets: Sequence[JobSheet], pack: RulePack, wishes: Wishes | None = None
) -> VehicleJob:
    """Several damages: those of one vehicle share a call-out, cures are used for other work.

    Parts that are plainly of different vehicles get a visit each, and ``apart`` says why.
    Withheld sheets stay in the list and add nothing. With one sheet it is that job.
    """
    agreed = wishes or Wishes()
    sheets = _told_apart(sheets)
    # One quote is signed for all of it: a hazard of one part holds back the whole.
    if any(sheet.open_hazards for sheet in sheets):
        sheets = [_held_back(sheet) for sheet in sheets]
    groups, said = by_vehicle([sheet for sheet in sheets if not sheet.withheld])
    visits = tuple(_visit(group, pack, agreed) for group in groups)
    titles = [" and ".join(_name(sheet) for sheet in visit.sheets) for visit in visits]
    quote = pack.prices.quote
    return VehicleJob(
        sheets=tuple(sheets),
        visits=visits,
        apart=said,
        price=added([visit.price for visit in visits], titles) if visits else None,
        shop=quote.shop,
        valid_days=quote.valid_days,
        example_prices=quote.examples,
    )


def _visit(sheets: Sequence[JobSheet], pack: RulePack, agreed: Wishes) -> Visit:
    """One call-out for parts of one vehicle."""
    items = _access_shared(sheets)
    parts = [
        costs_of(_name(sheet), own, sheet.materials, pack)
        for sheet, own in zip(sheets, items, strict=True)
    ]
    alone = sheets[0].price if len(sheets) == 1 else None
    price = price_of(parts, pack, agreed, alone.value if alone is not None else None)
    told = [sheet.price.value for sheet in sheets if sheet.price is not None]
    if alone is None and len(told) == len(sheets):
        # Sums of means against sums of middles: together must not be dearer than apart.
        shared = price.value
        price = price_of(parts, pack, agreed, Range(
            min(shared.low, sum(one.low for one in told)),
            min(shared.typical, sum(one.typical for one in told)),
            min(shared.high, sum(one.high for one in told)),
        ))  # fmt: skip
    timeline = schedule([task for sheet in sheets for task in sheet.tasks])
    ready = [
        moment for sheet in sheets for moment in ready_times(_name(sheet), timeline, sheet.waits)
    ]
    materials = [material for sheet in sheets for material in sheet.materials]
    return Visit(
        sheets=tuple(sheets),
        price=price,
        timeline=timeline,
        ready=tuple(sorted(ready, key=lambda moment: moment.at)),
        deposit=deposit_for(materials, price, pack),
        saved=_saved(parts, price.quote, pack, agreed),
    )


def _access_shared(sheets: Sequence[JobSheet]) -> list[tuple[Item, ...]]:
    """Work by sheet. A part of one title with several damages is taken apart once, the longest."""
    access = [
        total(item.estimate for item in sheet.items if item.kind is WorkKind.ACCESS).expected
        for sheet in sheets
    ]
    longest: dict[tuple[str, tuple[str, ...]], int] = {}
    for number, sheet in enumerate(sheets):
        part = sheet.part, sheet.vehicle.names
        if part not in longest or access[number] > access[longest[part]]:
            longest[part] = number
    return [
        sheet.items
        if not sheet.vehicle.names or longest[sheet.part, sheet.vehicle.names] == number
        else tuple(item for item in sheet.items if item.kind is not WorkKind.ACCESS)
        for number, sheet in enumerate(sheets)
    ]


def _name(sheet: JobSheet) -> str:
    return sheet.title or sheet.case


def _told_apart(sheets: Sequence[JobSheet]) -> list[JobSheet]:
    """Sheets of one title are named with their damage, or where they share that their case."""
    titles = Counter(map(_name, sheets))
    damages = Counter((_name(sheet), sheet.damage) for sheet in sheets)
    found = []
    for sheet in sheets:
        if titles[_name(sheet)] == 1:
            found.append(sheet)
            continue
        alone = damages[_name(sheet), sheet.damage] == 1 and sheet.damage
        title = f"{_name(sheet)}: {lowered(sheet.damage) if alone else sheet.case}"
        tasks = tuple(replace(task, part=title) for task in sheet.tasks)
        found.append(replace(sheet, title=title, tasks=tasks))
    return found


def _saved(parts: Sequence[Costs], quote: float, pack: RulePack, wishes: Wishes) -> float:
    if len(parts) < 2:
        return 0.0
    return sum(price_of([part], pack, wishes).quote for part in parts) - quote
