"""Hand-over records for tests: written as YAML text and read as the program reads files."""

from __future__ import annotations

import copy
import json
from collections.abc import Mapping
from typing import Any

from advisor.papers.handover.judge import JudgedPack, judge_pack
from advisor.papers.handover.record import HandoverRecord
from advisor.papers.handover.record_file import handover_in

_COMPLETE: dict[str, Any] = {
    "format": 1,
    "case": "HB-2061",
    "prepared_by": "Ina Mole",
    "prepared_on": "2026-11-22",
    "station": {
        "name": "Harbour Field Repair Station", "work_order": "WO-1187",
        "contract": "HFRS-TRIM-3", "access_clause": True,
    },
    "operator": {"rule": "part_91"},
    "part": {
        "registration": "HB-AER", "location": "seat 2, right front", "quantity_in": 1,
        "quantity_out": 1, "rule_set": "part_23_853",
    },
    "method": {"reference": "Seat manual 25-21", "revision": "7", "supplied_by": "the station"},
    "work": {
        "done": "Open seam sewn again through the old holes.", "where": "front seam",
        "amount": "150 mm", "performer": "Ina Mole", "training": "TR-12",
        "started": "2026-11-20", "completed": "2026-11-21",
    },
    "materials": [
        {"what": "seat vinyl", "layer": "skin", "maker": "Saltmarsh Coaters",
         "reference": "SV-2", "batch": "V-17", "conformity": "C-410",
         "conformity_batch": "V-17", "shelf_life": "none", "amount": "0.1 m2"},
        {"what": "seam thread", "layer": "thread", "maker": "Rope Walk Threads",
         "reference": "T-70", "batch": "0417", "conformity": "C-411", "shelf_life": "none",
         "amount": "3 m"},
    ],
    "certificates": [
        {"number": "B-88", "covers": ["seat vinyl"], "issued_by": "Harbour test house",
         "date": "2026-09-02", "rule_set": "part_23_853", "test": "horizontal",
         "says": "23.853(a)", "thickness": "1.2 mm", "finish": "none", "batch": "V-17"},
        {"number": "B-89", "covers": ["seam thread"], "issued_by": "Harbour test house",
         "date": "2026-09-02", "rule_set": "part_23_853", "test": "horizontal",
         "says": "23.853(a)", "thickness": "0.3 mm", "finish": "none", "batch": "0417"},
    ],
    "inspection": {"findings": "Seam closed, no thread proud.",
                   "measurements": "9 stitches in 50 mm"},
    "open": {"deviations": "none", "hidden_damage": "none", "refusals": "none",
             "open_items": "none"},
    "files": [
        {"path": "before.jpg", "what": "photo_before", "sha256": "a" * 64},
        {"path": "after.jpg", "what": "photo_after", "sha256": "b" * 64},
    ],
}  # fmt: skip


def complete() -> dict[str, Any]:
    """A record of an aircraft seat that lacks nothing."""
    return copy.deepcopy(_COMPLETE)


def changed(values: Mapping[str, Any]) -> dict[str, Any]:
    """The complete record with the entries at these places set: "materials.0.batch"."""
    record: Any = complete()
    for path, value in values.items():
        *way, last = [int(key) if key.isdigit() else key for key in path.split(".")]
        inside = record
        for key in way:
            inside = inside[key]
        inside[last] = value
    return record  # type: ignore[no-any-return]


def as_record(content: Mapping[str, Any]) -> HandoverRecord:
    """The record, which is written as text (JSON is YAML) and read again."""
    return handover_in(json.dumps(content, indent=1), "record.yaml")


def judged(content: Mapping[str, Any], vehicle: str | None = "aircraft", **more: Any) -> JudgedPack:
    """The verdict on the papers of a record."""
    return judge_pack(as_record(content), vehicle, **more)
