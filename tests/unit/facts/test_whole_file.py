"""Files written whole or not at all, for whom, and what a killed program leaves beside them."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from advisor.facts.whole_file import STRAY, private_folder, write_whole


def test_a_private_file_is_for_this_user_alone_whatever_it_was_before(tmp_path: Path) -> None:
    path = tmp_path / "kept"
    path.write_bytes(b"old")
    path.chmod(0o666)
    write_whole(path, b"new", private=True)
    assert path.read_bytes() == b"new"
    assert path.stat().st_mode & 0o777 == 0o600


def test_a_folder_that_stood_open_is_closed(tmp_path: Path) -> None:
    folder = tmp_path / "app" / "autosave"
    private_folder(folder)
    assert [p.stat().st_mode & 0o777 for p in (folder, folder.parent)] == [0o700, 0o700]
    folder.chmod(0o755)
    assert private_folder(folder).stat().st_mode & 0o777 == 0o700


def test_called_off_in_the_last_moment_nothing_is_changed(tmp_path: Path) -> None:
    path = tmp_path / "case.yaml"
    path.write_bytes(b"old")

    def call_off() -> None:
        raise InterruptedError

    with pytest.raises(InterruptedError):
        write_whole(path, b"new", before=call_off)
    assert [(p.name, p.read_bytes()) for p in tmp_path.iterdir()] == [("case.yaml", b"old")]


def test_a_draft_left_by_a_killed_program_is_cleaned_and_a_fresh_one_is_not(
    tmp_path: Path,
) -> None:
    path = tmp_path / "a [1] *.yaml"
    names = [f".{path.name}-{'0' * 16}.tmp", f".{path.name}-{'1' * 16}.tmp", f".b-{'0' * 16}.tmp"]
    for name in names:
        (tmp_path / name).write_bytes(b"half")
    write_whole(path, b"one")
    assert all((tmp_path / name).exists() for name in names)
    for name in (names[0], names[2]):
        info = (tmp_path / name).stat()
        os.utime(tmp_path / name, (info.st_atime, info.st_mtime - STRAY - 5))
    write_whole(path, b"two")
    assert sorted(p.name for p in tmp_path.iterdir()) == sorted([*names[1:], path.name])


def test_a_name_as_long_as_the_file_system_takes(tmp_path: Path) -> None:
    path = tmp_path / ("ä" * 120 + ".yaml")
    write_whole(path, b"long")
    assert [p.name for p in tmp_path.iterdir()] == [path.name]
