"""Which damages share a call-out."""

from __future__ import annotations

from dataclasses import replace

import pytest

from advisor.facts.case import Case
from advisor.job.measured_and_agreed import Wishes
from advisor.job.model import JobSheet, Vehicle
from advisor.job.sheet import job_sheet, together
from advisor.job.vehicles import difference, vehicle_of
from advisor.report.json_forms.job import job_json
from advisor.report.quote import job_text
from tests.unit.job.demo_jobs import advised, shipped


def sheet(name: str, title: str | None = None, **answers: str) -> JobSheet:
    case, advice = advised(name)
    for fact, answer in answers.items():
        case = case.with_fact(fact.replace("__", "."), (answer,))
    if title is not None:
        case, advice = replace(case, title=title), replace(advice, title=title)
    return job_sheet(case, shipped(), advice)


def named(title: str) -> Vehicle:
    return vehicle_of(Case("A-1", title), shipped())


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("Split armrest, shuttle 4", "Torn seat, shuttle 4", True),
        ("Split armrest, shuttle 4", "Torn seat, Shuttle 4", True),
        ("shuttle 4, row 3, left armrest", "Torn seat, shuttle 4", True),
        ("Split armrest, shuttle 4", "Torn seat, shuttle 2", False),
        ("Split armrest", "Torn seat, shuttle 2", True),
        ("", "Torn seat, shuttle 2", True),
    ],
)
def test_names_between_commas_tell_vehicles_apart(one: str, other: str, same: bool) -> None:
    assert (difference(named(one), named(other)) == "") is same


def test_a_bus_is_no_boat_and_each_gets_a_call_out() -> None:
    bus, boat = sheet("split_armrest"), sheet("torn_deck_cushion")
    job = together([bus, boat], shipped(), Wishes(distance=10.0))
    assert [len(visit.sheets) for visit in job.visits] == [1, 1]
    assert job.apart.startswith("Not all on one vehicle (HB-2041 and HB-2053, Vehicle: bus or ")
    assert job.saved == 0.0
    assert job.price is not None
    alone = [together([one], shipped(), Wishes(distance=10.0)).price for one in (bus, boat)]
    assert job.price.quote == pytest.approx(sum(p.quote for p in alone if p is not None))
    assert [line.kind for line in job.price.lines] == ["visit", "visit"]
    assert sum(line.amount for line in job.price.lines) == pytest.approx(job.price.quote)
    assert job.timeline == ()
    assert "each vehicle has its own call-out" in " ".join(job_text(job).split())


def test_two_of_one_vehicle_and_one_of_another() -> None:
    twin = sheet("armrest_crumbled_foam", "Split armrest, row 2, harbour shuttle 4")
    sheets = [sheet("split_armrest"), sheet("cracked_panel"), twin]
    job = together(sheets, shipped())
    assert [[s.case for s in visit.sheets] for visit in job.visits] == [
        ["HB-2041", "HB-2042"], ["HB-2043"],
    ]  # fmt: skip
    assert job.saved > 0.0
    form = job_json(job)
    assert [visit["cases"] for visit in form["visits"]] == [["HB-2041", "HB-2042"], ["HB-2043"]]


def test_what_nothing_tells_apart_is_said_to_be_taken_for_one() -> None:
    job = together([sheet("split_armrest", "Split"), sheet("armrest_crumbled_foam", "")], shipped())
    assert len(job.visits) == 1
    assert job.apart.startswith("Taken as one vehicle: nothing in the cases tells them apart")


def test_a_withheld_part_is_on_no_visit() -> None:
    job = together([sheet("airbag_seam"), sheet("split_armrest")], shipped())
    assert [s.case for s in job.visits[0].sheets] == ["HB-2041"]
    assert job.apart == ""
    assert len(job.sheets) == 2


def test_one_damage_needs_no_word_on_vehicles() -> None:
    assert together([sheet("split_armrest")], shipped()).apart == ""
