"""What is asked before a price is a quote. Common practice, no source."""

from __future__ import annotations

from advisor.advice.advise import advise
from advisor.facts.case import Case, Span
from advisor.job.model import JobSheet
from advisor.job.sheet import job_sheet
from advisor.rulegraph.model.pack import RulePack
from tests.field.gates import with_other_gates_cleared
from tests.unit.advice.given_cases import case

SEAM = {"part__kind": "seat_bolster", "vehicle__kind": "car", "vehicle__age": 7,
        "damage__kind": "seam_open", "skin__material": "leather", "skin__feel": "supple",
        "damage__failed": "thread", "damage__hole_state": "intact",
        "core__state": "springs_back"}  # fmt: skip


def sheet_of(told: Case, pack: RulePack) -> JobSheet:
    told = with_other_gates_cleared(told, pack)
    return job_sheet(told, pack, advise(told, pack, 256, flips=False))


def test_length_and_number_are_asked_before_a_seam_is_quoted(pack: RulePack) -> None:
    open_ones = {one.fact: one.taken for one in sheet_of(case(**SEAM), pack).open_sizes}
    assert {"damage.length", "damage.count", "part.count"} <= open_ones.keys()
    assert open_ones["part.count"] == "1" and "mm" in open_ones["damage.length"]


def test_what_was_told_is_not_asked_again(pack: RulePack) -> None:
    told = case(**SEAM, damage__length=120, damage__count=1, part__count=1)
    open_ones = [one.fact for one in sheet_of(told, pack).open_sizes]
    assert not {"damage.length", "damage.count", "part.count"} & set(open_ones)


def test_what_moves_no_price_is_not_asked(pack: RulePack) -> None:
    """A seam sewn by hand from the front takes nothing apart."""
    told = case(**SEAM, damage__length=120, damage__count=1, part__count=1)
    sheet = sheet_of(told, pack)
    assert sheet.lead == "hand_stitch"
    assert "access.back" not in [one.fact for one in sheet.open_sizes]


def test_the_price_goes_by_what_is_asked(pack: RulePack) -> None:
    """Each further equal part costs, and less than the first: setting up is done once."""
    prices = []
    for count in (1.0, 2.0, 3.0):
        told = case(**SEAM, damage__length=300, damage__count=2).with_fact(
            "part.count", Span(count, count)
        )
        price = sheet_of(told, pack).price
        assert price is not None
        prices.append(sum(line.amount for line in price.lines if line.kind in ("work", "material")))
    assert prices[1] - prices[0] == prices[2] - prices[1] or abs(
        (prices[1] - prices[0]) - (prices[2] - prices[1])
    ) < 0.02 * prices[0]
    assert 0.0 < prices[1] - prices[0] < prices[0]
