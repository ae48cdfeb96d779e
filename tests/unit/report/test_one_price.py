"""One price for one job: the same figure, spread and tax word wherever it is said."""

from __future__ import annotations

from datetime import date

import pytest

from advisor.advice.advise import advise_quick
from advisor.advice.result import Verdict
from advisor.drawing.section_layers import layers_of
from advisor.facts.case_file import read_case
from advisor.job.sheet import job_sheet
from advisor.paths import demo_folder
from advisor.report.blocks import Table
from advisor.report.content.job_sections import choices_blocks
from advisor.report.invoice_page import ShopHead, build_invoice_page
from advisor.report.json_forms.advice import advice_json
from advisor.report.rationale import build_rationale, rationale_text
from advisor.rulegraph.load import load_pack
from advisor.session.compare_advice import rows as compared
from advisor.session.verdict_text import price_of_plan
from advisor.wording.money import price_figure, price_spread, price_text

PACK = load_pack()
DEMOS = sorted(path.stem for path in demo_folder().glob("*.yaml"))


@pytest.mark.parametrize("name", DEMOS)
def test_window_quote_rationale_json_and_comparison_say_one_price(name: str) -> None:
    case = read_case(demo_folder() / f"{name}.yaml", PACK.facts, methods=tuple(PACK.methods))
    advised = advise_quick(case, PACK, rough=True)
    advice, plan = advised.advice, advised.advice.plan
    if plan is None or plan.price is None or advice.verdict is Verdict.DECLINE:
        assert "EUR" not in rationale_text(build_rationale(advice, case, today=date(2026, 11, 30)))
        return
    said = price_text(plan.price, advice.currency, advice.tax)
    figure = price_figure(plan.price, advice.currency, advice.tax)
    spread = price_spread(plan.price, advice.tax)
    assert "incl. VAT" in said
    card = price_of_plan(plan, advice.currency, advice.tax)
    assert card is not None
    assert card.value == figure
    assert spread in card.under and "incl. VAT" in card.under
    flat = " ".join(rationale_text(build_rationale(advice, case)).split())
    assert said in flat
    page = build_invoice_page(advice, case, ShopHead(), layers_of(advice, PACK))
    assert page.price == said
    shown = advice_json(advice)["plan"]["price"]
    with_tax = advice.tax.on(plan.price)
    assert shown["typical"] == pytest.approx(with_tax.typical, rel=1e-3)
    assert (shown["low"], shown["high"]) == pytest.approx((with_tax.low, with_tax.high), rel=1e-3)
    assert shown["tax"] == "incl. VAT"
    rows = {row.title: row.before for row in compared(advice, advice, PACK)}
    assert rows["Price"] == said
    sheet = job_sheet(case, PACK, advice, working=advised.working)
    assert sheet.price is not None
    total = sheet.price.total
    assert (total.low, total.typical, total.high) == pytest.approx(
        (with_tax.low, with_tax.typical, with_tax.high)
    )
    assert sum(line.amount for line in sheet.price.lines) == pytest.approx(sheet.price.quote)
    (choices, *_) = choices_blocks(sheet, sheet.price)
    assert isinstance(choices, Table)
    for row in choices.rows:
        if row.cells[0] == "This quote":
            assert f"{advice.currency} {row.cells[1]}" == figure
