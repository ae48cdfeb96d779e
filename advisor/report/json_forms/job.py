"""The job sheet as JSON: the documented, versioned form of ``job --json``."""

from __future__ import annotations

from typing import Any

from advisor.job.amount import Amount
from advisor.job.cutting.layout import Placed
from advisor.job.cutting.yardage import Cutting
from advisor.job.estimates import Estimate
from advisor.job.model import (
    Choice,
    CutPlan,
    Deposit,
    HoleChoice,
    JobSheet,
    Price,
    Ready,
    Slot,
    VehicleJob,
    Visit,
)
from advisor.report.json_forms.advice import number, own_form
from advisor.rulegraph.model.rules import method_word
from advisor.wording.figures import Range

FORMAT = 1


def job_json(job: VehicleJob) -> dict[str, Any]:
    """The job as a plain dictionary that ``json.dumps`` can write.

    Its shape is ``advisor/report/json_forms/schema/job-1.json``. Amounts stand in the unit named
    beside them (canonical units, whatever the units shown elsewhere), times in minutes,
    money in the currency, all to four significant digits.
    """
    price = job.price
    return {
        "format": FORMAT,
        "jobs": [_sheet(sheet) for sheet in job.sheets],
        "price": None if price is None else _price(price),
        "saved_by_one_visit": number(job.saved, "saved_by_one_visit"),
        "deposit": _deposit(job.deposit),
        "on_vehicles": job.apart,
        "intake": {
            standing.value: [sheet.case for sheet in sheets]
            for standing, sheets in job.intake.items()
        },
        "visits": [_visit(visit) for visit in job.visits],
        "timeline": [_slot(slot) for slot in job.timeline],
        "example_prices": job.example_prices,
    }


def _visit(visit: Visit) -> dict[str, Any]:
    return {
        "cases": [sheet.case for sheet in visit.sheets],
        "price": _price(visit.price),
        "saved": number(visit.saved, "saved"),
        "deposit": _deposit(visit.deposit),
        "timeline": [_slot(slot) for slot in visit.timeline],
        "ready": [_ready(ready) for ready in visit.ready],
    }


def _deposit(deposit: Deposit | None) -> dict[str, Any] | None:
    if deposit is None:
        return None
    return {"amount": _money(deposit.amount), "because": deposit.because}


def _ready(ready: Ready) -> dict[str, Any]:
    return {"part": ready.part, "what": ready.title, "at": number(ready.at, "at")}


def _money(value: float) -> float:
    return round(value, 2)


def _range(value: Range, field: str) -> dict[str, Any]:
    ends = {"low": value.low, "typical": value.typical, "high": value.high}
    return {name: number(end, f"{field}.{name}") for name, end in ends.items()}


def _estimate(value: Estimate, certainty: float, field: str) -> dict[str, Any]:
    return {
        "expected": number(value.expected, f"{field}.expected"),
        "sd": number(value.sd, f"{field}.sd"),
        "quoted": number(value.at(certainty), f"{field}.quoted"),
    }


def _sheet(sheet: JobSheet) -> dict[str, Any]:
    certainty = 0.8 if sheet.price is None else sheet.price.certainty
    return {
        "case": sheet.case,
        "title": sheet.title,
        "rules": {
            "version": sheet.rules_version,
            "digest": sheet.rules_digest,
            "own": own_form(sheet.own_rules),
        },
        "withheld": sheet.withheld,
        "open_hazards": [
            {"title": hazard.title, "ask": hazard.ask, "how": hazard.how}
            for hazard in sheet.open_hazards
        ],
        "provisional": sheet.provisional,
        "lead": method_word(sheet.lead) if sheet.lead else None,
        "methods": list(sheet.methods),
        "hold_probability": number(sheet.hold_probability, "hold_probability"),
        "hold_basis": sheet.hold_basis.value,
        "damage": sheet.damage,
        "why": sheet.why,
        "quantities": [
            {
                "method": group.method,
                "amounts": [_amount(amount) for amount in group.amounts],
                "tips": list(group.tips),
            }
            for group in sheet.groups
        ],
        "cutting": None if sheet.cut is None else _cut(sheet.cut),
        "minutes": None if sheet.withheld else _estimate(sheet.minutes, certainty, "minutes"),
        "set_up_minutes": (
            None if sheet.withheld else _estimate(sheet.set_up, certainty, "set_up_minutes")
        ),
        "work": [
            {
                "method": item.method,
                "what": item.title,
                "kind": item.kind.value,
                "minutes": _range(item.minutes, item.title),
            }
            for item in sheet.items
        ],
        "waits": [
            {
                "method": wait.method,
                "what": wait.title,
                "minutes": _range(wait.minutes, wait.title),
                "before": wait.before,
            }
            for wait in sheet.waits
        ],
        "steps": [
            {
                "number": step.number,
                "method": step.method,
                "text": step.text,
                "cautions": list(step.cautions),
            }
            for step in sheet.steps
        ],
        "tools": list(sheet.tools),
        "materials": [
            {
                "what": material.what,
                "method": material.method,
                "price": _range(material.price, material.what),
                "special_order": material.special_order,
                "own_price": material.own_price,
            }
            for material in sheet.materials
        ],
        "price": None if sheet.price is None else _price(sheet.price),
        "choices": [_choice(choice) for choice in sheet.choices],
        "on_choices": sheet.advice_on_choice,
        "holes": None if sheet.holes is None else _holes(sheet.holes),
        "cautions": list(sheet.cautions),
        "not_covered": list(sheet.not_covered),
        "notes": list(sheet.notes),
        "ask_before_quote": [
            {"fact": one.fact, "ask": one.ask, "taken": one.taken} for one in sheet.open_sizes
        ],
    }


def _amount(amount: Amount) -> dict[str, Any]:
    worded = amount.dimension == "text"
    return {
        "key": amount.key,
        "title": amount.title,
        "words": amount.words if worded else None,
        "value": None if worded else _range(amount.value, amount.key),
        "unit": amount.unit,
        "dimension": amount.dimension,
        "source": amount.source,
        "status": amount.status,
        "note": amount.note,
    }


def _cut(cut: CutPlan) -> dict[str, Any]:
    hides = cut.hides
    return {
        "material": cut.skin,
        "assumed_sizes": cut.assumed,
        "note": cut.note,
        "nap": cut.nap,
        "seam_allowance_mm": number(cut.allowance, "seam_allowance_mm"),
        "ways": [_cutting(cutting) for cutting in cut.cuttings],
        "hides": None
        if hides is None
        else {
            "net_m2": number(hides.net, "net_m2"),
            "to_buy_m2": number(hides.to_buy, "to_buy_m2"),
            "bought_m2": number(hides.bought, "bought_m2"),
            "sold_as": hides.sold_as,
            "hides": hides.hides,
            "too_large": list(hides.too_large),
            "waste": number(hides.waste, "waste"),
            "layouts": [
                {
                    "length_mm": number(hide.length, "length_mm"),
                    "width_mm": number(hide.width, "width_mm"),
                    "pieces": [_piece(placed) for placed in hide.placed],
                }
                for hide in hides.layouts
            ],
        },
    }


def _cutting(cutting: Cutting) -> dict[str, Any]:
    layout = cutting.layout
    return {
        "title": cutting.title,
        "turn": cutting.turn,
        "needed_mm": number(cutting.needed, "needed_mm"),
        "buy_yd": cutting.yards,
        "waste": number(layout.waste, "waste"),
        "over_bound": number(layout.over_bound, "over_bound"),
        "seams_added": list(cutting.joins),
        "roll_width_mm": number(layout.across, "roll_width_mm"),
        "pieces": [_piece(placed) for placed in layout.placed],
    }


def _piece(placed: Placed) -> dict[str, Any]:
    return {
        "title": placed.piece.title,
        "x": round(placed.x, 1),
        "y": round(placed.y, 1),
        "along": round(placed.along, 1),
        "across": round(placed.across, 1),
    }


def _price(price: Price) -> dict[str, Any]:
    return {
        "currency": price.currency,
        "certainty": price.certainty,
        "lines": [
            {"what": line.title, "kind": line.kind, "amount": _money(line.amount)}
            for line in price.lines
        ],
        "low": _money(price.value.low),
        "expected": _money(price.value.typical),
        "quote": _money(price.quote),
        "minimum_applies": price.minimum_applies,
        "material_markup": number(price.markup, "material_markup"),
        "tax_label": price.tax_label,
        "tax": _money(price.tax),
        "quote_with_tax": _money(price.total.high),
    }


def _choice(choice: Choice) -> dict[str, Any]:
    yearly = None if choice.per_year is None else _money(choice.per_year)
    return {
        "choice": choice.key,
        "title": choice.title,
        "price": _money(choice.price),
        "years": _range(choice.years, choice.key),
        "per_year": yearly,
        "note": choice.note,
    }


def _holes(holes: HoleChoice) -> dict[str, Any]:
    names = ("every", "every_other")
    found: dict[str, Any] = {
        name: {
            "stitches": number(holes.stitches[i], "stitches"),
            "minutes": number(holes.minutes[i], "minutes"),
            "quote": _money(holes.price[i]),
            "hold_probability": number(holes.hold[i], "hold_probability"),
        }
        for i, name in enumerate(names)
    }
    left = _range(holes.strength_left, "strength_left")
    return {**found, "strength_left": left, "proposed": holes.proposed, "text": holes.text}


def _slot(slot: Slot) -> dict[str, Any]:
    return {
        "part": slot.part,
        "method": slot.method,
        "what": slot.title,
        "hands": slot.hands,
        "start": number(slot.start, "start"),
        "end": number(slot.end, "end"),
    }
