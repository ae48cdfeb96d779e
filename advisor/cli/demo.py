"""``trim-advisor demo``: the demo cases that ship with the program."""

from __future__ import annotations

import itertools
import sys
from pathlib import Path

import click

from advisor.cli import window
from advisor.cli.named_files import writing
from advisor.cli.options import json_option
from advisor.cli.printing import say, say_form


@click.command()
@click.argument("name", required=False)
@json_option
def demo(name: str | None, as_json: bool) -> None:
    """List the demo cases, or open one (a copy; the original stays as it is)."""
    from advisor.paths import demo_folder

    files = {path.stem: path for path in sorted(demo_folder().glob("*.yaml"))}
    if name is None:
        titles = {stem: _title(path) for stem, path in files.items()}
        if as_json:
            say_form({"format": 1, "demo_cases": titles})
            return
        for stem, title in titles.items():
            say(f"{stem:<26}{title}")
        return
    if name not in files:
        from advisor.facts.faults import nearest_name

        near = nearest_name(name, files)
        hint = f" (did you mean {near}?)" if near else ""
        raise click.UsageError(f"no demo case {name}{hint}; trim-advisor demo lists them")
    window.check_screen()
    sys.exit(window.open_window(_copied(files[name]), None))


def _title(path: Path) -> str:
    from advisor.facts.marked_yaml import read_marked

    return str(read_marked(path).data.get("title", ""))


def _copied(demo_case: Path) -> Path:
    """A copy of a demo case among the user's own files, to try things on.

    An earlier copy that was saved with other answers stays; a new one then has a number.
    """
    from advisor.papers.handover.record_file import copy_records
    from advisor.paths import demo_copies_folder

    folder, content = demo_copies_folder(), demo_case.read_bytes()
    for number in itertools.count(1):
        more = f"_{number}" if number > 1 else ""
        copy = folder / f"{demo_case.stem}{more}{demo_case.suffix}"
        with writing(copy):
            if not copy.exists():
                copy.write_bytes(content)
                copy_records(demo_case, copy)
            if copy.read_bytes() == content:
                break
    return copy
