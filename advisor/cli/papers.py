"""``trim-advisor papers``: what a station or an authority reads."""

from __future__ import annotations

from pathlib import Path

import click

from advisor.cli.options import PATH, json_option
from advisor.cli.papers_lots import lots
from advisor.cli.printing import say, say_form


@click.group()
def papers() -> None:
    """Burn tests compared with their limits, materials on hand. Nothing here is an approval."""


papers.add_command(lots)


@papers.command()
@click.argument("record", type=PATH)
@json_option
def burn(record: Path, as_json: bool) -> None:
    """Compare the burn test in RECORD (docs/burn-record.md) with its limits."""
    from advisor.papers.burn.judge import judge
    from advisor.papers.burn.record import read_burn_record
    from advisor.papers.burn.rule_sets import shipped_rules

    rules = shipped_rules()
    judged = judge(read_burn_record(record, rules), rules)
    if as_json:
        from advisor.papers.burn.json_form import burn_json

        say_form(burn_json(judged))
    else:
        from advisor.papers.burn.page import build_page
        from advisor.report.formats.text import render

        say(render(build_page(judged)), end="")
