"""``trim-advisor papers lots``: materials on hand and the jobs that used them."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from advisor.cli.casebook import book_option, day_of, keys_of, opened
from advisor.cli.named_files import writing
from advisor.cli.options import PATH, json_option
from advisor.cli.printing import say, say_form
from advisor.facts.faults import AnswerError, BadInput, Fault

if TYPE_CHECKING:
    from advisor.papers.materials.on_hand import KeptLot, Use


@click.group()
def lots() -> None:
    """Lots of material on hand (docs/materials.md): papers, shelf life, jobs that used them."""


@lots.command("import")
@click.argument("file", type=PATH)
@book_option
def import_(file: Path, place: str | None) -> None:
    """Take in the lots in FILE, in YAML or CSV, with the scans and burn records it names."""
    from advisor.casebook.journal.keeper import now_ms, user_name
    from advisor.papers.materials.lot import read_lots
    from advisor.papers.materials.on_hand import take_in

    read = read_lots(file)
    with opened(place) as book:
        became = book.write(
            lambda connection: take_in(
                connection, read, file.parent, book.files, now_ms(), user_name()
            )
        )
    for name, how in became:
        say(f"{name}: {how}")


@lots.command()
@click.argument("folder", type=PATH)
@book_option
def export(folder: Path, place: str | None) -> None:
    """Write all lots with their scans and burn records into a new or empty FOLDER.

    ``import FOLDER/lots.yaml`` takes them in elsewhere; the jobs that used them stay here.
    """
    from advisor.casebook.photos.files import FileMissing
    from advisor.facts.whole_file import write_whole
    from advisor.papers.materials.on_hand import written_out

    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        problem, accepted = "something is there already", "a new or empty folder"
        raise BadInput(Fault(str(folder), 0, 0, "", problem, "", accepted))
    with opened(place) as book:
        try:
            files = book.read(lambda connection: written_out(connection, book.files))
        except FileMissing as error:
            problem = "nothing was written"
            raise BadInput(Fault(book.called, 0, 0, "", f"{error}; {problem}", "", "")) from None
    with writing(folder):
        folder.mkdir(parents=True, exist_ok=True)
        for name, data in files.items():
            write_whole(folder / name, data)
    say(f"{folder / 'lots.yaml'} and {len(files) - 1} files that it names")


@lots.command("list")
@click.option("--soon", type=click.IntRange(0, 3650), default=30, show_default=True,
              help="Days ahead that are warned of.")  # fmt: skip
@click.option("--warnings", "only_warned", is_flag=True, help="Only lots with a warning.")
@json_option
@book_option
def list_(soon: int, only_warned: bool, as_json: bool, place: str | None) -> None:
    """List the lots, those to be heeded first: withdrawn, past or near the end of shelf life."""
    from advisor.papers.materials.on_hand import all_lots
    from advisor.papers.materials.warnings import warnings

    with opened(place) as book:
        kept = book.read(all_lots)
    warned = {one.lot.lot: one for one in warnings((k.lot for k in kept), date.today(), soon)}
    by_name = {each.lot.lot: each for each in kept}
    names = [*warned, *(name for name in by_name if name not in warned and not only_warned)]
    if as_json:
        say_form({"format": 1, "lots": [
            {**_form(by_name[name]), "warning": warned[name].kind.value if name in warned else None,
             "warning_text": warned[name].text if name in warned else None}
            for name in names
        ]})  # fmt: skip
        return
    for name in names:
        lot = by_name[name].lot
        told = [name, lot.layer, lot.material]
        told += [f"batch {lot.batch}"] if lot.batch else []
        say("  ".join(told) + (f"  ! {warned[name].text}" if name in warned else ""))
    counted = "1 lot" if len(names) == 1 else f"{len(names)} lots"
    say(f"{counted}, {len(warned)} to be heeded")


@lots.command()
@click.argument("lot")
@json_option
@book_option
def show(lot: str, as_json: bool, place: str | None) -> None:
    """Show a LOT: its papers, what it was before, and the jobs that used it."""
    from advisor.papers.materials.on_hand import jobs_that_used, lot_named, versions_of
    from advisor.papers.materials.warnings import warning

    with opened(place) as book:
        kept = book.read(lambda connection: lot_named(connection, lot))
        versions = book.read(lambda connection: versions_of(connection, lot))
        used = book.read(lambda connection: jobs_that_used(connection, lot))
    warned = warning(kept.lot, date.today())
    if as_json:
        say_form({
            "format": 1, **_form(kept), "warning": warned.kind.value if warned else None,
            "versions": [_form(each) for each in versions], "jobs": [vars(each) for each in used],
        })  # fmt: skip
        return
    form = kept.lot.form()
    for name, value in form.items():
        if name not in ("certificates", "withdrawn", "scans", "burn_record"):
            say(f"{name}: {value}")
    for paper in form.get("certificates", []):
        said = ", ".join(f"{name} {value}" for name, value in paper.items() if name != "kind")
        say(f"certificate ({paper['kind']}): {said}")
    for file in kept.files:
        say(f"{file.role}: {file.name}  sha256 {file.digest}")
    if warned:
        say(f"! {warned.text}")
    say(f"version {kept.number}, since {day_of(kept.at)} by {kept.author}")
    _say_jobs(used)


@lots.command()
@click.argument("lot")
@click.option("--why", required=True, help="The reason given.")
@click.option("--by", "who", default=None, help="Who withdrew it: maker, station, shop.")
@click.option("--on", "on", default=None, metavar="DAY", help="Day of the withdrawal; else today.")
@book_option
def withdraw(lot: str, why: str, who: str | None, on: str | None, place: str | None) -> None:
    """Note that a LOT may not be used any more, and list the jobs that used it."""
    from advisor.casebook.journal.keeper import now_ms, user_name
    from advisor.papers.materials import on_hand
    from advisor.papers.materials.lot import Withdrawn, day

    try:
        when = day(on) if on else date.today()
    except AnswerError as error:
        raise BadInput(error.at("lots", 0, 0, "--on")) from None
    noted = Withdrawn(on=when, why=why, by=who)
    with opened(place) as book:
        used = book.write(
            lambda connection: on_hand.withdraw(connection, lot, noted, now_ms(), user_name())
        )
    say(f"{lot}: withdrawn")
    _say_jobs(used)


@lots.command()
@click.argument("lot")
@book_option
def reinstate(lot: str, place: str | None) -> None:
    """Lift the withdrawal of a LOT; that it was withdrawn stays in its versions."""
    from advisor.casebook.journal.keeper import now_ms, user_name
    from advisor.papers.materials import on_hand

    with opened(place) as book:
        book.write(lambda connection: on_hand.reinstate(connection, lot, now_ms(), user_name()))
    say(f"{lot}: not withdrawn any more")


@lots.command()
@click.argument("lot")
@click.argument("case")
@click.option("--amount", default="", help="How much of it, with the unit.")
@click.option("--not", "taken_back", is_flag=True, help="It was not used there after all.")
@book_option
def used(lot: str, case: str, amount: str, taken_back: bool, place: str | None) -> None:
    """Note that a LOT was used in the job of a CASE (name or key)."""
    from advisor.casebook.journal.keeper import now_ms, user_name
    from advisor.papers.materials import on_hand
    from advisor.papers.materials.warnings import warning

    with opened(place) as book:
        key = keys_of(book, [case])[0]
        called = book.case(key).row["called"]
        if taken_back:
            gone = book.write(lambda connection: on_hand.not_used(connection, lot, key))
            say(f"{lot}: {'not used' if gone else 'was not noted'} in {case}")
            return
        kept = book.write(
            lambda connection: on_hand.use(
                connection, lot, key, called, now_ms(), user_name(), amount
            )
        )
    say(f"{lot}: used in {case}")
    if warned := warning(kept.lot, date.today()):
        say(f"! {warned.text}")


@lots.command()
@click.argument("lot")
@json_option
@book_option
def jobs(lot: str, as_json: bool, place: str | None) -> None:
    """List the jobs that used a LOT."""
    from advisor.papers.materials.on_hand import jobs_that_used, lot_named

    with opened(place) as book:
        book.read(lambda connection: lot_named(connection, lot))
        used = book.read(lambda connection: jobs_that_used(connection, lot))
    if as_json:
        say_form({"format": 1, "lot": lot, "jobs": [vars(each) for each in used]})
    else:
        _say_jobs(used)


def _say_jobs(used: list[Use]) -> None:
    for each in used:
        told = [day_of(each.at), each.called or each.job, f"key {each.key[:12]}"]
        told += [each.amount] if each.amount else []
        told += ["in the bin"] if each.binned else []
        told += ["not in the casebook any more"] if each.called is None else []
        say("  ".join(told))
    say("used in 1 job" if len(used) == 1 else f"used in {len(used)} jobs")


def _form(kept: KeptLot) -> dict[str, Any]:
    return {
        **kept.lot.form(), "version": kept.number, "at": kept.at, "author": kept.author,
        "files": [vars(each) for each in kept.files],
    }  # fmt: skip
