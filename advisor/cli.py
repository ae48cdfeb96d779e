"""The command line. Exit codes: 0 done, 1 own fault, 2 wrong usage, 3 bad input."""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import click

from advisor import __version__
from advisor.facts.faults import BadInput

if TYPE_CHECKING:
    from advisor.advice.result import Advice
    from advisor.facts.case import Case
    from advisor.facts.quantity import System
    from advisor.rulegraph.pack import RulePack

OWN_FAULT = 1
BAD_INPUT = 3
#: From so many cases on a terminal is told how far it is.
SHOWN_PROGRESS = 10


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
    return word.endswith((".yaml", ".yml")) or "/" in word or "\\" in word or _is(word, "exists")


def _is(path: str | Path, what: Literal["exists", "is_dir"]) -> bool:
    """Whether it exists or is a folder; no for what no file can be called."""
    try:
        return bool(getattr(Path(path), what)())
    except OSError:
        return False


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
    type=click.Path(path_type=Path),
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
@click.argument("case", type=click.Path(path_type=Path), required=False)
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
            click.echo(_json({"format": 1, "demo_cases": titles}))
            return
        for stem, title in titles.items():
            click.echo(f"{stem:<26}{title}")
        return
    if name not in files:
        from advisor.facts.faults import nearest_name

        near = nearest_name(name, files)
        hint = f" (did you mean {near}?)" if near else ""
        raise click.UsageError(f"no demo case {name}{hint}; trim-advisor demo lists them")
    sys.exit(_open_window(_copied(files[name]), None))


@app.command()
@click.argument("cases", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print as JSON.")
@worlds_option
@rules_option
@units_option
def advise(
    cases: Sequence[Path], as_json: bool, worlds: int, rules: Path | None, units: str
) -> None:
    """Advise on one or more CASES (files, or folders of them)."""
    from advisor.report.many import Order, advise_all

    pack = _load(rules)
    read = _read_all(cases, pack)
    order = Order(rules, worlds, as_json, _system(units))
    texts = advise_all(read, pack, order)
    between = ",\n" if as_json else "\n\n" + "-" * 96 + "\n\n"
    several = as_json and len(read) > 1
    click.echo("[" if several else "", nl=False)
    for done, text in enumerate(texts, start=1):
        click.echo((between if done > 1 else "") + text, nl=False)
        if len(read) >= SHOWN_PROGRESS and sys.stderr.isatty():
            click.echo(f"\r{done} of {len(read)} cases", nl=False, err=True)
    click.echo("]" if several else "")


@app.command()
@click.argument("case", type=click.Path(path_type=Path))
@click.option(
    "--to", "target", required=True, type=click.Path(path_type=Path), help=".pdf, .html or .txt"
)
@click.option("--json", "as_json", is_flag=True, help="Report what was written as JSON.")
@worlds_option
@rules_option
@units_option
def rationale(
    case: Path, target: Path, as_json: bool, worlds: int, rules: Path | None, units: str
) -> None:
    """Write the argued choice for CASE, to attach to an invoice."""
    if target.suffix.lower() not in (".pdf", ".html", ".txt"):
        raise click.BadParameter(f"{target}: the name must end in .pdf, .html or .txt")
    pack = _load(rules)
    from advisor.facts.case_file import read_case

    one = read_case(case, pack.facts, methods=pack.methods)
    advice = _advise(one, pack, worlds)
    from advisor.report.rationale import write_rationale

    try:
        write_rationale(advice, one, target, _system(units))
    except OSError as error:
        raise BadInput(_cannot_write(target, error)) from error
    written = {"format": 1, "case": one.name, "verdict": advice.verdict, "written": str(target)}
    click.echo(_json(written) if as_json else f"{target} written.")


@app.command()
@click.argument("cases", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--to", "target", type=click.Path(path_type=Path), help=".pdf, .html or .txt")
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
    if target is not None and target.suffix.lower() not in (".pdf", ".html", ".txt"):
        raise click.BadParameter(f"{target}: the name must end in .pdf, .html or .txt")
    from advisor.work.sheet import job_sheet, together
    from advisor.work.wishes import WishError, read_wishes

    try:
        wishes = read_wishes(agreed)
    except WishError as error:
        raise click.UsageError(str(error)) from error
    pack = _load(rules)
    read = _read_all(cases, pack)
    sheets = [job_sheet(one, pack, _advise(one, pack, worlds), wishes) for one in read]
    whole = together(sheets, pack, wishes)
    if target is not None:
        from advisor.report.quote import write_quote

        try:
            write_quote(whole, target, _system(units))
        except OSError as error:
            raise BadInput(_cannot_write(target, error)) from error
    if as_json:
        from advisor.report.job_json import job_json

        click.echo(_json(job_json(whole)))
    elif target is not None:
        click.echo(f"{target} written.")
    else:
        from advisor.report.quote import job_text

        click.echo(job_text(whole, _system(units)), nl=False)


@app.group()
def rules() -> None:
    """Look into the rule pack."""


@rules.command("check")
@click.argument("folder", required=False, type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print as JSON.")
def rules_check(folder: Path | None, as_json: bool) -> None:
    """Check a rule pack: every name, unit, source, and that no forces run in a circle."""
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
        click.echo(_json({"format": 1, "rules": form}))
        return
    click.echo(f"{pack.title}, version {pack.version}, digest {pack.digest[:12]}: no faults.")
    click.echo(", ".join(f"{number} {what}" for what, number in counts.items()) + ".")
    for name in pack.overlaid:
        click.echo(f"Your own file stands in: {name}")


@rules.command("facts")
@rules_option
@click.option("--json", "as_json", is_flag=True, help="Print as JSON.")
def rules_facts(rules: Path | None, as_json: bool) -> None:
    """List the facts a case file may give, with their accepted answers."""
    pack = _load(rules)
    if as_json:
        form = {name: _fact_form(decl) for name, decl in pack.facts.items()}
        click.echo(_json({"format": 1, "facts": form}))
        return
    for decl in pack.facts.values():
        click.echo(f"{decl.name}: {decl.ask}")
        click.echo(f"    {_accepted(decl)}")


def _fact_form(decl: Any) -> dict[str, Any]:
    form: dict[str, Any] = {
        "kind": str(decl.kind),
        "stage": str(decl.stage),
        "ask": decl.ask,
        "how": decl.how,
        "gate": decl.gate,
    }
    if decl.options:
        form["options"] = {option.key: option.title for option in decl.options}
    if decl.kind == "quantity":
        form.update(unit=decl.unit, low=decl.low, high=decl.high)
    return form


def _accepted(decl: Any) -> str:
    if decl.options:
        return ", ".join(decl.keys)
    if decl.kind == "quantity":
        unit = "" if decl.unit == "1" else f" {decl.unit}"
        return f"{decl.low:g} to {decl.high:g}{unit}"
    return "yes, no" if decl.kind == "yes_no" else "text"


def _copied(demo_case: Path) -> Path:
    """A fresh copy of a demo case among the user's own files, to try things on."""
    import shutil

    from advisor.paths import demo_copies_folder

    return Path(shutil.copy(demo_case, demo_copies_folder() / demo_case.name))


def _title(path: Path) -> str:
    from advisor.facts.marked_yaml import read_marked

    return str(read_marked(path).data.get("title", ""))


def _system(units: str) -> System:
    from advisor.facts.quantity import System

    return System(units)


def _json(form: Any) -> str:
    return json.dumps(form, indent=2, ensure_ascii=False, allow_nan=False)


def _load(folder: Path | None) -> RulePack:
    from advisor.rulegraph.load import load_pack

    return load_pack(folder)


def _advise(case: Case, pack: RulePack, worlds: int) -> Advice:
    from advisor.advice.advise import advise as advise_case

    return advise_case(case, pack, worlds)


def _read_all(paths: Sequence[Path], pack: RulePack) -> list[Case]:
    """Read every case; raises BadInput with the faults of all files together."""
    from advisor.facts.case_file import read_case
    from advisor.facts.faults import Fault

    files: list[Path] = []
    faults = []
    for path in paths:
        inside = sorted(path.glob("*.yaml")) if _is(path, "is_dir") else [path]
        if not inside:
            faults.append(Fault(str(path), 0, 0, "", "no case files in this folder", "", "*.yaml"))
        files += inside
    cases = []
    for path in files:
        try:
            cases.append(read_case(path, pack.facts, methods=pack.methods))
        except BadInput as bad:
            faults += bad.faults
    if faults:
        raise BadInput(faults)
    return cases


def _cannot_write(path: Path, error: OSError) -> Any:
    from advisor.facts.faults import Fault

    reason = error.strerror or str(error)
    return Fault(str(path), 0, 0, "", f"cannot be written: {reason}", "", "a folder that exists")


def _open_window(case: Path | None, rules: Path | None) -> int:
    from advisor.gui.app import run

    return run(case, rules)


def main(args: Sequence[str] | None = None) -> None:
    """Entry point: runs the command and exits with its code."""
    try:
        code = app.main(args=args, prog_name="trim-advisor", standalone_mode=False)
        sys.exit(code if isinstance(code, int) else 0)
    except click.exceptions.Exit as leave:
        sys.exit(leave.exit_code)
    except click.ClickException as error:
        error.show()
        sys.exit(error.exit_code)
    except click.Abort:
        sys.exit(2)
    except BadInput as bad:
        for fault in bad.faults:
            click.echo(fault.text, err=True)
        sys.exit(BAD_INPUT)
    except BrokenPipeError:
        sys.exit(0)
    except Exception as error:
        _own_fault(error)
        sys.exit(OWN_FAULT)


def _own_fault(error: Exception) -> None:
    """Say that the program is at fault, and keep the working for whoever mends it."""
    import tempfile
    import traceback

    with tempfile.NamedTemporaryFile(
        "w", prefix="trim-advisor-", suffix=".log", delete=False, encoding="utf-8"
    ) as log:
        traceback.print_exception(error, file=log)
    click.echo(
        f"The program made a mistake ({type(error).__name__}: {error}). "
        f"Nothing was written. Details: {log.name}",
        err=True,
    )
