"""``trim-advisor rationale``: the argued choice as a file."""

from __future__ import annotations

from pathlib import Path

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
from advisor.facts.case import DAMAGE


@click.command()
@click.argument("case", type=PATH)
@click.option(
    "--to", "target", required=True, type=PATH, help=".pdf, .html or .txt"
)
@click.option("--json", "as_json", is_flag=True, help="Report what was written as JSON.")
@click.option("--shop", is_flag=True, help="Say what this shop saw of jobs like it (casebook).")
@worlds_option
@rules_option
@units_option
@paper_option
def rationale(
    case: Path, target: Path, as_json: bool, shop: bool, worlds: int, rules: Path | None,
    units: str, paper: str,
) -> None:
    """Write the argued choice for CASE, to attach to an invoice."""
    check_target(target, [case])
    pack = load_rules(rules)
    from advisor.facts.case_file import read_case

    one = read_case(case, pack.facts, methods=pack.methods)
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
    written = {"format": 1, "case": one.name, "verdict": advice.verdict, "written": str(target)}
    say_form(written) if as_json else say(f"{target} written.")
