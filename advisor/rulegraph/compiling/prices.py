"""Compiling prices.yaml: what work costs, and how the shop quotes."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.rulegraph.compiling.compiler import Compiler
from advisor.rulegraph.model.job import QuoteRules, StockItem
from advisor.rulegraph.model.rules import Method, Prices, Spread
from advisor.rulegraph.reading.pack_files import Loc, PackFile


def build_prices(
    file: PackFile, compiler: Compiler, methods: Mapping[str, Method], *, examples: bool
) -> Prices:
    """Prices compiled; ``examples`` says that they are the pack's own. Faults for names."""
    model = file.content
    compiler.ref(file, ("looks_weight",), model.looks_weight, "1")
    for place, spread in model.spreads():
        compiler.source(file, place, spread.source)
    return Prices(
        currency=model.currency,
        hourly_rate=Spread(*model.hourly_rate.triple),
        call_out_minimum=Spread(*model.call_out_minimum.triple),
        material_markup=Spread(*model.material_markup.triple),
        comeback_goodwill=Spread(*model.comeback_goodwill.triple),
        aborted_minutes=Spread(*model.aborted_minutes.triple),
        question_overhead=Spread(*model.question_overhead.triple),
        looks={key: Spread(*spread.triple) for key, spread in model.looks.items()},
        looks_weight=model.looks_weight,
        holds_at=model.holds_at,
        declines_below=model.declines_below,
        tells_need_from=model.tells_need_from,
        quote=_quote(file, compiler, methods, examples=examples),
    )


def _quote(
    file: PackFile, compiler: Compiler, methods: Mapping[str, Method], *, examples: bool
) -> QuoteRules:
    """How the shop quotes; a stock entry must name a material of some method."""
    model = file.content.quote
    materials = {charge.what for method in methods.values() for charge in method.materials}
    stock = {}
    for i, item in enumerate(model.stock):
        if item.what not in materials:
            problem, accepted = "no method uses this material", "a material of a method"
            place: Loc = ("quote", "stock", i, "what")
            compiler.unknown(file, place, problem, item.what, materials, accepted)
        price = None if item.price is None else item.price.triple
        stock[item.what] = StockItem(item.what, item.special_order, price, item.note)
    return QuoteRules(
        shop=model.shop,
        certainty=model.certainty,
        mileage=model.mileage,
        usual_distance=model.usual_distance,
        tax_label=model.tax_label,
        tax_rate=model.tax_rate,
        interest=model.interest,
        valid_days=model.valid_days,
        worth_repairing=model.worth_repairing,
        examples=examples,
        stock=stock,
    )
