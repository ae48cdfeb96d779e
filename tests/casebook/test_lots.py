"""Lots in the casebook: versions, files, withdrawal, and the jobs that used them."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.casebook.book import Casebook
from advisor.casebook.database.engine import reading
from advisor.casebook.finding.bin import empty, throw_away
from advisor.casebook.journal.journal import Journal
from advisor.facts.faults import BadInput
from advisor.papers.materials.lot import Withdrawn, day, lots_in_yaml
from advisor.papers.materials.on_hand import (
    Became,
    all_lots,
    jobs_that_used,
    lot_named,
    lots_of_job,
    not_used,
    reinstate,
    take_in,
    use,
    versions_of,
    withdraw,
    written_out,
)
from tests.casebook.shop import NOON, Technician

BURN = """format: 1
record: HB-BURN-1
"""
LOTS = """\
format: 1
lots:
  - {lot: HB-L-1, layer: skin, material: cover cloth, batch: 0417, scans: [c.pdf],
     burn_record: burn.yaml}
  - {lot: HB-L-2, layer: thread, material: bonded thread}
"""
GONE = Withdrawn(on=day("2026-11-12"), why="maker's notice", by="maker")


@pytest.fixture
def papers(tmp_path: Path) -> Path:
    (tmp_path / "c.pdf").write_bytes(b"%PDF-1.4 conformity")
    (tmp_path / "burn.yaml").write_text(BURN)
    return tmp_path


def taken_in(book: Casebook, folder: Path, text: str = LOTS, at: int = NOON) -> list[Became]:
    read = lots_in_yaml(text, "lots.yaml")
    became = book.write(lambda c: take_in(c, read, folder, book.files, at, "Ada"))
    return [how for _, how in became]


def test_a_change_is_a_version_and_the_same_again_is_none(book: Casebook, papers: Path) -> None:
    assert taken_in(book, papers) == [Became.ADDED, Became.ADDED]
    assert taken_in(book, papers) == [Became.SAME, Became.SAME]
    (papers / "c.pdf").write_bytes(b"%PDF-1.4 conformity, second issue")
    assert taken_in(book, papers, at=NOON + 1) == [Became.CHANGED, Became.SAME]
    first, second = book.read(lambda c: versions_of(c, "HB-L-1"))
    assert (first.number, second.number, second.at) == (1, 2, NOON + 1)
    assert [file.name for file in second.files] == ["burn.yaml", "c.pdf"]
    with reading(book.engine) as connection:
        old = next(file for file in first.files if file.role == "scan")
        assert book.files.read(connection, old.digest) == b"%PDF-1.4 conformity"
        assert book.files.unused(connection) == []
    assert [kept.lot.lot for kept in book.read(all_lots)] == ["HB-L-1", "HB-L-2"]


def test_the_jobs_of_a_withdrawn_lot_are_found_in_one_step(
    book: Casebook, journal: Journal, papers: Path
) -> None:
    taken_in(book, papers)
    ada = Technician(book, journal)
    keys = []
    for number, name in enumerate(("HB-1", "HB-2", "HB-3")):
        keys.append(ada.begins(name, part__kind=("armrest",)))
        ada.closes()
        book.write(lambda c, k=keys[-1], n=name, at=NOON + number: use(  # type: ignore[misc]
            c, "HB-L-1", k, n, at, "Ada", "0.4 m2"))  # fmt: skip
    book.write(lambda c: use(c, "HB-L-2", keys[0], "HB-1", NOON, "Ada"))
    book.write(lambda c: throw_away(c, keys[1], NOON))
    book.write(lambda c: throw_away(c, keys[2], NOON))
    book.write(lambda c: not_used(c, "HB-L-1", keys[1]))
    used = book.write(lambda c: withdraw(c, "HB-L-1", GONE, NOON + 5, "Ada"))
    assert [(each.key, each.binned, each.amount) for each in used] == [
        (keys[2], True, "0.4 m2"), (keys[0], False, "0.4 m2"),
    ]  # fmt: skip
    book.write(empty)
    gone, there = book.read(lambda c: jobs_that_used(c, "HB-L-1"))
    assert (gone.job, gone.called, there.key) == ("HB-3", None, keys[0])
    of_job = book.read(lambda c: lots_of_job(c, keys[0]))
    assert [(u.lot, kept.lot.withdrawn) for u, kept in of_job] == [
        ("HB-L-1", GONE), ("HB-L-2", None),
    ]  # fmt: skip


def test_a_file_taken_in_again_does_not_lift_a_withdrawal(book: Casebook, papers: Path) -> None:
    taken_in(book, papers)
    book.write(lambda c: withdraw(c, "HB-L-2", GONE, NOON, "Ada"))
    changed = LOTS.replace("bonded thread", "black bonded thread")
    assert taken_in(book, papers, changed) == [Became.SAME, Became.CHANGED]
    assert book.read(lambda c: lot_named(c, "HB-L-2")).lot.withdrawn == GONE
    book.write(lambda c: reinstate(c, "HB-L-2", NOON, "Ada"))
    assert book.read(lambda c: lot_named(c, "HB-L-2")).lot.withdrawn is None
    was = [kept.lot.withdrawn for kept in book.read(lambda c: versions_of(c, "HB-L-2"))]
    assert was == [None, GONE, GONE, None]


def test_files_that_cannot_be_used_are_all_told_and_nothing_is_kept(
    book: Casebook, papers: Path
) -> None:
    (papers / "no.pdf").write_bytes(b"no pdf")
    (papers / "burn.yaml").write_text("format: 1\nrecord: X\ntest: vertical_6\n")
    text = LOTS.replace("[c.pdf]", "[no.pdf, gone.png, c.txt, c.pdf]")
    with pytest.raises(BadInput) as told:
        taken_in(book, papers, text)
    said = "\n".join(sorted(fault.text for fault in told.value.faults))
    assert 'lots.yaml:3:94: lots[0].scans[2]: not a scan; its name ends in .pdf, .png or' in said
    assert 'lots.yaml:3:76: lots[0].scans[0]: its content is not application/pdf; found "no' in said
    assert 'lots.yaml:3:84: lots[0].scans[1]: there is no such file; found "gone.png"' in said
    assert "burn.yaml:3:7: test: no such test" in said
    assert len(told.value.faults) == 4
    assert book.read(all_lots) == []


def test_what_is_written_out_reads_in_as_the_same(
    book: Casebook, papers: Path, tmp_path: Path
) -> None:
    taken_in(book, papers)
    (papers / "c.pdf").write_bytes(b"%PDF-1.4 of another lot")
    other = LOTS.replace("HB-L-1,", "HB-L-3,").replace("HB-L-2,", "HB-L-4,")
    taken_in(book, papers, other)
    book.write(lambda c: withdraw(c, "HB-L-2", GONE, NOON, "Ada"))
    there = book.read(all_lots)
    files = book.read(lambda c: written_out(c, book.files))
    assert sorted(files) == ["HB-L-3-c.pdf", "burn.yaml", "c.pdf", "lots.yaml"]
    out = tmp_path / "out"
    out.mkdir()
    for name, data in files.items():
        (out / name).write_bytes(data)
    text = files["lots.yaml"].decode()
    assert taken_in(book, out, text)[:2] == [Became.SAME, Became.SAME]
    digests = [sorted(file.digest for file in kept.files) for kept in book.read(all_lots)]
    assert digests == [sorted(file.digest for file in kept.files) for kept in there]


def test_an_unknown_lot_is_told_with_the_nearest(book: Casebook, papers: Path) -> None:
    taken_in(book, papers)
    with pytest.raises(BadInput, match=r'no such lot; found "HB-L-11".*did you mean HB-L-1'):
        book.read(lambda c: lot_named(c, "HB-L-11"))
