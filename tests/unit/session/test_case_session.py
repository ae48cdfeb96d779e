"""The case in the window, without a window."""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from advisor.advice.advise import Advised
from advisor.advice.result import Advice
from advisor.facts.case import Case, EarlierRepair, Span
from advisor.facts.case_file import read_case
from advisor.facts.faults import BadInput
from advisor.session.autosave import KeptCase, next_autosave, read_autosave, storable
from advisor.session.case_session import Session
from advisor.session.history import fresh_case
from advisor.session.known_file import digest_of
from advisor.session.run_lock import RunLock
from tests.unit.session.small_pack import SmallPack, small_advise, without_working

QUICK = without_working(small_advise)


def test_every_answer_is_on_disk_before_the_call_returns(session: Session, autosave: Path) -> None:
    session.answer("part.kind", ("armrest",))
    kept = read_case(autosave, session.pack.facts)
    assert kept.facts["part.kind"] == ("armrest",)
    session.answer("damage.gap", Span(4, 4, "4 mm"))
    assert read_case(autosave, session.pack.facts).facts["damage.gap"] == Span(4, 4)


def test_a_fault_in_the_advice_does_not_cost_the_answer(autosave: Path) -> None:
    def break_down(case: Case, pack: SmallPack):
        if case.facts:
            raise RuntimeError("broken")
        return small_advise(case, pack)

    session = Session(SmallPack(), without_working(break_down), autosave=autosave)
    with pytest.raises(RuntimeError, match="broken"):
        session.answer("part.kind", ("armrest",))
    assert read_case(autosave, session.pack.facts).facts["part.kind"] == ("armrest",)


def test_undo_goes_back_one_answer_at_a_time_and_names_the_screen(session: Session) -> None:
    session.answer("part.kind", ("armrest",))
    session.answer("skin.material", ("vinyl",))
    session.answer("skin.material", ("leather",))
    assert session.undo() == "skin.material"
    assert session.case.facts["skin.material"] == ("vinyl",)
    assert session.undo() == "skin.material"
    assert "skin.material" not in session.case.facts
    assert session.undo() == "part.kind"
    assert session.undo() is None
    assert session.case.facts == {}


def test_leaving_open_takes_the_answer_back_and_undo_brings_it_again(session: Session) -> None:
    session.answer("damage.gap", Span(4, 4, "4 mm"))
    session.leave_open("damage.gap")
    assert "damage.gap" not in session.case.facts
    assert "damage.gap" in session.left_open
    session.undo()
    assert session.case.facts["damage.gap"] == Span(4, 4)


def test_the_same_answer_again_is_no_step_to_undo(session: Session) -> None:
    session.answer("part.kind", ("armrest",))
    session.answer("part.kind", ("armrest",))
    session.undo()
    assert not session.can_undo


def test_a_rewritten_answer_is_a_change_though_it_is_the_same_length(session: Session) -> None:
    session.answer("damage.gap", Span(25.4, 25.4, "25.4 mm"))
    session.answer("damage.gap", Span(25.4, 25.4, "1 in"))
    kept = session.case.facts["damage.gap"]
    assert isinstance(kept, Span)
    assert kept.written == "1 in"


def test_saving_makes_it_clean_and_drops_the_autosave(
    session: Session, autosave: Path, tmp_path: Path
) -> None:
    session.answer("part.kind", ("armrest",))
    assert session.dirty
    session.save(tmp_path / "mine.yaml")
    assert not session.dirty
    assert not autosave.exists()
    session.answer("skin.material", ("cloth",))
    assert session.dirty
    assert autosave.exists()


def test_a_bad_file_leaves_the_old_case_as_it_is(session: Session, tmp_path: Path) -> None:
    bad = tmp_path / "bad.yaml"
    bad.write_text("format: 1\ncase: HB-1\nfacts:\n  part.kind: armest\n  damage.gap: 4 kg\n")
    session.answer("part.kind", ("armrest",))
    before = session.case
    with pytest.raises(BadInput) as caught:
        session.open(bad)
    assert len(caught.value.faults) == 2
    assert session.case is before
    assert session.can_undo


def kept(autosave: Path) -> KeptCase:
    """An autosave as the next start reads it."""
    return read_autosave(autosave, SmallPack().facts, tuple(SmallPack().methods))


def test_what_a_crash_left_is_found_and_taken_up(
    session: Session, autosave: Path, tmp_path: Path
) -> None:
    own = tmp_path / "own.yaml"
    session.answer("part.kind", ("armrest",))
    session.save(own)
    session.answer("damage.gap", Span(4, 4, "4 mm"))
    later = Session(SmallPack(), QUICK, autosave=tmp_path / "autosave-next-1.yaml")
    later.restore(kept(autosave), None, (digest_of(own), later.read(own)))
    assert later.case == session.case
    assert later.path == own
    assert later.dirty
    assert later.autosave is not None
    assert later.autosave.exists()


def test_what_was_left_behind_is_listed_newest_first_and_without_the_own_one(
    tmp_path: Path,
) -> None:
    run_lock = RunLock(tmp_path)
    for age, name in ((10, "autosave-a-1.yaml"), (5, "autosave-b-1.yaml"), (0, run_lock.autosave)):
        path = tmp_path / name
        path.write_text("x")
        os.utime(path, (1_000_000 - age, 1_000_000 - age))
    names = [path.name for path in run_lock.left_behind(run_lock.autosave)]
    assert names == ["autosave-b-1.yaml", "autosave-a-1.yaml"]
    run_lock.release()


def test_setting_aside_keeps_the_file_and_goes_on_in_another(
    session: Session, autosave: Path
) -> None:
    session.answer("part.kind", ("armrest",))
    session.set_aside()
    session.start_new()
    session.answer("part.kind", ("dash_top",))
    assert read_case(autosave, session.pack.facts).facts["part.kind"] == ("armrest",)
    assert session.autosave == next_autosave(autosave)
    assert session.autosave.exists()


def test_a_full_disk_is_said_and_does_not_stop_the_interview(tmp_path: Path) -> None:
    session = Session(SmallPack(), QUICK, autosave=tmp_path / "no" / "autosave-x-1.yaml")
    session.answer("part.kind", ("armrest",))
    assert "cannot be written" in session.autosave_fault
    assert session.case.facts["part.kind"] == ("armrest",)


def test_repairs_photos_note_and_title_are_kept(session: Session, autosave: Path) -> None:
    repair = EarlierRepair("adhesive_bond", "contact glue", "let go", "3 weeks")
    session.set_earlier_repairs((repair,))
    session.set_photos(("close.jpg",))
    session.set_title("Charter boat, helm seat")
    session.set_note("Owner comes on Friday.\x07")
    kept = read_case(autosave, session.pack.facts)
    assert kept == replace(session.case, note="Owner comes on Friday.")


def test_storable_drops_what_a_case_file_cannot_hold() -> None:
    assert storable("a\x00b\nc") == "ab\nc"
    assert storable("  \n ") == ""
    assert len(storable("x" * 5000)) == 2000


def test_a_fresh_case_is_named_after_its_minute() -> None:
    assert fresh_case(datetime(2026, 11, 25, 3, 11, 5)).name == "case-20261125-031105"


def test_the_long_advice_is_worked_out_once_for_each_case(autosave: Path) -> None:
    calls = []

    def fully(case: Case, pack: SmallPack, quick: Advised) -> Iterator[Advised]:
        calls.append(case)
        yield quick
        yield Advised(small_advise(case, pack))

    session = Session(SmallPack(), QUICK, autosave=autosave, advise_fully=fully)
    assert session.full_advice is session.full_advice
    session.answer("part.kind", ("armrest",))
    assert session.full_advice.case == session.case.name
    assert len(calls) == 2


def test_other_rules_are_reckoned_with_from_then_on(autosave: Path) -> None:
    def priced(case: Case, pack: SmallPack) -> Advice:
        return replace(small_advise(case, pack), currency=pack.currency)

    def fully(case: Case, pack: SmallPack, quick: Advised) -> Iterator[Advised]:
        yield Advised(replace(quick.advice, headline=f"in full, {pack.currency}"))

    class Crowns(SmallPack):
        currency = "NOK"

    session = Session(SmallPack(), without_working(priced), autosave=autosave, advise_fully=fully)
    session.answer("part.kind", ("armrest",))
    assert session.full_advice.headline == "in full, EUR"
    case, kept, crowns = session.case, autosave.read_bytes(), Crowns()
    session.use_pack(crowns)
    assert session.pack is crowns
    assert session.advice.currency == "NOK"
    assert not session.full_is_ready
    assert session.full_advice.headline == "in full, NOK"
    # The case is what it was, and so is the way back.
    assert session.case is case and autosave.read_bytes() == kept
    assert session.undo() == "part.kind"
    assert session.advice.currency == "NOK"
