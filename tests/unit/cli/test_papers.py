"""``trim-advisor papers burn``: printed, as JSON, and refused."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema

from advisor.papers.handover import json_form
from tests.burn_records import columns, record
from tests.handover_records import changed
from tests.unit.cli.command import DEMOS, Command

FINE = columns(burn_length="4.2 4.6 4.4 in", flame_time="2 3 2.5 s", drip_flame_time="no drips")
LONG = columns(burn_length="9 9 9 in", flame_time="2 s", drip_flame_time="no drips")


def test_a_verdict_ends_with_code_0_whichever_it_is(command: Command) -> None:
    for listed, verdict in ((FINE, "PASS"), (LONG, "FAIL"), ([], "INCOMPLETE")):
        path = command.put(json.dumps(record("part_25 panel vertical_60", listed)))
        ran = command("papers", "burn", path)
        assert (ran.code, ran.err) == (0, "")
        assert f"| {verdict} " in ran.out
        ran = command("papers", "burn", path, "--json")
        assert (ran.code, json.loads(ran.out)["verdict"]) == (0, verdict)


def test_bad_input_ends_with_code_3_and_prints_nothing(command: Command) -> None:
    path = command.put("format: 1\nrecord: HB-1\nrule_set: part25\npassengers: many\n")
    for more in ((), ("--json",)):
        ran = command("papers", "burn", path, *more)
        assert (ran.code, ran.out, len(ran.lines)) == (3, "", 2)
        assert "harbour.yaml:3:11: rule_set: no such rule set" in ran.lines[0]
    ran = command("papers", "burn", path.parent)
    assert (ran.code, ran.out) == (3, "") and "this is a folder" in ran.err


def test_wrong_usage(command: Command) -> None:
    assert command("papers", "burn").code == 2
    assert command("papers", "sign", "x").code == 2


SEAT = DEMOS / "aircraft_seat_station.yaml"


def test_hand_over_papers_are_judged_written_and_verified(command: Command) -> None:
    folder = command.folder / "pack"
    path = command.put(json.dumps(changed({"files": [], "materials": []})))
    ran = command("papers", "handover", SEAT, "--record", path, "--json")
    told = json.loads(ran.out)
    assert (ran.code, told["verdict"], told["files"]) == (0, "INCOMPLETE", [])
    lacking = {one["field"] for one in told["lacking"]}
    assert lacking == {"files", "materials", "certificates[0].covers", "certificates[1].covers"}
    schema = Path(json_form.__file__).parent / "schema/handover-1.json"
    jsonschema.validate(told, json.loads(schema.read_text("utf-8")))
    ran = command("papers", "handover", SEAT, "--record", path, "--to", folder)
    assert ran.code == 0 and "not-complete.pdf written" in ran.out
    assert (folder / "not-complete.pdf").is_file() and not (folder / "hand-over.pdf").exists()
    assert command("papers", "verify", folder).code == 0
    (folder / "case.yaml").write_text("other")
    told = json.loads(command("papers", "verify", folder, "--json").out)
    assert told == {"format": 1, "unchanged": False, "changed": ["case.yaml: was changed"]}
    ran = command("papers", "verify", folder)
    assert (ran.code, ran.out) == (3, "") and "case.yaml: was changed" in ran.err


def test_papers_of_a_referred_job_and_of_another_case_are_refused(command: Command) -> None:
    folder = command.folder / "pack"
    ran = command("papers", "handover", DEMOS / "aircraft_no_station.yaml", "--to", folder)
    assert (ran.code, ran.out) == (3, "") and "nothing is written" in ran.err
    path = command.put(json.dumps(changed({"case": "HB-1"})))
    ran = command("papers", "handover", SEAT, "--record", path)
    assert (ran.code, ran.out) == (3, "") and "the record of another case" in ran.err
    assert not folder.exists()


def test_the_agreement_is_written(command: Command) -> None:
    path = command.folder / "agreement.txt"
    ran = command("papers", "agreement", "--to", path, "--station", "Harbour Field")
    assert ran.code == 0 and "starting text" in ran.out
    assert "Harbour Field (the station)" in path.read_text("utf-8")
    assert command("papers", "agreement", "--to", path.with_suffix(".doc")).code == 2


def test_the_demo_of_the_flying_club_has_papers_that_lack_something(command: Command) -> None:
    told = json.loads(command("papers", "handover", SEAT, "--json").out)
    assert told["verdict"] == "INCOMPLETE"
    assert {"method.revision", "materials[0].batch"} <= {one["field"] for one in told["lacking"]}
