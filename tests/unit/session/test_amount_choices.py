"""Bare numbers, years and spans to pick."""

from __future__ import annotations

from datetime import date

import pytest

from advisor.facts.case import Case
from advisor.facts.declaration import FactDecl, Kind
from advisor.facts.quantity import System
from advisor.rulegraph.load import load_pack
from advisor.session.amount_choices import default_unit, presets, stepped, units_for, with_unit
from advisor.session.answer_text import read_amount

TODAY = date(2026, 11, 30)
PACK = load_pack()
QUANTITIES = [fact for fact in PACK.facts.values() if fact.kind is Kind.QUANTITY]
ARMREST = Case("HB-1").with_fact("part.kind", ("armrest",))


@pytest.mark.parametrize(
    ("name", "typed", "unit", "taken"),
    [
        ("damage.length", "120", "mm", "120 mm"),
        ("damage.length", "12.5", "cm", "12.5 cm"),
        ("damage.length", "120 to 130", "mm", "120 to 130 mm"),
        ("damage.length", "4 1/2", "in", "4 1/2 in"),
        ("damage.length", "120 mm", "in", "120 mm"),
        ("damage.length", "bananas", "mm", "bananas"),
        ("vehicle.age", "2019", "yr", "7 yr"),
        ("vehicle.age", "7", "yr", "7 yr"),
        ("vehicle.age", "2030", "yr", "0 yr"),
        ("damage.count", "3", "", "3"),
    ],
)
def test_a_bare_number_is_taken_in_the_unit_in_use(
    name: str, typed: str, unit: str, taken: str
) -> None:
    assert with_unit(PACK.facts[name], typed, unit, TODAY) == taken


@pytest.mark.parametrize("fact", QUANTITIES, ids=lambda fact: fact.name)
@pytest.mark.parametrize("system", list(System))
def test_every_unit_and_span_offered_can_be_read(fact: FactDecl, system: System) -> None:
    for unit in units_for(fact, system):
        middle = 0.5 * (fact.low + fact.high)
        text = with_unit(fact, "20", unit, TODAY)
        assert text.endswith(unit), middle
    for span in presets(fact, ARMREST, system):
        found = read_amount(fact, span.text, ARMREST)
        assert fact.low <= found.low < found.high or fact.whole, span
        assert found.high <= fact.high


def test_spans_do_not_leave_what_the_part_allows() -> None:
    length = PACK.facts["damage.length"]
    titles = [span.title for span in presets(length, ARMREST, System.METRIC)]
    assert titles[1] == "hand wide, 7 to 11 cm"
    assert titles[-1] == "over 30 cm"
    assert presets(PACK.facts["damage.hole_pull"], ARMREST, System.METRIC) == ()


def test_a_step_is_one_of_the_last_digit() -> None:
    assert stepped("120 mm", 1) == "121 mm"
    assert stepped("1.1 mm", -1) == "1.0 mm"
    assert stepped("0", -1) == "0"
    assert stepped("bananas", 1) == "bananas"
    assert default_unit(PACK.facts["damage.length"], System.IMPERIAL) == "in"
    assert default_unit(PACK.facts["damage.count"], System.METRIC) == ""
