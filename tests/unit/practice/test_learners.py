"""Learners on disk: kept, read again, erased, and spoiled files refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.facts.faults import BadInput
from advisor.practice.learners import Learners
from tests.unit.practice.rounds import kept


@pytest.fixture
def learners(tmp_path: Path) -> Learners:
    return Learners(tmp_path / "practice")


def the_file(learners: Learners) -> Path:
    return next(learners.folder.glob("*.jsonl"))


def test_rounds_come_back_as_they_were_kept(learners: Learners) -> None:
    learners.add("Gull")
    rounds = [kept(i, good=i % 2 == 0, disagrees="the glue held for years") for i in range(4)]
    for one in rounds:
        learners.keep("gull", one)
    again = learners.open("GULL")
    assert again.alias == "Gull" and list(again.rounds) == rounds and not again.notes
    assert learners.aliases() == ("Gull",)


def test_nothing_that_names_a_person_or_an_alias_is_in_a_file_name(learners: Learners) -> None:
    learners.add("Tern")
    assert "tern" not in the_file(learners).name.casefold()
    assert the_file(learners).stat().st_mode & 0o077 == 0, "for this user alone"


def test_an_alias_is_taken_whatever_its_case(learners: Learners) -> None:
    learners.add("Gull")
    with pytest.raises(BadInput, match="this alias is taken"):
        learners.add("gULL")


@pytest.mark.parametrize("alias", ["", "  ", "x" * 41, "a\nb", "a\u202eb"])
def test_what_is_no_alias_is_refused(learners: Learners, alias: str) -> None:
    with pytest.raises(BadInput, match="1 to 40 printable characters"):
        learners.add(alias)
    assert not learners.folder.exists(), "nothing is written"


def test_who_is_not_there_is_named_with_who_is(learners: Learners) -> None:
    learners.add("Gull")
    with pytest.raises(BadInput, match=r"no learner has this alias; found \"Tern\"; .*Gull"):
        learners.open("Tern")


def test_erased_is_gone(learners: Learners) -> None:
    learners.add("Gull")
    learners.keep("Gull", kept())
    path = the_file(learners)
    learners.erase("Gull")
    assert not path.exists() and learners.aliases() == ()
    with pytest.raises(BadInput, match="no learner has this alias"):
        learners.erase("Gull")


def test_a_line_cut_short_by_a_crash_costs_that_round_only(learners: Learners) -> None:
    learners.add("Gull")
    for i in range(2):
        learners.keep("Gull", kept(i))
    path = the_file(learners)
    content = path.read_bytes()
    path.write_bytes(content[:-40])
    found = learners.open("Gull")
    assert len(found.rounds) == 1 and "line 3 was cut short" in found.notes[0]
    learners.keep("Gull", kept(5))
    found = learners.open("Gull")
    assert len(found.rounds) == 2 and found.notes


@pytest.mark.parametrize(
    ("line", "told"),
    [
        (b"nonsense", r":2: no JSON; found \"nonsense\""),
        (b'{"at": "yesterday"}', r":2: "),
        (b'{"case": 1e999}', r":2: "),
        (b"\xff\xfe{}", r":2: no JSON"),
    ],
)
def test_a_spoiled_line_is_named_with_file_and_line(
    learners: Learners, line: bytes, told: str
) -> None:
    learners.add("Gull")
    path = the_file(learners)
    path.write_bytes(path.read_bytes() + line + b"\n")
    before = path.read_bytes()
    with pytest.raises(BadInput, match=told):
        learners.open("Gull")
    with pytest.raises(BadInput):
        learners.keep("Gull", kept())
    assert path.read_bytes() == before, "nothing is lost by trying"
    learners.erase("Gull")
    assert not path.exists()


def test_a_file_of_a_newer_program_is_not_guessed_at(learners: Learners) -> None:
    learners.add("Gull")
    path = the_file(learners)
    path.write_bytes(path.read_bytes().replace(b'"format":1', b'"format":2'))
    with pytest.raises(BadInput, match="made by a newer program; found \"2\"; accepted: format 1"):
        learners.open("Gull")
