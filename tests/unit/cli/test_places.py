"""Where the command line reads and writes: nothing of the user's is lost or passed over."""

from __future__ import annotations

import errno
import json
import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from advisor import paths
from advisor.cli import window
from advisor.paths import rules_folder
from tests.unit.cli.command import DEMOS, ROOT, SPLIT, Command

FEW = ("--worlds", "64")


@pytest.fixture
def opened(monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    """Cases that the window was opened on, in place of opening one."""
    files: list[Path] = []

    def note(case: Path, rules: Path | None) -> int:
        files.append(case)
        return 0

    monkeypatch.setattr(window, "open_window", note)
    return files


# -- reading ----------------------------------------------------------------------------------


def test_a_folder_gives_all_its_cases_and_nothing_else(command: Command) -> None:
    for name in ("a.yaml", "b.yml", "c.YAML"):
        shutil.copy(SPLIT, command.folder / name)
    (command.folder / "._a.yaml").write_bytes(b"\0\5\x16\7")
    (command.folder / "old.yaml").mkdir()
    assert len(json.loads(command("advise", command.folder, "--json", *FEW).out)) == 3


def test_a_folder_that_cannot_be_read_is_told(
    command: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    def locked(folder: Path) -> None:
        raise PermissionError(13, "Permission denied", str(folder))

    monkeypatch.setattr(Path, "iterdir", locked)
    ran = command("advise", command.folder)
    assert (ran.code, ran.out) == (3, "")
    assert ran.err == f"{command.folder}: this folder cannot be read: Permission denied\n"


def test_what_cannot_be_read_is_bad_input_and_no_wrong_usage(
    command: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "access", lambda *_, **__: False)  # what click would ask
    assert command("advise", SPLIT, *FEW).code == 0


def test_a_damage_is_quoted_once(command: Command) -> None:
    """Named twice it would be on the quote twice."""
    link = command.folder / "link.yaml"
    link.symlink_to(SPLIT)
    ran = command("job", SPLIT, link, *FEW)
    assert (ran.code, ran.out) == (3, "")
    assert ran.err == f"{link}: named twice; accepted: each case once\n"


def test_the_own_folder_is_checked_without_a_name(command: Command) -> None:
    own = paths.overlay_folder()
    own.mkdir(parents=True)
    shutil.copy(rules_folder() / "prices.yaml", own)
    ran = command("rules", "check", own)
    assert ran.code == 2 and "no whole rule pack" in ran.err
    assert command("rules", "check").code == 0


# -- writing ----------------------------------------------------------------------------------


@pytest.mark.parametrize("words", ["rationale", "job"])
def test_a_case_is_never_written_over(words: str, command: Command) -> None:
    case = command.folder / "case.txt"
    shutil.copy(SPLIT, case)
    before = case.read_bytes()
    link = command.folder / "link.html"
    link.symlink_to(case)
    for target in (case, link):
        ran = command(words, case, "--to", target, *FEW)
        assert (ran.code, ran.out) == (3, "")
        assert ran.err == (
            f"{target}: this is the case itself and is not written over; accepted: another name\n"
        )
    assert case.read_bytes() == before


def test_a_link_stays_and_its_file_is_replaced(command: Command) -> None:
    target, link = command.folder / "real.txt", command.folder / "link.txt"
    target.write_text("old", encoding="utf-8")
    link.symlink_to(target)
    assert command("rationale", SPLIT, "--to", link, *FEW).code == 0
    assert link.is_symlink() and "HB-2041" in target.read_text(encoding="utf-8")


def test_the_longest_name_can_be_written(command: Command) -> None:
    target = command.folder / ("x" * 251 + ".txt")
    ran = command("rationale", SPLIT, "--to", target, *FEW)
    assert (ran.code, ran.err) == (0, "") and target.exists()


@pytest.mark.parametrize(
    ("number", "accepted"),
    [
        (errno.ENOSPC, "a disk with room on it"),
        (errno.EACCES, "a place that may be written to"),
        (errno.EISDIR, "the name of a file"),
        (errno.ENAMETOOLONG, "a shorter name"),
        (errno.ENOENT, "a folder that exists"),
    ],
)
def test_what_helps_fits_the_reason(
    number: int, accepted: str, command: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr("os.fsync", fails)
    ran = command("job", SPLIT, "--to", command.folder / "a.txt", *FEW)
    assert (ran.code, ran.out) == (3, "")
    assert ran.err.endswith(f"cannot be written: {os.strerror(number)}; accepted: {accepted}\n")
    assert list(command.folder.iterdir()) == []


# -- demo cases -------------------------------------------------------------------------------


def test_a_demo_is_a_copy_that_may_be_changed(command: Command, opened: list[Path]) -> None:
    assert command("demo", "split_armrest").code == 0
    assert command("demo", "split_armrest").code == 0
    assert opened[0] == opened[1] != SPLIT
    assert opened[0].read_bytes() == SPLIT.read_bytes()


def test_a_demo_that_was_worked_on_is_not_written_over(
    command: Command, opened: list[Path]
) -> None:
    command("demo", "split_armrest")
    mine = SPLIT.read_bytes() + b"note: My own answers\n"
    opened[0].write_bytes(mine)
    command("demo", "split_armrest")
    assert opened[0].read_bytes() == mine
    assert opened[1].name == "split_armrest_2.yaml"
    assert opened[1].read_bytes() == SPLIT.read_bytes()


def test_a_demo_from_a_folder_for_reading_only(
    command: Command, opened: list[Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The copy is not for reading only."""
    shipped = tmp_path / "shipped"
    shutil.copytree(DEMOS, shipped)
    (shipped / SPLIT.name).chmod(0o444)
    monkeypatch.setattr(paths, "demo_folder", lambda: shipped)
    command("demo", "split_armrest")
    assert opened[0].stat().st_mode & 0o200


def test_a_home_that_cannot_be_written_to(
    command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No demo case can be copied there; the window itself opens and says that nothing is kept."""
    blocked = tmp_path / "blocked"
    blocked.write_text("a file", encoding="utf-8")
    monkeypatch.setenv("XDG_DATA_HOME", str(blocked))
    monkeypatch.setenv("QT_QPA_PLATFORM", "offscreen")
    ran = command("demo", "split_armrest")
    assert (ran.code, ran.out, len(ran.lines)) == (3, "", 1), ran.err
    assert "this folder cannot be made" in ran.err


@pytest.mark.skipif(sys.platform != "linux", reason="elsewhere there is always a screen")
@pytest.mark.parametrize("words", [(), (str(SPLIT),), ("demo", "split_armrest")])
def test_without_a_screen_the_window_says_so(
    words: tuple[str, ...], command: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in window.SCREENS:
        monkeypatch.delenv(name, raising=False)
    ran = command(*words)
    assert (ran.code, ran.out) == (2, "")
    assert "the window needs a screen" in ran.err
    assert list(paths.demo_copies_folder().iterdir()) == []


# -- what is printed --------------------------------------------------------------------------


def process(*args: str | Path, home: Path, **more: object) -> subprocess.Popen[bytes]:
    folders = {f"XDG_{kind}_HOME": str(home / kind) for kind in ("CACHE", "CONFIG", "DATA")}
    return subprocess.Popen(
        [sys.executable, "-m", "advisor", *map(str, args)], cwd=ROOT,
        env={**folders, "PYTHONIOENCODING": str(more.get("encoding", "utf-8"))},
        stdout=more.get("stdout", subprocess.PIPE), stderr=subprocess.PIPE,
    )  # type: ignore[call-overload,no-any-return]  # fmt: skip


@pytest.mark.parametrize("words", [("advise", SPLIT, *FEW), ("rules", "facts"), ("demo",)])
def test_a_reader_that_stops_reading_is_no_fault(
    words: tuple[str | Path, ...], tmp_path: Path
) -> None:
    with process(*words, home=tmp_path) as running:
        assert running.stdout is not None and running.stderr is not None
        running.stdout.close()
        assert running.stderr.read() == b""
        assert running.wait(120) == 0


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is full")
def test_a_full_disk_behind_standard_output(tmp_path: Path) -> None:
    with Path("/dev/full").open("wb") as full:
        running = process("advise", SPLIT, *FEW, home=tmp_path, stdout=full)
        said = running.communicate(timeout=120)[1].decode()
    assert running.returncode == 3
    assert said == (
        "standard output: cannot be written: No space left on device; "
        "accepted: a disk with room on it\n"
    )


def test_an_encoding_that_lacks_letters(tmp_path: Path) -> None:
    case = tmp_path / "case.yaml"
    case.write_text("format: 1\ncase: Ä-1\ntitle: Gr\u00fc\u00dfe \u2603 \U0001f6a2\n", "utf-8")
    words = process("advise", case, *FEW, home=tmp_path, encoding="latin-1")
    said = words.communicate(timeout=120)[0].decode("latin-1")
    assert words.returncode == 0 and said.startswith("Ä-1  Gr\u00fc\u00dfe ? ?\n")
    form = process("advise", case, "--json", *FEW, home=tmp_path, encoding="ascii")
    read = json.loads(form.communicate(timeout=120)[0].decode("ascii"))
    assert (read["case"], read["title"]) == ("Ä-1", "Gr\u00fc\u00dfe \u2603 \U0001f6a2")


@pytest.mark.skipif(sys.platform == "win32", reason="no such signal")
def test_stopped_with_ctrl_c(tmp_path: Path) -> None:
    many = tmp_path / "many"
    many.mkdir()
    for number in range(40):
        shutil.copy(SPLIT, many / f"{number}.yaml")
    # A test run in the background ignores the signal, and would hand that on.
    kept = signal.signal(signal.SIGINT, signal.default_int_handler)
    running = process("advise", many, "--json", "--worlds", "4096", home=tmp_path)
    signal.signal(signal.SIGINT, kept)
    assert running.stdout is not None
    running.stdout.read(1000)  # it is at work
    running.send_signal(signal.SIGINT)
    began = time.monotonic()
    said = running.communicate(timeout=60)[1]
    assert running.returncode == 130 and time.monotonic() - began < 30
    assert b"Traceback" not in said


def test_own_fault_where_no_log_can_be_kept(
    command: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object, **__: object) -> None:
        raise ZeroDivisionError("float division by zero")

    monkeypatch.setattr("advisor.advice.advise.work_out", broken)
    monkeypatch.setattr("tempfile.tempdir", str(command.folder / "nowhere"))
    ran = command("advise", SPLIT, *FEW)
    assert (ran.code, ran.out, len(ran.lines)) == (1, "", 1)
    assert ran.err.endswith("Nothing was written.\n")
