"""Several parts of a vehicle in one list: clear first, do now, order, send on."""

from __future__ import annotations

from functools import cache

from advisor.advice.advise import advise
from advisor.job.model import JobSheet, Standing
from advisor.job.sheet import job_sheet, together
from advisor.report.content.quote_page import intake_section
from advisor.report.json_forms.job import job_json
from advisor.rulegraph.load import load_pack
from tests.unit.advice.given_cases import demo


@cache
def sheet(name: str) -> JobSheet:
    pack = load_pack()
    told = demo(name, pack)
    return job_sheet(told, pack, advise(told, pack, 256, flips=False))


def test_each_part_stands_where_its_sheet_says() -> None:
    assert sheet("split_armrest").standing is Standing.DO_NOW
    assert sheet("brittle_bench").standing is Standing.ORDER
    assert sheet("donor_piece").standing is Standing.REFER
    assert sheet("unknown_split").standing is Standing.CLEAR_FIRST


def test_the_list_names_every_part_once_and_what_is_ordered_or_cleared() -> None:
    names = ("split_armrest", "brittle_bench", "donor_piece")
    job = together([sheet(name) for name in names], load_pack())
    rows = dict(intake_section(job).blocks[0].rows)  # type: ignore[union-attr]
    assert list(rows) == ["Do now", "Order, then do", "Send on or decline"]
    assert "new material, thread, adhesive" in rows["Order, then do"]
    held = together([sheet("split_armrest"), sheet("unknown_split")], load_pack())
    rows = dict(intake_section(held).blocks[0].rows)  # type: ignore[union-attr]
    assert list(rows) == ["Clear first", "Do, all cleared"]
    assert "seat belt" in rows["Clear first"]


def test_the_json_has_the_same_list() -> None:
    job = together([sheet("split_armrest"), sheet("donor_piece")], load_pack())
    found = job_json(job)["intake"]
    assert found["do_now"] == [sheet("split_armrest").case]
    assert found["refer"] == [sheet("donor_piece").case]
    assert found["clear_first"] == found["order"] == []
