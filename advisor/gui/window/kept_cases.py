"""Offering what earlier runs kept: at the start, and when the file it came from is opened."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QWidget

from advisor.facts.case import Case
from advisor.facts.faults import BadInput
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.dialogs import Found
from advisor.gui.widgets.two_versions import Choice, Versions
from advisor.session.autosave import KeptCase, forget, put_by, read_autosave
from advisor.session.case_session import Session
from advisor.session.compare_cases import differences, merged
from advisor.session.known_file import NO_FILE, digest_of, same_place
from advisor.session.run_lock import RunLock

SAME = "The file has not been changed since these answers were given."
CHANGED = "The file was changed after these answers were given, here or by somebody else."
LATER = "Ask again later"


def offer_left_behind(
    session: Session, parent: QWidget, run_lock: RunLock, own: Path | None = None
) -> bool:
    """Offer what earlier runs left in the autosave folder; whether one was taken up.

    With ``own`` only what came from that file. What a living window works on, or another
    one is offering, is not offered here.
    """
    for path in run_lock.left_behind(session.autosave):
        with run_lock.offering(path) as free:
            if not free:
                continue
            pack = session.pack
            kept = read_autosave(path, pack.facts, tuple(pack.methods))
            origin = kept.origin.path
            if own is not None and (origin is None or not same_place(origin, own)):
                continue
            whole = kept.case is not None and not kept.unread
            if session.keeping is not None and origin is None and whole:
                continue  # the casebook takes it in
            if _offered(session, parent, kept):
                return True
    return False


def _offered(session: Session, parent: QWidget, kept: KeptCase) -> bool:
    """Offer one kept case; whether it is in the window now."""
    when = f"{kept.written:%d %b, %H:%M}" if kept.written else "time unknown"
    if kept.case is None:
        if dialogs.ask_unreadable(parent, kept.autosave.name, when, kept.unread) is Found.DELETE:
            _put_by(parent, kept)
        return False
    origin, filed, digest = kept.origin.path, None, NO_FILE
    remarks = [f"Not read, and left open: {line}" for line in kept.unread]
    if origin is not None:
        try:
            digest = digest_of(origin)
            filed = session.read(origin)
        except (BadInput, OSError):
            gone = digest == NO_FILE
            said = "is no longer there" if gone else "can no longer be read"
            remarks.append(f"The file it came from {said}: {origin}")
    if filed is not None:
        return _compared(session, parent, kept, filed, digest, when)
    title = kept.case.title or kept.case.name
    found = dialogs.ask_found(parent, title, when, len(kept.case.facts), remarks)
    if found is Found.TAKE_UP:
        return _taken(session, parent, kept, kept.case, None)
    if found is Found.DELETE:
        forget(kept.autosave)
    return False


def _compared(
    session: Session, parent: QWidget, kept: KeptCase, filed: Case, digest: str, when: str
) -> bool:
    """Offer a kept case whose file is there, side by side with it."""
    origin, case = kept.origin, kept.case or filed
    changed = digest != origin.digest
    rows = differences(case, filed, session.pack.facts, None if changed else filed)
    if not rows and not kept.unread:
        forget(kept.autosave)  # the file holds every answer
        return False
    name = origin.path.name if origin.path is not None else ""
    intro = (
        f"Answers to {case.title or case.name} ({when}) were not saved in {name}. "
        f"{CHANGED if changed else SAME}"
    )
    choices = [
        (Choice.MINE, "Take all kept answers"), (Choice.PICKED, "Take as picked"),
        (Choice.THEIRS, "Drop the kept answers"), (Choice.CANCEL, LATER),
    ]  # fmt: skip
    if not rows:
        choices = [choice for choice in choices if choice[0] is not Choice.PICKED]
    versions = Versions(
        "Unsaved answers were kept", intro, "Kept answers", f"{name} now", rows,
        session.system, choices, kept.unread,
    )  # fmt: skip
    choice, from_file = dialogs.ask_versions(parent, versions)
    if choice is Choice.MINE:
        return _taken(session, parent, kept, case, (digest, filed))
    if choice is Choice.PICKED:
        return _taken(session, parent, kept, merged(case, filed, from_file), (digest, filed))
    if choice is Choice.THEIRS:
        forget(kept.autosave)
    return False


def _taken(
    session: Session,
    parent: QWidget,
    kept: KeptCase,
    case: Case,
    filed: tuple[str, Case] | None,
) -> bool:
    """Put a kept case into the window; its old autosave goes once it is kept anew."""
    session.restore(kept, case, filed)
    if not session.kept:
        return True  # the window says so; the old autosave stays
    if kept.unread:
        _put_by(parent, kept)
    else:
        forget(kept.autosave)
    return True


def _put_by(parent: QWidget, kept: KeptCase) -> None:
    try:
        place = put_by(kept.autosave)
    except OSError as error:
        dialogs.show_faults(parent, "The file could not be moved.", [str(error)])
        return
    dialogs.tell(parent, "Set aside", f"The whole file, with what was not read, is now\n{place}")
