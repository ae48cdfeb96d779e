"""Hand-over papers against records whose verdict was worked out by hand from the rules.

No publication has such records: they are ours, a complete one with one thing changed. The
requirement behind each is named beside it; "looked up" means a reprint or letter, never the
rule in force and whole. MEMORY stands where it is from memory or an own reading, which the
papers must then say. Rows P; rows A to F are in test_published_burn.py.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest

from advisor.papers.handover.judge import PackVerdict
from advisor.papers.handover.page import MEMORY, build_pack_page
from advisor.report.formats.text import render
from tests.handover_records import changed, complete, judged

READY, REVIEW, INCOMPLETE = PackVerdict.READY, PackVerdict.REVIEW, PackVerdict.INCOMPLETE
INVALID, REFER = PackVerdict.INVALID, PackVerdict.REFER
LOOKED_UP, FROM_MEMORY, PRACTICE = "looked_up", "from_memory", "common_practice"
OWN_READING = "own_reading"


@dataclass(frozen=True)
class Row:
    """A record, and what must come of it."""

    name: str
    record: Callable[[], dict[str, Any]]
    verdict: PackVerdict
    field: str = ""
    """What is found, and nothing else is."""
    status: str = ""
    vehicle: str = "aircraft"


def with_finish() -> dict[str, Any]:
    """The certificate is for bare vinyl; the job adds dye and filler."""
    record = complete()
    for what, layer in (("grey dye", "finish"), ("flexible filler", "filler")):
        record["materials"].append({**record["materials"][0], "what": what, "layer": layer})
    return record


def old_aircraft() -> dict[str, Any]:
    """CAR 3, private, and the maker's statement to a national standard in place of a test."""
    statement = {
        "number": "S-31", "covers": ["seat vinyl", "seam thread"], "date": "2026-09-02",
        "maker_statement": True, "national_standard": "a national standard for flame resistance",
    }  # fmt: skip
    return changed({"part.rule_set": "car_3", "certificates": [statement]})


ROWS = [
    Row("the complete record", complete, READY),
    # P1, practice: one batch from the certificate to the part.
    Row("P1", lambda: changed({"certificates.0.batch": "V-99"}), INCOMPLETE,
        "materials[0].batch", PRACTICE),
    Row("P1, certificate of conformity",
        lambda: changed({"materials.0.conformity_batch": "V-99"}), INCOMPLETE,
        "materials[0].conformity_batch", PRACTICE),
    # P2, 25.853 before and after amendments 25-32, 25-61 and 25-72, from memory.
    Row("P2", lambda: changed({"certificates.0.says": "25.853(a)",
                               "certificates.0.test": None}),
        REVIEW, "certificates[0].test", FROM_MEMORY),
    # P3, practice: FMVSS 302 is a road standard.
    Row("P3", lambda: changed({"certificates.0.rule_set": "fmvss_302"}), INCOMPLETE,
        "certificates[0].rule_set", PRACTICE),
    # P4, 14 CFR 120.105(e) and 120.215(a)(5).
    Row("P4", lambda: changed({"operator.rule": "part_135"}), REFER,
        "operator.drug_alcohol_proof", LOOKED_UP),
    # P5, 14 CFR 43.13(a): current data.
    Row("P5", lambda: changed({"method.revision": None}), INCOMPLETE, "method.revision",
        LOOKED_UP),
    # P6, 14 CFR 43.5 and 43.7, from memory.
    Row("P6", lambda: changed({"return_to_service": "J. Quay, 2026-11-21"}), REFER,
        "return_to_service", FROM_MEMORY),
    Row("P6, in other words", lambda: changed({"work.done": "Sewn. Part is airworthy."}), REFER,
        "work.done", FROM_MEMORY),
    Row("P6, the title of a manual", lambda: changed({
        "method.reference": "Airworthiness limitations 25-21",
        "certificates.0.says": "23.853(a), airworthiness standards"}), READY),
    # P7, practice.
    Row("P7 blank", lambda: changed({"open.deviations": ""}), INCOMPLETE, "open.deviations",
        PRACTICE),
    Row("P7 none", lambda: changed({"open.deviations": "none"}), READY),
    # P8, finishes as 29.853 and the former 25.853 word it; what follows is an own reading.
    Row("P8", with_finish, REVIEW, "certificates", OWN_READING),
    # P9, 14 CFR 145.223(b).
    Row("P9", lambda: changed({"station.access_clause": False}), INCOMPLETE,
        "station.access_clause", LOOKED_UP),
    Row("P9 blank", lambda: changed({"station.access_clause": None}), INCOMPLETE,
        "station.access_clause", LOOKED_UP),
    # P10, CAR 3.388 and AC 43.13-1B as a forum quotes it.
    Row("P10", old_aircraft, READY),
    # P12, letters of interpretation, nhtsa.gov.
    Row("P12", lambda: changed({"part.before_first_sale": True}), REVIEW,
        "part.before_first_sale", LOOKED_UP, vehicle="car"),
]  # fmt: skip


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.name)
def test_the_papers_are_judged_as_the_rule_reads(row: Row) -> None:
    found = judged(row.record(), row.vehicle)
    assert found.verdict is row.verdict
    assert {one.field for one in found.lacking} == ({row.field} if row.field else set())
    assert {one.status for one in found.lacking} == ({row.status} if row.status else set())
    told = render(build_pack_page(found, "Seat", ()))
    assert (" ".join(MEMORY.split()) in " ".join(told.split())) == (
        row.status in (FROM_MEMORY, OWN_READING)
    )


def test_p11_a_photo_that_was_changed_makes_the_papers_invalid() -> None:
    """14 CFR 43.12 (reprint): no altered record. The list of hashes is practice."""
    record = complete()
    there = {file["path"]: file["sha256"] for file in record["files"]}
    assert judged(record, digests=there).verdict is READY
    found = judged(record, digests={**there, "after.jpg": "0" * 64})
    assert found.verdict is INVALID
    assert not found.may_be_written


def test_p4_with_the_proof_and_p1_in_other_letters_are_no_findings() -> None:
    """The other side of two rows: the proof is there; one batch is written in two ways."""
    hired = {"operator.rule": "part_135", "operator.drug_alcohol_proof": "Programme DA-7"}
    assert judged(changed(hired)).verdict is READY
    assert judged(changed({"certificates.0.batch": "v - 17"})).verdict is READY


def test_nothing_added_is_said_and_never_taken_from_an_empty_list() -> None:
    """P7 for materials (practice): a blank list is not "none"."""
    empty = {"materials": [], "certificates": []}
    assert judged(changed(empty)).verdict is INCOMPLETE
    assert judged(changed({**empty, "materials": [{"what": "none"}]})).verdict is READY
    both = [{"what": "none"}, {"what": "glue"}]
    assert judged(changed({**empty, "materials": both})).verdict is INCOMPLETE


def test_a_letter_of_the_station_in_place_of_a_certificate_is_for_the_station() -> None:
    """R field 7 (practice): a material without papers never passes for one with them."""
    letter = {"covers": ["seam thread"], "station_accepts": True, "date": "2026-11-19"}
    found = judged(changed({"certificates.1": letter}))
    assert found.verdict is INCOMPLETE, "the letter has no number"
    found = judged(changed({"certificates.1": {**letter, "number": "HFRS-L-4"}}))
    assert found.verdict is REVIEW and [o.who for o in found.lacking] == ["the station"]


def test_p3_and_p9_are_asked_of_no_road_vehicle() -> None:
    """A station, its contract and aircraft evidence are matters of aircraft alone."""
    road = {"station": {}, "certificates": [], "operator": {}, "method": {}, "files": []}
    assert judged(changed(road), "bus").verdict is READY
    assert judged(changed(road)).verdict is INCOMPLETE
