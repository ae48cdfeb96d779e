"""``trim-advisor job``: quote and job sheet of the damages of one vehicle."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from advisor.cli.named_files import check_target, read_cases, writing
from advisor.cli.options import (
    PATH,
    json_option,
    load_rules,
    paper_option,
    rules_option,
    system_of,
    units_option,
    worlds_option,
)
from advisor.cli.printing import say, say_form


@click.command()
@click.argument("cases", nargs=-1, required=True, type=PATH)
@click.option("--to", "target", type=PATH, help="The quote: .pdf, .html or .txt")
@click.option("--annex", is_flag=True, help="With the full job sheet behind the quote.")
@click.option("--bench", type=PATH, help="The bench sheet for the technician: .pdf, .html or .txt")
@json_option
@click.option(
    "--certainty",
    type=click.FloatRange(0.5, 0.99),
    help="Share of such jobs that stay within the quote.",
)
@click.option("--distance", type=click.FloatRange(0, 2000), help="To the customer, one way, km.")
@click.option("--hollow", help="Size of the hollow: 120x80x25 in mm, or 'wedge 120x80x25'.")
@click.option(
    "--humidity", type=click.FloatRange(0.2, 0.9), help="Humidity where foam cures: 0.4 for 40 %."
)
@click.option(
    "--bridge", type=click.FloatRange(0, 5000), help="Sound seam between two splits, mm."
)
@click.option("--area", type=click.FloatRange(0.0001, 100), help="Area to colour, m2.")
@click.option(
    "--panel", "panels", multiple=True, help="Panel of a new cover: 1900x550 in mm, or 1900x100x2."
)
@click.option("--roll", type=click.FloatRange(200, 4000), help="Width of the roll, mm.")
@click.option(
    "--repeat", type=click.FloatRange(0, 1371.6), help="Pattern repeats added up, mm."
)
@click.option("--nap/--no-nap", default=None, help="All panels one way, or each as it fits.")
@worlds_option
@rules_option
@units_option
@paper_option
def job(
    cases: Sequence[Path], target: Path | None, annex: bool, bench: Path | None, as_json: bool,
    worlds: int, rules: Path | None, units: str, paper: str, **agreed: Any,
) -> None:  # fmt: skip
    """Quantities, steps, time, price and quote for CASES on one vehicle."""
    for written in (target, bench):
        if written is not None:
            check_target(written, cases)
    from advisor.advice.advise import advise_quick
    from advisor.job.parse_agreed import WishError, read_wishes
    from advisor.job.sheet import job_sheet, together

    try:
        wishes = read_wishes(agreed)
    except WishError as error:
        raise click.UsageError(str(error)) from error
    pack = load_rules(rules)
    read = read_cases(cases, pack, once=True)
    advised = ((one, advise_quick(one, pack, worlds)) for one in read)
    sheets = [
        job_sheet(one, pack, found.advice, wishes, found.working) for one, found in advised
    ]
    whole = together(sheets, pack, wishes)
    if target is not None:
        from advisor.report.quote import write_quote

        with writing(target):
            write_quote(whole, target, system_of(units), paper=paper, annex=annex)
    if bench is not None:
        from advisor.report.bench_sheet import write_bench_sheet

        with writing(bench):
            write_bench_sheet(whole, bench, system_of(units), paper=paper)
    if as_json:
        from advisor.report.json_forms.job import job_json

        say_form(job_json(whole))
    elif target is not None or bench is not None:
        for written in filter(None, (target, bench)):
            say(f"{written} written.")
    else:
        from advisor.report.quote import job_text

        say(job_text(whole, system_of(units)), end="")
