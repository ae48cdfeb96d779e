"""``trim-advisor rationale``: the argued choice as a file."""

from __future__ import annotations

from pathlib import Path

import click

from advisor.cli.named_files import check_target, writing
from advisor.cli.options import (
    PATH,
    advise_on,
    load_rules,
    rules_option,
    system_of,
    units_option,
    worlds_option,
)
from advisor.cli.printing import say, say_form


@click.command()
@click.argument("case", type=PATH)
@click.option(
    "--to", "target", required=True, type=PATH, help=".pdf, .html or .txt"
)
@click.option("--json", "as_json", is_flag=True, help="Report what was written as JSON.")
@worlds_option
@rules_option
@units_option
def rationale(
    case: Path, target: Path, as_json: bool, worlds: int, rules: Path | None, units: str
) -> None:
    """Write the argued choice for CASE, to attach to an invoice."""
    check_target(target, [case])
    pack = load_rules(rules)
    from advisor.facts.case_file import read_case

    one = read_case(case, pack.facts, methods=pack.methods)
    advice = advise_on(one, pack, worlds)
    from advisor.report.rationale import write_rationale

    with writing(target):
        write_rationale(advice, one, target, system_of(units))
    written = {"format": 1, "case": one.name, "verdict": advice.verdict, "written": str(target)}
    say_form(written) if as_json else say(f"{target} written.")
