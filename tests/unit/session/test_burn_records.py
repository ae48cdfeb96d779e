"""Burn-test records kept by the window: fields, specimens, faults, and the file on disk."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.facts.faults import BadInput
from advisor.papers.burn.judge import Verdict
from advisor.papers.burn.record import read_burn_record
from advisor.papers.burn.rule_sets import shipped_rules
from advisor.session.burn_records import (
    KeptBurnRecord,
    listed,
    specimen_faults,
    with_unit_above,
)

ROWS = [
    ("any", {"burn_length": length, "flame_time": "1 s", "drip_flame_time": "no drips"})
    for length in ("7.9 in", "8.3 in", "7.8 in")
]


def filled(folder: Path, name: str = "HB-BURN-1") -> KeptBurnRecord:
    """Row A11 of the published pairs, up to its specimens."""
    kept = KeptBurnRecord.begin(name, folder)
    kept.put({"rule_set": "part_25", "certificate": "C-2291"})
    kept.put({"item": "textile", "test": "vertical_12", "directional": False})
    kept.put({"conditioning.temperature": "70 degF", "conditioning.humidity": "50 %",
              "conditioning.time": "24 h"})  # fmt: skip
    return kept


def test_a_record_is_filled_in_step_by_step_and_judged_at_each(tmp_path: Path) -> None:
    kept = KeptBurnRecord.begin("HB-BURN-1", tmp_path)
    assert kept.judged.verdict is Verdict.INCOMPLETE and kept.readings() == ()
    kept = filled(tmp_path / "other")
    assert kept.judged.verdict is Verdict.INCOMPLETE
    assert [one.key for one in kept.readings()] == ["burn_length", "flame_time", "drip_flame_time"]
    kept.put_rows(ROWS)
    assert kept.judged.verdict is Verdict.PASS  # the mean is 8 exactly
    kept.put_rows([*ROWS, ("any", {"burn_length": "9 in"})])
    assert kept.judged.verdict is Verdict.INCOMPLETE  # a blank is never 0
    again = KeptBurnRecord.open(kept.path)
    assert (again.data, again.rows()[3]) == (kept.data, ("any", {"burn_length": "9 in"}))
    assert read_burn_record(kept.path, shipped_rules()) == kept.record


def test_the_rule_set_is_never_filled_in_and_takes_its_items_with_it(tmp_path: Path) -> None:
    kept = filled(tmp_path)
    assert kept.values(kept.basis_fields())["rule_set"] == "part_25"
    kept.put({"rule_set": "fmvss_302"})
    assert "item" not in kept.data and kept.judged.verdict is Verdict.INCOMPLETE
    kept.put({"rule_set": None})
    assert "rule_set" not in kept.data
    fresh = KeptBurnRecord.begin("HB-BURN-2", tmp_path)
    assert set(fresh.values(fresh.basis_fields()).values()) == {""}
    assert fresh.item_fields()[0].options == ()


def test_what_cannot_be_kept_leaves_the_record_and_its_file_as_they_are(tmp_path: Path) -> None:
    kept = filled(tmp_path)
    kept.put_rows(ROWS)
    before = kept.path.read_bytes()
    bad = [("any", {"burn_length": "7.9", "flame_time": "-1 s"}), *ROWS]
    with pytest.raises(BadInput) as told:
        kept.put_rows(bad)
    said = specimen_faults(told.value)
    assert said[0].startswith('Specimen 1, burn length: the unit is missing; found "7.9"; ')
    assert said[1].startswith('Specimen 1, flame after: below 0; found "-1 s"; ')
    with pytest.raises(BadInput, match="not read in this test"):
        kept.put({"test": "horizontal"})
    assert kept.path.read_bytes() == before and kept.judged.verdict is Verdict.PASS


def test_a_bare_number_takes_the_unit_above_it_and_no_other() -> None:
    assert with_unit_above("4.6", ["4.2 in"], "burn_length") == "4.6 in"
    assert with_unit_above("1/2", ["", "4 1/2 in", "3 mm"], "burn_length") == "1/2 in"
    assert with_unit_above("4.6", ["", "no drips"], "drip_flame_time") == "4.6"
    assert with_unit_above("4.6 mm", ["4.2 in"], "burn_length") == "4.6 mm"
    assert with_unit_above("190", ["200"], "smoke_density") == "190"
    assert with_unit_above("4.6", [], "burn_length") == "4.6"


def test_the_list_says_each_verdict_and_what_cannot_be_read(tmp_path: Path) -> None:
    assert listed(tmp_path / "none") == []
    filled(tmp_path).put_rows(ROWS)
    (tmp_path / "bad.yaml").write_text("format: 1\nrecord: X\ntest: vertical_6\n")
    bad, good = sorted(listed(tmp_path), key=lambda one: one.name != "bad")
    assert (good.name, good.said) == ("HB-BURN-1", "PASS")
    assert bad.said.startswith("cannot be read: ") and "bad.yaml:3:7: test: no such" in bad.said


def test_a_file_is_taken_in_under_its_own_name_once(tmp_path: Path) -> None:
    there = filled(tmp_path / "elsewhere")
    taken = KeptBurnRecord.taken_from(there.path, tmp_path / "kept")
    assert taken.path.parent == tmp_path / "kept" and taken.data == there.data
    with pytest.raises(BadInput, match="a record of this name is kept already"):
        KeptBurnRecord.taken_from(there.path, tmp_path / "kept")
