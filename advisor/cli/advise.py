"""``trim-advisor advise``: the advice on many cases, as text or JSON."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path

import click

from advisor.cli.named_files import read_cases
from advisor.cli.options import (
    PATH,
    json_option,
    load_rules,
    rules_option,
    system_of,
    units_option,
    worlds_option,
)
from advisor.cli.printing import say, say_json

#: From so many cases on a terminal is told how far it is.
SHOWN_PROGRESS = 10


@click.command()
@click.argument("cases", nargs=-1, required=True, type=PATH)
@json_option
@worlds_option
@rules_option
@units_option
def advise(
    cases: Sequence[Path], as_json: bool, worlds: int, rules: Path | None, units: str
) -> None:
    """Advise on one or more CASES (files, or folders of them)."""
    from advisor.report.many_cases import Order, advise_all

    pack = load_rules(rules)
    read = read_cases(cases, pack)
    order = Order(worlds, as_json, system_of(units))
    texts = advise_all(read, pack, order)
    between = ",\n" if as_json else "\n\n" + "-" * 96 + "\n\n"
    several = as_json and len(read) > 1
    put = say_json if as_json else say
    put("[" if several else "", end="")
    for done, text in enumerate(texts, start=1):
        put((between if done > 1 else "") + text, end="")
        if len(read) >= SHOWN_PROGRESS and sys.stderr.isatty():
            click.echo(f"\r{done} of {len(read)} cases", nl=False, err=True)
    put("]" if several else "")
