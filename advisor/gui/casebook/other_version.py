"""Another version of the case in the window: shown beside it, and merged answer by answer."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from advisor.gui.widgets import dialogs
from advisor.gui.widgets.two_versions import Choice, Versions
from advisor.session.case_session import Session
from advisor.session.compare_cases import differences, merged


def settle(session: Session, parent: QWidget) -> bool:
    """Ask where somebody else has gone on with this case; whether the case changed.

    Called off, both versions stay in the casebook, and it is asked again at the next stage.
    """
    if session.keeping is None or session.keeping.other is None:
        return False
    other = session.keeping.other
    rows = differences(session.case, other.theirs, session.pack.facts, other.base)
    if not rows:
        session.take_version(session.case, other.number)
        return False
    filed = session.keeping.from_file
    intro = (
        "The casebook has a case of this name, and other answers to it. Both versions are kept."
        if filed else "Somebody else has gone on with this case. Both versions are kept."
    )  # fmt: skip
    if any(row.hazard for row in rows):
        intro += " A hazard has a different answer: check before you choose."
    choices = [
        (Choice.MINE, "Keep mine"), (Choice.THEIRS, "Take theirs"),
        (Choice.PICKED, "Go on as picked"),
        *([(Choice.OTHER_NAME, "It is another case")] if filed else []),
        (Choice.CANCEL, "Ask again later"),
    ]  # fmt: skip
    versions = Versions(
        "Two versions of one case", intro, "This window",
        "The casebook" if filed else "The other", rows, session.system, choices, [],
    )  # fmt: skip
    choice, from_theirs = dialogs.ask_versions(parent, versions)
    if choice is Choice.OTHER_NAME:
        session.keeping.is_another(session.case)
        return False
    if choice is Choice.CANCEL:
        session.keeping.other = None
        return False
    case = {
        Choice.MINE: session.case,
        Choice.THEIRS: other.theirs,
        Choice.PICKED: merged(session.case, other.theirs, from_theirs),
    }[choice]
    session.take_version(case, other.number)
    return True
