"""``trim-advisor rules format``: what it writes, what it refuses, what it says."""

from __future__ import annotations

import json
import shutil

import pytest

from advisor.paths import overlay_folder, rules_folder
from tests.unit.cli.command import Command

#: A note on a price of the shop, as somebody might write it.
PRICE = (
    "# ours\nhourly_rate: { low: 62, typical: 68, high: 75, source: practice, "
    "status: common_practice, note: 'since spring' }\n"
)
LAID_OUT = """\
# ours
hourly_rate:
  low: 62
  typical: 68
  high: 75
  source: practice
  status: common_practice
  note: since spring
"""


def test_a_file_is_written_once(command: Command) -> None:
    file = command.put(PRICE)
    ran = command("rules", "format", file)
    assert (ran.code, ran.err) == (0, "")
    assert ran.out == f"{file}: formatted.\n1 files, 1 changed.\n"
    assert file.read_text("utf-8") == LAID_OUT
    assert command("rules", "format", file).out == "1 files, 0 changed.\n"


def test_check_writes_nothing_and_tells_the_first_line(command: Command) -> None:
    file = command.put(PRICE)
    ran = command("rules", "format", "--check", file)
    assert (ran.code, ran.out) == (3, "")
    assert ran.lines == [
        f"{file}:2:1: not formatted; accepted: what trim-advisor rules format writes"
    ]
    assert file.read_text("utf-8") == PRICE
    told = command("rules", "format", "--check", "--json", file)
    assert told.code == 3
    assert json.loads(told.out) == {
        "format": 1, "files": 1, "checked": True, "changed": [str(file)],
    }  # fmt: skip


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ("a: [1\n", "harbour.yaml:2:1: not valid YAML"),
        ("a: &x 1\n", "harbour.yaml:1:4: anchors and aliases are not accepted"),
        ("a: 1\na: 2\n", "harbour.yaml:2:1: a: given twice"),
        ("- a\n", "harbour.yaml:1:1: not a mapping at the top level"),
    ],
)
def test_bad_input_is_told_with_its_place_and_nothing_is_written(
    content: str, said: str, command: Command
) -> None:
    good = command.put(PRICE, "prices.yaml")
    bad = command.put(content)
    ran = command("rules", "format", good, bad)
    assert ran.code == 3
    assert f"{command.folder}/{said}" in ran.err
    assert good.read_text("utf-8") == PRICE
    assert bad.read_text("utf-8") == content


def test_what_is_not_there_is_told(command: Command) -> None:
    ran = command("rules", "format", command.folder / "none.yaml")
    assert (ran.code, ran.lines) == (
        3, [f"{command.folder / 'none.yaml'}: there is no such file"],
    )  # fmt: skip
    (command.folder / "empty").mkdir()
    assert "no rules in this folder" in command("rules", "format", command.folder / "empty").err


def test_without_a_name_it_is_the_own_folder(command: Command) -> None:
    own = overlay_folder()
    shutil.rmtree(own, ignore_errors=True)
    ran = command("rules", "format")
    assert ran.code == 2 and str(own) in ran.err
    (own / "methods").mkdir(parents=True)
    shipped = rules_folder() / "methods/recolour.yaml"
    mine = own / "methods/recolour.yaml"
    head, *rest = shipped.read_text("utf-8").split("\n\n")
    mine.write_text("\n\n".join([*rest, head]), "utf-8")
    try:
        assert command("rules", "format").code == 0
        assert mine.read_text("utf-8") == shipped.read_text("utf-8")
    finally:
        shutil.rmtree(own)
