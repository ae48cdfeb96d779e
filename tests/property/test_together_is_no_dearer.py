"""Two damages told together never cost more than told apart."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest

from advisor.job.sheet import job_sheet, together
from advisor.paths import demo_folder
from tests.unit.job.demo_jobs import advised, shipped

NAMES = sorted(path.stem for path in demo_folder().glob("*.yaml"))


@pytest.fixture(scope="module")
def sheets():  # type: ignore[no-untyped-def]
    pack = shipped()
    found = {name: job_sheet(advised(name)[0], pack, advised(name)[1]) for name in NAMES}
    return {name: sheet for name, sheet in found.items() if not sheet.withheld}


def test_any_two_jobs_told_together_are_no_dearer(sheets) -> None:  # type: ignore[no-untyped-def]
    """As they are told, and as damages of one vehicle, where the call-out is shared."""
    pack = shipped()
    alone = {name: together([sheet], pack).price.total for name, sheet in sheets.items()}
    assert len(alone) >= 8
    for one, other in combinations(sheets, 2):
        pair = [sheets[one], sheets[other]]
        shared = [replace(sheet, vehicle=pair[0].vehicle) for sheet in pair]
        apart = alone[one].high + alone[other].high
        for told in (pair, shared):
            price = together(told, pack).price
            assert price is not None
            assert price.total.high <= apart + 0.01, (one, other)
            assert price.total.typical <= alone[one].typical + alone[other].typical + 0.01


def test_the_same_damage_twice_is_no_dearer(sheets) -> None:  # type: ignore[no-untyped-def]
    """Another place just like it on the same vehicle."""
    pack = shipped()
    for name, sheet in sheets.items():
        twin = replace(sheet, case=f"{sheet.case}-2", title=f"{sheet.title}, the other side")
        price, one = together([sheet, twin], pack).price, together([sheet], pack).price
        assert price.total.high <= 2.0 * one.total.high + 0.01, name
