"""A backup put back, and what the casebook put aside has besides. Own rules of this project."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from datetime import datetime
from functools import partial
from pathlib import Path

import pytest
from sqlalchemy import select

from advisor.casebook.adding import add_case
from advisor.casebook.archives.backups import back_up, backups, restorable, restore
from advisor.casebook.book import Casebook
from advisor.casebook.database.tables import cases
from advisor.casebook.finding.bin import throw_away
from advisor.casebook.finding.lines import Search
from advisor.casebook.finding.search import page, save_search, searches_saved
from advisor.casebook.journal.journal import Journal
from advisor.casebook.outcomes.entries import Outcome, State, add_outcome, taken
from advisor.casebook.people import (
    Customer,
    Vehicle,
    add,
    belongs_to,
    customers_known,
    people_of,
    vehicles_known,
)
from advisor.casebook.photos.attached import attach, attached
from advisor.casebook.replay.stored_rules import files_stored, keep
from advisor.casebook.taking_over import after_restoring, take_over
from advisor.facts.case import Case, Span
from advisor.facts.faults import BadInput
from advisor.paths import rules_folder
from advisor.rulegraph.model.pack import RulePack
from tests.casebook.conftest import Places
from tests.casebook.shop import NOON, Technician
from tests.casebook.test_archives import photo

WHEN = datetime(2031, 3, 4, 5, 6, 7)


@pytest.fixture
def folder(places: Places) -> Path:
    return Path(places.new("sqlite"))


@pytest.fixture
def put_back(folder: Path, journal: Journal, pack: RulePack) -> Iterator[tuple[Casebook, Path]]:
    """A shop that goes on after a backup, which is then put back; what was put aside."""
    book = Casebook.open(folder, pack)
    ada = Technician(book, journal)
    ada.begins("HB-1", part__kind=("armrest",))
    ada.closes()
    back_up(folder, WHEN)
    ada.answers("damage.count", Span(3, 3, "3"))
    ada.closes()
    ada.answers("skin.thickness", Span(1, 1, "1 mm"))  # in no revision yet
    ada.taken_in()
    first = ada.keeper.key
    later = ada.begins("HB-2", part__kind=("dash_top",))
    ada.closes()
    thrown = ada.begins("HB-3", part__kind=("dash_top",))
    ada.taken_in()

    def more(connection):  # type: ignore[no-untyped-def]
        owner = add(connection, Customer("Quay Boats", "0123"))
        belongs_to(connection, later, owner, add(connection, Vehicle("Shuttle 4")))
        add_outcome(connection, first, Outcome(State.BACK, 0.5, "thread"), NOON, pack)
        throw_away(connection, thrown, NOON)
        attach(connection, later, photo(), "a.png", "before", NOON, book.files)
        save_search(connection, "boats", Search("boat"))
        keep(connection, pack, rules_folder(), None)

    book.write(more)
    book.shut()
    aside = restore(folder, backups(folder)[0], WHEN)
    assert aside is not None
    book = Casebook.open(folder, pack)
    yield book, aside
    book.shut()


def by_name(book: Casebook) -> dict[str, str]:
    """Keys of the cases."""
    return {book.case(key).case.name: key for key in book.all_keys()}


def test_what_the_backup_lacks_is_told_and_taken_over_whole(
    put_back: tuple[Casebook, Path], pack: RulePack
) -> None:
    book, aside = put_back
    assert [*by_name(book)] == ["HB-1"]
    assert after_restoring(book, aside).text == (
        "2 cases there are not in this one, 1 case is not the same in both"
    )
    found = take_over(book, aside)
    assert (dict(found.became), found.left) == ({"new": 2, "added to": 1}, ())
    keys = by_name(book)
    assert not any(book.damage(key) for key in keys.values())
    first = book.case(keys["HB-1"])
    assert first.case.facts["damage.count"] == Span(3, 3)
    assert first.case.facts["skin.thickness"] == Span(1, 1)
    assert (first.number, first.others, first.row["outcome"]) == (2, (), "back")
    assert [each.failed for each in book.read(partial(taken, key=keys["HB-1"]))] == ["thread"]
    owner, vehicle = book.read(partial(people_of, key=keys["HB-2"]))
    assert book.read(customers_known)[owner or 0].name == "Quay Boats"
    assert book.read(vehicles_known)[vehicle or 0].name == "Shuttle 4"
    assert len(book.read(partial(attached, key=keys["HB-2"]))) == 1
    assert [line.name for line in book.read(partial(page, search=Search(in_bin=True)))] == ["HB-3"]
    assert [*book.read(searches_saved)] == ["boats"]
    assert book.read(partial(files_stored, digest=pack.digest))


def test_taking_over_twice_changes_nothing(put_back: tuple[Casebook, Path]) -> None:
    book, aside = put_back
    take_over(book, aside)
    assert not after_restoring(book, aside).text
    assert not take_over(book, aside).became


def test_what_was_answered_since_stays_beside_what_is_taken_over(
    put_back: tuple[Casebook, Path], journal: Journal
) -> None:
    book, aside = put_back
    ben = Technician(book, journal, "Ben")
    key = by_name(book)["HB-1"]
    ben.opens(key)
    ben.answers("damage.count", Span(5, 5, "5"))
    ben.closes()
    found = take_over(book, aside)
    assert dict(found.became) == {"new": 2, "beside ours": 1}
    there = book.case(key)
    assert there.case.facts["damage.count"] == Span(5, 5)
    assert there.others[-1].case.facts["damage.count"] == Span(3, 3)


def test_answers_that_waited_in_a_journal_lie_on_an_older_backup_too(
    folder: Path, journal: Journal, pack: RulePack
) -> None:
    book = Casebook.open(folder, pack)
    ada = Technician(book, journal)
    key = ada.begins("HB-1", part__kind=("armrest",))
    ada.closes()
    back_up(folder, WHEN)
    ada.answers("damage.count", Span(3, 3, "3"))
    ada.closes()
    ada.answers("skin.thickness", Span(1, 1, "1 mm"))  # on revision 2, and only in the journal
    book.shut()
    aside = restore(folder, backups(folder)[0], WHEN)
    book = Casebook.open(folder, pack)
    book.take_in(journal)
    there = book.open_for_work(key, "Ben")
    assert there.case.facts["skin.thickness"] == Span(1, 1)
    assert not there.others
    assert not book.damage(key)
    assert aside is not None
    take_over(book, aside)
    assert book.case(key).case.facts["skin.thickness"] == Span(1, 1)
    assert book.case(key).others[-1].case.facts["damage.count"] == Span(3, 3)
    book.shut()


def test_customers_erased_in_either_casebook_stay_erased(
    folder: Path, pack: RulePack
) -> None:
    book = Casebook.open(folder, pack)
    key, _ = book.write(partial(add_case, case=Case("HB-1"), author="A", at=NOON, pack=pack))
    first, second = (
        book.write(partial(add, whom=Customer(name))) for name in ("Quay Boats", "Farm")
    )
    book.write(partial(belongs_to, key=key, customer=first))
    back_up(folder, WHEN)
    book.erase(customer=first)
    book.shut()
    aside = restore(folder, backups(folder)[0], WHEN)
    assert aside is not None
    book = Casebook.open(folder, pack)
    assert len(book.read(customers_known)) == 2
    after_restoring(book, aside)
    assert [each.name for each in book.read(customers_known).values()] == ["Farm"]
    book.erase(customer=second)  # erased here, still there
    take_over(book, aside)
    assert not book.read(customers_known)
    book.shut()


def test_a_damaged_case_is_left_out_and_named(
    put_back: tuple[Casebook, Path], pack: RulePack
) -> None:
    book, aside = put_back
    with sqlite3.connect(aside) as connection:
        connection.execute(
            "UPDATE revisions SET body = x'00' WHERE case_id = "
            "(SELECT id FROM cases WHERE name = 'HB-2')"
        )
    connection.close()
    found = take_over(book, aside)
    assert dict(found.became) == {"new": 1, "added to": 1}
    assert [each[18:] for each in found.left] == [
        "revision 1 cannot be inflated: Error -3 while decompressing data: incorrect header check"
    ] or "revision 1 cannot be inflated" in found.left[0]


def test_what_is_no_casebook_is_refused_and_nothing_changes(
    put_back: tuple[Casebook, Path], tmp_path: Path
) -> None:
    book, _ = put_back
    bad = tmp_path / "bad.sqlite"
    bad.write_bytes(b"no database" * 1000)
    with pytest.raises(BadInput, match="not a casebook that can be read"):
        take_over(book, bad)
    with pytest.raises(BadInput, match="no such file"):
        take_over(book, tmp_path / "none.sqlite")
    assert [*by_name(book)] == ["HB-1"]
    assert not list(Path(book.place).glob(".taking-over-*"))


def test_a_folder_is_taken_over_into_any_casebook(
    put_back: tuple[Casebook, Path], place: str, pack: RulePack
) -> None:
    _, aside = put_back
    book = Casebook.open(place, pack)
    assert dict(take_over(book, aside).became) == {"new": 3}
    key = by_name(book)["HB-2"]
    [kept] = book.read(partial(attached, key=key))
    assert book.read(partial(book.files.read, digest=kept.digest))
    assert book.read(partial(people_of, key=key)) != (None, None)
    book.shut()


def test_two_put_aside_in_one_second_are_both_there(
    folder: Path, pack: RulePack
) -> None:
    book = Casebook.open(folder, pack)
    back_up(folder, WHEN)
    book.shut()
    asides = {restore(folder, backups(folder)[0], WHEN) for _ in range(3)}
    assert len(asides) == 3
    assert len(restorable(folder)) == 4
    book = Casebook.open(folder, pack)
    assert book.read(lambda connection: connection.execute(select(cases)).all()) == []
    book.shut()
