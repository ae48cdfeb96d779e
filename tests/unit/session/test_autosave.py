"""Autosaves: read as far as they can be, claimed by one window, cleaned up after."""

from __future__ import annotations

import os
import random
import socket
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from advisor.facts.case import Case, EarlierRepair, Span
from advisor.session.autosave import (
    END,
    KeptCase,
    Origin,
    forget,
    origin_file,
    put_by,
    read_autosave,
    write_autosave,
)
from advisor.session.case_session import Session
from advisor.session.known_file import digest_of
from advisor.session.os_lock import OsLock
from advisor.session.run_lock import RunLock
from tests.unit.session.small_pack import SmallPack, small_advise, without_working

FACTS = SmallPack.facts
QUICK = without_working(small_advise)
CASE = Case(
    "HB-1", "Ferry bench",
    {"part.kind": ("armrest",), "damage.length": Span(120, 120, "120 mm"),
     "hazard.airbag": True, "job.words": "Looks, then price."},
    earlier_repairs=(EarlierRepair("adhesive_bond", "contact glue", "let go", "3 weeks"),),
    photos=("close.jpg",),
    note="Owner comes on Friday.\nBring the cloth.",
)  # fmt: skip


@pytest.fixture
def kept(tmp_path: Path) -> Path:
    """An autosave that a killed run left."""
    path = tmp_path / "autosave-dead-1.yaml"
    write_autosave(path, CASE, FACTS, Origin(tmp_path / "own.yaml", "abc"))
    return path


def read(path: Path) -> KeptCase:
    """As the next start reads it."""
    return read_autosave(path, FACTS, tuple(SmallPack.methods))


def test_a_whole_one_is_read_wholly(kept: Path) -> None:
    found = read(kept)
    assert (found.case, found.unread) == (CASE, ())
    assert found.origin == Origin(kept.parent / "own.yaml", "abc")


@pytest.mark.skipif(not hasattr(os, "getuid"), reason="files have no rights here")
def test_it_is_for_this_user_alone(kept: Path) -> None:
    rights = [path.stat().st_mode & 0o777 for path in (kept, origin_file(kept))]
    assert rights == [0o600, 0o600]


def test_cut_short_anywhere_it_says_so_and_changes_no_answer(kept: Path) -> None:
    """At every byte: what is read was given so, and what is missing is told."""
    whole = kept.read_bytes()
    for length in range(len(whole)):
        kept.write_bytes(whole[:length])
        found = read(kept)
        assert found.unread, length
        if found.case is None:
            continue
        for name, value in found.case.facts.items():
            assert CASE.facts[name] == value, (length, name)
        assert CASE.note.startswith(found.case.note), length
        assert found.case.title in ("", CASE.title), length
    assert found.case == CASE  # only the line of the end was cut


@pytest.mark.parametrize(
    ("change", "line", "lost"),
    [
        ("armrest", "Line 5: part.kind: not one of the answers; found \"helm\"", "part.kind"),
        ("120 mm", "Line 6: damage.length: not a length; found \"9 kg\"", "damage.length"),
    ],
)
def test_an_answer_that_today_s_rules_do_not_know_is_named_and_left_open(
    kept: Path, change: str, line: str, lost: str
) -> None:
    other = {"armrest": "helm", "120 mm": "9 kg"}[change]
    kept.write_text(kept.read_text().replace(change, other))
    found = read(kept)
    assert found.case == CASE.without(lost)
    (told,) = found.unread
    assert told.startswith(line)


def test_a_question_that_is_gone_from_the_rules_is_named(kept: Path) -> None:
    text = kept.read_text().replace("  hazard.airbag: yes", "  hazard.airbag: yes\n  old.fact: 3")
    kept.write_text(text)
    found = read(kept)
    assert found.case == CASE
    assert found.unread[0].startswith("Line 8: old.fact: no such fact")


def test_however_it_was_spoiled_what_is_read_can_be_kept_anew(kept: Path) -> None:
    """Bytes changed, lost, doubled, and marks of YAML thrown in, the same every time."""
    rng, whole = random.Random(4), kept.read_bytes()
    marks = [b"\n", b": ", b"- ", b"[", b"{", b"&a ", b"*a ", b"!!x ", b"\t", b"\0", b"\xff", b"'"]
    read_in_part = 0
    for _ in range(500):
        spoiled = bytearray(whole)
        for _ in range(rng.randint(1, 5)):
            place = rng.randrange(len(spoiled))
            kind = rng.randrange(4)
            if kind == 0:
                spoiled[place] = rng.randrange(256)
            elif kind == 1:
                del spoiled[place : place + rng.randrange(1, 20)]
            else:
                spoiled[place:place] = rng.choice(marks) if kind == 2 else spoiled[:20]
        kept.write_bytes(spoiled)
        found = read(kept)
        if found.case is None:
            assert found.unread
            continue
        read_in_part += bool(found.unread)
        write_autosave(kept.with_name("autosave-next-1.yaml"), found.case, FACTS, Origin())
    assert read_in_part > 100


def test_that_nothing_was_tried_before_is_an_answer(kept: Path) -> None:
    write_autosave(kept, replace(CASE, earlier_repairs=()), FACTS, Origin())
    assert read(kept).case == replace(CASE, earlier_repairs=())


@pytest.mark.parametrize("content", [b"", b"\0" * 400, b"[1, 2", b"format: 9\ncase: X\n"])
def test_of_what_is_no_case_nothing_is_read_and_why_is_told(kept: Path, content: bytes) -> None:
    kept.write_bytes(content)
    found = read(kept)
    assert found.case is None and found.unread


def test_what_stands_before_a_spoiled_place_is_read(kept: Path) -> None:
    whole = kept.read_bytes()
    place = whole.index(b"job.words")
    kept.write_bytes(whole[:place] + b"\0" * 60)
    found = read(kept)
    assert found.case is not None and found.unread
    assert found.case.facts == {k: v for k, v in CASE.facts.items() if k != "job.words"}


def test_a_spoiled_note_of_origin_costs_the_place_and_not_the_answers(kept: Path) -> None:
    origin_file(kept).write_text("[{")
    assert read(kept).case == CASE
    assert read(kept).origin == Origin()


def test_the_note_of_origin_is_there_before_the_answers(
    kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Killed in between, the case must not have lost its file."""
    order: list[str] = []
    replace_file = Path.replace

    def noted(self: Path, target: Path) -> Path:
        order.append(target.name)
        return replace_file(self, target)

    monkeypatch.setattr(Path, "replace", noted)
    write_autosave(kept, CASE, FACTS, Origin(kept.parent / "other.yaml", "def"))
    assert order == ["autosave-dead-1.origin.json", "autosave-dead-1.yaml"]


def test_what_was_not_read_is_put_by_whole(kept: Path) -> None:
    content = kept.read_bytes()
    place = put_by(kept)
    assert place.read_bytes() == content
    assert sorted(path.name for path in kept.parent.iterdir()) == [place.name]


def test_forgetting_what_cannot_be_deleted_raises_nothing(
    kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def locked(self: Path, missing_ok: bool = False) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "unlink", locked)
    forget(kept)
    assert kept.exists()


# -- who may have it ---------------------------------------------------------------------------


def test_two_windows_never_offer_one_autosave_at_once(kept: Path) -> None:
    one, two = RunLock(kept.parent), RunLock(kept.parent)
    with one.offering(kept) as first, two.offering(kept) as second:
        assert (first, second) == (True, False)
    with two.offering(kept) as later:
        assert later
    forget(kept)
    with two.offering(kept) as gone:
        assert not gone
    one.release()
    two.release()


def test_two_processes_racing_for_one_autosave_both_end_and_one_has_it(kept: Path) -> None:
    """Each starts, claims what it finds and holds it until the other has looked."""
    code = (
        "import sys, time\n"
        "from pathlib import Path\n"
        "from advisor.session.run_lock import RunLock\n"
        f"run_lock = RunLock(Path({str(kept.parent)!r}))\n"
        "print('ready', flush=True)\n"
        "sys.stdin.readline()\n"
        "for path in run_lock.left_behind(run_lock.autosave):\n"
        "    with run_lock.offering(path) as mine:\n"
        "        print(mine, flush=True)\n"
        "        sys.stdin.readline()\n"
        "run_lock.release()\n"
    )
    for _ in range(5):
        racers = [
            subprocess.Popen([sys.executable, "-c", code], stdin=subprocess.PIPE,
                             stdout=subprocess.PIPE, text=True, cwd=Path(__file__).parents[3])
            for _ in range(2)
        ]
        for racer in racers:
            assert racer.stdout is not None and racer.stdout.readline() == "ready\n"
        for racer in racers:
            assert racer.stdin is not None
            racer.stdin.write("go\n")
            racer.stdin.flush()
        said = [racer.stdout.readline().strip() for racer in racers if racer.stdout]
        for racer in racers:
            racer.communicate("end\n", timeout=20)
        assert sorted(said) == ["False", "True"]


def test_the_lock_of_a_renamed_machine_hides_nothing(kept: Path) -> None:
    """Earlier releases wrote process, program and machine into the lock file."""
    lock = kept.parent / "run-dead-1.lock".replace("-1", "")
    lock.write_text(f"{os.getpid()}\npython3\nformerly-{socket.gethostname()}\n\n\n")
    run_lock = RunLock(kept.parent)
    with run_lock.offering(kept) as mine:
        assert mine
    run_lock.release()


def test_what_this_run_set_aside_it_may_offer_itself(tmp_path: Path) -> None:
    run_lock = RunLock(tmp_path)
    session = Session(SmallPack(), QUICK, autosave=run_lock.autosave)
    session.answer("part.kind", ("armrest",))
    session.set_aside()
    session.start_new()
    (found,) = run_lock.left_behind(session.autosave)
    assert found == run_lock.autosave
    with run_lock.offering(found) as mine:
        assert mine
    run_lock.release()


def test_strays_of_killed_runs_are_cleaned_and_nothing_else(tmp_path: Path, kept: Path) -> None:
    alive = RunLock(tmp_path)
    write_autosave(alive.autosave, CASE, FACTS, Origin())
    strays = ["run-gone.lock", "open-0123.lock", ".autosave-gone-1.yaml-0011.tmp",
              ".autosave-gone-1.origin.json-22.tmp", "autosave-gone-2.origin.json"]
    living = [f".{alive.autosave.name}-00.tmp", f"autosave-{alive.run}-9.origin.json"]
    for name in (*strays, *living):
        (tmp_path / name).write_text("x")
    others = ["unread-autosave-old-1.yaml", "notes.txt"]
    for name in others:
        (tmp_path / name).write_text("x")
    run_lock = RunLock(tmp_path)
    run_lock.tidy()
    left = {path.name for path in tmp_path.iterdir()}
    assert left.isdisjoint(strays)
    assert {*living, *others, kept.name, origin_file(kept).name, alive.autosave.name} <= left
    alive.release()
    run_lock.release()
    assert not list(tmp_path.glob("*.lock"))


def test_a_lock_deleted_under_its_holder_is_no_lock_for_two(tmp_path: Path) -> None:
    path = tmp_path / "x.lock"
    one = OsLock.take(path)
    assert one is not None and OsLock.take(path) is None
    one.release()
    one.release()
    two = OsLock.take(path)
    assert two is not None and OsLock.take(path) is None
    two.release()
    assert not path.exists()


# -- taken up ----------------------------------------------------------------------------------


def begin(folder: Path) -> Session:
    """The session of the next start."""
    return Session(SmallPack(), QUICK, autosave=folder / "autosave-next-1.yaml")


def test_taken_up_it_is_kept_anew_at_once_and_undo_leads_to_the_file(kept: Path) -> None:
    own = kept.parent / "own.yaml"
    own.write_text("format: 1\ncase: HB-1\nfacts:\n  part.kind: armrest\n")
    session = begin(kept.parent)
    session.restore(read(kept), None, (digest_of(own), session.read(own)))
    assert (session.case, session.path, session.dirty) == (CASE, own, True)
    assert session.autosave is not None and read(session.autosave).case == CASE
    session.undo()
    assert session.case == session.read(own) and not session.dirty


def test_taken_up_without_its_file_it_has_none(kept: Path) -> None:
    session = begin(kept.parent)
    session.restore(read(kept))
    assert (session.case, session.path, session.dirty) == (CASE, None, True)
    assert session.kept


def test_a_length_too_long_for_the_part_is_left_out_when_it_is_taken_up(kept: Path) -> None:
    facts = {**FACTS, "damage.length": replace(FACTS["damage.length"], high_by={"armrest": 90})}

    class Strict(SmallPack):
        pass

    Strict.facts = facts  # type: ignore[assignment]
    session = Session(Strict(), QUICK, autosave=kept.parent / "autosave-next-1.yaml")
    session.restore(read(kept))
    assert session.case == CASE.without("damage.length")
    assert session.outgrown == {"damage.length": Span(120, 120)}


def test_the_end_line_is_the_last(kept: Path) -> None:
    assert kept.read_text().endswith(f"\n{END}\n")
