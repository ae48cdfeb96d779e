"""Customers and vehicles: apart, erasable, and known again. Own rules of this project."""

from __future__ import annotations

import hashlib
from functools import partial
from pathlib import Path

import pytest
from sqlalchemy import select

from advisor.casebook.book import Casebook
from advisor.casebook.cases.chain import canonical, content
from advisor.casebook.cases.versions import links
from advisor.casebook.database.engine import reading
from advisor.casebook.database.tables import customers, texts
from advisor.casebook.finding.lines import Search
from advisor.casebook.finding.search import page
from advisor.casebook.journal.journal import Journal
from advisor.casebook.outcomes.entries import (
    YEAR_MS,
    Outcome,
    State,
    add_outcome,
    done,
    due,
    how_many_due,
    jobs,
    next_asked,
    taken,
)
from advisor.casebook.people import (
    Customer,
    Vehicle,
    add,
    belongs_to,
    customer_of,
    earlier_for,
    earlier_repairs,
    erase_vehicle,
    vehicle_of,
    vehicles_known,
)
from tests.casebook.shop import NOON, Technician
from tests.casebook.stored_advice import some_advice

QUILL = Customer("Quillfeather Ferries", "555 0147", "order 88")
SHUTTLE = Vehicle("Harbour shuttle 4", "HS-4")


@pytest.fixture
def ada(book: Casebook, journal: Journal) -> Technician:
    return Technician(book, journal)


def begun(ada: Technician, name: str) -> str:
    """A case of the customer's shuttle, closed with a plan."""
    key = ada.begins(name, part__kind=("armrest",), damage__kind=("seam_open",))
    ada.taken_in()
    customer = ada.book.write(partial(add, whom=QUILL))
    vehicle = ada.book.write(partial(add, whom=SHUTTLE))
    ada.book.write(partial(belongs_to, key=key, customer=customer, vehicle=vehicle))
    ada.closes(advice=some_advice())
    return key


def test_a_customer_is_stored_once_and_found(ada: Technician) -> None:
    begun(ada, "HB-1")
    begun(ada, "HB-2")
    book = ada.book
    assert book.read(partial(customer_of, number=1)) == QUILL
    assert book.read(vehicles_known) == {1: SHUTTLE}
    for words in ("quill", "0147", "88 ferries"):
        lines = book.read(partial(page, search=Search(customer=words)))
        assert [line.name for line in lines] == ["HB-2", "HB-1"]
    assert len(book.read(partial(page, search=Search("quillfeather")))) == 2
    words = book.read(lambda connection: connection.execute(select(texts.c.words)).scalars().all())
    assert not any("quill" in each for each in words)  # in no index, so that it can be erased


def test_a_revision_commits_to_the_customer_and_says_nothing(ada: Technician) -> None:
    key = begun(ada, "HB-1")
    there = ada.book.case(key)
    written = ada.book.read(partial(links, case_id=there.id))[-1]
    said = content(written.body)
    with reading(ada.book.engine) as connection:
        salt = connection.execute(select(customers.c.salt)).scalar_one()
    told = {"name": QUILL.name, "contact": QUILL.contact, "reference": QUILL.reference}
    assert said["customer"] == hashlib.sha256(salt + canonical(told)).hexdigest()
    assert "Quill" not in str(said)
    assert len(salt) == 32


def test_erasing_leaves_no_byte_and_no_break(ada: Technician) -> None:
    key = begun(ada, "HB-1")
    book = ada.book
    book.erase(1)
    assert book.read(partial(customer_of, number=1)) is None
    assert book.case(key).row["customer_id"] is None
    assert not book.damage(key)
    book.write(partial(erase_vehicle, number=1))
    assert book.read(partial(vehicle_of, number=1)) is None
    if not book.on_server:
        for path in Path(book.place).glob("casebook.sqlite*"):
            assert b"uillfeather" not in path.read_bytes(), path


def test_what_was_done_before_to_a_part_feeds_the_next_case(ada: Technician) -> None:
    first = begun(ada, "HB-1")
    heard = Outcome(State.BACK, 3 / 52, "opened along the whole seam")
    ada.book.write(partial(add_outcome, key=first, outcome=heard, at=NOON, pack=ada.book.pack))
    ada.now = NOON + int(YEAR_MS)
    second = begun(ada, "HB-2")
    now = NOON + int(2.1 * YEAR_MS)
    found = ada.book.read(
        partial(earlier_repairs, vehicle=1, part="armrest", now=now, besides=second)
    )
    assert [(one.method, one.result, one.lasted) for one in found] == [
        ("hand_stitch", "came back: opened along the whole seam", "3 weeks")
    ]
    both = ada.book.read(partial(earlier_repairs, vehicle=1, part="armrest", now=now))
    assert both[0].result == "advised 1 year ago, not noted as done"
    ada.book.write(partial(done, key=second, at=now))
    noted = ada.book.read(partial(earlier_for, key=first, now=now))
    assert noted[0].result == "done 1 year ago"
    assert noted[0].what.endswith("(casebook, Jul 2018)")
    assert ada.book.read(partial(earlier_repairs, vehicle=1, part="visor", now=now)) == ()


def test_a_job_is_asked_after_until_it_came_back(ada: Technician) -> None:
    key = begun(ada, "HB-1")
    book = ada.book
    assert book.read(partial(due, now=NOON + int(5 * YEAR_MS))) == []
    book.write(partial(done, key=key, at=NOON))
    soon = NOON + int(0.26 * YEAR_MS)
    assert [line.name for line in book.read(partial(due, now=soon))] == ["HB-1"]
    assert book.read(partial(how_many_due, now=soon)) == 1
    book.write(partial(add_outcome, key=key, outcome=Outcome(State.HELD), at=soon, pack=book.pack))
    assert book.read(partial(how_many_due, now=soon)) == 0
    later = NOON + int(1.1 * YEAR_MS)
    assert book.read(partial(how_many_due, now=later)) == 1
    back = Outcome(State.BACK, failed="thread", minutes=55.0, material=3.5)
    book.write(partial(add_outcome, key=key, outcome=back, at=later, pack=book.pack))
    assert book.read(partial(how_many_due, now=NOON + int(30 * YEAR_MS))) == 0
    heard = book.read(partial(taken, key=key))
    assert [one.state for one in heard] == [State.HELD, State.BACK]
    assert heard[0].years == pytest.approx(0.26, abs=0.001)  # the time since it was begun
    assert (heard[1].minutes, heard[1].material) == (55.0, 3.5)
    job = book.read(partial(jobs, now=later))[0]
    assert (job.lead, job.damage, job.back) == ("hand_stitch", "seam_open", True)
    assert job.years == pytest.approx(1.1, abs=0.001)
    assert [line.name for line in book.read(partial(page, search=Search(outcome="back")))] == [
        "HB-1"
    ]


@pytest.mark.parametrize("field", ["years", "minutes", "material"])
@pytest.mark.parametrize("value", [-1.0, float("nan"), float("inf")])
def test_what_no_job_has_is_refused(field: str, value: float) -> None:
    with pytest.raises(ValueError, match=f"{field}: found"):
        Outcome(State.HELD, **{field: value})


def test_an_outcome_of_no_case_is_refused(ada: Technician) -> None:
    with pytest.raises(KeyError):
        ada.book.write(
            partial(add_outcome, key="x", outcome=Outcome(State.HELD), at=1, pack=ada.book.pack)
        )


def test_after_ten_years_nobody_is_asked_any_more() -> None:
    assert next_asked(NOON, NOON + int(11 * YEAR_MS), State.HELD) is None
