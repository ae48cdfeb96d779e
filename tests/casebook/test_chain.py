"""The chain of revisions: damage is found wherever it is.

Canonical JSON against the examples of RFC 8785 (sections 3.2.2 and 3.2.3); the rest own rules.
"""

from __future__ import annotations

import hashlib

import pytest
from sqlalchemy import delete, update

from advisor.casebook.book import Casebook
from advisor.casebook.cases.chain import START, Link, broken, canonical, content, inflated, link
from advisor.casebook.database.engine import writing
from advisor.casebook.database.tables import cases, revisions
from advisor.casebook.journal.journal import Journal
from advisor.facts.case import Span
from advisor.facts.faults import BadInput
from tests.casebook.shop import Technician


def test_canonical_json_is_that_of_the_rfc() -> None:
    # RFC 8785, 3.2.2: the example object, and its form in 3.2.3.
    data = {
        "numbers": [333333333.33333329, 1e30, 4.50, 2e-3, 0.000000000000000000000000001],
        "string": "\u20ac$\u000f\u000aA'\u0042\u0022\u005c\\\"\u002f",
        "literals": [None, True, False],
    }
    assert canonical(data).decode() == (
        '{"literals":[null,true,false],'
        '"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
        '"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
    )


def chain_of(*bodies: object) -> list[Link]:
    found, previous = [], START
    for number, each in enumerate(bodies, start=1):
        made = link(number, previous, {"n": each})._replace(number=number)
        found.append(made)
        previous = made.digest
    return found


def test_a_chain_is_as_it_is_defined() -> None:
    one, two = chain_of("a", "b")
    assert one.digest == hashlib.sha256(bytes(32) + b'{"n":"a"}').digest()
    assert two.digest == hashlib.sha256(one.digest + b'{"n":"b"}').digest()
    assert content(two.body) == {"n": "b"}
    assert not broken([one, two], two.digest)


def test_every_damage_is_found_and_named() -> None:
    one, two, three = links = chain_of("a", "b", "c")
    other = chain_of("a", "x")[1]
    head = three.digest
    assert broken([one, other, three], head) == "revision 3 does not follow the one before it"
    assert broken([one, two._replace(body=other.body), three], head) == "revision 2 was changed"
    assert broken([one, three], head) == "revision 2 is missing"
    assert broken(links[:2], head) == "the last revision is not the one that the case names"
    cut = two._replace(body=two.body[:-3])
    assert broken([one, cut, three], head).startswith("revision 2 cannot be inflated")
    assert broken([], START) == ""


def test_a_body_that_swells_is_refused() -> None:
    import zlib

    with pytest.raises(ValueError, match="too large"):
        inflated(zlib.compress(b"0" * 30_000_000))


@pytest.fixture
def key(book: Casebook, journal: Journal) -> str:
    ada = Technician(book, journal)
    key = ada.begins("HB-1", part__kind=("armrest",))
    ada.closes()
    ada.answers("damage.count", Span(2, 2))
    ada.closes()
    return key


def test_a_whole_record_is_not_complained_of(book: Casebook, key: str) -> None:
    assert not book.damage(key)


def test_a_record_changed_in_the_database_is_found(book: Casebook, key: str) -> None:
    made = link(1, START, {"content": "another"})
    with writing(book.engine) as connection:
        connection.execute(update(revisions).where(revisions.c.number == 1).values(body=made.body))
    assert book.damage(key) == "revision 1 was changed"


def test_a_record_left_out_is_found_and_the_case_not_opened(book: Casebook, key: str) -> None:
    with writing(book.engine) as connection:
        connection.execute(delete(revisions).where(revisions.c.number == 2))
    assert book.damage(key) == "the last revision is not the one that the case names"
    with pytest.raises(BadInput) as told:
        book.case(key)
    assert "is damaged: revision 2 is missing; accepted: a backup restored" in str(told.value)


def test_a_damaged_answer_is_told(book: Casebook, key: str) -> None:
    with writing(book.engine) as connection:
        connection.execute(update(revisions).where(revisions.c.number == 2).values(body=b"no"))
    with pytest.raises(BadInput, match="cannot be inflated"):
        book.case(key)


def test_a_case_that_is_not_there_is_told(book: Casebook) -> None:
    with pytest.raises(BadInput, match=r'no such case; found "nothing"'):
        book.case("nothing")
    with writing(book.engine) as connection:
        assert connection.execute(cases.select()).all() == []
