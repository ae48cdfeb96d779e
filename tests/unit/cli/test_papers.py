"""``trim-advisor papers burn``: printed, as JSON, and refused."""

from __future__ import annotations

import json

from tests.burn_records import columns, record
from tests.unit.cli.command import Command

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
