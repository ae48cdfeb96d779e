"""``trim-advisor rationale``: the argued choice as a file."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from advisor.cli.named_files import check_target, writing
from advisor.cli.options import (
    PATH,
    advise_on,
    load_rules,
    paper_option,
    rules_option,
    system_of,
    units_option,
    worlds_option,
)
from advisor.cli.printing import say, say_form
from advisor.facts.case import DAMAGE, Case

if TYPE_CHECKING:
    from advisor.facts.quantity import System
    from advisor.report.invoice_page import ShopHead
    from advisor.rulegraph.model.pack import RulePack


@click.command()
@click.argument("case", type=PATH)
@click.option(
    "--to", "target", required=True, type=PATH, help=".pdf, .html or .txt"
)
@click.option("--page", is_flag=True, help="Only the one page for the invoice, a .pdf.")
@click.option("--customer", default="", help="Who the customer is, for that page.")
@click.option("--invoice", default="", help="Number of the invoice, for that page.")
@click.option("--json", "as_json", is_flag=True, help="Report what was written as JSON.")
@click.option("--shop", is_flag=True, help="Say what this shop saw of jobs like it (casebook).")
@worlds_option
@rules_option
@units_option
@paper_option
def rationale(
    case: Path, target: Path, page: bool, customer: str, invoice: str, as_json: bool, shop: bool,
    worlds: int, rules: Path | None, units: str, paper: str,
) -> None:  # fmt: skip
    """Write the argued choice for CASE, to attach to an invoice."""
    if (customer or invoice) and not page:
        raise click.UsageError("--customer and --invoice go on the page that --page writes.")
    if page and target.suffix.lower() != ".pdf":
        raise click.UsageError(f"--page writes a .pdf, not {target.suffix or 'no suffix'}.")
    check_target(target, [case])
    pack = load_rules(rules)
    from advisor.facts.case_file import read_case

    one = read_case(case, pack.facts, methods=pack.methods)
    if page:
        from advisor.report.invoice_page import ShopHead

        head = ShopHead(customer=customer, invoice=invoice, day=date.today(), paper=paper)
        verdict = _write_page(one, case, target, pack, worlds, head, system_of(units))
        _tell(one, verdict, target, as_json)
        return
    advice = advise_on(one, pack, worlds)
    from advisor.report.rationale import write_rationale

    saw: tuple[str, ...] = ()
    if shop and advice.plan is not None:
        from advisor.cli.casebook import experience_of, opened

        with opened(None, pack) as book:
            plan, damage = advice.plan, one.choice(DAMAGE) or ""
            saw = experience_of(book).beside(plan.lead, damage, plan.hold_probability)
    with writing(target):
        write_rationale(advice, one, target, system_of(units), shop=saw, paper=paper)
    _tell(one, advice.verdict, target, as_json)


def _tell(one: Case, verdict: str, target: Path, as_json: bool) -> None:
    written = {"format": 1, "case": one.name, "verdict": verdict, "written": str(target)}
    say_form(written) if as_json else say(f"{target} written.")


def _write_page(
    one: Case, path: Path, target: Path, pack: RulePack, worlds: int, head: ShopHead,
    system: System,
) -> str:  # fmt: skip
    """The one page, under the head that the shop gave itself in the window; the verdict."""
    from advisor import paths
    from advisor.advice.advise import advise_quick
    from advisor.drawing.section_layers import layers_of
    from advisor.facts.faults import BadInput, Fault
    from advisor.job.sheet import job_sheet
    from advisor.report.invoice_page import build_invoice_page, write_invoice_page, years_of
    from advisor.session.shop_settings import read_settings

    found, shop = advise_quick(one, pack, worlds), read_settings(paths.settings_file())
    head = replace(head, name=shop.name, address=shop.address, logo=shop.logo,
                   warranty=shop.warranty)  # fmt: skip
    years = years_of(job_sheet(one, pack, found.advice, None, found.working))
    page = build_invoice_page(found.advice, one, head, layers_of(found.advice, pack), system, years)
    if page.refused:
        raise BadInput(Fault(str(path), 0, 0, "", page.refused, "", "a case with a plan"))
    with writing(target):
        write_invoice_page(page, target)
    return found.advice.verdict
