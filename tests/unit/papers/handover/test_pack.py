"""The pack: the same bytes, never as if complete, never over another, found out where altered."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from pypdf import PdfReader

from advisor.facts.faults import BadInput
from advisor.papers.agreement.page import agreement, build_agreement
from advisor.papers.handover.from_lots import with_lot
from advisor.papers.handover.judge import JudgedPack, PackVerdict, judge_pack
from advisor.papers.handover.pack import changed_since, pack_files, prepare, write_pack
from advisor.papers.handover.page import build_pack_page
from advisor.papers.handover.record import HandoverRecord
from advisor.papers.handover.record_file import digest_of_file, handover_in, read_handover
from advisor.papers.handover.requirements import requirements
from advisor.papers.materials.lot import lot_of
from advisor.papers.yaml_record import record_text
from advisor.report.formats.pdf import render as pdf
from advisor.report.formats.text import render
from tests.handover_records import as_record, changed, complete, judged

READY, INCOMPLETE, REVIEW = PackVerdict.READY, PackVerdict.INCOMPLETE, PackVerdict.REVIEW


def put_files(folder: Path) -> dict[str, Any]:
    """A complete record whose photos lie in ``folder``."""
    folder.mkdir(exist_ok=True)
    record = complete()
    for file in record["files"]:
        (folder / file["path"]).write_bytes(file["what"].encode())
        file["sha256"] = digest_of_file(folder / file["path"])
    return record


def test_a_record_with_any_required_field_missing_is_never_presented_as_complete() -> None:
    rules = requirements()
    blanked = dict.fromkeys(rules.fields)
    blanked |= {f"materials.0.{name}": None for name in rules.materials}
    blanked |= {f"certificates.0.{name}": None for name in rules.certificates}
    blanked |= {"part.registration": None, "station.access_clause": None}
    blanked |= {"materials": [], "certificates": [], "files": []}
    for path in blanked:
        found = judged(changed({path: [] if "." not in path else None}))
        assert found.verdict is INCOMPLETE, path
        document = build_pack_page(found, "Seat", ())
        assert document.stamp == "Not complete" and "complete" not in document.heading
        assert "ignature" not in render(document), "nobody signs what lacks something"
        assert all(one.who and one.source in rules.sources for one in found.lacking)


def test_the_papers_leave_the_station_s_part_blank_and_release_nothing() -> None:
    told = " ".join(render(build_pack_page(judged(complete()), "Seat", ())).split())
    assert "Signature, date ______" in told and "Inspected by ______" in told
    assert "no maintenance release" in told
    for word in ("approved", "airworthy", "released"):
        assert word not in told.casefold(), word
    assert told.count("local codes come first") == 1


def test_the_same_case_gives_the_same_bytes(tmp_path: Path) -> None:
    record = as_record(put_files(tmp_path / "a"))
    first = prepare(record, tmp_path / "a", "aircraft", "Seat", "case: HB-2061\n")
    assert first.judged.verdict is READY
    assert pack_files(first) == pack_files(first)
    assert write_pack(first, tmp_path / "one") == write_pack(first, tmp_path / "two")
    one, two = ({p.relative_to(f): (p.read_bytes(), p.stat().st_mtime) for p in f.rglob("*.*")}
                for f in (tmp_path / "one", tmp_path / "two"))  # fmt: skip
    assert one == two and len(one) == 6
    assert changed_since(tmp_path / "one") == []
    (tmp_path / "one" / "files" / "01-photo_before-before.jpg").write_bytes(b"other")
    (tmp_path / "one" / "note.txt").write_bytes(b"")
    assert changed_since(tmp_path / "one") == [
        "note.txt: is not in the list", "files/01-photo_before-before.jpg: was changed",
    ]  # fmt: skip


def test_a_pack_is_judged_again_from_itself_and_names_no_folder_of_this_machine(
    tmp_path: Path,
) -> None:
    record = put_files(tmp_path / "a")
    for file in record["files"]:
        file["path"] = str(tmp_path / "a" / file["path"])
    first = prepare(as_record(record), tmp_path, "aircraft", "Seat", "case: HB-2061\n")
    write_pack(first, tmp_path / "pack")
    inside = read_handover(tmp_path / "pack" / "record.yaml")
    again = prepare(inside, tmp_path / "pack", "aircraft", "Seat", "case: HB-2061\n")
    assert again.judged.verdict is READY
    whole = b"".join(p.read_bytes() for p in (tmp_path / "pack").rglob("*.*"))
    assert str(tmp_path).encode() not in whole


ORDERS = st.permutations(range(4))


@given(ORDERS, ORDERS, st.sets(st.sampled_from(sorted(requirements().fields)), max_size=4))
@settings(max_examples=60, deadline=None)
def test_order_never_matters_and_a_blank_is_never_an_answer(
    materials: list[int], certificates: list[int], blank: set[str]
) -> None:
    """Own property, no outside source."""
    record = changed(dict.fromkeys(blank))
    record["materials"] += [{**one, "what": f"other {one['what']}"} for one in record["materials"]]
    record["certificates"] += [
        {**one, "covers": [f"other {what}" for what in one["covers"]]}
        for one in record["certificates"]
    ]
    plain = judged(record)
    record["materials"] = [record["materials"][at] for at in materials]
    record["certificates"] = [record["certificates"][at] for at in certificates]
    shuffled = judged(record)
    assert plain.verdict is shuffled.verdict is (INCOMPLETE if blank else READY)
    assert sorted(o.text for o in plain.lacking) == sorted(o.text for o in shuffled.lacking)


def test_photos_stand_on_the_page_and_what_is_none_only_goes_along(tmp_path: Path) -> None:
    record = put_files(tmp_path / "a")
    Image.new("RGB", (40, 30), "tan").save(tmp_path / "a" / "before.jpg")
    record["files"][0]["sha256"] = digest_of_file(tmp_path / "a" / "before.jpg")
    found = prepare(as_record(record), tmp_path / "a", "aircraft", "", "")
    page = PdfReader(BytesIO(pack_files(found)["hand-over.pdf"]))
    assert sum(len(one.images) for one in page.pages) == 1
    assert pack_files(found) == pack_files(found)


def test_nothing_is_written_over_a_pack_nor_where_the_papers_are_stopped(tmp_path: Path) -> None:
    record = as_record(put_files(tmp_path / "a"))
    ready = prepare(record, tmp_path / "a", "aircraft", "", "")
    write_pack(ready, tmp_path / "pack")
    with pytest.raises(BadInput, match="not empty"):
        write_pack(ready, tmp_path / "pack")
    (tmp_path / "a" / "after.jpg").write_bytes(b"touched up")
    altered = prepare(record, tmp_path / "a", "aircraft", "", "")
    with pytest.raises(BadInput, match=r"after\.jpg is not the one that was taken up"):
        write_pack(altered, tmp_path / "other")
    stopped = prepare(record, tmp_path / "a", "aircraft", "", "", ("An airbag",))
    with pytest.raises(BadInput):
        write_pack(stopped, tmp_path / "other")
    assert sorted(each.name for each in tmp_path.iterdir()) == ["a", "pack"]


def test_what_is_not_complete_is_called_so_in_name_and_on_every_page(tmp_path: Path) -> None:
    record = handover_in("format: 1\ncase: HB-1\n", "r.yaml")
    found = prepare(record, tmp_path, "aircraft", "", "", (), ("Airbag",))
    assert set(pack_files(found)) == {"record.yaml", "not-complete.pdf", "hashes.txt"}
    assert any("Airbag" in one.text for one in found.judged.lacking)


def test_a_record_reads_back_as_it_was_written() -> None:
    record = as_record(complete())
    assert handover_in(record_text(record), "r.yaml") == record
    empty = HandoverRecord(case="HB-1")
    assert handover_in(record_text(empty), "r.yaml") == empty


def test_every_fault_of_a_record_is_told_with_its_place() -> None:
    text = (
        "format: 1\ncase: HB-1\nwork: {started: 21.11.2026}\npart: {rule_set: part25}\n"
        "materials:\n  - {what: vinyl, layer: skn}\ncertificates:\n  - {test: vertikal_12}\n"
    )
    with pytest.raises(BadInput) as caught:
        handover_in(text, "r.yaml")
    assert [fault.text.split("; accepted")[0] for fault in caught.value.faults] == [
        'r.yaml:3:17: work.started: not a date; found "21.11.2026"',
        'r.yaml:4:18: part.rule_set: no such rule set; found "part25"',
        'r.yaml:6:26: materials.0.layer: not one of the accepted words; found "skn"',
        'r.yaml:8:12: certificates[0].test: no such test; found "vertikal_12"',
    ]


LOT = {
    "lot": "HB-L-7", "layer": "thread", "material": "seam thread", "maker": "Rope Walk Threads",
    "reference": "T-70", "batch": "0417", "use_by": "2026-11-01",
    "certificates": [
        {"kind": "conformity", "number": "C-411", "batch": "0417"},
        {"kind": "burn_test", "number": "B-89", "issued_by": "Harbour test house",
         "date": "2026-09-02", "test": "horizontal", "says": "23.853(a)", "thickness": "0.3 mm",
         "finish": "none", "batch": "0417"},
    ],
}  # fmt: skip


def with_thread_of_lot() -> JudgedPack:
    """The thread comes from a lot past its shelf life, its papers with it."""
    lot = lot_of(LOT)
    record = as_record(changed({"materials.1": {}, "certificates.1": {}}))
    record = record.model_copy(
        update={"materials": record.materials[:1], "certificates": record.certificates[:1]}
    )
    record = with_lot(record, lot, "3 m")
    assert with_lot(record, lot, "3 m") == record
    (new,) = [one for one in record.certificates if one.number == "B-89"]
    assert new.rule_set is None, "which rule a certificate is to is not in the lot, nor guessed"
    named = new.model_copy(update={"rule_set": "part_23_853"})
    record = record.model_copy(update={"certificates": (record.certificates[0], named)})
    return judge_pack(record, "aircraft", lots={lot.lot: lot})


def test_a_lot_brings_its_papers_and_a_lot_past_its_life_is_for_the_station() -> None:
    found = with_thread_of_lot()
    assert [(one.kind, one.field) for one in found.lacking] == [(REVIEW, "materials[1].lot")]
    assert "past its shelf life" in found.lacking[0].text


def test_the_agreement_has_the_clauses_that_are_asked_for() -> None:
    told = render(build_agreement("Quayside Trim", "Harbour Field Repair Station"))
    flat = " ".join(told.split())
    for clause in ("Equivalent quality control", "Yearly audit", "Access for the authority"):
        assert clause in flat
    assert "station's own counsel" in flat and "Not legal advice" in flat
    assert all(clause.source in agreement().sources for clause in agreement().clauses)
    assert "{" not in flat
    assert pdf(build_agreement()) == pdf(build_agreement())
