"""Money of the week's jobs: more never costs less, and two jobs told together never more.

Own properties of this project, no outside source: what a customer would not believe otherwise.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from itertools import pairwise

import pytest

from advisor.advice.advise import advise
from advisor.advice.result import Advice
from advisor.facts.case import Case, Span
from advisor.job.model import JobSheet
from advisor.job.sheet import job_sheet, together
from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.pack import RulePack
from tests.field.week import Teller
from tests.field.week_cases import WeekCase, read_week

WEEK = read_week()
WORLDS = 256
#: Facts that make a job larger, with values to try.
LARGER = {
    "part.count": (1.0, 2.0, 5.0),
    "damage.count": (1.0, 2.0, 4.0),
    "damage.length": (40.0, 90.0, 250.0),
    "damage.width": (40.0, 90.0, 250.0),
    "suspension.total": (2.0, 5.0, 9.0),
    "welt.run": (800.0, 2000.0, 5000.0),
    "core.thickness": (40.0, 80.0, 150.0),
}
#: Draws differ by the case, so the same work may differ by so much; a share.
NOISE = 0.02


@cache
def teller() -> Teller:
    return Teller(WEEK, load_pack())


def told(entry: WeekCase) -> Case | None:
    case, missing = teller().tell(entry)
    return None if missing else case


def prices(advice: Advice) -> dict[tuple[str, ...], float]:
    """Price of every plan by its methods."""
    return {plan.methods: plan.price.typical for plan in advice.plans if plan.price is not None}


def larger(entry: WeekCase, pack: RulePack) -> Iterator[tuple[str, list[Case]]]:
    """The case with each fact that is asked in it, and matters for its size, rising."""
    case = told(entry)
    if case is None:
        return
    asked = {decl.name: decl for decl in pack.asked(case)}
    for name, values in LARGER.items():
        if name in asked:
            high = asked[name].high_by.get(next(iter(case.facts["part.kind"])), asked[name].high)
            yield name, [case.with_fact(name, Span(v, v)) for v in values if v <= high]


@pytest.mark.parametrize("entry", WEEK.cases, ids=lambda entry: entry.id)
def test_a_plan_never_gets_cheaper_with_number_or_size(entry: WeekCase) -> None:
    pack = load_pack()
    for name, cases in larger(entry, pack):
        found = [prices(advise(case, pack, WORLDS, flips=False)) for case in cases]
        for less, more in pairwise(found):
            for methods in less.keys() & more.keys():
                assert more[methods] >= less[methods] * (1.0 - NOISE), (name, methods)


def sheets() -> dict[str, JobSheet]:
    """Job sheets of the cases that have a price, by name."""
    pack, found = load_pack(), {}
    for entry in WEEK.cases[::3]:
        case = told(entry)
        if case is not None:
            sheet = job_sheet(case, pack, advise(case, pack, WORLDS, flips=False))
            if sheet.price is not None:
                found[entry.id] = sheet
    return found


def test_two_jobs_told_together_never_cost_more_than_told_apart() -> None:
    pack = load_pack()
    every = list(sheets().values())
    assert len(every) > 20
    for one, other in pairwise(every):
        apart = sum(together([sheet], pack).price.quote for sheet in (one, other))
        assert together([one, other], pack).price.quote <= apart + 0.01, (one.case, other.case)
