"""Two versions of a case: where they differ, who changed it, and the two merged."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.facts.case import Case, EarlierRepair, Span, Value
from advisor.facts.quantity import System
from advisor.session.compare_cases import FIELDS, Difference, differences, merged
from tests.unit.session.small_pack import SmallPack

FACTS = SmallPack.facts
BASE = Case("HB-1", facts={"part.kind": ("armrest",), "damage.gap": Span(4, 4, "4 mm"),
                           "hazard.airbag": False})


def named(rows: tuple[Difference, ...]) -> list[str]:
    """The keys in order."""
    return [row.key for row in rows]


def test_hazards_come_first_then_the_rest_as_it_is_asked() -> None:
    theirs = replace(
        BASE.with_fact("hazard.airbag", True).with_fact("skin.material", ("vinyl",)),
        note="Call first.",
    ).with_fact("part.kind", ("dash_top",))
    rows = differences(BASE, theirs, FACTS)
    assert named(rows) == ["hazard.airbag", "part.kind", "skin.material", "note"]
    assert [row.hazard for row in rows] == [True, False, False, False]
    airbag = rows[0]
    assert airbag.text(airbag.mine, System.METRIC) == "no"
    assert airbag.text(airbag.theirs, System.METRIC) == "yes"
    assert rows[2].text(rows[2].mine, System.METRIC) == "open"


def test_another_unit_is_no_difference() -> None:
    theirs = BASE.with_fact("damage.gap", Span(4, 4, "0.4 cm"))
    assert differences(BASE, theirs, FACTS) == ()


def test_an_answer_that_the_rules_no_longer_know_is_compared_too() -> None:
    theirs = BASE.with_fact("hazard.old", True)
    (row,) = differences(BASE, theirs, FACTS)
    assert (row.key, row.title, row.mine, row.theirs) == ("hazard.old", "hazard.old", None, True)
    assert row.text(row.theirs, System.METRIC) == "yes"


def test_who_changed_what_is_told_where_the_common_version_is_known() -> None:
    mine = BASE.with_fact("damage.gap", Span(5, 5, "5 mm")).with_fact("hazard.airbag", True)
    theirs = BASE.with_fact("skin.material", ("vinyl",)).without("hazard.airbag")
    told = {row.key: row.only for row in differences(mine, theirs, FACTS, BASE)}
    assert told == {"hazard.airbag": "", "damage.gap": "mine", "skin.material": "theirs"}
    assert {row.only for row in differences(mine, theirs, FACTS)} == {""}


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (None, "not asked"), ((), "none"), ("", "none"), (("a.jpg", "b.jpg"), "a.jpg; b.jpg"),
        ((EarlierRepair("adhesive_bond", "contact glue", "let go", "3 weeks"),),
         "adhesive bond, contact glue, let go, 3 weeks"),
    ],
)  # fmt: skip
def test_what_is_no_fact_is_told_in_words(value: object, text: str) -> None:
    assert Difference("note", "Note", False, value, value).text(value, System.METRIC) == text


VALUES: dict[str, st.SearchStrategy[Value]] = {
    "part.kind": st.sampled_from([("armrest",), ("dash_top",)]),
    "hazard.airbag": st.booleans(),
    "damage.gap": st.sampled_from([Span(4, 4), Span(5, 6)]),
    "job.words": st.sampled_from(["looks", "price"]),
}
CASES = st.builds(
    Case, st.sampled_from(["HB-1", "HB-2"]), st.sampled_from(["", "Ferry"]),
    st.fixed_dictionaries({}, optional=VALUES),
    st.sampled_from([None, (), (EarlierRepair("recolour"),)]),
    st.sampled_from([(), ("a.jpg",)]), st.sampled_from(["", "Friday"]),
)  # fmt: skip


@given(CASES, CASES, st.sets(st.sampled_from([*VALUES, *FIELDS])))
def test_what_is_picked_comes_from_theirs_and_all_else_from_mine(
    mine: Case, theirs: Case, picked: set[str]
) -> None:
    """Nothing is invented, nothing lost: each answer of the merged case is one of the two."""
    both = merged(mine, theirs, picked)
    for key in FIELDS:
        assert getattr(both, key) == getattr(theirs if key in picked else mine, key)
    for key in VALUES:
        assert both.facts.get(key) == (theirs if key in picked else mine).facts.get(key)


@given(CASES, CASES)
def test_all_differences_taken_make_mine_theirs(mine: Case, theirs: Case) -> None:
    rows = differences(mine, theirs, FACTS)
    assert merged(mine, theirs, named(rows)) == theirs
    assert (rows == ()) is (mine == theirs)
