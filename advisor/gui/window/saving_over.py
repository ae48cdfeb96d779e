"""A file that changed under a case: shown beside the case, and what to do with both."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtWidgets import QWidget

from advisor.facts.faults import BadInput
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.two_versions import Choice, Versions
from advisor.session.case_session import Session
from advisor.session.compare_cases import differences, merged
from advisor.session.history import same
from advisor.session.known_file import FileChanged, same_place


def settle(session: Session, parent: QWidget, found: FileChanged) -> Choice:
    """Show what a file holds now beside the case in the window, and ask.

    What was taken over or merged is in the session by then. ``MINE`` also where there is
    nothing to ask: no answer in the file differs from what is known here.
    """
    own = session.path is not None and same_place(session.path, found.path)
    base = session.file.case if own and session.file is not None else None
    theirs, faults = None, list[str]()
    if not found.gone:
        try:
            theirs = session.read(found.path)
        except BadInput as error:
            faults = [fault.in_file_text for fault in error.faults]
    if theirs is not None and base is not None and same(theirs, base):
        return Choice.MINE  # only its comments or layout were changed
    facts = session.pack.facts
    rows = differences(session.case, theirs, facts, base) if theirs is not None else ()
    if theirs is not None and own and not rows:
        return Choice.MINE
    intro, choices = _asked(found, own, theirs is not None)
    if any(row.hazard for row in rows):
        intro += " A hazard has a different answer: check before you choose."
    versions = Versions(
        "Nothing is saved yet", f"{intro} Nothing is saved yet.", "This window",
        f"{found.path.name} now", rows, session.system, choices, faults,
    )  # fmt: skip
    choice, from_theirs = dialogs.ask_versions(parent, versions)
    if theirs is not None and choice in (Choice.THEIRS, Choice.PICKED):
        picked = choice is Choice.PICKED
        case = merged(session.case, theirs, from_theirs) if picked else theirs
        session.adopt(case, found.digest, theirs)
    return choice


def _asked(
    found: FileChanged, own: bool, readable: bool
) -> tuple[str, Sequence[tuple[Choice, str]]]:
    """What happened to the file, and what may be done."""
    name, mine = found.path.name, "Keep mine"
    if found.gone:
        mine = "Write it again"
        intro = f"{name} is no longer there: it was renamed, moved or deleted."
    elif not own:
        mine = "Replace it"
        intro = f"{name} is there already, with another case or version in it."
    elif readable:
        intro = f"{name} was changed by another window or program since it was read here."
    else:
        intro = f"{name} was changed since it was read here, and cannot be read any more."
    choices = [(Choice.MINE, mine)]
    if own and readable:
        choices += [(Choice.THEIRS, "Take theirs"), (Choice.PICKED, "Save as picked")]
    return intro, [*choices, (Choice.OTHER_NAME, "Another name..."), (Choice.CANCEL, "Cancel")]
