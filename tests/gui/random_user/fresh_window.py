"""The same case in a window that was just opened: a refilled page must say what that one says."""

from __future__ import annotations

from collections import Counter

from PySide6.QtWidgets import QApplication, QWidget

from advisor.advice.result import Advice
from advisor.gui.job.job_page import JobPage
from advisor.gui.verdict.verdict_page import VerdictPage
from advisor.gui.window.main_window import MainWindow
from advisor.session.case_session import Session
from tests.gui.random_user.window_checks import texts_of

PASSING = ("Every answer is kept at once", "Undo", "Next")
"""Beginnings of words that tell of the run, not of the case."""


def strange_words(window: MainWindow) -> list[str]:
    """What the window says and a fresh one would not, and the other way round.

    Empty while something is typed, tried or worked out, which a fresh window cannot know, and
    at the home, which tells of all cases.
    """
    session, navigator = window.session, window.navigator
    grown = session.rough or session._advised is session._thorough_found
    if not session.begun or window.over is not None or grown or window.at_home:
        return []
    if not _comparable(window):
        return []
    other = Session(session.pack, session._advise, case=session.case,
                    advise_fully=session._advise_fully)
    other.system, other.left_open = session.system, set(session.left_open)
    other.outgrown = dict(session.outgrown)
    fresh = MainWindow(other)
    try:
        fresh.resize(window.size())
        fresh.show()
        fresh.navigator.go(navigator.screen)
        fresh.split.setSizes(window.split.sizes())
        if window.side.made:
            fresh.side.make()
            _same_picture(window, fresh)
        for shown in (window, fresh):
            _finish(shown)
        here, there = _said(window), _said(fresh)
        screen = navigator.screen
        found = [f"stale: {text!r} is still shown on {screen}" for text in here - there]
        return found + [f"stale: {text!r} is missing on {screen}" for text in there - here]
    finally:
        fresh.session._saved = fresh.session.case
        fresh.hide()
        fresh.deleteLater()
        window.activateWindow()


def _same_picture(window: MainWindow, fresh: MainWindow) -> None:
    side = window.picture
    if side.stack.currentWidget() is side.reasons:
        for method in fresh.session.advice.methods:
            if method.method == side.reasons.method:
                fresh.picture.show_method(method)


def _comparable(window: MainWindow) -> bool:
    page, card = window.pages.shown(), window.card
    if isinstance(page, JobPage) and page.of_case.others:
        return False
    if window.hazards is not None and any(row.more.isChecked() for row in window.hazards.rows):
        return False
    if isinstance(page, VerdictPage) and (page._every_flip or not page.best.isHidden()):
        return False  # the card of a method whose bar was pressed
    return page is not None or card.answer is None or not _typed(window)


def _typed(window: MainWindow) -> bool:
    answer = window.card.answer
    search = getattr(answer, "search", None)
    several = getattr(answer, "several", None)
    open_fault = getattr(answer, "fault", None)
    return bool(
        (answer is not None and answer.draft())
        or (search is not None and (search.text() or search.hasFocus()))
        or (several is not None and several.isChecked())
        or (open_fault is not None and not open_fault.isHidden())
    )


def _finish(window: MainWindow) -> None:
    page = window.pages.shown()
    for _ in range(5):
        QApplication.processEvents()
    while isinstance(page, VerdictPage) and page.is_working:
        QApplication.processEvents()


def _said(window: MainWindow) -> Counter[str]:
    found = [*texts_of(window), *_bars(window)]
    under_finger = getattr(window.card.answer, "said", None)
    pointed = under_finger.text() if under_finger is not None else None
    return Counter(text for text in found if not text.startswith(PASSING) and text != pointed)


def _bars(window: MainWindow) -> list[str]:
    if not window.side.made:
        return []
    rows: list[QWidget] = list(window.picture.bars.rows)
    return [row.accessibleName() for row in rows]


def same_advice(session: Session) -> list[str]:
    """The advice that is shown is that on the case that is shown."""
    if not session.begun or session.rough or session.unfinished:
        return []
    anew: Advice = session._advise(session.case, session.pack).advice
    shown = session.advice
    grown = shown.worlds != anew.worlds
    return [] if grown or shown == anew else [f"stale: advice {shown.headline!r}"]
