"""Rows and sentences of the Job stage, from the job sheet. Knows no Qt."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from advisor.advice.result import Step
from advisor.drawing.cutting_layout import length_text, place_text, size_text
from advisor.facts.quantity import System
from advisor.gui.job.job_blocks import StepLine, caution_line
from advisor.job.amount import Amount
from advisor.job.cutting.hides import Hides
from advisor.job.cutting.layout import Placed
from advisor.job.cutting.yardage import Cutting
from advisor.job.effort import finished
from advisor.job.model import (
    CutPlan,
    Deposit,
    HoleChoice,
    JobSheet,
    Price,
    SheetStep,
    VehicleJob,
    Visit,
)
from advisor.wording.amounts import one_amount, unit_shown
from advisor.wording.durations import duration_text, duration_with_range, wait_text
from advisor.wording.money import money_text
from advisor.wording.sentences import lowered, sentence

Rows = tuple[list[str], list[list[str]], list[int]]
KINDS = {"set_up": "set-up", "access": "access", "work": "work"}


def in_short(job: VehicleJob) -> str:
    """Work, time until it is done, quote before and with tax."""
    price = job.price
    assert price is not None
    hands = sum(sheet.minutes.expected for visit in job.visits for sheet in visit.sheets)
    done = max(finished(visit.timeline) for visit in job.visits)
    text = f"About {duration_text(hands)} of work"
    if len(job.visits) == 1 and done >= hands + 5:
        text += f", {duration_text(done)} until it is done"
    quote = f"Quote {money_text(price.quote, price.currency)}"
    if price.tax > 0.0:
        quote += f", with {price.tax_label} {money_text(price.total.high, price.currency)}"
    return f"{text}. {quote}."


def remark(amount: Amount) -> str:
    """The note; that a figure is assumed is said in it."""
    return amount.note


def holes(choice: HoleChoice, currency: str) -> Rows:
    """Every hole against every other."""
    heads = ["Sewn through", "Stitches", "Minutes", f"{currency}, no tax", "Holds in 100"]
    rows, strong = [], []
    for i, title in enumerate(("Every hole", "Every other hole")):
        proposed = choice.proposed == ("every", "every_other")[i]
        strong += [i] * proposed
        rows.append([
            f"{title}, proposed" if proposed else title, f"{choice.stitches[i]:.0f}",
            f"{choice.minutes[i]:.0f}", f"{choice.price[i]:.0f}", f"{100 * choice.hold[i]:.0f}",
        ])  # fmt: skip
    return heads, rows, strong


# -- cutting ------------------------------------------------------------------------------


def ways(cut: CutPlan, system: System) -> Rows:
    """Ways of cutting from the roll, the one to prefer first."""
    rows = [
        [_way(cutting), length_text(cutting.needed, system),
         f"{cutting.yards:g} yd\n{cutting.to_buy / 1000.0:.2f} m",
         f"{100 * cutting.layout.waste:.0f} %"]
        for cutting in cut.cuttings
    ]  # fmt: skip
    return ["Way of cutting", "Needs", "Buy", "Waste"], rows, [0]


def _way(cutting: Cutting) -> str:
    if not cutting.joins:
        return cutting.title
    where = " in a face" if cutting.seam_shows else ""
    return f"{cutting.title}. Seam added{where}: {', '.join(cutting.joins)}"


def pieces(placed: Sequence[Placed], system: System) -> tuple[list[str], list[list[str]]]:
    """Every piece with its number, size along and across the roll, and place."""
    unit = unit_shown("length", system)
    rows = [
        [f"{number}  {p.piece.title}", size_text(p, system), place_text(p, system)]
        for number, p in enumerate(placed, 1)
    ]
    return ["Piece", f"Size, {unit}", f"Begins at, {unit}"], rows


def hides(found: Hides, system: System) -> list[tuple[str, str, str]]:
    """Area, whole hides and waste of leather."""

    def area(value: float) -> str:
        return one_amount(value, "big_area", system)

    whole = f"{found.hides} whole hide{'s' * (found.hides > 1)}"
    lines = [
        ("Leather in the cover", area(found.net), ""),
        ("To buy", f"{area(found.to_buy)}: {whole}", "With what flanks, holes and brands cost"),
        ("Waste", f"{100 * found.waste:.0f} %", "Of the hides bought"),
    ]
    if found.too_large:
        lines.append(("Too large for a hide", ", ".join(found.too_large), "Divide it by a seam"))
    return lines


# -- steps, minutes, time --------------------------------------------------------------------


def sheet_steps(sheet: JobSheet) -> list[StepLine]:
    """Steps in order, the wait after each method."""
    said: set[str] = set()
    found: list[StepLine] = []
    for key, title in zip(sheet.methods, sheet.titles, strict=True):
        mine = [step for step in sheet.steps if step.method == key]
        found += [_step(s, title if i == 0 else "", said) for i, s in enumerate(mine)]
        for wait in sheet.waits:
            if wait.method == key:
                until = "the next job on it" if wait.before == "next" else "use"
                span = duration_with_range(wait.minutes)
                text = f"Wait before {until}: {lowered(wait.title)}, {span}."
                found.append(StepLine("", "", text, ""))
    return found


def _step(step: SheetStep, title: str, said: set[str]) -> StepLine:
    cautions = "\n".join(caution_line(text, said) for text in step.cautions)
    return StepLine(title, f"{step.number}.", sentence(step.text), cautions)


def plan_steps(given: Sequence[Step], titles: Mapping[str, str]) -> list[StepLine]:
    """Steps of a plan without a job sheet."""
    said: set[str] = set()
    found, last = [], ""
    for number, step in enumerate(given, start=1):
        title = titles.get(step.method, step.method.replace("_", " "))
        cautions = "\n".join(caution_line(text, said) for text in step.cautions)
        head = title if step.method != last else ""
        found.append(StepLine(head, f"{number}.", sentence(step.text), cautions))
        last = step.method
    return found


def minutes(sheet: JobSheet) -> Rows:
    """Three points for every piece of work, set-up apart."""
    rows = [
        [item.title, KINDS[item.kind.value],
         f"{item.minutes.low:.0f} / {item.minutes.typical:.0f} / {item.minutes.high:.0f}",
         f"{item.estimate.expected:.0f}"]
        for item in sheet.items
    ]  # fmt: skip
    rows.append(["In all", "", "", f"{sheet.minutes.expected:.0f}"])
    rows.append(["Of this setting up and access", "", "", f"{sheet.set_up.expected:.0f}"])
    heads = ["Work", "", "Least / likely / most", "Expected"]
    return heads, rows, [len(rows) - 2]


def ready(visit: Visit) -> list[str]:
    """When the parts may be used, counted from the start."""
    several = len(visit.sheets) > 1
    return [
        f"Ready {wait_text(moment.at)} after the start: {lowered(moment.title)}"
        f"{f' ({moment.part})' if several else ''}."
        for moment in visit.ready
    ]


# -- money -------------------------------------------------------------------------------------


def price(of: Price) -> Rows:
    """What makes up the quote."""
    rows = [[line.title, f"{line.amount:.2f}"] for line in of.lines]
    rows.append(["Quote before tax", f"{of.quote:.2f}"])
    strong = [len(rows) - 1]
    if of.tax > 0.0:
        rows.append([of.tax_label or "Tax", f"{of.tax:.2f}"])
        rows.append([f"Quote with {of.tax_label or 'tax'}", f"{of.total.high:.2f}"])
        strong.append(len(rows) - 1)
    return ["What makes it up", of.currency], rows, strong


def deposit(of: Deposit, whole: Price) -> str:
    """What to ask for before anything is ordered; with tax, as on the quote."""
    factor = 1.0 + (whole.tax / whole.quote if whole.quote > 0.0 else 0.0)
    tax = f" with {whole.tax_label or 'tax'}" if whole.tax > 0.0 else ""
    return f"Ask for {money_text(of.amount * factor, whole.currency)}{tax} in advance. {of.because}"


def choices(sheet: JobSheet, currency: str) -> tuple[list[str], list[list[str]]]:
    """Repair, renewal and doing nothing with their cost per year."""
    rows = []
    for choice in sheet.choices:
        title = f"{choice.title}. {choice.note}" if choice.key == "nothing" else choice.title
        yearly = "-" if choice.per_year is None else f"{choice.per_year:.0f}"
        years = f"{choice.years.low:g} to {choice.years.high:g}"
        rows.append([title, f"{choice.price:.0f}", years, yearly])
    return ["", f"{currency}, no tax", "Years", f"{currency} a year"], rows


def materials(job: VehicleJob) -> tuple[list[str], list[list[str]]]:
    """Every material with its price before and after the markup, and whose price it is."""
    whole = job.price
    assert whole is not None
    rows = []
    for sheet in (sheet for visit in job.visits for sheet in visit.sheets):
        for material in sheet.materials:
            whose = "your price" if material.own_price else "example price"
            order = ", to order" if material.special_order else ""
            span = f"{material.price.low:.0f} to {material.price.high:.0f}"
            charged = material.estimate.expected * (1.0 + whole.markup)
            rows.append([f"{material.what} ({whose}{order})", span, f"{charged:.0f}"])
    return ["", whole.currency, f"with {round(100 * whole.markup)} %"], rows
