"""The command line. Exit codes: 0 done, 1 own fault, 2 wrong usage, 3 bad input, 130 stopped."""

from __future__ import annotations

import contextlib
import itertools
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from advisor import __version__
from advisor.shell import check_target, ended, is_a, read_cases, say, say_form, say_json, writing

if TYPE_CHECKING:
    from advisor.advice.result import Advice
    from advisor.facts.case import Case
    from advisor.facts.quantity import System
    from advisor.rulegraph.model.pack import RulePack

#: A path as it was typed: whether it can be read is told as a fault of the file.
PATH = click.Path(path_type=Path, readable=False)
#: From so many cases on a terminal is told how far it is.
SHOWN_PROGRESS = 10
#: One of these is set where a window can be shown, on Linux.
SCREENS = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")


class OpensCases(click.Group):
    """A group in which a case file in the place of a command opens the window."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        first = args[0]
        if self.get_command(ctx, first) is None and _looks_like_a_file(first):
            return "window", self.get_command(ctx, "window"), args
        return super().resolve_command(ctx, args)


def _looks_like_a_file(word: str) -> bool:
    return word.endswith((".yaml", ".yml")) or "/" in word or "\\" in word or is_a(word, "exists")


@click.group(cls=OpensCases, invoke_without_command=True)
@click.version_option(__version__, prog_name="trim-advisor")
@click.pass_context
def app(ctx: click.Context) -> None:
    """Which repair holds on damaged interior trim, and why.

    Without a command it opens the window; with a case file it opens that case.
    """
    if ctx.invoked_subcommand is None:
        ctx.exit(_open_window(None, None))


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
worlds_option = click.option(
    "--worlds",
    type=click.IntRange(64, 1_000_000),
    default=4096,
    show_default=True,
    help="Number of sample worlds.",
)


@app.command()
@click.argument("case", type=PATH, required=False)
@rules_option
def window(case: Path | None, rules: Path | None) -> None:
    """Open the window, on a case if one is named."""
    sys.exit(_open_window(case, rules))


@app.command()
@click.argument("name", required=False)
@click.option("--json", "as_json", is_flag=True, help="Print as JSON.")
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
    _check_screen()
    sys.exit(_open_window(_copied(files[name]), None))


@app.command()
@click.argument("cases", nargs=-1, required=True, type=PATH)
@click.option("--json", "as_json", is_flag=True, help="Print as JSON.")
@worlds_option
@rules_option
@units_option
def advise(
    cases: Sequence[Path], as_json: bool, worlds: int, rules: Path | None, units: str
) -> None:
    """Advise on one or more CASES (files, or folders of them)."""
    from advisor.report.many_cases import Order, advise_all

    pack = _load(rules)
    read = read_cases(cases, pack)
    order = Order(worlds, as_json, _system(units))
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


@app.command()
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
    pack = _load(rules)
    from advisor.facts.case_file import read_case

    one = read_case(case, pack.facts, methods=pack.methods)
    advice = _advise(one, pack, worlds)
    from advisor.report.rationale import write_rationale

    with writing(target):
        write_rationale(advice, one, target, _system(units))
    written = {"format": 1, "case": one.name, "verdict": advice.verdict, "written": str(target)}
    say_form(written) if as_json else say(f"{target} written.")


@app.command()
@click.argument("cases", nargs=-1, required=True, type=PATH)
@click.option("--to", "target", type=PATH, help=".pdf, .html or .txt")
@click.option("--json", "as_json", is_flag=True, help="Print as JSON.")
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
def job(
    cases: Sequence[Path], target: Path | None, as_json: bool, worlds: int, rules: Path | None,
    units: str, **agreed: Any,
) -> None:  # fmt: skip
    """Quantities, steps, time, price and quote for CASES on one vehicle."""
    if target is not None:
        check_target(target, cases)
    from advisor.job.parse_agreed import WishError, read_wishes
    from advisor.job.sheet import job_sheet, together

    try:
        wishes = read_wishes(agreed)
    except WishError as error:
        raise click.UsageError(str(error)) from error
    pack = _load(rules)
    read = read_cases(cases, pack, once=True)
    sheets = [job_sheet(one, pack, _advise(one, pack, worlds), wishes) for one in read]
    whole = together(sheets, pack, wishes)
    if target is not None:
        from advisor.report.quote import write_quote

        with writing(target):
            write_quote(whole, target, _system(units))
    if as_json:
        from advisor.report.json_forms.job import job_json

        say_form(job_json(whole))
    elif target is not None:
        say(f"{target} written.")
    else:
        from advisor.report.quote import job_text

        say(job_text(whole, _system(units)), end="")


@app.group()
def rules() -> None:
    """Look into the rule pack."""


@rules.command("check")
@click.argument("folder", required=False, type=PATH)
@click.option("--json", "as_json", is_flag=True, help="Print as JSON.")
def rules_check(folder: Path | None, as_json: bool) -> None:
    """Check a rule pack: every name, unit, source, and that no forces run in a circle."""
    if folder is not None and _is_own(folder):
        raise click.UsageError(
            f"{folder} is your own folder and no whole rule pack; it is checked, with the "
            "shipped rules, by: trim-advisor rules check"
        )
    pack = _load(folder)
    counts = {
        "facts": len(pack.facts),
        "nodes": len(pack.nodes),
        "edges": pack.graph.number_of_edges(),
        "methods": len(pack.methods),
        "gates": len(pack.gates),
        "sources": len(pack.sources),
    }
    if as_json:
        overlaid = list(pack.overlaid)
        form = {"version": pack.version, "digest": pack.digest, "overlaid": overlaid, **counts}
        say_form({"format": 1, "rules": form})
        return
    say(f"{pack.title}, version {pack.version}, digest {pack.digest[:12]}: no faults.")
    say(", ".join(f"{number} {what}" for what, number in counts.items()) + ".")
    for name in pack.overlaid:
        say(f"Your own file stands in: {name}")


@rules.command("facts")
@rules_option
@click.option("--json", "as_json", is_flag=True, help="Print as JSON.")
def rules_facts(rules: Path | None, as_json: bool) -> None:
    """List the facts a case file may give, with their accepted answers."""
    from advisor.report.fact_list import accepted, fact_form

    pack = _load(rules)
    if as_json:
        form = {name: fact_form(decl) for name, decl in pack.facts.items()}
        say_form({"format": 1, "facts": form})
        return
    for decl in pack.facts.values():
        say(f"{decl.name}: {decl.ask}")
        say(f"    {accepted(decl)}")


def _copied(demo_case: Path) -> Path:
    """A copy of a demo case among the user's own files, to try things on.

    An earlier copy that was saved with other answers stays; a new one then has a number.
    """
    from advisor.paths import demo_copies_folder

    folder, content = demo_copies_folder(), demo_case.read_bytes()
    for number in itertools.count(1):
        more = f"_{number}" if number > 1 else ""
        copy = folder / f"{demo_case.stem}{more}{demo_case.suffix}"
        with writing(copy):
            if not copy.exists():
                copy.write_bytes(content)
            if copy.read_bytes() == content:
                break
    return copy


def _is_own(folder: Path) -> bool:
    """Whether it is the shop's own folder, which holds only what differs."""
    from advisor.paths import overlay_folder

    with contextlib.suppress(OSError):
        return folder.samefile(overlay_folder()) and not (folder / "pack.yaml").exists()
    return False


def _title(path: Path) -> str:
    from advisor.facts.marked_yaml import read_marked

    return str(read_marked(path).data.get("title", ""))


def _system(units: str) -> System:
    from advisor.facts.quantity import System

    return System(units)


def _load(folder: Path | None) -> RulePack:
    from advisor.rulegraph.load import load_pack

    return load_pack(folder)


def _advise(case: Case, pack: RulePack, worlds: int) -> Advice:
    from advisor.advice.advise import advise as advise_case

    return advise_case(case, pack, worlds)


def _check_screen() -> None:
    """Without a screen Qt would end the program with words that help nobody."""
    if sys.platform == "linux" and not any(os.environ.get(name) for name in SCREENS):
        raise click.UsageError(
            f"the window needs a screen, and none of {', '.join(SCREENS)} is set; "
            "advise, rationale and job work without one"
        )


def _open_window(case: Path | None, rules: Path | None) -> int:
    _check_screen()
    from advisor.gui.app import run

    return run(case, rules)


def main(args: Sequence[str] | None = None) -> None:
    """Entry point: runs the command and exits with its code."""
    sys.exit(
        ended(lambda: app.main(args=args, prog_name="trim-advisor", standalone_mode=False))
    )  # fmt: skip
