"""Threads beside the window: what they give, how they stop, where their faults come out."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from advisor.advice.advise import Advised
from advisor.advice.result import Advice
from advisor.facts.case import Case
from advisor.session.background import Aside, Background, Thorough
from advisor.session.case_session import Session
from tests.unit.session.small_pack import SmallPack, small_advise, started, without_working

PACK = SmallPack()
QUICK = Advised(small_advise(started(), PACK))
FULL = Advised(replace(QUICK.advice, headline="with all that takes longer"))


def both(watch: Callable[[str], None]) -> Iterator[Advised]:
    watch("first")
    yield QUICK
    watch("second")
    yield FULL


def finished(work: Background) -> Background:
    assert work.wait(5)
    return work


def test_results_come_in_order_and_once() -> None:
    work = finished(Background(both))
    assert work.over and work.doing == "second" and work.fault is None
    assert work.take() == [QUICK, FULL]
    assert work.take() == []


def test_stopped_work_gives_nothing_and_ends() -> None:
    let_go, seen = threading.Event(), threading.Event()

    def waiting(watch: Callable[[str], None]) -> Iterator[Advised]:
        yield QUICK
        while not let_go.wait(0.002):
            watch("waiting")
            seen.set()
        yield FULL

    work = Background(waiting)
    assert seen.wait(5)
    work.stop()
    assert finished(work).take() == [] and work.fault is None
    let_go.set()


def test_a_fault_is_kept_for_whoever_asks() -> None:
    def wrong(watch: Callable[[str], None]) -> Iterator[Advised]:
        yield QUICK
        raise ZeroDivisionError("by hand")

    work = finished(Background(wrong))
    assert work.take() == [QUICK]
    assert isinstance(work.fault, ZeroDivisionError)


def test_thorough_work_is_for_one_case() -> None:
    thorough = Thorough(PACK, lambda case, pack, watch: both(watch))
    one, other = started(), started()
    thorough.start(one)
    thorough.wait(5)
    assert thorough.take(other) == (None, None)
    assert thorough.case is one
    assert thorough.take(one) == (QUICK, FULL)
    assert thorough.case is None and thorough.take(one) == (None, None)


def test_a_fault_of_thorough_work_is_raised_and_the_case_waved_off() -> None:
    def wrong(case: Case, pack: SmallPack, watch: Callable[[str], None]) -> Iterator[Advised]:
        raise ZeroDivisionError("by hand")
        yield QUICK

    thorough = Thorough(PACK, wrong)
    case = started()
    thorough.start(case)
    thorough.wait(5)
    with pytest.raises(ZeroDivisionError):
        thorough.take(case)
    assert thorough.waved_off is case and thorough.case is None


def test_other_rules_drop_what_was_found_and_are_worked_under_next() -> None:
    under: list[str] = []

    def advise(
        case: Case, pack: SmallPack, watch: Callable[[str], None]
    ) -> Iterator[Advised]:
        under.append(pack.currency)
        yield from both(watch)

    class Crowns(SmallPack):
        currency = "NOK"

    thorough, case = Thorough(PACK, advise), started()
    thorough.start(case)
    thorough.wait(5)
    thorough.waved_off = case
    thorough.use_pack(Crowns())
    assert thorough.take(case) == (None, None)
    assert thorough.case is None and thorough.waved_off is None
    thorough.start(case)
    thorough.wait(5)
    assert thorough.take(case) == (QUICK, FULL)
    assert under == ["EUR", "NOK"]


def test_nothing_is_started_where_nothing_can_work() -> None:
    thorough = Thorough(PACK, None)
    thorough.start(started())
    assert not thorough.possible and thorough.case is None and thorough.doing == ""


def test_a_thing_done_aside_is_done_when_it_is_finished() -> None:
    threads: list[threading.Thread] = []
    aside = Aside(lambda: threads.append(threading.current_thread()))
    aside.finish()
    assert threads[0] is not threading.main_thread()


def test_a_fault_aside_is_raised_where_it_is_waited_for() -> None:
    aside = Aside(lambda: 1 // 0 and None)
    with pytest.raises(ZeroDivisionError):
        aside.finish()


def test_the_answer_is_on_disk_though_the_advice_fails(autosave: Path) -> None:
    def failing(case: Case, pack: SmallPack) -> Advice:
        if "damage.gap" in case.facts:
            raise ZeroDivisionError("by hand")
        return small_advise(case, pack)

    session = Session(PACK, without_working(failing), autosave=autosave, case=started())
    with pytest.raises(ZeroDivisionError):
        session.answer("damage.gap", session.case.facts["core.state"])
    assert "damage.gap" in autosave.read_text(encoding="utf-8")


def test_a_fault_in_writing_is_not_swallowed(
    autosave: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = Session(PACK, without_working(small_advise), autosave=autosave, case=started())

    def wrong() -> None:
        raise ZeroDivisionError("by hand")

    monkeypatch.setattr(session, "_write_autosave", wrong)
    with pytest.raises(ZeroDivisionError):
        session.answer("hazard.airbag", True)
    assert session.advice.verdict == "refer"
