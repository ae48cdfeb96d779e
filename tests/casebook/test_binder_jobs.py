"""Regulated jobs of a period are found in the casebook, with the papers that are kept for them."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import jsonschema
import pytest

from advisor.papers.binder import json_form
from advisor.papers.binder.snapshot import last_kept
from advisor.papers.handover.record_file import kept_file
from tests.handover_records import complete
from tests.unit.cli.command import DEMOS, Command


@pytest.fixture
def command(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Command:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    return Command(capsys, tmp_path)


def test_aircraft_cases_are_in_the_binder_and_no_others(command: Command) -> None:
    book = command.folder / "book"
    for name in ("aircraft_seat_station", "aircraft_no_station", "split_armrest"):
        added = command("casebook", "add", DEMOS / f"{name}.yaml", "--book", book)
        assert added.code == 0, added.err
    path = kept_file("HB-2061")
    path.parent.mkdir(parents=True)
    path.write_text(json.dumps({**complete(), "files": []}))
    other = kept_file("HB-1999")
    other.write_text(json.dumps({**complete(), "case": "HB-1999", "files": []}))
    target = command.folder / "binder.txt"
    ran = command("papers", "binder", "--to", target, "--json", "--book", book)
    told = json.loads(ran.out)
    assert ran.code == 0
    schema = Path(json_form.__file__).parent / "schema/binder-1.json"
    jsonschema.validate(told, json.loads(schema.read_text("utf-8")))
    # HB-1999 was handed over and is in no casebook; the period is that of its own days.
    assert [(job["case"], job["papers"]) for job in told["jobs"]][:2] == [
        ("HB-2061", "INCOMPLETE"), ("HB-2049", "REFER"),
    ]  # fmt: skip
    text = target.read_text("utf-8")
    assert "HB-2061" in text and "HB-2041" not in text
    states = {one["item"]: one["state"] for one in told["items"]}
    assert (states["records.packs"], states["work.orders"]) == ("gap", "met")


def test_the_next_binder_tells_what_changed_and_wrong_days_are_refused(command: Command) -> None:
    book, target = command.folder / "book", command.folder / "binder.txt"
    where = ("--to", target, "--book", book)
    assert command("papers", "binder", *where, "--until", "2025-11-30").code == 0
    assert "No earlier binder is kept" in target.read_text("utf-8")
    path = command.folder / "data" / "trim-advisor" / "papers" / "shop.yaml"
    path.write_text("format: 1\ntools: [{name: scale, number: T-3}]\n")
    assert command("papers", "binder", *where, "--until", "2026-11-30").code == 0
    told = target.read_text("utf-8")
    assert "Closed: Tools that measure are listed" in told and "Tools added: scale T-3" in told
    found = last_kept(date(2027, 11, 30))
    assert found is not None and found.until == "2026-11-30"
    ran = command("papers", "binder", *where, "--since", "2026-12-01", "--until", "2026-11-30")
    assert ran.code == 2
    path.write_text("format: 1\ntools: [{nam: scale}]\n")
    ran = command("papers", "binder", *where)
    assert (ran.code, ran.out) == (3, "") and "shop.yaml:2:" in ran.err
