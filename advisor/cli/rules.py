"""``trim-advisor rules``: looking into the rule pack."""

from __future__ import annotations

import contextlib
from collections.abc import Sequence
from pathlib import Path

import click

from advisor.cli.named_files import read_cases, writing
from advisor.cli.options import PATH, json_option, load_rules, rules_option, worlds_option
from advisor.cli.printing import say, say_form
from advisor.facts.faults import BadInput, Fault


@click.group()
def rules() -> None:
    """Look into the rule pack."""


@rules.command("check")
@click.argument("folder", required=False, type=PATH)
@json_option
def rules_check(folder: Path | None, as_json: bool) -> None:
    """Check a rule pack: every name, unit, source, and that no forces run in a circle."""
    if folder is not None and _is_own(folder):
        raise click.UsageError(
            f"{folder} is your own folder and no whole rule pack; it is checked, with the "
            "shipped rules, by: trim-advisor rules check"
        )
    pack = load_rules(folder)
    if pack.own.kept:
        raise BadInput([_left_out(entry) for entry in pack.own.kept])
    counts = {
        "facts": len(pack.facts),
        "nodes": len(pack.nodes),
        "edges": pack.graph.number_of_edges(),
        "methods": len(pack.methods),
        "gates": len(pack.gates),
        "sources": len(pack.sources),
    }
    if as_json:
        from advisor.report.json_forms.advice import own_form

        form = {"version": pack.version, "digest": pack.digest, "own": own_form(pack.own), **counts}
        say_form({"format": 1, "rules": form})
        return
    say(f"{pack.title}, version {pack.version}, digest {pack.digest[:12]}: no faults.")
    titles = {"gates": "hazards"}
    say(", ".join(f"{number} {titles.get(what, what)}" for what, number in counts.items()) + ".")
    for sentence in pack.own.sentences:
        say(sentence)


def _left_out(entry: str) -> Fault:
    """A hazard that an own file leaves out: it is asked all the same, and the owner must know."""
    from advisor.paths import overlay_folder

    file, _, what = entry.partition(": ")
    problem = f"leaves out {what}, which is asked all the same: a hazard cannot be taken away"
    accepted = "your own additions alone, or the entry as the program has it"
    return Fault(str(overlay_folder() / file), 0, 0, "", problem, "", accepted)


@rules.command("facts")
@rules_option
@json_option
def rules_facts(rules: Path | None, as_json: bool) -> None:
    """List the facts a case file may give, with their accepted answers."""
    from advisor.report.fact_list import accepted, fact_form

    pack = load_rules(rules)
    if as_json:
        form = {name: fact_form(decl) for name, decl in pack.facts.items()}
        say_form({"format": 1, "facts": form})
        return
    for decl in pack.facts.values():
        say(f"{decl.name}: {decl.ask}")
        say(f"    {accepted(decl)}")


@rules.command("tests")
@click.argument("cases", nargs=-1, type=PATH)
@rules_option
@worlds_option
@json_option
def rules_tests(cases: Sequence[Path], rules: Path | None, worlds: int, as_json: bool) -> None:
    """Show your own tests on scrap, and the advice on CASES with and without them."""
    from advisor.report.own_tests import compared_form, compared_text, tests_form, tests_text

    pack = load_rules(rules)
    read = read_cases(cases, pack) if cases else []
    if as_json:
        found = [compared_form(case, pack, worlds) for case in read]
        say_form({"format": 1, "tests": tests_form(pack), "cases": found})
        return
    for line in tests_text(pack):
        say(line)
    for case in read:
        for line in compared_text(case, pack, worlds):
            say(line)


@rules.command("format")
@click.argument("paths", nargs=-1, type=PATH)
@click.option("--check", is_flag=True, help="Write nothing; list the files that would change.")
@json_option
def rules_format(paths: Sequence[Path], check: bool, as_json: bool) -> None:
    """Lay out files of rules for reading; data and comments stay as they are.

    PATHS are files, or folders with all files in them; without any, your own folder.
    """
    from advisor.paths import overlay_folder
    from advisor.rulegraph.format_rules import layouts
    from advisor.rulegraph.reading.folders import there

    if not paths and there(overlay_folder()) is None:
        raise click.UsageError(f"there is no folder of your own rules yet: {overlay_folder()}")
    found = layouts(paths or [overlay_folder()])
    changing = [one for one in found if one.changes]
    for one in () if check else changing:
        with writing(one.path):
            one.write()
    if as_json:
        changed = [str(one.path) for one in changing]
        say_form({"format": 1, "files": len(found), "checked": check, "changed": changed})
    if check and changing:
        problem, accepted = "not formatted", "what trim-advisor rules format writes"
        raise BadInput(
            Fault(str(one.path), one.first_line, 1, "", problem, "", accepted) for one in changing
        )
    if not as_json:
        for one in changing:
            say(f"{one.path}: formatted.")
        say(f"{len(found)} files, {len(changing)} changed.")


def _is_own(folder: Path) -> bool:
    """Whether it is the shop's own folder, which holds only what differs."""
    from advisor.paths import overlay_folder

    with contextlib.suppress(OSError):
        return folder.samefile(overlay_folder()) and not (folder / "pack.yaml").exists()
    return False
