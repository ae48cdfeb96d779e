"""``trim-advisor casebook``: the shop's stored cases on the command line."""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from advisor.cli.named_files import read_cases, writing
from advisor.cli.options import PATH, json_option, load_rules, rules_option
from advisor.cli.printing import say, say_form
from advisor.facts.case import DAMAGE, PART
from advisor.facts.faults import BadInput, Fault, nearest_name, one_of

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from advisor.casebook.book import Casebook
    from advisor.casebook.finding.lines import CaseLine, Search
    from advisor.casebook.outcomes.experience import Experience
    from advisor.facts.case import Case
    from advisor.rulegraph.model.pack import RulePack

#: Simulated cases of an advice that is stored, as the window stores it.
WORLDS = 4096
#: Differences listed of one replay.
MOST_SHOWN = 12

book_option = click.option(
    "--book", "place", metavar="PLACE",
    help="Folder or postgresql:// address; else TRIM_ADVISOR_CASEBOOK, casebook.txt, your own.",
)  # fmt: skip


@click.group()
def casebook() -> None:
    """Cases that are kept: found again, calculated again, and what came of them."""


@contextlib.contextmanager
def opened(place: str | None, pack: RulePack | None = None) -> Iterator[Casebook]:
    """The casebook, with what waits in this machine's journal taken in."""
    from advisor import paths
    from advisor.casebook.book import Casebook
    from advisor.casebook.journal.journal import Journal

    book = Casebook.open(place or paths.casebook_place(), pack or load_rules(None))
    try:
        if place is None and paths.journal_file().exists():
            journal = Journal(paths.journal_file())
            try:
                book.take_in(journal)
            finally:
                journal.close()
        yield book
    finally:
        book.shut()


def keys_of(book: Casebook, names: Sequence[str]) -> list[str]:
    """The cases that are meant; all where none is named. Raises BadInput with all faults."""
    from advisor.casebook.finding.named import key_of

    if not names:
        return book.all_keys()
    found, faults = [], list[Fault]()
    for name in names:
        try:
            found.append(book.read(partial(key_of, said=name)))
        except BadInput as bad:
            faults += bad.faults
    if faults:
        raise BadInput(faults)
    return found


def day_of(at: int | None) -> str:
    """A moment as a day here."""
    return "" if at is None else datetime.fromtimestamp(at / 1000).strftime("%Y-%m-%d")


@casebook.command()
@click.argument("cases", nargs=-1, required=True, type=PATH)
@click.option("--no-advice", is_flag=True, help="Store the answers alone.")
@book_option
@rules_option
def add(cases: Sequence[Path], no_advice: bool, place: str | None, rules: Path | None) -> None:
    """Store case files (or folders of them) with what is advised on them now.

    A case of a name that is there gets a revision more.
    """
    from advisor import paths
    from advisor.casebook.adding import add_case
    from advisor.casebook.cases.advised import advised
    from advisor.casebook.journal.keeper import now_ms, user_name
    from advisor.casebook.replay.stored_rules import keep
    from advisor.cli.options import advise_on

    pack = load_rules(rules)
    own = paths.overlay_folder() if rules is None else None
    base = rules or paths.rules_folder()
    read = read_cases(cases, pack, once=True)
    kept = [(case, None if no_advice else advised(advise_on(case, pack, WORLDS))) for case in read]

    def store(connection: Connection) -> list[tuple[str, str]]:
        if not no_advice:
            keep(connection, pack, base, own)
        return [
            (case.name, str(add_case(connection, case, user_name(), now_ms(), pack, advice)[1]))
            for case, advice in kept
        ]

    with opened(place, pack) as book:
        for name, became in book.write(store):
            say(f"{name}: {became}")


@casebook.command()
@click.argument("words", nargs=-1)
@click.option("--part", default="", help="Kind of part, as the rules name it.")
@click.option("--skin", default="", help="Skin.")
@click.option("--damage", default="", help="Kind of damage.")
@click.option("--method", "lead", default="", help="Method that led.")
@click.option("--verdict", default="", help="plan, ask, refer or decline.")
@click.option("--outcome", default="", help="held, back or unknown.")
@click.option("--customer", default="", help="Words of the customer's name or reference.")
@click.option("--since", default="", metavar="DAY", help="Begun on this day or later.")
@click.option("--until", default="", metavar="DAY", help="Begun on this day or before.")
@click.option("--bin", "in_bin", is_flag=True, help="What was thrown away.")
@click.option("--saved", default="", metavar="NAME", help="A search that was saved.")
@click.option("--save", default="", metavar="NAME", help="Save this search.")
@click.option("--most", default=50, show_default=True, type=click.IntRange(1), help="Lines.")
@json_option
@book_option
def find(words: Sequence[str], saved: str, save: str, most: int, as_json: bool,
         place: str | None, **given: Any) -> None:  # fmt: skip
    """List the cases in which all WORDS occur, the newest first."""
    from advisor.casebook.finding import search as finding
    from advisor.casebook.finding.lines import Search
    from advisor.casebook.finding.whose import whose as whose_of

    search = Search(" ".join(words), **given)
    for name in ("since", "until"):
        with _day_told(f"--{name}"):
            if given[name]:
                finding.day(given[name])
    with opened(place) as book:
        if saved:
            search = _saved(book, saved)
        if save:
            book.write(lambda connection: finding.save_search(connection, save, search))
        lines = book.read(lambda connection: finding.page(connection, search, most))
        count = book.read(lambda connection: finding.count(connection, search))
        here = book.read(partial(whose_of, ids=[line.id for line in lines]))
        if not count:
            _heed_unknown(book, search)
    if as_json:
        counted = min(count, finding.MOST_COUNTED)
        form = [_form(line) for line in lines]
        say_form({"format": 1, "count": counted, "more": count > counted, "cases": form})
        return
    for line in lines:
        say(_line(line, here.get(line.id, "")))
    shown = f"more than {finding.MOST_COUNTED:,}" if count > finding.MOST_COUNTED else str(count)
    all_shown = "1 case" if count == 1 else f"{count} cases"
    say(all_shown if count == len(lines) else f"{len(lines)} of {shown} cases")


def _heed_unknown(book: Casebook, search: Search) -> None:
    """Raises BadInput where nothing was found for a word that the rules do not have.

    Older cases may well have one, so it is only told where none has.
    """
    facts = book.pack.facts
    known = {
        "part": facts[PART].keys, "damage": facts[DAMAGE].keys,
        "skin": facts[book.pack.roles.skin].keys, "lead": tuple(book.pack.methods),
    }  # fmt: skip
    faults = []
    for name, keys in known.items():
        found = getattr(search, name)
        if found and found not in keys:
            option = "--method" if name == "lead" else f"--{name}"
            faults.append(Fault(option, 0, 0, "", "no such name in the rules", found,
                                one_of(keys), nearest_name(found, keys)))  # fmt: skip
    if faults:
        raise BadInput(faults)


@casebook.command()
@click.argument("case")
@json_option
@book_option
def show(case: str, as_json: bool, place: str | None) -> None:
    """Show a CASE (name or key): its revisions, versions, outcomes, and whether it is whole."""
    from advisor.casebook.cases.chain import content
    from advisor.casebook.cases.versions import links
    from advisor.casebook.finding.whose import whose as whose_of
    from advisor.casebook.outcomes.entries import really_took, taken
    from advisor.casebook.photos.attached import attached

    with opened(place) as book:
        key = keys_of(book, [case])[0]
        damage = book.damage(key)
        there = book.case(key)
        chain = book.read(lambda connection: links(connection, there.id))
        heard = book.read(lambda connection: taken(connection, key))
        here = book.read(partial(whose_of, ids=[there.id])).get(there.id)
        photos = book.read(partial(attached, key=key))
        saw = experience_of(book)
    revisions = [content(each.body) for each in chain]
    advices = [said["advice"] for said in revisions if said["advice"]]
    if as_json:
        say_form({
            "format": 1, "key": key, "damage": damage, "case": _content(there.case),
            "head": there.row["head"].hex(), "revisions": revisions,
            "versions": [{"author": each.author, "base": each.base, "at": each.at,
                          "case": _content(each.case)} for each in there.versions],
            "outcomes": [vars(each) for each in heard],
        })  # fmt: skip
        return
    row = there.row
    say(f"{row['called']}  ({row['name']}, key {key[:12]})")
    plan = f", {row['lead']} leads, calculated to hold {100 * row['hold']:.0f} %" if (
        row["lead"] and row["hold"] is not None) else ""  # fmt: skip
    say(f"verdict {row['verdict'] or 'none yet'}{plan}")
    if here:
        say(f"  {here}")
    for moment in dict.fromkeys(photo.moment for photo in photos):
        count = sum(photo.moment == moment for photo in photos)
        say(f"  {count} {'photo' if count == 1 else 'photos'} {moment}")
    for line in saw.beside(row["lead"] or "", row["damage"] or "", row["hold"]):
        say(f"  {line}")
    for said in revisions:
        say(f"  revision {said['number']}  {day_of(said['at'])}  {said['author']}  "
            f"{said['reason']}  {len(said['content']['facts'])} answers")  # fmt: skip
    for each in there.versions:
        say(f"  not closed yet: {each.author}, on top of revision {each.base}")
    for outcome in heard:
        after = "" if outcome.years is None else f" after {outcome.years:.1f} years"
        say(f"  {outcome.state}{after}{': ' if outcome.failed else ''}{outcome.failed}")
        if took := really_took(outcome, advices[-1] if advices else None):
            say(f"    {took}")
    say(f"record: {damage or 'whole'}; head {there.row['head'].hex()[:16]}")


@casebook.command()
@click.argument("case", required=False)
@click.argument(
    "state", required=False, type=click.Choice(["done", "held", "back", "unknown"])
)
@click.option("--years", type=float, help="After how many years; else the time since then.")
@click.option("--failed", default="", help="What failed.")
@click.option("--minutes", type=float, help="What the job really took.")
@click.option("--material", type=float, help="What the material really cost.")
@click.option("--note", default="", help="Anything else.")
@click.option("--due", "show_due", is_flag=True, help="List the jobs that are to be asked after.")
@click.option("--seen", is_flag=True, help="What this shop saw, beside what was calculated.")
@click.option("--factor", type=click.Choice(["on", "off"]),
              help="Show the shop factor beside each calculated figure, or not.")
@book_option
def outcome(case: str | None, state: str | None, show_due: bool, seen: bool, factor: str | None,
            place: str | None, **given: Any) -> None:  # fmt: skip
    """Enter what came of a CASE: done now, then held, back or unknown."""
    from advisor.casebook.finding.whose import whose as whose_of
    from advisor.casebook.journal.keeper import now_ms, user_name
    from advisor.casebook.outcomes.entries import Outcome, State, add_outcome, done, due
    from advisor.casebook.outcomes.experience import switch_factor

    with opened(place) as book:
        if show_due:
            lines = book.read(lambda connection: due(connection, now_ms(), 50))
            here = book.read(partial(whose_of, ids=[line.id for line in lines]))
            for line in lines:
                say(f"{_line(line, here.get(line.id, ''))}  due {day_of(line.follow_up)}")
            say(f"{len(lines)} to be asked after")
            return
        if factor is not None:
            book.write(partial(switch_factor, on=factor == "on"))
        if seen or factor is not None:
            for text in _seen(book):
                say(text)
            return
        if case is None or state is None:
            wanted = "a case and one of done, held, back, unknown; or --due, or --seen"
            raise click.UsageError(wanted)
        key = keys_of(book, [case])[0]
        if state == "done":
            book.write(partial(done, key=key, at=now_ms()))
            say(f"{case}: done; it is asked after in three months")
            return
        try:
            heard = Outcome(State(state), author=user_name(), **given)
        except ValueError as error:
            raise BadInput(Fault("outcome", 0, 0, "", str(error), "", "")) from None
        book.write(lambda connection: add_outcome(connection, key, heard, now_ms(), book.pack))
        say(f"{case}: {state}")


@casebook.command("bin")
@click.argument("cases", nargs=-1)
@click.option("--take-back", is_flag=True, help="Take CASES out of the bin again.")
@click.option("--empty", is_flag=True, help="Delete all that is in the bin, for good.")
@book_option
def bin_(cases: Sequence[str], take_back: bool, empty: bool, place: str | None) -> None:
    """Throw CASES away: they are found with --bin only, until the bin is emptied."""
    from advisor.casebook.finding import bin as binned
    from advisor.casebook.journal.keeper import now_ms

    if empty == bool(cases):
        raise click.UsageError("either cases, or --empty")
    with opened(place) as book:
        if empty:
            count = book.empty_bin()
            say(f"{count} {'case' if count == 1 else 'cases'} deleted")
            return
        for name, key in zip(cases, keys_of(book, cases), strict=True):
            book.write(
                partial(binned.take_back, key=key) if take_back
                else partial(binned.throw_away, key=key, at=now_ms())
            )  # fmt: skip
            say(f"{name}: {'taken back' if take_back else 'thrown away'}")


@casebook.command()
@click.argument("case")
@click.option("--customer", default="", metavar="NAME", help="Whose the case is.")
@click.option("--contact", default="", help="Telephone or address of the customer.")
@click.option("--order", "reference", default="", help="Order number of the customer.")
@click.option("--vehicle", default="", metavar="NAME", help="What the part belongs to.")
@click.option("--mark", default="", help="Fleet number, hull number or plate of the vehicle.")
@click.option("--erase", type=click.Choice(["customer", "vehicle"]),
              help="Erase the customer or vehicle of CASE from the casebook.")
@book_option
def whose(case: str, customer: str, contact: str, reference: str, vehicle: str, mark: str,
          erase: str | None, place: str | None) -> None:  # fmt: skip
    """Say whose a CASE is and which vehicle, show both, or erase one.

    They are kept apart from the case: no archive and no list holds them.
    """
    from advisor.casebook import people

    with opened(place) as book:
        key = keys_of(book, [case])[0]

        def put(connection: Connection) -> None:
            people.belongs_to(
                connection, key,
                people.add(connection, people.Customer(customer, contact, reference))
                if customer else None,
                people.add(connection, people.Vehicle(vehicle, mark)) if vehicle else None,
            )  # fmt: skip

        book.write(put)
        here = dict(zip(("customer", "vehicle"), book.read(
            partial(people.people_of, key=key)), strict=True))  # fmt: skip
        if erase is not None:
            if here[erase] is not None:
                book.erase(**{erase: here[erase]})
            say(f"{case}: {erase} erased; backups and casebooks put aside before still hold it")
            return
        listed: dict[str, dict[int, Any]] = {
            "customer": {**book.read(people.customers_known)},
            "vehicle": {**book.read(people.vehicles_known)},
        }
        for kind, number in here.items():
            one = None if number is None else listed[kind].get(number)
            words = [] if one is None else [text for text in vars(one).values() if text]
            say(f"{kind}: {', '.join(words) or 'not said'}")


@casebook.command()
@click.argument("case")
@click.argument("photos", nargs=-1, required=True, type=PATH)
@click.option("--after", is_flag=True, help="They show it after the repair, not before.")
@book_option
def photo(case: str, photos: Sequence[Path], after: bool, place: str | None) -> None:
    """Have PHOTOS belong to a CASE: turned upright, without place, time and names."""
    from advisor.casebook.journal.keeper import now_ms
    from advisor.casebook.photos.attached import AFTER, BEFORE, attach

    moment = AFTER if after else BEFORE
    with opened(place) as book:
        key = keys_of(book, [case])[0]

        def put(connection: Connection) -> None:
            faults = []
            for path in photos:
                try:
                    data = path.read_bytes()
                    attach(connection, key, data, path.name, moment, now_ms(), book.files)
                except (OSError, ValueError) as error:
                    reason = getattr(error, "strerror", None) or str(error)
                    faults.append(Fault(str(path), 0, 0, "", f"not kept: {reason}", "", "a photo"))
            if faults:
                raise BadInput(faults)

        book.write(put)
        say(f"{case}: {len(photos)} {'photo' if len(photos) == 1 else 'photos'} {moment}")


@casebook.command()
@click.argument("cases", nargs=-1)
@click.option("--today", is_flag=True, help="Under today's rules: what would be advised now.")
@click.option("--cluster", default="", metavar="ADDRESS",
              help="Calculate on the workers of a Dask scheduler, else on all cores.")
@click.option("--resume", is_flag=True,
              help="Go on with a run that was stopped: what this version of the program has "
              "calculated under the same rules is not calculated again.")
@json_option
@book_option
def replay(cases: Sequence[str], today: bool, cluster: str, resume: bool, as_json: bool,
           place: str | None) -> None:  # fmt: skip
    """Calculate the last advice of CASES again (all where none is named).

    Says identical, or what differs and whether rules or program are the cause; for one case
    under today's rules also which files of them changed it.
    """
    from advisor.casebook.replay.many import files_that_changed, replay_all
    from advisor.casebook.replay.replay import Result

    pack = load_rules(None)
    results: list[dict[str, Any]] = []
    counts: dict[str, int] = {}
    with opened(place, pack) as book:
        keys = keys_of(book, cases)
        for number, (name, replayed) in enumerate(
            replay_all(book, keys, pack if today else None, cluster=cluster, resume=resume),
            start=1,
        ):
            counts[replayed.result] = counts.get(replayed.result, 0) + 1
            form: dict[str, Any] = {
                "case": name, "result": replayed.result.value, "cause": replayed.cause,
                "differences": replayed.differences,
            }  # fmt: skip
            results.append(form)
            if not as_json:
                cause = f", cause: {replayed.cause}" if replayed.cause else ""
                say(f"{name}: {replayed.result}{cause}")
                for difference in replayed.differences[:MOST_SHOWN]:
                    say(f"    {difference}")
                if len(replayed.differences) > MOST_SHOWN:
                    say(f"    and {len(replayed.differences) - MOST_SHOWN} more")
            if today and len(keys) == 1 and replayed.result is Result.DIFFERS:
                form["changed_by"] = changed = files_that_changed(book, keys[0])
                if not as_json:
                    say(f"changed by: {', '.join(changed) or 'several files together'}")
            if len(keys) > MOST_SHOWN and sys.stderr.isatty():
                end = "\n" if number == len(keys) else ""
                click.echo(f"\r{number} of {len(keys)}{end}", nl=False, err=True)
    if as_json:
        say_form({"format": 1, "replays": results})
    elif len(results) != 1:
        listed = "; ".join(f"{count} {result}" for result, count in sorted(counts.items()))
        say(listed or "no cases")


@casebook.command()
@click.argument("to", type=PATH)
@click.argument("cases", nargs=-1)
@book_option
def export(to: Path, cases: Sequence[str], place: str | None) -> None:
    """Write CASES (all where none is named) to a .zip archive, a .csv or a .jsonl file."""
    from advisor.casebook.exchange import WRITTEN, export_cases
    from advisor.casebook.finding.lines import Search
    from advisor.casebook.finding.search import every

    if to.suffix.lower() not in WRITTEN:
        raise click.BadParameter(f"{to}: the name must end in .zip, .csv or .jsonl")
    with opened(place) as book, writing(to):
        keys = set(keys_of(book, cases))

        def chosen(connection: Connection) -> list[CaseLine]:
            bins = (False, True) if cases else (False,)  # what was thrown away is there if named
            listed = (every(connection, Search(in_bin=in_bin)) for in_bin in bins)
            return [line for lines in listed for line in lines if line.key in keys]

        count = export_cases(book, to, chosen)
    say(f"{count} {'case' if count == 1 else 'cases'} in {to}")


@casebook.command("import")
@click.argument("files", nargs=-1, required=True, type=PATH)
@book_option
def import_(files: Sequence[Path], place: str | None) -> None:
    """Take in archives that ``export`` wrote; doing it twice changes nothing.

    A file that ends in .sqlite is taken as a casebook of this shop, as restoring puts one
    aside: what it has and this one has not is added, with its customers and vehicles.
    """
    from advisor.casebook.exchange import import_file

    with opened(place) as book:
        for file in files:
            taken = import_file(book, file)
            say(f"{file}: {taken.text}")
            for each in taken.left:
                say(f"  not taken over: {each}")


@casebook.command()
@book_option
def backup(place: str | None) -> None:
    """Make a backup now; one is made every week by itself."""
    from advisor.casebook.archives.backups import back_up

    with opened(place) as book:
        say(f"backup in {back_up(_folder(book), datetime.now())}")


@casebook.command()
@click.argument("backup", required=False, type=PATH)
@book_option
def restore(backup: Path | None, place: str | None) -> None:
    """Put a BACKUP (the latest where none is named) in the place of the casebook.

    Close the program before. The old casebook is kept under another name beside it, and
    what it has more can be taken over from there with ``import``.
    """
    from advisor import paths
    from advisor.casebook.archives.backups import backups
    from advisor.casebook.archives.backups import restore as put_back
    from advisor.casebook.database.engine import database_file, is_url
    from advisor.casebook.taking_over import after_restoring

    where = place or paths.casebook_place()
    if is_url(where):
        raise BadInput(_server_fault(where))
    listed = backups(Path(where))
    if backup is None and not listed:
        fault = Fault(where, 0, 0, "", "no backup is there", "", "the name of a backup")
        raise BadInput(fault)
    chosen = backup or listed[0]
    if database_file(Path(where)).exists():
        with contextlib.suppress(BadInput), opened(place):
            pass  # answers that wait in the journal belong to the casebook as it is
    aside = put_back(Path(where), chosen, datetime.now())
    say(f"restored from {chosen}")
    if aside is None:
        return
    say(f"the old casebook is {aside}")
    try:
        with opened(place) as book:
            more = after_restoring(book, aside).text
    except BadInput as bad:
        say(f"what it has more cannot be told: {bad.faults[0].problem}")
        return
    if more:
        say(f"{more}; take over what it has more with: trim-advisor casebook import {aside}")


def _folder(book: Casebook) -> Path:
    if book.on_server:
        raise BadInput(_server_fault(book.called))
    return Path(book.place)


def _server_fault(where: str) -> Fault:
    problem = "a server is backed up and restored by whoever runs it"
    return Fault(where.rpartition("@")[2], 0, 0, "", problem, "", "pg_dump and pg_restore")


def _saved(book: Casebook, name: str) -> Search:
    from advisor.casebook.finding.search import searches_saved
    from advisor.facts.faults import nearest_name, one_of

    known = book.read(searches_saved)
    if name not in known:
        problem, accepted = "no search is saved so", one_of(known) if known else "--save NAME first"
        nearest = nearest_name(name, known)
        raise BadInput(Fault("casebook", 0, 0, "", problem, name, accepted, nearest))
    return known[name]


def _seen(book: Casebook) -> Iterator[str]:
    from advisor.casebook.outcomes.shop_factor import CAUTIONS
    from advisor.casebook.outcomes.workmanship import TAKEN_OVER

    saw = experience_of(book)
    for method, damage in saw.kinds:
        yield from (f"{method} on {damage}, {line}" for line in saw.of(method, damage))
    if workmanship := saw.workmanship(book.pack.methods):
        yield TAKEN_OVER
        yield from (f"{each.method}: {each.text}" for each in workmanship)
    on = "on" if saw.switched_on else "off"
    jobs = "1 job" if saw.factor.jobs == 1 else f"{saw.factor.jobs} jobs"
    yield f"{jobs} followed. {saw.factor.text}. Beside calculated figures: {on}"
    yield from (f"  {caution}" for caution in CAUTIONS)


def experience_of(book: Casebook) -> Experience:
    """What the shop saw so far."""
    from advisor.casebook.journal.keeper import now_ms
    from advisor.casebook.outcomes.experience import experience

    return book.read(lambda connection: experience(connection, now_ms()))


def _line(line: CaseLine, whose: str) -> str:
    parts = [day_of(line.begun), line.name, line.called]
    parts += [each for each in (whose, line.verdict, line.lead, line.outcome) if each]
    return "  ".join(parts)


def _form(line: CaseLine) -> dict[str, Any]:
    form = {name: value for name, value in vars(line).items() if name != "id"}
    for name in ("begun", "changed", "follow_up"):
        if form[name] is not None:
            form[name] = datetime.fromtimestamp(form[name] / 1000, UTC).isoformat("T", "seconds")
    return form


def _content(case: Case) -> dict[str, Any]:
    from advisor.casebook.journal.answers import case_form

    return case_form(case)


@contextlib.contextmanager
def _day_told(field: str) -> Iterator[None]:
    try:
        yield
    except ValueError as error:
        fault = Fault("casebook", 0, 0, field, f"not a day: {error}", "", "2026-03-31")
        raise BadInput(fault) from None


