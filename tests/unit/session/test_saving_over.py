"""Two sessions and other programs on one file: nothing is replaced that nobody has seen."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from advisor.facts.case_file import read_case
from advisor.facts.faults import BadInput
from advisor.facts.text_file import MAX_BYTES
from advisor.session import known_file
from advisor.session.autosave import origin_file, read_autosave
from advisor.session.case_session import Session
from advisor.session.known_file import FileChanged, FileState, digest_of, file_notice
from advisor.session.os_lock import OsLock
from tests.unit.session.small_pack import SmallPack, small_advise, without_working

FACTS = SmallPack.facts
QUICK = without_working(small_advise)
TEXT = "format: 1\ncase: HB-1\nfacts:\n  part.kind: armrest\n  hazard.airbag: no\n"
Begin = Callable[[str], Session]


@pytest.fixture
def case_file(tmp_path: Path) -> Path:
    """A case in a file of the technician's own."""
    path = tmp_path / "own" / "HB-1.yaml"
    path.parent.mkdir()
    path.write_text(TEXT)
    return path


@pytest.fixture
def begin(tmp_path: Path) -> Begin:
    """Begins the session of another window of the same user."""
    (tmp_path / "kept").mkdir()

    def begun(run: str) -> Session:
        autosave = tmp_path / "kept" / f"autosave-{run}-1.yaml"
        return Session(SmallPack(), QUICK, autosave=autosave)

    return begun


def test_the_second_save_does_not_turn_the_airbag_back_to_none(
    begin: Begin, case_file: Path
) -> None:
    one, two = begin("a"), begin("b")
    one.open(case_file)
    two.open(case_file)
    one.answer("hazard.airbag", True)
    one.save(case_file)
    two.answer("skin.material", ("vinyl",))
    with pytest.raises(FileChanged) as caught:
        two.save(case_file)
    assert not caught.value.gone and caught.value.digest == digest_of(case_file)
    assert read_case(case_file, FACTS).facts["hazard.airbag"] is True
    assert two.dirty and two.kept  # the answers of the second are where they were


def test_what_was_shown_may_be_replaced_and_what_came_since_may_not(
    begin: Begin, case_file: Path
) -> None:
    two = begin("b")
    two.open(case_file)
    two.answer("skin.material", ("vinyl",))
    case_file.write_text(TEXT.replace("airbag: no", "airbag: yes"))
    shown = digest_of(case_file)
    case_file.write_text(TEXT + "note: and once more\n")
    with pytest.raises(FileChanged) as caught:
        two.save(case_file, over=shown)
    two.save(case_file, over=caught.value.digest)
    assert read_case(case_file, FACTS) == two.case


def test_a_clock_set_back_hides_no_change(begin: Begin, case_file: Path) -> None:
    """Written later with an earlier time, and even with the very same one."""
    session = begin("a")
    session.open(case_file)
    session.answer("skin.material", ("vinyl",))
    before = case_file.stat()
    for shift in (-86_400_000_000_000, 0):
        case_file.write_text(TEXT.replace("airbag: no", "airbag: yes"))
        os.utime(case_file, ns=(before.st_atime_ns, before.st_mtime_ns + shift))
        with pytest.raises(FileChanged):
            session.save(case_file)


def test_what_changes_while_the_case_is_read_counts_as_changed(
    begin: Begin, case_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = begin("a")
    read = session.read

    def meanwhile(path: Path) -> object:
        case_file.write_text(TEXT.replace("airbag: no", "airbag: yes"))
        case = read(path)
        case_file.write_text(TEXT)
        case_file.write_text(TEXT + "note: later\n")
        return case

    monkeypatch.setattr(session, "read", meanwhile)
    session.open(case_file)
    with pytest.raises(FileChanged):
        session.save(case_file)


def test_a_change_between_the_check_and_the_writing_is_seen(
    begin: Begin, case_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = begin("a")
    session.open(case_file)
    session.answer("skin.material", ("vinyl",))
    sync = os.fsync

    def meanwhile(handle: int) -> None:
        sync(handle)
        case_file.write_text(TEXT + "note: slipped in\n")

    monkeypatch.setattr(os, "fsync", meanwhile)
    with pytest.raises(FileChanged):
        session.save(case_file)
    assert "slipped in" in case_file.read_text()
    assert [path.name for path in case_file.parent.iterdir()] == [case_file.name]


@pytest.mark.parametrize("how", ["deleted", "renamed"])
def test_a_file_that_is_gone_is_told(begin: Begin, case_file: Path, how: str) -> None:
    session = begin("a")
    session.open(case_file)
    session.answer("skin.material", ("vinyl",))
    if how == "deleted":
        case_file.unlink()
    else:
        case_file.rename(case_file.with_name("other.yaml"))
    assert file_notice(session.file) == (
        "HB-1.yaml is no longer there: it was renamed, moved or deleted."
    )
    with pytest.raises(FileChanged) as caught:
        session.save(case_file)
    assert caught.value.gone
    session.save(case_file, over=caught.value.digest)
    assert read_case(case_file, FACTS) == session.case


def test_another_file_of_that_name_is_not_replaced_unasked(
    begin: Begin, case_file: Path
) -> None:
    session = begin("a")
    session.answer("part.kind", ("dash_top",))
    with pytest.raises(FileChanged):
        session.save(case_file)
    assert case_file.read_text() == TEXT


def test_by_whatever_name_it_is_the_same_file(begin: Begin, case_file: Path) -> None:
    link = case_file.with_name("link.yaml")
    link.symlink_to(case_file)
    session = begin("a")
    session.open(link)
    session.answer("skin.material", ("vinyl",))
    session.save(case_file)
    assert link.is_symlink() and read_case(link, FACTS) == session.case


def test_a_link_that_leads_nowhere_is_told_and_nothing_is_lost(
    begin: Begin, tmp_path: Path
) -> None:
    link = tmp_path / "link.yaml"
    link.symlink_to(tmp_path / "no folder" / "case.yaml")
    session = begin("a")
    session.answer("part.kind", ("dash_top",))
    with pytest.raises(BadInput, match="cannot be written: No such file"):
        session.save(link)
    assert link.is_symlink() and session.dirty and session.kept


@pytest.mark.parametrize("what", ["folder", "pipe", "huge"])
def test_what_is_no_case_file_is_neither_read_nor_replaced_unasked(
    begin: Begin, tmp_path: Path, what: str
) -> None:
    """Reading a pipe would wait for ever."""
    place = tmp_path / "x.yaml"
    if what == "folder":
        place.mkdir()
    elif what == "pipe":
        os.mkfifo(place)
    else:
        with place.open("wb") as stream:
            stream.truncate(MAX_BYTES + 1)
    session = begin("a")
    session.answer("part.kind", ("dash_top",))
    with pytest.raises(FileChanged) as caught:
        session.save(place)
    assert not caught.value.gone
    with pytest.raises(BadInput):
        session.read(place)


def test_a_save_keeps_the_file_to_this_window(begin: Begin, case_file: Path) -> None:
    one, two = begin("a"), begin("b")
    one.open(case_file)
    two.open(case_file)
    one.answer("hazard.airbag", True)
    one.save(case_file)
    assert one.file is not None and two.file is not None
    assert two.file.elsewhere and not one.file.elsewhere


def test_the_second_window_knows_of_the_first_until_that_one_closes(
    begin: Begin, case_file: Path
) -> None:
    one, two = begin("a"), begin("b")
    one.open(case_file)
    two.open(case_file)
    assert one.file is not None and two.file is not None
    assert (one.file.elsewhere, two.file.elsewhere) == (False, True)
    assert file_notice(one.file) == ""
    assert file_notice(two.file).startswith("HB-1.yaml is open in another window too.")
    one.open(case_file)  # once more is no other window
    assert not one.file.elsewhere
    one.start_new()
    assert not two.file.elsewhere
    assert file_notice(two.file) == ""


def test_the_first_window_sees_that_the_second_has_saved(begin: Begin, case_file: Path) -> None:
    one, two = begin("a"), begin("b")
    one.open(case_file)
    two.open(case_file)
    two.answer("skin.material", ("vinyl",))
    two.save(case_file)
    assert one.file is not None and one.file.standing() is FileState.CHANGED
    assert "was changed by another window or program" in file_notice(one.file)


def test_taking_theirs_is_one_step_that_undo_takes_back(begin: Begin, case_file: Path) -> None:
    session = begin("a")
    session.open(case_file)
    session.answer("hazard.airbag", True)
    mine = session.case
    case_file.write_text(TEXT + "note: theirs\n")
    theirs = session.read(case_file)
    session.adopt(theirs, digest_of(case_file), theirs)
    assert session.case == theirs and not session.dirty
    assert session.autosave is not None and not session.autosave.exists()
    session.undo()
    assert session.case == mine and session.dirty
    session.save(case_file)
    assert read_case(case_file, FACTS) == mine


def test_the_autosave_knows_which_content_of_the_file_it_began_from(
    begin: Begin, case_file: Path
) -> None:
    session = begin("a")
    session.open(case_file)
    opened = digest_of(case_file)
    session.answer("hazard.airbag", True)
    assert session.autosave is not None
    assert read_autosave(session.autosave, FACTS, ()).origin.digest == opened
    session.save(case_file)
    assert not session.autosave.exists() and not origin_file(session.autosave).exists()
    session.answer("skin.material", ("vinyl",))
    origin = read_autosave(session.autosave, FACTS, ()).origin
    assert (origin.path, origin.digest) == (case_file, digest_of(case_file))


def test_saving_waits_for_another_window_and_not_for_ever(
    begin: Begin, case_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("advisor.session.os_lock.PATIENCE", 0.05)
    session = begin("a")
    session.open(case_file)
    session.answer("hazard.airbag", True)
    assert session.autosave is not None
    held = OsLock.take(session.autosave.parent / "saving.lock")
    assert held is not None
    session.save(case_file)
    held.release()
    assert read_case(case_file, FACTS) == session.case


def test_without_any_place_for_locks_saving_still_compares(case_file: Path) -> None:
    session = Session(SmallPack(), QUICK)
    session.open(case_file)
    session.answer("hazard.airbag", True)
    case_file.write_text(TEXT + "note: theirs\n")
    with pytest.raises(FileChanged):
        session.save(case_file)


def test_a_file_that_cannot_be_read_counts_as_changed(
    begin: Begin, case_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = begin("a")
    session.open(case_file)

    def locked(path: Path) -> str:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(known_file, "digest_of", locked)
    assert session.file is not None
    assert session.file.standing() is FileState.CHANGED
    session.answer("hazard.airbag", True)
    with pytest.raises(BadInput, match="Permission denied"):
        session.save(case_file)
