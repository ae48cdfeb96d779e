"""Cases found again, on both databases; tables for other programs. Own rules of this project."""

from __future__ import annotations

import csv
import io
import json
from datetime import datetime
from functools import partial

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.casebook.adding import Added, add_case
from advisor.casebook.book import Casebook
from advisor.casebook.finding.bin import empty, take_back, throw_away
from advisor.casebook.finding.lines import Search
from advisor.casebook.finding.named import key_of
from advisor.casebook.finding.search import (
    count,
    drop_search,
    every,
    numbers,
    page,
    recent,
    save_search,
    searches_saved,
)
from advisor.casebook.finding.tables_out import COLUMNS, cell, csv_lines, json_lines
from advisor.casebook.finding.whose import whose
from advisor.casebook.people import Customer, Vehicle, add, belongs_to
from advisor.facts.case import Case
from advisor.facts.faults import BadInput
from tests.casebook.shop import NOON

DAY = 86_400_000


def store(book: Casebook, name: str, day: int = 0, **more: object) -> str:
    """A case begun so many days after the tests' day."""
    facts = {key.replace("__", "."): (value,) for key, value in more.items() if "__" in key}
    fields = {key: value for key, value in more.items() if "__" not in key}
    case = Case(name, facts=facts, **fields)  # type: ignore[arg-type]
    return book.write(
        lambda connection: add_case(connection, case, "Ada", NOON + day * DAY, book.pack)
    )[0]


def names(book: Casebook, search: Search) -> list[str]:
    return [line.name for line in book.read(lambda connection: page(connection, search))]


@pytest.fixture
def shop(book: Casebook) -> Casebook:
    store(book, "HB-1", 0, part__kind="armrest", skin__material="vinyl_backed",
          damage__kind="seam_open", note="Créaks since winter, glued twice")  # fmt: skip
    store(book, "HB-2", 1, part__kind="armrest", skin__material="leather", title="Ferry's rest")
    store(book, "HB-3", 2, part__kind="seat_cushion", skin__material="leather",
          note="glue everywhere; 50% off")  # fmt: skip
    return book


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("glued", ["HB-1"]),
        ("glue", ["HB-3", "HB-1"]),  # the last word is a beginning, the newest comes first
        ("glued win", ["HB-1"]),
        ("win glued", []),  # only the last one is
        ("CREAKS", ["HB-1"]),
        ("leather", ["HB-3", "HB-2"]),  # an answer in the words of the rules
        ("ferry's", ["HB-2"]),
        ("hb-2", ["HB-2"]),
        ("50%", ["HB-3"]),
        ("nothing", []),
        ("", ["HB-3", "HB-2", "HB-1"]),
        ("  ", ["HB-3", "HB-2", "HB-1"]),
    ],
)
def test_all_words_are_found_the_newest_first(
    shop: Casebook, words: str, found: list[str]
) -> None:
    assert names(shop, Search(words)) == found
    assert shop.read(lambda connection: count(connection, Search(words))) == len(found)


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("quay", ["HB-2", "HB-1"]),  # the customer
        ("Boats armrest", ["HB-2", "HB-1"]),
        ("boats glued", ["HB-1"]),  # one word of the customer, one of the case
        ("shuttle", ["HB-3", "HB-2"]),  # a vehicle, and a title
        ("F-17 quay", ["HB-2"]),  # the mark of the vehicle, and its customer
        ("f-17 farm", []),
        ("Bäcker", ["HB-3"]),
        ("backer leather", ["HB-3"]),
        ("nobody", []),
    ],
)
def test_words_of_customer_and_vehicle_are_found_too(
    book: Casebook, words: str, found: list[str]
) -> None:
    first = store(book, "HB-1", 0, part__kind="armrest", note="glued twice")
    second = store(book, "HB-2", 1, part__kind="armrest")
    third = store(book, "HB-3", 2, skin__material="leather", title="Shuttle bench")

    def told(connection):  # type: ignore[no-untyped-def]
        quay = add(connection, Customer("Quay Boats", "0123"))
        belongs_to(connection, first, quay)
        belongs_to(connection, second, quay, add(connection, Vehicle("Shuttle 4", "F-17")))
        belongs_to(connection, third, add(connection, Customer("Bäcker farm")))

    book.write(told)
    assert names(book, Search(words)) == found
    assert book.read(lambda connection: count(connection, Search(words))) == len(found)
    assert len(book.read(lambda connection: numbers(connection, Search(words)))) == len(found)
    assert names(book, Search(words, skin="leather")) == [name for name in found if name == "HB-3"]
    lines = book.read(lambda connection: page(connection, Search("f-17")))
    assert book.read(partial(whose, ids=[line.id for line in lines])) == {
        lines[0].id: "Shuttle 4, F-17, Quay Boats"
    }


@settings(max_examples=60)
@given(st.text(max_size=30))
def test_whatever_is_typed_is_no_search_language(search_book: Casebook, typed: str) -> None:
    assert isinstance(names(search_book, Search(typed)), list)


@pytest.fixture(scope="module", params=["sqlite", "postgresql"])
def search_book(request: pytest.FixtureRequest, places, pack):  # type: ignore[no-untyped-def]
    from tests.casebook.conftest import NO_SERVER, SERVER

    if request.param == "postgresql" and not SERVER:
        pytest.skip(NO_SERVER)
    opened = Casebook.open(places.new(request.param), pack)
    store(opened, "HB-1", part__kind="armrest")
    yield opened
    opened.shut()


def test_filters_narrow_what_words_find(shop: Casebook) -> None:
    assert names(shop, Search(part="armrest")) == ["HB-2", "HB-1"]
    assert names(shop, Search(part="armrest", skin="leather")) == ["HB-2"]
    assert names(shop, Search("glue", skin="leather")) == ["HB-3"]
    day = datetime.fromtimestamp((NOON + DAY) / 1000).date().isoformat()
    assert names(shop, Search(since=day)) == ["HB-3", "HB-2"]
    assert names(shop, Search(until=day)) == ["HB-2", "HB-1"]
    assert names(shop, Search(customer="nobody")) == []
    with pytest.raises(ValueError, match="isoformat"):
        names(shop, Search(since="yesterday"))


def test_pages_follow_each_other(shop: Casebook) -> None:
    first = shop.read(lambda connection: page(connection, Search(), 2))
    rest = shop.read(lambda connection: page(connection, Search(), 2, first[-1].id))
    assert [line.name for line in (*first, *rest)] == ["HB-3", "HB-2", "HB-1"]
    assert len(shop.read(lambda connection: list(every(connection, Search())))) == 3
    assert shop.read(lambda connection: count(connection, Search(), 2)) == 3  # more than 2


def test_the_case_worked_on_last_is_the_most_recent(shop: Casebook) -> None:
    store(shop, "HB-1", 9, part__kind="armrest", note="again")
    assert [line.name for line in shop.read(recent)] == ["HB-1", "HB-3", "HB-2"]
    assert names(shop, Search("glued")) == []  # what it says now is what is found
    assert names(shop, Search("again")) == ["HB-1"]


def test_a_case_of_the_same_name_is_revised_and_the_same_again_is_nothing(book: Casebook) -> None:
    case = Case("HB-7", note="one")
    for each, became in (
        (case, Added.NEW), (case, Added.NOTHING_NEW), (Case("HB-7"), Added.REVISED)
    ):  # fmt: skip
        assert book.write(
            partial(add_case, case=each, author="Ada", at=NOON, pack=book.pack)
        )[1] is became  # fmt: skip
    key = book.all_keys()[0]
    assert book.case(key).number == 2
    assert not book.damage(key)


def test_searches_are_saved_by_name(shop: Casebook) -> None:
    search = Search("glue", skin="leather")
    shop.write(lambda connection: save_search(connection, "glued leather", Search()))
    shop.write(lambda connection: save_search(connection, "glued leather", search))
    assert shop.read(searches_saved) == {"glued leather": search}
    shop.write(lambda connection: drop_search(connection, "glued leather"))
    assert shop.read(searches_saved) == {}
    assert Search.of_form('{"words": "a", "new_in_a_later_program": 1}') == Search("a")


def test_what_is_thrown_away_is_in_the_bin_until_that_is_emptied(shop: Casebook) -> None:
    key = shop.read(lambda connection: key_of(connection, "HB-1"))
    shop.write(lambda connection: throw_away(connection, key, NOON))
    assert names(shop, Search()) == ["HB-3", "HB-2"]
    assert names(shop, Search("glued")) == []
    assert names(shop, Search(in_bin=True)) == ["HB-1"]
    shop.write(lambda connection: take_back(connection, key))
    assert names(shop, Search("glued")) == ["HB-1"]
    shop.write(lambda connection: throw_away(connection, key, NOON))
    assert shop.write(empty) == 1
    assert names(shop, Search(in_bin=True)) == []
    assert names(shop, Search("glued")) == []
    with pytest.raises(KeyError):
        shop.write(lambda connection: throw_away(connection, key, NOON))


def test_a_case_is_meant_by_name_key_or_beginning(shop: Casebook) -> None:
    key = shop.read(lambda connection: key_of(connection, "HB-2"))
    for said in (key, key[:8]):
        assert shop.read(partial(key_of, said=said)) == key
    for said in ("HB-9", key[:3], "%%%%%%%%"):
        with pytest.raises(BadInput, match="no such case"):
            shop.read(partial(key_of, said=said))


@pytest.mark.parametrize("written", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1"])
def test_no_cell_is_a_formula(written: str) -> None:
    # OWASP, "CSV injection": these beginnings are taken for formulas.
    assert cell(written) == f"'{written}"


def test_cells_that_are_no_formula_stay() -> None:
    assert (cell("a=b"), cell(None), cell(0.5), cell(-2)) == ("a=b", "", "0.5", "-2")


def test_a_table_for_a_spreadsheet(book: Casebook) -> None:
    store(book, "HB-1", title='=HYPERLINK("x"), "quoted"\nand more')
    lines = book.read(lambda connection: list(every(connection, Search())))
    rows = list(csv.DictReader(io.StringIO("".join(csv_lines(lines)), newline="")))
    assert tuple(rows[0]) == COLUMNS
    assert rows[0]["called"] == '\'=HYPERLINK("x"), "quoted"\nand more'
    assert rows[0]["begun"] == "2017-07-14T02:40:00+00:00"


def test_json_lines_hold_the_last_revision(book: Casebook) -> None:
    store(book, "HB-1", note="one")
    lines = book.read(
        lambda connection: list(json_lines(connection, every(connection, Search())))
    )
    form = json.loads(lines[0])
    assert form["name"] == "HB-1"
    assert form["revision"]["content"]["note"] == "one"
