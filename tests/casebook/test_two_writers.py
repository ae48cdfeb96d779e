"""Two technicians on one case: nothing is overwritten silently. Own rules of this project."""

from __future__ import annotations

import dataclasses

import pytest

from advisor.casebook.book import Casebook
from advisor.casebook.cases.keep import Closing, OtherVersion
from advisor.casebook.journal.journal import Journal
from advisor.facts.case import Case, Span
from advisor.session.compare_cases import differences, merged
from tests.casebook.shop import Technician


@pytest.fixture
def ada(book: Casebook, journal: Journal) -> Technician:
    return Technician(book, journal, "Ada")


@pytest.fixture
def ben(book: Casebook, journal: Journal) -> Technician:
    return Technician(book, Journal(journal.path), "Ben")


def test_a_case_is_there_from_its_first_answer(ada: Technician) -> None:
    key = ada.begins("HB-1", part__kind=("armrest",))
    ada.taken_in()
    there = ada.book.case(key)
    assert there.case == ada.case
    assert there.number == 0
    assert (there.row["called"], there.row["part"]) == ("Armrest", "armrest")


def test_taking_in_twice_changes_nothing(ada: Technician) -> None:
    key = ada.begins("HB-1", part__kind=("armrest",))
    rows = ada.keeper.journal.waiting()
    ada.taken_in()
    ada.keeper.journal.add(rows)  # as after a crash between commit and forgetting
    ada.taken_in()
    assert ada.book.case(key).case == ada.case
    assert not ada.keeper.journal.waiting()


def test_the_second_is_told_and_both_versions_stay(ada: Technician, ben: Technician) -> None:
    key = ada.begins("HB-1", part__kind=("armrest",), damage__kind=("seam_open",))
    ada.closes()
    ben.opens(key)
    ada.answers("skin.thickness", Span(1.0, 1.0, "1 mm"))
    ben.answers("skin.thickness", Span(2.0, 2.0, "2 mm"))
    ben.answers("damage.count", Span(3, 3, "3"))
    assert ada.closes() == 2
    with pytest.raises(OtherVersion) as told:
        ben.closes()
    other = told.value
    assert (other.mine, other.theirs, other.number) == (ben.case, ada.case, 2)
    there = ada.book.case(key)
    assert there.case == ada.case
    assert [(version.author, version.case) for version in there.others] == [("Ben", ben.case)]
    rows = differences(other.mine, other.theirs, ada.book.pack.facts, other.base)
    assert {row.key: row.only for row in rows} == {"skin.thickness": "", "damage.count": "mine"}
    # Ben takes Ada's thickness and keeps his count.
    ben.changes(merged(ben.case, other.theirs, ["skin.thickness"]))
    assert ben.closes("merged", seen=other.number) == 3
    after = ada.book.case(key)
    assert after.case.facts["skin.thickness"] == Span(1.0, 1.0)
    assert after.case.facts["damage.count"] == Span(3, 3)
    assert not after.others
    assert not ada.book.damage(key)
    # She goes on with what she has; his count is not in it, so she is told in her turn.
    ada.answers("skin.feel", ("supple",))
    with pytest.raises(OtherVersion):
        ada.closes()


def test_one_who_goes_on_from_what_another_closed_is_not_bothered(
    ada: Technician, ben: Technician
) -> None:
    key = ada.begins("HB-1", part__kind=("armrest",))
    ben.opens(key)  # closes her answer into revision 1
    assert ben.keeper.base == 1
    ada.answers("damage.kind", ("seam_open",))
    assert ada.closes() == 2
    assert not ada.book.case(key).others
    assert ada.book.case(key).case == ada.case


def test_answers_of_a_window_that_died_are_taken_up(ada: Technician, ben: Technician) -> None:
    key = ada.begins("HB-1", part__kind=("armrest",))
    ben.opens(key)
    assert ben.case == ada.case
    assert ada.book.case(key).number == 1


def test_two_versions_left_open_are_both_shown(ada: Technician, ben: Technician) -> None:
    key = ada.begins("HB-1", part__kind=("armrest",))
    ada.closes()
    ben.opens(key)
    ada.answers("damage.count", Span(1, 1))
    ada.taken_in()
    ben.answers("damage.count", Span(2, 2))
    ben.taken_in()
    there = ada.book.case(key)
    assert there.case == ben.case  # the latest is shown
    assert [version.author for version in there.others] == ["Ada"]
    # Whoever opens it next gets the latest, and the other version is still there to merge.
    carla = Technician(ada.book, ada.keeper.journal, "Carla")
    carla.opens(key)
    assert carla.case == ben.case
    assert [version.author for version in ada.book.case(key).others] == ["Ada"]


def test_a_revision_of_the_same_again_is_none(ada: Technician) -> None:
    ada.begins("HB-1", part__kind=("armrest",))
    assert (ada.closes(), ada.closes()) == (1, 1)


def test_an_answer_taken_back_leaves_no_mark_but_its_rows(ada: Technician) -> None:
    key = ada.begins("HB-1", part__kind=("armrest",), damage__count=Span(2, 2))
    ada.changes(ada.case.without("damage.count"))
    ada.closes()
    assert "damage.count" not in ada.book.case(key).case.facts


def test_of_two_who_close_at_once_one_is_told(ada: Technician, ben: Technician) -> None:
    from concurrent.futures import ThreadPoolExecutor

    key = ada.begins("HB-1", part__kind=("armrest",))
    ada.closes()
    ben.opens(key)
    ada.answers("damage.count", Span(1, 1))
    ben.answers("damage.count", Span(2, 2))
    ada.taken_in()

    def close(one: Technician) -> str:
        closing = Closing(
            one.case, {one.keeper.writer: one.keeper.serial}, 1, "stage", one.name, one.now
        )
        try:
            return str(one.book.close(key, closing))
        except OtherVersion as other:
            return f"told of {other.number}"

    with ThreadPoolExecutor(2) as pool:
        assert sorted(pool.map(close, (ada, ben))) == ["2", "told of 2"]
    there = ada.book.case(key)
    assert len(there.others) == 1
    assert not ada.book.damage(key)


def test_title_note_photos_and_repairs_are_kept_as_well(ada: Technician) -> None:
    key = ada.begins("HB-1", part__kind=("armrest",))
    whole = dataclasses.replace(
        ada.case, title="Shuttle 4", note="says since winter", photos=("a.jpg",),
        earlier_repairs=(),
    )  # fmt: skip
    ada.changes(whole)
    ada.taken_in()
    there = ada.book.case(key)
    assert there.case == whole
    assert there.row["called"] == "Shuttle 4"
    assert isinstance(there.case, Case)
