"""Archives and backups: whole and twice the same, or refused with nothing taken in.

What a hostile zip does is from the casebook's reference and the zip format (APPNOTE); own rules
otherwise.
"""

from __future__ import annotations

import io
import json
import stat
import struct
import warnings
import zipfile
from collections.abc import Callable
from datetime import datetime
from functools import partial
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from sqlalchemy import select

from advisor.casebook.adding import add_case
from advisor.casebook.archives.archive import import_archive, write_archive
from advisor.casebook.archives.backups import back_up, backups, due, restore
from advisor.casebook.archives.safe_zip import SafeZip
from advisor.casebook.archives.whole_case import Imported
from advisor.casebook.book import Casebook
from advisor.casebook.database.tables import cases
from advisor.casebook.finding.bin import throw_away
from advisor.casebook.finding.lines import Search
from advisor.casebook.finding.search import page
from advisor.casebook.journal.journal import Journal
from advisor.casebook.outcomes.entries import Outcome, State, add_outcome
from advisor.casebook.photos.attached import attach, attached, take_away
from advisor.casebook.photos.files import FileMissing
from advisor.facts.case import Case, Span
from advisor.facts.faults import BadInput
from advisor.rulegraph.model.pack import RulePack
from tests.casebook.conftest import Places
from tests.casebook.shop import NOON, Technician


def photo(seed: int = 1) -> bytes:
    pixels = np.random.default_rng(seed).integers(0, 255, (40, 60, 3), dtype=np.uint8)
    out = io.BytesIO()
    Image.fromarray(pixels).save(out, "PNG")
    return out.getvalue()


def archive_of(book: Casebook, to: Path) -> Path:
    def put(connection):  # type: ignore[no-untyped-def]
        rows = connection.execute(select(cases).order_by(cases.c.id)).mappings().all()
        return write_archive(connection, rows, book.files, to)

    book.read(put)
    return to


def taken(book: Casebook, path: Path) -> dict[Imported, int]:
    return dict(
        book.write(partial(import_archive, path=path, photos=book.files, pack=book.pack))
    )


@pytest.fixture
def filled(book: Casebook, journal: Journal) -> Casebook:
    ada = Technician(book, journal)
    key = ada.begins("HB-1", part__kind=("armrest",), damage__count=Span(2, 2, "2"))
    ada.closes()
    ada.answers("damage.kind", ("seam_open",))  # stays open
    book.write(partial(attach, key=key, data=photo(), name="a.png", moment="before", at=NOON,
                       store=book.files))  # fmt: skip
    heard = Outcome(State.BACK, 0.5, "thread")
    book.write(partial(add_outcome, key=key, outcome=heard, at=NOON, pack=book.pack))
    ada.begins("HB-2", part__kind=("headlining",))
    ada.closes()
    ada.taken_in()
    return book


@pytest.fixture
def other(places: Places, pack: RulePack, place: str) -> Casebook:
    kind = "postgresql" if "://" in place else "sqlite"
    opened = Casebook.open(places.new(kind), pack)
    yield opened
    opened.shut()


def test_a_casebook_goes_into_another_whole_and_twice_is_once(
    filled: Casebook, other: Casebook, tmp_path: Path
) -> None:
    archive = archive_of(filled, tmp_path / "all.zip")
    assert taken(other, archive) == {Imported.NEW: 2}
    for key in filled.all_keys():
        ours, theirs = filled.case(key), other.case(key)
        assert theirs.case == ours.case
        assert theirs.row["head"] == ours.row["head"]
        assert (theirs.row["called"], theirs.row["outcome"]) == (
            ours.row["called"], ours.row["outcome"]
        )  # fmt: skip
        assert not other.damage(key)
    assert [line.name for line in other.read(partial(page, search=Search("thread")))] == ["HB-1"]
    kept = other.read(partial(attached, key=filled.all_keys()[0]))
    assert other.read(partial(other.files.read, digest=kept[0].digest))
    assert taken(other, archive) == {Imported.NOTHING_NEW: 2}
    again = archive_of(other, tmp_path / "again.zip")
    assert taken(filled, again) == {Imported.NOTHING_NEW: 2}


def test_what_was_added_elsewhere_is_added(
    filled: Casebook, other: Casebook, tmp_path: Path
) -> None:
    taken(other, archive_of(filled, tmp_path / "one.zip"))
    ben = Technician(other, Journal(tmp_path / "ben.sqlite"), "Ben")
    key = filled.all_keys()[1]
    ben.opens(key)
    ben.answers("damage.count", Span(5, 5))
    ben.closes()
    newer = archive_of(other, tmp_path / "two.zip")
    assert taken(filled, newer) == {Imported.ADDED_TO: 1, Imported.NOTHING_NEW: 1}
    assert filled.case(key).case.facts["damage.count"] == Span(5, 5)
    assert filled.case(key).number == 2
    assert not filled.damage(key)
    # The older archive again: ours is further on, so there is nothing in it.
    assert taken(filled, tmp_path / "one.zip") == {Imported.NOTHING_NEW: 2}


def test_two_casebooks_that_went_on_apart_are_both_kept(
    filled: Casebook, other: Casebook, tmp_path: Path
) -> None:
    taken(other, archive_of(filled, tmp_path / "one.zip"))
    key = filled.all_keys()[1]
    for book, name, value in ((filled, "Ada", 5), (other, "Ben", 7)):
        one = Technician(book, Journal(tmp_path / f"{name}.sqlite"), name)
        one.opens(key)
        one.answers("damage.count", Span(value, value))
        one.closes()
    theirs = archive_of(other, tmp_path / "two.zip")
    assert taken(filled, theirs) == {Imported.BESIDE: 1, Imported.NOTHING_NEW: 1}
    there = filled.case(key)
    assert there.case.facts["damage.count"] == Span(5, 5)
    assert [version.case.facts["damage.count"] for version in there.others] == [Span(7, 7)]
    assert taken(filled, theirs) == {Imported.NOTHING_NEW: 2}
    assert not filled.damage(key)


# -- bad archives ------------------------------------------------------------------------------

Change = Callable[[dict[str, bytes]], None]


@pytest.fixture(scope="module")
def good(places: Places, pack: RulePack, tmp_path_factory: pytest.TempPathFactory) -> Path:
    book = Casebook.open(places.new("sqlite"), pack)
    book.write(
        lambda c: add_case(c, Case("HB-1", facts={"part.kind": ("armrest",)}), "A", NOON, pack)
    )
    key = book.all_keys()[0]
    book.write(partial(attach, key=key, data=photo(), name="a.png", moment="", at=NOON,
                       store=book.files))  # fmt: skip
    made = archive_of(book, tmp_path_factory.mktemp("archive") / "good.zip")
    book.shut()
    return made


@pytest.fixture
def empty_book(places: Places, pack: RulePack):  # type: ignore[no-untyped-def]
    book = Casebook.open(places.new("sqlite"), pack)
    yield book
    assert book.all_keys() == []  # nothing is half imported
    assert not list((Path(book.place) / "files").glob("*/*"))
    book.shut()


def rezipped(good: Path, to: Path, change: Change) -> Path:
    with zipfile.ZipFile(good) as archive:
        entries = {name: archive.read(name) for name in archive.namelist()}
    change(entries)
    with zipfile.ZipFile(to, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in entries.items():
            archive.writestr(name, data)
    return to


def in_manifest(**changed: object) -> Change:
    def change(entries: dict[str, bytes]) -> None:
        manifest = json.loads(entries["manifest.json"])
        entries["manifest.json"] = json.dumps({**manifest, **changed}).encode()

    return change


def other_line(entries: dict[str, bytes]) -> None:
    name = "cases/0001.jsonl"
    entries[name] = entries[name].replace(b'"serial":1', b'"serial":9')


def dropped(name: str) -> Change:
    def change(entries: dict[str, bytes]) -> None:
        found = next(each for each in entries if each.startswith(name))
        del entries[found]

    return change


def added(entries: dict[str, bytes]) -> None:
    entries["more"] = b"x"


def listed_anew(change: Callable[[dict[str, object]], None]) -> Change:
    """A case changed, with its entry listed as it then is."""
    import hashlib

    def work(entries: dict[str, bytes]) -> None:
        name = "cases/0001.jsonl"
        case = json.loads(entries[name])
        change(case)
        entries[name] = json.dumps(case).encode()
        manifest = json.loads(entries["manifest.json"])
        for entry in manifest["entries"]:
            if entry["name"] == name:
                entry["size"] = len(entries[name])
                entry["sha256"] = hashlib.sha256(entries[name]).hexdigest()
        entries["manifest.json"] = json.dumps(manifest).encode()

    return work


def other_digest(case: dict[str, object]) -> None:
    case["revisions"][0]["digest"] = "0" * 64  # type: ignore[index]


def other_answer(case: dict[str, object]) -> None:
    case["answers"][0]["value"] = "17"  # type: ignore[index]


def unknown_field(case: dict[str, object]) -> None:
    case["new"] = 1


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        (in_manifest(format=2), "made by a newer program"),
        (in_manifest(kind="another"), "not an archive of cases"),
        (in_manifest(cases=7), "not as many cases as it says"),
        (in_manifest(heads={}), "a case is not the one that is listed"),
        (in_manifest(entries=3), "its list of contents cannot be used"),
        (dropped("manifest"), "not an archive of cases"),
        (dropped("cases"), "an entry is missing"),
        (other_line, "an entry is not what the list of contents says"),
        (added, "an entry that its list of contents does not name"),
        (listed_anew(other_digest), "revision 1 was changed"),
        (listed_anew(other_answer), "17 is no name"),
        (listed_anew(unknown_field), "a case in it cannot be used: new"),
    ],
)
def test_an_archive_that_was_changed_is_refused(
    good: Path, tmp_path: Path, empty_book: Casebook, change: Change, reason: str
) -> None:
    with pytest.raises(BadInput) as told:
        taken(empty_book, rezipped(good, tmp_path / "bad.zip", change))
    assert reason in str(told.value)


def test_a_photo_that_is_none_is_refused_and_the_cases_with_it(
    good: Path, tmp_path: Path, empty_book: Casebook
) -> None:
    def change(entries: dict[str, bytes]) -> None:
        name = next(each for each in entries if each.startswith("files/"))
        entries[name] = b"no photo"

    with pytest.raises(BadInput, match="another size than listed"):
        taken(empty_book, rezipped(good, tmp_path / "bad.zip", change))


@pytest.mark.parametrize("cut", [30, 500, -1])
def test_a_truncated_archive_is_refused(
    good: Path, tmp_path: Path, empty_book: Casebook, cut: int
) -> None:
    bad = tmp_path / "cut.zip"
    bad.write_bytes(good.read_bytes()[:-cut] if cut > 0 else b"")
    with pytest.raises(BadInput, match="not a whole zip file"):
        taken(empty_book, bad)


def test_a_flipped_byte_is_found(good: Path, tmp_path: Path, empty_book: Casebook) -> None:
    data = bytearray(good.read_bytes())
    data[data.find(b".jsonl") + 60] ^= 0xFF
    bad = tmp_path / "flipped.zip"
    bad.write_bytes(data)
    with pytest.raises(BadInput, match="cannot be read"):
        taken(empty_book, bad)


def zip_with(*entries: tuple[str | zipfile.ZipInfo, bytes]) -> bytes:
    out = io.BytesIO()
    with warnings.catch_warnings(), zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        warnings.simplefilter("ignore")
        for name, data in entries:
            archive.writestr(name, data)
    return out.getvalue()


def link(name: str) -> zipfile.ZipInfo:
    info = zipfile.ZipInfo(name)
    info.external_attr = (stat.S_IFLNK | 0o777) << 16
    return info


def lying() -> bytes:
    """An entry that is longer than its headers say."""
    data = bytearray(zip_with(("a", b"x" * 5_000)))
    for mark, offset in ((b"PK\x03\x04", 22), (b"PK\x01\x02", 24)):
        place = data.find(mark) + offset
        data[place : place + 4] = struct.pack("<I", 100)
    return bytes(data)


def packed_otherwise() -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_BZIP2) as archive:
        archive.writestr("a", b"1")
    return out.getvalue()


def encrypted() -> bytes:
    data = bytearray(zip_with(("a", b"1")))
    data[data.index(b"PK\1\2") + 8] |= 1  # general purpose flags, APPNOTE 4.4.4
    return bytes(data)


def overlapping() -> bytes:
    """Two entries that share their bytes."""
    data = bytearray(zip_with(("a", b"x" * 500), ("b", b"y" * 500)))
    second = data.find(b"PK\x01\x02", data.find(b"PK\x01\x02") + 4)
    data[second + 42 : second + 46] = struct.pack("<I", 0)
    return bytes(data)


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (zip_with(("../up", b"1")), "leads elsewhere"),
        (zip_with(("/root", b"1")), "leads elsewhere"),
        (zip_with(("C:/drive", b"1")), "leads elsewhere"),
        (zip_with(("a\\..\\b", b"1")), "leads elsewhere"),
        (zip_with(("folder/", b"")), "leads elsewhere"),
        (zip_with((link("photo"), b"/etc/passwd")), "a link or no file"),
        (zip_with(("a", b"\0" * 40_000_000)), "swells too much"),
        (packed_otherwise(), "packed in a way that is not used here"),
        (encrypted(), "encrypted"),
        (zip_with(("a.json", b"1"), ("A.JSON", b"2")), "two entries with one name"),
        (overlapping(), "overlap"),
        (b"no zip", "not a whole zip file"),
    ],
)
def test_hostile_zips_are_refused_before_anything_is_read(
    tmp_path: Path, data: bytes, reason: str
) -> None:
    bad = tmp_path / "bad.zip"
    bad.write_bytes(data)
    with pytest.raises(BadInput, match=reason):
        SafeZip(bad)


def test_an_entry_longer_than_it_says_is_refused(tmp_path: Path) -> None:
    bad = tmp_path / "bad.zip"
    bad.write_bytes(lying())
    with SafeZip(bad) as archive, pytest.raises(BadInput, match=r"cannot be read|longer"):
        archive.read("a")


def test_a_file_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="cannot be read: No such file"):
        SafeZip(tmp_path / "none.zip")


# -- backups -----------------------------------------------------------------------------------

WHEN = datetime(2031, 3, 4, 5, 6, 7)


@pytest.fixture
def in_folder(places: Places, pack: RulePack):  # type: ignore[no-untyped-def]
    book = Casebook.open(places.new("sqlite"), pack)
    book.write(lambda c: add_case(c, Case("HB-1"), "A", NOON, pack))
    yield book
    book.shut()


def test_a_backup_is_whole_while_others_write_and_is_put_back(
    in_folder: Casebook, pack: RulePack
) -> None:
    folder = Path(in_folder.place)
    assert due(folder, WHEN)
    assert in_folder.back_up_if_due(WHEN) == backups(folder)[0]
    assert not due(folder, WHEN)
    assert due(folder, WHEN.replace(day=11))
    in_folder.write(lambda c: add_case(c, Case("HB-2"), "A", NOON, pack))
    in_folder.shut()
    aside = restore(folder, backups(folder)[0], WHEN)
    book = Casebook.open(folder, pack)
    assert [book.case(key).case.name for key in book.all_keys()] == ["HB-1"]
    book.shut()
    assert aside is not None
    assert aside.exists()


def test_five_backups_are_kept(in_folder: Casebook) -> None:
    folder = Path(in_folder.place)
    for second in range(8):
        back_up(folder, WHEN.replace(second=second))
    assert [path.stem[-2:] for path in backups(folder)] == ["07", "06", "05", "04", "03"]


def test_what_is_no_backup_is_refused_and_the_casebook_stays(
    in_folder: Casebook, tmp_path: Path
) -> None:
    bad = tmp_path / "bad.sqlite"
    bad.write_bytes(b"no database" * 1000)
    for each in (bad, tmp_path / "none.sqlite"):
        with pytest.raises(BadInput, match="not a whole casebook"):
            restore(Path(in_folder.place), each, WHEN)
    assert len(in_folder.all_keys()) == 1


def test_a_missing_or_changed_photo_is_told_and_the_case_opens(in_folder: Casebook) -> None:
    key = in_folder.all_keys()[0]
    digest = in_folder.write(partial(attach, key=key, data=photo(), name="a", moment="", at=NOON,
                                     store=in_folder.files))  # fmt: skip
    place = Path(in_folder.place) / "files" / digest[:2] / digest[2:]
    place.write_bytes(b"other")
    with pytest.raises(FileMissing, match="was changed"):
        in_folder.read(partial(in_folder.files.read, digest=digest))
    place.unlink()
    with pytest.raises(FileMissing, match="is missing"):
        in_folder.read(partial(in_folder.files.read, digest=digest))
    assert in_folder.case(key).case.name == "HB-1"


def test_photos_that_nothing_names_go_after_six_weeks_and_no_other(
    book: Casebook, pack: RulePack
) -> None:
    keys = [book.write(partial(add_case, case=Case(name), author="A", at=NOON, pack=pack))[0]
            for name in ("HB-1", "HB-2")]  # fmt: skip
    first, second = (
        book.write(partial(attach, key=key, data=photo(seed), name="a", moment="", at=NOON,
                           store=book.files))
        for seed, key in enumerate(keys)
    )  # fmt: skip
    day = 86_400_000
    book.write(partial(throw_away, key=keys[0], at=NOON))
    assert book.clear_unused(NOON) == 0
    book.empty_bin()
    assert [book.clear_unused(NOON + days * day) for days in (1, 40)] == [0, 0]
    assert book.read(partial(book.files.has, digest=first))
    # Named again meanwhile: it begins anew.
    book.write(partial(attach, key=keys[1], data=photo(0), name="a", moment="", at=NOON,
                       store=book.files))  # fmt: skip
    assert book.clear_unused(NOON + 60 * day) == 0
    book.write(partial(take_away, key=keys[1], digest=first))
    assert [book.clear_unused(NOON + days * day) for days in (61, 103, 104)] == [0, 0, 1]
    assert not book.read(partial(book.files.has, digest=first))
    assert book.read(partial(book.files.read, digest=second))
    assert book.clear_unused(NOON + 200 * day) == 0
