"""The journal: what was acknowledged is on disk, and what cannot be written is not lost.

Own rules of this project; the number of syncs is counted by strace, outside the program.
"""

from __future__ import annotations

import shutil
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.casebook.journal.answers import (
    AnswerRow,
    answer_of,
    case_form,
    case_of,
    changed,
    changes,
    field_of,
)
from advisor.casebook.journal.journal import Journal, JournalFault
from advisor.casebook.journal.keeper import Keeper
from advisor.facts.case import Case, EarlierRepair, Span, Value
from advisor.session.history import same

TEXT = st.text(max_size=8)
NUMBERS = st.floats(allow_nan=False, allow_infinity=False)
VALUES: st.SearchStrategy[Value] = st.one_of(
    st.booleans(),
    TEXT,
    st.lists(TEXT, min_size=1, max_size=3).map(tuple),
    st.builds(Span, NUMBERS, NUMBERS, TEXT),
)
CASES = st.builds(
    Case,
    name=TEXT,
    title=TEXT,
    facts=st.dictionaries(st.sampled_from(("a.b", "c.d", "e.f")), VALUES),
    earlier_repairs=st.none()
    | st.lists(st.builds(EarlierRepair, TEXT, TEXT, TEXT, TEXT), max_size=2).map(tuple),
    photos=st.lists(TEXT, max_size=2).map(tuple),
    note=TEXT,
)


@given(CASES, CASES)
def test_rows_of_what_changed_lead_from_one_case_to_the_other(one: Case, other: Case) -> None:
    rows = [
        AnswerRow("k", "w", n, 0, 0, "", fact, value)
        for n, (fact, value) in enumerate(changes(one, other).items())
    ]
    found = changed(one, rows)
    assert found == other
    assert case_form(found) == case_form(other)  # as written too: "4.5 in" and "114.3 mm"
    assert not changes(found, other)


@given(CASES)
def test_a_whole_case_comes_back(case: Case) -> None:
    assert same(case_of(case_form(case)), case)


@pytest.mark.parametrize("data", [None, 3, [], [1], {"low": 1}, {"low": "a", "high": 2}])
def test_what_is_no_answer_is_refused(data: object) -> None:
    with pytest.raises(ValueError, match="is no answer"):
        answer_of(data)


@pytest.mark.parametrize(
    ("name", "data"), [("title", 3), ("photos", 3), ("earlier_repairs", [{"no": 1}]), ("note", [])]
)
def test_what_is_no_field_is_refused(name: str, data: object) -> None:
    with pytest.raises(ValueError, match="is no"):
        field_of(name, data)


def answered(keeper: Keeper, count: int) -> Case:
    case = Case("HB-1")
    keeper.begin(case)
    for number in range(count):
        case = case.with_fact("damage.length", Span(number, number, f"{number} mm"))
        keeper.keep(case)
    return case


def case_in(journal: Journal) -> Case:
    return changed(Case(""), journal.waiting())


def test_each_answer_is_there_for_another_program(journal: Journal) -> None:
    keeper = Keeper(journal, "Ada")
    case = answered(keeper, 3)
    assert not keeper.fault
    assert case_in(Journal(journal.path)) == case


def test_nothing_is_written_where_nothing_changed(journal: Journal) -> None:
    keeper = Keeper(journal)
    case = answered(keeper, 2)
    before = journal.waiting()
    assert keeper.keep(case)
    assert journal.waiting() == before


def test_rows_added_twice_are_there_once(journal: Journal) -> None:
    answered(Keeper(journal), 2)
    rows = journal.waiting()
    journal.add(rows)
    assert journal.waiting() == rows


def test_two_windows_write_into_one_journal(journal: Journal) -> None:
    one, two = Keeper(journal), Keeper(Journal(journal.path))
    case = Case("HB-1")
    for keeper in (one, two):
        keeper.begin(case)
    for number in range(20):
        for keeper in (one, two):
            case = case.with_fact("damage.count", Span(number, number))
            assert keeper.keep(case)
    rows = journal.waiting()
    assert len([row for row in rows if row.writer == one.writer]) == 21
    assert len([row for row in rows if row.writer == two.writer]) == 21


def test_a_full_disk_is_told_and_what_was_answered_is_written_later(journal: Journal) -> None:
    keeper = Keeper(journal)
    case = answered(keeper, 1)
    full = sqlite3.connect(journal.path, isolation_level=None)
    pages = full.execute("PRAGMA page_count").fetchone()[0]
    # SQLite itself refuses beyond this size, with the fault of a full disk.
    journal._opened().execute(f"PRAGMA max_page_count={pages}").fetchall()
    case = Case("HB-1", note="x" * 500_000, facts=case.facts)
    assert not keeper.keep(case)
    assert "database or disk is full" in keeper.fault
    assert "held in memory" in keeper.fault
    assert len(keeper.held) == 1
    assert full.execute("PRAGMA quick_check").fetchone()[0] == "ok"
    assert keeper.retry()  # opened anew, with room again
    assert not keeper.fault
    assert not keeper.held
    assert case_in(journal) == case
    full.close()


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    blocked = tmp_path / "kept"
    blocked.write_text("a file where the folder should be")
    keeper = Keeper(Journal(blocked / "journal.sqlite"))
    case = answered(keeper, 3)
    assert "cannot be written" in keeper.fault
    blocked.unlink()
    assert keeper.retry()
    assert case_in(keeper.journal) == case


def test_a_damaged_journal_is_told_and_left_as_it_is(tmp_path: Path) -> None:
    place = tmp_path / "journal.sqlite"
    place.write_bytes(b"no database at all" * 100)
    keeper = Keeper(Journal(place))
    answered(keeper, 1)
    assert "file is not a database" in keeper.fault
    assert place.read_bytes().startswith(b"no database at all")
    with pytest.raises(JournalFault):
        keeper.journal.waiting()


SYNCED = """
import sys
from pathlib import Path
from advisor.facts.case import Case, Span
from advisor.session.casebook_keeping import CaseKeeping
from tests.unit.session.small_pack import SmallPack
keeping = CaseKeeping(Path(sys.argv[1]), sys.argv[2], SmallPack())
keeping.start()
case = Case("HB-1")
keeping.begin(case)
assert keeping.keep(case)
print("begin", flush=True)
for number in range(25):
    case = case.with_fact("damage.length", Span(number, number, str(number)))
    assert keeping.keep(case)  # now the window says that it is kept
print("end", flush=True)
keeping.stop()
"""


def syncs_of_25_answers(tmp_path: Path, place: str) -> int:
    """How often the file of the answers is synced while 25 are given and acknowledged."""
    # A kill says nothing of a power cut: the pages of a killed program are still written.
    traced = tmp_path / "trace"
    command = ["strace", "-f", "-y", "-e", "trace=fsync,fdatasync,write", "-o", str(traced)]
    subprocess.run(
        [*command, sys.executable, "-c", SYNCED, str(tmp_path / "journal.sqlite"), place],
        check=True, capture_output=True, cwd=Path(__file__).parents[2], timeout=120,
    )  # fmt: skip
    lines = traced.read_text().splitlines()
    begin = next(i for i, line in enumerate(lines) if '"begin' in line)
    end = next(i for i, line in enumerate(lines) if '"end' in line)
    # What the casebook itself syncs meanwhile is not counted: only the file of the answers.
    syncs = [line for line in lines[begin:end] if "sync(" in line and "/journal.sqlite" in line]
    return len(syncs)


@pytest.mark.skipif(shutil.which("strace") is None, reason="strace counts the syncs; not here")
def test_every_acknowledged_answer_was_synced_to_the_disk(tmp_path: Path, place: str) -> None:
    assert syncs_of_25_answers(tmp_path, place) >= 25
