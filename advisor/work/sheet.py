"""From an advice to the job sheet, and several job sheets in one call-out."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from advisor.advice.advise import FLIP_WORLDS
from advisor.advice.result import Advice, PlanAdvice, Range, Status, Verdict
from advisor.advice.worlds import SampledWorlds
from advisor.facts.case import Case
from advisor.rulegraph.job_rules import TipRule
from advisor.rulegraph.pack import Method, RulePack, method_word

from . import sewing
from .costing import Costs, choices_of, costs_of, deposit_for, materials_of, price_of
from .cutting import cut_plan
from .effort import in_order, schedule, tasks_of, waits_of, work_items
from .model import (
    CutPlan,
    HoleChoice,
    JobSheet,
    SheetStep,
    VehicleJob,
    Wishes,
    WorkKind,
)
from .quantities import places, quantity_groups
from .reckoning import NOTHING, total
from .sample import Sample

#: Worlds for the quantities: their spread is wide, so fewer are enough.
WORLDS = 2 * FLIP_WORLDS
EVERY, EVERY_OTHER = "hand_stitch", "hand_stitch.every_other_hole"


def job_sheet(
    case: Case, pack: RulePack, advice: Advice, wishes: Wishes | None = None
) -> JobSheet:
    """Quantities, steps, times and price of the plan that leads.

    ``advice`` is what ``advise(case, pack)`` gave. Where the job is referred or declined,
    or nothing is known yet, the sheet is empty and ``withheld`` says why; nothing may then
    be offered. The same input gives the same sheet. Raises ValueError for wishes out of
    range.
    """
    plan = advice.plan
    if plan is None or advice.verdict in (Verdict.REFER, Verdict.DECLINE):
        return _withheld(advice)
    sample = Sample(SampledWorlds(case, pack, WORLDS), wishes or Wishes())
    return _sheet(advice, plan, sample)


def _sheet(advice: Advice, plan: PlanAdvice, sample: Sample) -> JobSheet:
    pack = sample.worlds.pack
    methods = in_order(plan.methods, pack)
    items, waits = work_items(methods, sample), waits_of(methods, sample)
    materials = materials_of(methods, sample)
    name = advice.title or advice.case
    costs = costs_of(name, items, materials, pack)
    price = price_of([costs], pack, sample.wishes)
    tasks = tasks_of(name, methods, items, waits, pack)
    choices, said = choices_of(advice, price, sample)
    cut = cut_plan(sample) if _said(sample.rules.new_cover, methods, sample) else None
    set_up = total(item.estimate for item in items if item.kind is not WorkKind.WORK)
    return JobSheet(
        case=advice.case,
        title=advice.title,
        part=pack.parts.get(sample.choice("part.kind"), ""),
        withheld="",
        provisional=advice.provisional,
        lead=plan.lead,
        lead_title=plan.lead_title,
        methods=methods,
        titles=tuple(pack.methods[key].title for key in methods),
        hold_probability=plan.hold_probability,
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
        timeline=schedule(tasks),
        tools=_tools(methods, pack),
        materials=materials,
        price=price,
        choices=choices,
        advice_on_choice=said,
        holes=_holes(advice, methods, sample),
        deposit=deposit_for(materials, price, pack),
        cautions=advice.cautions,
        not_covered=_said(sample.rules.exclusions, methods, sample),
        notes=_notes(cut, pack),
        rules_version=advice.rules_version,
        rules_digest=advice.rules_digest,
    )


def _withheld(advice: Advice) -> JobSheet:
    why = advice.headline or "There is no plan yet."
    return JobSheet(
        case=advice.case, title=advice.title, part="", withheld=why,
        provisional=False, lead="", lead_title="", methods=(), titles=(),
        hold_probability=0.0, damage="", why="", groups=(), cut=None, items=(), minutes=NOTHING,
        set_up=NOTHING, waits=(), steps=(), tasks=(), timeline=(), tools=(), materials=(),
        price=None, choices=(), advice_on_choice="", holes=None, deposit=None,
        cautions=advice.cautions, not_covered=(), notes=(),
        rules_version=advice.rules_version, rules_digest=advice.rules_digest,
    )  # fmt: skip


def _damage(sample: Sample) -> str:
    """What is the matter, in the words of the answer."""
    decl = sample.worlds.pack.facts["damage.kind"]
    kind = sample.choice("damage.kind")
    return next(option.title for option in decl.options if option.key == kind)


def _why(advice: Advice, plan: PlanAdvice) -> str:
    """What the customer is told: how far it is loaded, and what cheaper work would not hold."""
    lead = next((m for m in advice.methods if m.method == plan.lead), None)
    said = []
    if lead is not None and lead.usage is not None and lead.usage.typical <= 1.0:
        share = max(round(100.0 * lead.usage.typical), 1)
        said.append(f"It will carry about {share} % of what it can carry for years.")
    elif lead is not None and lead.because:
        said.append(f"{lead.because[0].text.rstrip('.')}.")
    failing = [
        f"{method.title}: {_of_hundred(method.hold_probability)}"
        for method in advice.methods
        if method.status is Status.FAILS
        and method.method not in plan.methods
        and method.hold_probability < 0.5
        and method.price.typical < plan.price.typical + 1.0
    ]
    if failing:
        said.append(f"Cheaper work would not hold ({'; '.join(failing[:2])} computed cases).")
    return " ".join(said)


def _of_hundred(share: float) -> str:
    """Never none: a count of drawn cases cannot show a certainty."""
    return "fewer than 1 of 100" if share < 0.005 else f"{round(100.0 * share)} of 100"


def _steps(methods: Sequence[str], sample: Sample) -> tuple[SheetStep, ...]:
    pack = sample.worlds.pack
    found: list[SheetStep] = []
    for key in methods:
        method = pack.methods[key]
        for step in method.steps:
            if sample.applies(step.when):
                cautions = tuple(pack.cautions[name].text for name in step.cautions)
                number = len(found) + 1
                found.append(SheetStep(number, key, method.title, step.text, cautions))
    return tuple(found)


def _tools(methods: Sequence[str], pack: RulePack) -> tuple[str, ...]:
    return tuple(dict.fromkeys(tool for key in methods for tool in pack.methods[key].tools))


def _said(rules: Sequence[TipRule], methods: Sequence[str], sample: Sample) -> tuple[str, ...]:
    """Texts that apply to these methods in this case."""
    words = {method_word(key) for key in methods}
    return tuple(
        rule.text
        for rule in rules
        if (not rule.methods or words & set(rule.methods)) and sample.applies(rule.when)
    )


def _notes(cut: CutPlan | None, pack: RulePack) -> tuple[str, ...]:
    notes = []
    if pack.prices.quote.examples:
        notes.append(
            "Prices and rates are the program's examples. A shop puts its own into prices.yaml "
            "in its overlay folder."
        )
    if cut is not None and cut.assumed:
        notes.append("The panels were not measured; sizes usual for such a part stand in.")
    return tuple(notes)


def _holes(advice: Advice, methods: Sequence[str], sample: Sample) -> HoleChoice | None:
    """Every hole against every other hole, where the plan is sewn by hand."""
    pack = sample.worlds.pack
    used = next((key for key in methods if key in (EVERY, EVERY_OTHER)), None)
    if used is None or not {EVERY, EVERY_OTHER} <= set(pack.methods):
        return None
    minutes, prices = [], []
    for key in (EVERY, EVERY_OTHER):
        swapped = tuple(key if m == used else m for m in methods)
        items = work_items(swapped, sample)
        costs = costs_of("", items, materials_of(swapped, sample), pack)
        minutes.append(total(item.estimate for item in items).expected)
        prices.append(price_of([costs], pack, sample.wishes).quote)
    length, pitch = sample.node("damage.length"), sample.node("seam.pitch")
    ends = (sample.known("overrun"), sample.known("back_stitches"))
    count = places(sample)
    stitches = tuple(
        sample.range(number(length, pitch, *ends) * count).typical
        for number in (sewing.stitches_to_sew, sewing.stitches_every_other)
    )
    full, sparse = (_carries(pack.methods[key], sample) for key in (EVERY, EVERY_OTHER))
    left = sample.range(np.where(full > 0.0, sparse / np.maximum(full, 1e-12), 1.0))
    chances = {m.method: m.hold_probability for m in advice.methods}
    hold = (chances.get(EVERY, 0.0), chances.get(EVERY_OTHER, 0.0))
    return HoleChoice(
        stitches=(stitches[0], stitches[1]),
        minutes=(minutes[0], minutes[1]),
        price=(prices[0], prices[1]),
        strength_left=left,
        hold=hold,
        proposed="every" if used == EVERY else "every_other",
        text=_holes_text(minutes, prices, left, pack.currency),
    )


def _carries(method: Method, sample: Sample) -> np.ndarray:
    """What the weakest part of a sewn line carries in a short test [N/mm]."""
    capacities = [
        np.broadcast_to(mode.capacity.get(sample.worlds), (sample.worlds.n,))
        for joint in method.joints
        for mode in joint.modes
    ]
    if not capacities:
        return np.zeros(sample.worlds.n)
    return np.asarray(np.min(np.stack(capacities), axis=0))


def _holes_text(
    minutes: Sequence[float], prices: Sequence[float], left: Range, currency: str
) -> str:
    saved = max(minutes[0] - minutes[1], 0.0)
    cheaper = prices[0] - prices[1]
    money = f"and {currency} {cheaper:.0f}" if cheaper >= 0.5 else "and nothing in the quote"
    return (
        f"Every other hole saves about {saved:.0f} min {money}; the seam then carries about "
        f"{round(100 * left.typical)} % of what it carries sewn through every hole."
    )


def together(
    sheets: Sequence[JobSheet], pack: RulePack, wishes: Wishes | None = None
) -> VehicleJob:
    """Several damages on one vehicle: one call-out, one price, cures used for other work.

    Withheld sheets stay in the list and add nothing. With one sheet it is that job.
    """
    agreed = wishes or Wishes()
    live = [sheet for sheet in sheets if not sheet.withheld]
    parts = [costs_of(_name(sheet), sheet.items, sheet.materials, pack) for sheet in live]
    price = price_of(parts, pack, agreed) if parts else None
    tasks = [task for sheet in live for task in sheet.tasks]
    materials = [material for sheet in live for material in sheet.materials]
    deposit = deposit_for(materials, price, pack) if price is not None else None
    quote = pack.prices.quote
    return VehicleJob(
        sheets=tuple(sheets),
        price=price,
        timeline=schedule(tasks),
        deposit=deposit,
        saved=_saved(parts, price.quote if price is not None else 0.0, pack, agreed),
        shop=quote.shop,
        valid_days=quote.valid_days,
        example_prices=quote.examples,
    )


def _name(sheet: JobSheet) -> str:
    return sheet.title or sheet.case


def _saved(parts: Sequence[Costs], quote: float, pack: RulePack, wishes: Wishes) -> float:
    if len(parts) < 2:
        return 0.0
    return sum(price_of([part], pack, wishes).quote for part in parts) - quote
