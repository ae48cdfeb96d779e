"""``trim-advisor papers lots``: from a file to the jobs of a lot that was withdrawn."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema

from advisor.papers.materials import lot as lot_module
from advisor.paths import demo_folder
from tests.unit.cli.command import Command
from tests.unit.conftest import command, own_folders

__all__ = ["command", "own_folders"]

SCHEMA = json.loads(
    (Path(lot_module.__file__).parent / "schema/lots-1.json").read_text(encoding="utf-8")
)
CSV = """lot,layer,material,use_by,conformity.number
HB-L-2,thread,bonded thread,none stated,C-1
HB-L-1,adhesive,contact adhesive,2026-01-31,C-2
"""


def test_a_lot_from_its_file_to_the_jobs_that_used_it(command: Command, tmp_path: Path) -> None:
    place = ("--book", str(tmp_path / "book"))
    file = tmp_path / "lots.csv"
    file.write_text(CSV)
    assert command("casebook", "add", str(demo_folder() / "split_armrest.yaml"), "--no-advice",
                   *place).code == 0  # fmt: skip
    read = command("papers", "lots", "import", str(file), *place)
    assert read.out == "HB-L-2: added\nHB-L-1: added\n"
    listed = command("papers", "lots", "list", *place).out.splitlines()
    assert listed[0].startswith(
        "HB-L-1  adhesive  contact adhesive  ! past its shelf life since 2026-01-31 ("
    )
    assert listed[1:] == ["HB-L-2  thread  bonded thread", "2 lots, 1 to be heeded"]
    noted = command("papers", "lots", "used", "HB-L-1", "HB-2041", "--amount", "0.1 l", *place)
    assert noted.out.startswith("HB-L-1: used in HB-2041\n! past its shelf life since 2026-01-31")
    gone = command("papers", "lots", "withdraw", "HB-L-1", "--why", "maker's notice", *place).out
    assert gone.splitlines()[0] == "HB-L-1: withdrawn"
    assert "  Split armrest seam, harbour shuttle 4  key " in gone.splitlines()[1]
    assert gone.endswith("used in 1 job\n")
    form = json.loads(command("papers", "lots", "jobs", "HB-L-1", "--json", *place).out)
    jsonschema.validate(form, SCHEMA)
    assert [(job["lead"], job["amount"]) for job in form["jobs"]] == [(None, "0.1 l")]
    form = json.loads(command("papers", "lots", "show", "HB-L-1", "--json", *place).out)
    jsonschema.validate(form, SCHEMA)
    assert (form["warning"], form["version"], len(form["versions"])) == ("withdrawn", 2, 2)
    assert "certificate (conformity): number C-2\n" in command(
        "papers", "lots", "show", "HB-L-1", *place
    ).out  # fmt: skip
    command("papers", "lots", "reinstate", "HB-L-1", *place)
    form = json.loads(command("papers", "lots", "list", "--warnings", "--json", *place).out)
    jsonschema.validate(form, SCHEMA)
    assert [lot["warning"] for lot in form["lots"]] == ["past its shelf life"]


def test_lots_are_written_into_an_empty_folder_alone(command: Command, tmp_path: Path) -> None:
    place = ("--book", str(tmp_path / "book"))
    (tmp_path / "lots.csv").write_text(CSV)
    command("papers", "lots", "import", str(tmp_path / "lots.csv"), *place)
    out = tmp_path / "out"
    assert command("papers", "lots", "export", str(out), *place).code == 0
    again = command("papers", "lots", "import", str(out / "lots.yaml"), *place)
    assert again.out == "HB-L-1: as it was\nHB-L-2: as it was\n"
    ran = command("papers", "lots", "export", str(out), *place)
    assert (ran.code, "something is there already" in ran.err) == (3, True)


def test_wrong_names_and_days_are_told(command: Command, tmp_path: Path) -> None:
    place = ("--book", str(tmp_path / "book"))
    ran = command("papers", "lots", "jobs", "HB-L-1", *place)
    assert (ran.code, 'no such lot; found "HB-L-1"' in ran.err) == (3, True)
    ran = command("papers", "lots", "withdraw", "X", "--why", "y", "--on", "1.2.2026", *place)
    assert (ran.code, "--on: not a day" in ran.err) == (3, True)
