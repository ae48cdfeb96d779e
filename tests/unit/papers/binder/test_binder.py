"""The audit binder: an empty shop names its gaps, each thing entered closes its own, in order."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from advisor.facts.faults import BadInput
from advisor.papers.binder.jobs import RegulatedJob
from advisor.papers.binder.page import build_binder
from advisor.papers.binder.self_check import (
    FINDERS,
    AuditState,
    CheckedItem,
    Practised,
    Shows,
    State,
    check,
    gaps,
    self_check,
)
from advisor.papers.binder.shop_record import ShopRecord, read_shop, write_shop
from advisor.papers.binder.snapshot import changes, keep, last_kept, snapshot_of
from advisor.papers.materials.lot import Lot, lot_of
from advisor.papers.yaml_record import record_in
from advisor.report.formats.html import render as html
from advisor.report.formats.pdf import render as pdf
from advisor.report.formats.text import render
from tests.handover_records import changed, complete, judged
from tests.unit.papers.handover.test_pack import LOT

DAY = date(2026, 11, 30)
SHOP = """
format: 1
trainings:
  - {person: Ina Mole, what: seams, number: TR-12, on: 2026-03-02, until: 2027-03-01}
tools: [{name: scale, number: T-3, calibrated: 2026-01-10, due: 2027-01-09, certificate: K-17}]
agreements:
  - {station: Harbour Field Repair Station, access_clause: yes, audited: 2026-02-11}
answers:
"""
HAND = [name for name, item in self_check().items.items() if item.found == "hand"]
ANSWERED = "".join(f"  {name}: {{state: met, on: 2026-11-01, by: Ina Mole}}\n" for name in HAND)


def lots() -> dict[str, Lot]:
    vinyl = {**LOT, "lot": "HB-L-8", "material": "seat vinyl", "layer": "skin"}
    both = [lot_of({**one, "use_by": "none stated"}) for one in (LOT, vinyl)]
    return {one.lot: one for one in both}


def job(values: Mapping[str, Any] | None = None, **more: Any) -> RegulatedJob:
    named = {"materials.0.lot": "HB-L-8", "materials.1.lot": "HB-L-7"}
    found = judged(changed({**named, **(values or {})}), **more)
    return RegulatedJob("HB-2061", "k", "Seat", date(2026, 11, 20), "", found)


def state(
    shop: str = SHOP + ANSWERED, people: tuple[str, ...] = ("Ina Mole",),
    jobs: tuple[RegulatedJob, ...] | None = None, kept: dict[str, Lot] | None = None,
) -> AuditState:  # fmt: skip
    record = record_in(shop, "shop.yaml", ShopRecord)
    listed = (job(),) if jobs is None else jobs
    return AuditState(record, people, listed, lots() if kept is None else kept,
                      date(2025, 12, 1), DAY)  # fmt: skip


EMPTY = state("format: 1\n", (), (), {})


def named(items: list[CheckedItem]) -> set[str]:
    return {one.name for one in items}


def test_an_empty_shop_names_its_own_gaps_with_what_would_close_each() -> None:
    document, items = build_binder(EMPTY)
    open_items = gaps(items)
    assert {one.area for one in open_items} == set(self_check().areas)
    assert set(HAND) < named(open_items)
    told = " ".join(render(document).split())
    first = told.index("GAPS, AND WHAT WOULD CLOSE THEM")
    assert first < told.index("INDEX") < told.index("SELF-CHECK: FACILITY")
    for one in open_items:
        assert one.item.closes in told and one.found in told
    assert "Shop not named yet" in told and "approves nothing" in told


def test_a_shop_that_has_everything_has_no_gap() -> None:
    items = check(state())
    assert gaps(items) == []
    assert {one.name for one in items if one.state is State.NOT_APPLICABLE} == {
        "training.programme"
    }


#: What is taken away or entered wrong, and the gaps that it opens: nothing else moves.
WORSE: list[tuple[str, dict[str, Any], set[str]]] = [
    ("nobody named", {"people": ()}, {"training.people", "training.records"}),
    ("one person without training", {"people": ("Ina Mole", "Odo Quay")}, {"training.records"}),
    ("a training that ran out", {"shop": (SHOP + ANSWERED).replace("2027-03-01", "2026-11-29")},
     {"training.current"}),
    ("done before the training", {"shop": (SHOP + ANSWERED).replace("2026-03-02", "2026-11-25")},
     {"training.performers"}),
    ("a tool past its day", {"shop": (SHOP + ANSWERED).replace("2027-01-09", "2026-11-29")},
     {"tools.calibrated"}),
    ("a tool that does not measure",
     {"shop": (SHOP + ANSWERED).replace("number: T-3", "measures: no")},
     {"tools.listed", "tools.calibrated"}),
    ("no clause", {"shop": (SHOP + ANSWERED).replace("access_clause: yes, ", "")},
     {"access.clause"}),
    ("an old audit", {"shop": (SHOP + ANSWERED).replace("2026-02-11", "2025-11-01")},
     {"access.audit"}),
    ("an agreement with another", {"shop": (SHOP + ANSWERED).replace("Harbour Field", "Old Pier")},
     {"access.agreement"}),
    ("an open deviation", {"shop": f"{SHOP}{ANSWERED}deviations: [{{what: thread}}]\n"},
     {"records.deviations"}),
    ("an answer of long ago", {"shop": (SHOP + ANSWERED).replace("2026-11-01", "2025-11-01")},
     set(HAND)),
    ("an answer without a day", {"shop": (SHOP + ANSWERED).replace("on: 2026-11-01, ", "")},
     set(HAND)),
    ("not met", {"shop": (SHOP + ANSWERED).replace("state: met", "state: not_met")}, set(HAND)),
    ("papers with something missing", {"jobs": (job({"method.supplied_by": None}),)},
     {"records.packs"}),
    ("in hand without an order",
     {"jobs": (job({"work.completed": None, "station.work_order": None}),)}, {"work.orders"}),
    ("flown for hire, no proof", {"jobs": (job({"operator.rule": "part_121"}),)},
     {"training.programme", "records.packs"}),
    ("a material of no lot", {"jobs": (job({"materials.0.lot": None}),)}, {"materials.listed"}),
    ("a lot without conformity",
     {"kept": {**lots(), "X": lot_of({"lot": "X", "layer": "foam", "material": "foam",
                                      "use_by": "none stated"})}}, {"materials.papers"}),
    ("a lot past its life",
     {"kept": {**lots(), "X": lot_of({**LOT, "lot": "X"})}}, {"materials.life"}),
    ("a withdrawn lot in a job",
     {"kept": {**lots(), "HB-L-7": lot_of({**LOT, "use_by": "none stated", "withdrawn": {
         "on": "2026-11-28", "why": "melts"}})}}, {"materials.withdrawn"}),
]  # fmt: skip


@pytest.mark.parametrize(("why", "parts", "opened"), WORSE, ids=[row[0] for row in WORSE])
def test_each_thing_missing_opens_its_own_gap(
    why: str, parts: dict[str, Any], opened: set[str]
) -> None:
    open_items = gaps(check(state(**parts)))
    assert named(open_items) == opened, why
    assert all(one.evidence for one in open_items)


def test_a_deviation_that_names_the_withdrawn_lot_is_enough() -> None:
    withdrawn = {"on": "2026-11-28", "why": "melts"}
    kept = {**lots(), "HB-L-7": lot_of({**LOT, "use_by": "none stated", "withdrawn": withdrawn})}
    told = (job({"open.deviations": "lot HB-L-7 was withdrawn later"}),)
    assert gaps(check(state(jobs=told, kept=kept))) == []


def test_every_item_has_a_source_and_is_found_by_hand_or_from_what_is_kept() -> None:
    whole = self_check()
    for name, item in whole.items.items():
        assert name.split(".")[0] in whole.areas and item.source in whole.sources
        assert item.found == "hand" or item.found in FINDERS
    assert {item.found for item in whole.items.values()} - {"hand"} == set(FINDERS)


def test_the_pdf_is_the_same_each_time_and_its_index_leads_to_the_pages() -> None:
    document, _ = build_binder(state(), "Quayside Trim")
    content = pdf(document)
    assert content == pdf(build_binder(state(), "Quayside Trim")[0])
    pages = [page.extract_text() for page in PdfReader(BytesIO(content)).pages]
    index = next(page for page in pages if "\nIndex" in page)
    for title in ("Regulated jobs", "Lots of material", "Deviations"):
        line = next(one for one in index.splitlines() if one.startswith(title))
        number = int(line.removeprefix(title).strip() or index.splitlines()[
            index.splitlines().index(line) + 1])  # fmt: skip
        assert title in pages[number - 1], (title, number)
    reader = PdfReader(BytesIO(content))
    assert any("HB-2061" in str(entry["/Title"]) for entry in reader.outline)  # type: ignore[index]
    page = html(document)
    assert 'href="#lots"' in page and 'id="lots"' in page


def test_what_changed_is_told_against_last_year(tmp_path: Path) -> None:
    now = snapshot_of(state(), check(state()))
    before = snapshot_of(EMPTY, check(EMPTY))
    old = state((SHOP + ANSWERED).replace("2027-03-01", "2026-11-29"))
    lines = changes(now, snapshot_of(old, check(old)))
    assert lines == ["Closed: No training has run out", "Regulated jobs: 1, then 1"]
    assert "New gap: No training has run out" in changes(snapshot_of(old, check(old)), now)
    assert "People added: Ina Mole" in changes(now, before)
    assert last_kept(DAY, tmp_path) is None
    for until in ("2025-11-30", "2026-10-01"):
        keep(snapshot_of(AuditState(**{**vars(EMPTY), "until": date.fromisoformat(until)}), ()),
             tmp_path)  # fmt: skip
    found = last_kept(DAY, tmp_path)
    assert found is not None and found.until == "2025-11-30", "last year's, not last month's"
    only = last_kept(date(2025, 12, 24), tmp_path)
    assert only is not None and only.until == "2025-11-30"
    (tmp_path / "2026-10-01.json").write_text("{}")
    with pytest.raises(BadInput, match="no snapshot"):
        last_kept(date(2027, 11, 30), tmp_path)


def test_the_shop_s_record_reads_back_and_tells_every_fault(tmp_path: Path) -> None:
    path = tmp_path / "papers" / "shop.yaml"
    assert read_shop(path) == ShopRecord()
    write_shop(state().shop, path)
    assert read_shop(path) == state().shop
    path.write_text(
        "format: 1\ntools: [{name: scale, due: 9.1.2027}]\ndeviations:\n"
        "  - {on: 2026-06-03, what: thread, closed: 2026-06-01}\n"
    )
    with pytest.raises(BadInput) as caught:
        read_shop(path)
    told = [fault.text.split("shop.yaml:")[1] for fault in caught.value.faults]
    assert told == [
        '2:28: tools.0.due: not a date; found "9.1.2027"; accepted: year, month and day, such as '
        "2026-11-30",
        '4:5: deviations.0: closed before it was found; found "2026-06-01"; accepted: 2026-06-03 '
        "or later",
    ]


def test_practice_is_listed_and_closes_no_gap() -> None:
    rounds = (Practised("gull", 12, date(2026, 11, 3)),)
    untrained = AuditState(**{**vars(EMPTY), "people": ("Ina Mole",), "practised": rounds})
    told = " ".join(render(build_binder(untrained)[0]).split())
    assert "gull 12 2026-11-03" in told and "is no training record" in told
    assert "training.records" in named(gaps(check(untrained)))
    assert "No practice is kept" in render(build_binder(EMPTY)[0])


def test_evidence_of_a_job_is_the_job() -> None:
    (item,) = gaps(check(state(jobs=(job({"method.supplied_by": None}),))))
    assert [(one.shows, one.name) for one in item.evidence] == [(Shows.CASE, "HB-2061")]
    assert complete()["case"] == "HB-2061"
