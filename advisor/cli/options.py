"""Options that several commands take, and what they stand for."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from advisor.advice.result import Advice
    from advisor.facts.case import Case
    from advisor.facts.quantity import System
    from advisor.rulegraph.model.pack import RulePack

#: A path as it was typed: whether it can be read is reported as a fault of the file.
PATH = click.Path(path_type=Path, readable=False)

json_option = click.option("--json", "as_json", is_flag=True, help="Print as JSON.")
rules_option = click.option(
    "--rules",
    "rules",
    type=PATH,
    help="Folder with a rule pack to use in place of the shipped one.",
)
units_option = click.option(
    "--units",
    type=click.Choice(["metric", "imperial"]),
    default="metric",
    show_default=True,
    help="Units shown.",
)
paper_option = click.option(
    "--paper",
    type=click.Choice(["A4", "Letter"]),
    default="A4",
    show_default=True,
    help="Paper of a PDF or a printed page.",
)
worlds_option = click.option(
    "--worlds",
    type=click.IntRange(64, 1_000_000),
    default=4096,
    show_default=True,
    help="Number of simulated cases.",
)


def system_of(units: str) -> System:
    """What ``--units`` stands for."""
    from advisor.facts.quantity import System

    return System(units)


def load_rules(folder: Path | None) -> RulePack:
    """What ``--rules`` stands for. Raises BadInput."""
    from advisor.rulegraph.load import load_pack

    return load_pack(folder)


def advise_on(case: Case, pack: RulePack, worlds: int) -> Advice:
    """The advice on ``case`` from as many sample worlds as ``--worlds`` says."""
    from advisor.advice.advise import advise

    return advise(case, pack, worlds)
