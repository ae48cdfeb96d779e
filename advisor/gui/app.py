"""Starting and ending the window."""

from __future__ import annotations

import gc
import os

# Arrays are small here: threads of the linear algebra only cost time, most at the start.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
# The base style, named so that no style object has to be wrapped for Python.
os.environ["QT_STYLE_OVERRIDE"] = "Fusion"
# PySide6 hooks every later import and slows it, so what knows no Qt comes before it.
# isort: off
from advisor.rulegraph.load import load_pack, load_without_own
from advisor.session.memory import keep_small, trim
from advisor.session.advice_service import (
    Advise,
    AdviseInSlices,
    AdviseThoroughly,
    Pack,
    full_in_slices,
    load_advisor,
    quick_advice,
    thoroughly,
)
from advisor.session.case_session import Session
from advisor.session.casebook_keeping import CaseKeeping, taken_in_autosaves
from advisor.session.run_lock import RunLock
from advisor.gui.pyside_workaround import guard_singletons
# isort: on

import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import QEvent, QSize, QTimer
from PySide6.QtGui import QFont, QFontDatabase
from PySide6.QtWidgets import QApplication

from advisor import paths
from advisor.facts.faults import BadInput
from advisor.gui import theme
from advisor.gui.look import Look
from advisor.gui.widgets import dialogs
from advisor.gui.window.main_window import MainWindow

#: Milliseconds before each piece of the advisor is loaded, while the first question is read.
BETWEEN_PIECES = 50
#: Milliseconds more until the casebook is, in the background; answers do not wait for it.
BEFORE_CASEBOOK = 400
#: Milliseconds after which memory that is free is given back to the system.
TRIM = 10_000
#: Milliseconds between two looks whether another version of the case was told of.
LOOK_FOR_OTHERS = 1000
FONTS = ("OpenSans-Regular.ttf", "OpenSans-Bold.ttf", "DejaVuSans.ttf")


WITHOUT_OWN = (
    "Your own rules cannot be used. The program goes on with its own rules alone; none of your "
    "files is used until this is fixed."
)
OWN_HAZARDS = (
    "Your own rules cannot be used, and they may ask for hazards of your own. The program does "
    "not go on without these. Fix this and start again."
)


def prepare(app: QApplication) -> None:
    """Name and fonts of the program."""
    guard_singletons()
    app.setApplicationName("trim-advisor")
    app.setApplicationDisplayName("Trim repair advisor")
    for name in FONTS:
        QFontDatabase.addApplicationFont(str(paths.asset(name)))
    font = QFont([theme.FONT, theme.FALLBACK])
    font.setPixelSize(theme.TEXT)
    app.setFont(font)


class Rescue:
    """Called for an error nobody caught: keeps the answers, then says so."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self.window: MainWindow | None = None
        self._busy = False
        self._told: set[str] = set()

    def __call__(
        self, kind: type[BaseException], error: BaseException, trace: TracebackType | None
    ) -> None:
        """As ``sys.excepthook``."""
        import traceback

        traceback.print_exception(kind, error, trace)
        self.session.keep_now()
        fault = f"{kind.__name__}: {error}"
        if self._busy or fault in self._told or issubclass(kind, KeyboardInterrupt):
            return
        # No dialog on top of a dialog, and none again for a fault that repeats itself, as
        # one in a paint event does.
        self._busy = True
        self._told.add(fault)
        try:
            where = f"Your answers are kept in\n{self.session.kept_in}"
            if not self.session.kept:
                where = f"Your answers are NOT kept on disk: {self.session.autosave_fault}"
            text = f"The program made a mistake ({fault}).\n\n{where}"
            dialogs.show_faults(self.window, text, ["You can go on. Save the case soon."])
        finally:
            self._busy = False


def shut_down(app: QApplication, window: MainWindow) -> None:
    """Delete the window while the application still lives; a later end crashes PySide."""
    window.hide()
    window.deleteLater()
    app.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    app.processEvents()


@dataclass(frozen=True)
class Engine:
    """The rules and the advisor: quick for each answer, full where the choice is argued.

    Thorough is for a measurement that few simulated cases fit; it takes a second.
    """

    pack: Pack
    quick: Advise
    full: AdviseInSlices
    thorough: AdviseThoroughly


def load_engine(rules: Path | None) -> Engine:
    """The rule pack and the advisor. Raises BadInput for a bad pack."""
    pack = load_pack(rules) if rules is not None else load_pack()
    return Engine(pack, quick_advice, full_in_slices, thoroughly)


def told_of_faults(bad: BadInput) -> Engine:
    """Tell what is wrong in the shop's own folder, and go on with the shipped rules alone.

    Raises ``bad`` again, once it was told, where that would remove a hazard of the shop's.
    """
    faults = [fault.text for fault in bad.faults]
    try:
        pack = load_without_own(bad)
    except BadInput:
        dialogs.show_faults(None, OWN_HAZARDS, faults)
        raise
    dialogs.show_faults(None, WITHOUT_OWN, faults)
    return Engine(pack, quick_advice, full_in_slices, thoroughly)


def lasting_engine(
    rules: Path | None, otherwise: Callable[[BadInput], Engine] | None = None
) -> Engine:
    """The engine of a program that runs until it ends. Raises BadInput for a bad pack.

    ``otherwise`` is asked for another engine where the shop's own folder has faults.

    What is there by then stays; it is no longer looked through for garbage, which would
    stop the window for ten milliseconds now and then.
    """
    gc.disable()
    try:
        return load_engine(rules)
    except BadInput as bad:
        if otherwise is None or rules is not None:
            raise
        return otherwise(bad)
    finally:
        gc.freeze()
        gc.enable()


def find_place() -> tuple[RunLock | None, str]:
    """Where answers are kept, tidied; None and why where there is no such place."""
    try:
        run_lock = RunLock(paths.autosave_folder())
    except BadInput as error:
        return None, str(error)
    run_lock.tidy()
    return run_lock, ""


def keeping_of(pack: Pack, rules: Path | None) -> CaseKeeping:
    """The casebook of this user or shop, as it keeps the case in the window."""
    own = paths.overlay_folder() if rules is None else None
    folders = rules or paths.rules_folder(), own
    return CaseKeeping(paths.journal_file(), paths.casebook_place(), pack, folders)


def begin_keeping(window: MainWindow, run_lock: RunLock | None) -> None:
    """Open the casebook in the background, and take in what earlier versions left.

    From then on it is looked whether answers come there, and whether somebody else goes on
    with the same case.
    """
    keeping, pack = window.session.keeping, window.session.pack
    if keeping is None:
        return
    keeping.start()
    told = keeping

    def look() -> None:
        window.heed_keeping()
        if told.other is not None and QApplication.activeModalWidget() is None:
            window.files.heed_others()

    trimming = QTimer(window)
    trimming.timeout.connect(trim)
    trimming.start(TRIM)
    others = QTimer(window)
    others.timeout.connect(look)
    others.start(LOOK_FOR_OTHERS)
    if run_lock is not None:
        folder, free = run_lock.folder, run_lock.is_free
        keeping.ask(lambda book: taken_in_autosaves(
            book, folder, pack.facts, tuple(pack.methods), free))  # fmt: skip


def look_of(path: Path) -> Look:
    """The shop's settings; the usual ones where they cannot be read, which is said."""
    try:
        return Look(path)
    except BadInput as bad:
        heading = "The settings of this shop cannot be used; the usual ones are."
        dialogs.show_faults(None, heading, [fault.text for fault in bad.faults])
        return Look()


def load_ahead(pieces: Iterator[str], then: Callable[[], None]) -> None:
    """Have what the first advice needs loaded once the first question stands."""

    def load() -> None:
        if next(pieces, ""):
            QTimer.singleShot(BETWEEN_PIECES, load)
        else:
            QTimer.singleShot(BEFORE_CASEBOOK, then)

    QTimer.singleShot(BETWEEN_PIECES, load)


def run(case_path: Path | None = None, rules: Path | None = None) -> int:
    """Open the window, with ``case_path`` in it if given; returns the exit code.

    Raises BadInput where the rule pack or the given case cannot be used.
    """
    existing = QApplication.instance()
    app = existing if isinstance(existing, QApplication) else QApplication(sys.argv[:1])
    prepare(app)
    engine = lasting_engine(rules, told_of_faults)
    keep_small()
    run_lock, fault = find_place()
    session = Session(
        engine.pack, engine.quick, autosave=run_lock.autosave if run_lock else None,
        advise_fully=engine.full, advise_thoroughly=engine.thorough,
        keeping=keeping_of(engine.pack, rules),
    )  # fmt: skip
    session.autosave_fault = fault
    if rules is not None:
        session.rule_folders = (rules,)
    if case_path is not None:
        session.open(case_path)
    rescue = Rescue(session)
    before, sys.excepthook = sys.excepthook, rescue
    screen, look = app.primaryScreen().availableSize(), look_of(paths.settings_file())
    look.grown = theme.grown_for(screen.width(), screen.height())
    window = MainWindow(session, look=look)
    rescue.window = window
    try:
        # As large as the screen allows; made smaller by hand it still fits there.
        window.resize(screen.boundedTo(QSize(1280, 800)))
        window.showMaximized()
        window.files.run_lock = run_lock
        if case_path is not None:
            window.navigator.restart()
            window.files.after_opening(case_path)
        else:
            window.files.offer_kept()
            if not session.begun:
                window.show_home()
            if not window.look.settings.asked:
                QTimer.singleShot(0, window, window.ask_shop_first)
        load_ahead(load_advisor(engine.pack), lambda: begin_keeping(window, run_lock))
        return app.exec()
    finally:
        sys.excepthook = before
        rescue.window = None
        shut_down(app, window)
        session.release()
        if session.keeping is not None:
            session.keeping.stop()
        if run_lock is not None:
            run_lock.release()
