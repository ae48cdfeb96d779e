"""What must hold of the window after anything that a person does."""

from __future__ import annotations

import re
from collections.abc import Iterator

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractScrollArea,
    QApplication,
    QCheckBox,
    QLabel,
    QScrollArea,
    QStyle,
    QStyleOptionButton,
    QWidget,
)

from advisor.advice.result import GateState
from advisor.facts.case_file import read_case
from advisor.gui.widgets.fitted_words import ElidedLabel
from advisor.gui.widgets.method_bar import MethodBar
from advisor.gui.widgets.option_button import OptionButton
from advisor.gui.window.main_window import MainWindow
from advisor.session.case_session import Session
from advisor.session.screens import Tab

WRAP = int(Qt.TextFlag.TextWordWrap)
CLOSE = 1
"""px by which a text may be wider or higher than its room: figures are rounded."""
BORDER = 4
"""px of a button on each side that words must not reach."""
MONEY = re.compile(r"\bEUR\b")


def faults_of(window: MainWindow) -> list[str]:
    """Everything that is wrong with what the window shows; empty where nothing is."""
    shown = [window, *_dialogs(window)]
    found = [text for top in shown for text in (*cut_texts(top), *outside(top), *overlaid(top))]
    return [
        *found, *focus_faults(window), *count_faults(window), *gate_faults(window),
        *autosave_faults(window.session),
    ]


def _dialogs(window: MainWindow) -> list[QWidget]:
    tops = QApplication.topLevelWidgets()
    return [top for top in tops if top.isVisible() and top is not window]


def shown_in(top: QWidget, *kinds: type[QWidget]) -> Iterator[QWidget]:
    """Everything of some kinds that is visible in ``top``, in the order it was made.

    By the children of each, for what ``findChildren`` gives is held by ``top`` for good.
    """
    for child in top.children():
        if isinstance(child, QWidget) and child.isVisible() and not child.isWindow():
            if isinstance(child, kinds):
                yield child
            yield from shown_in(child, *kinds)


# -- what can be read -------------------------------------------------------------------


def cut_texts(top: QWidget) -> list[str]:
    """Labels and buttons that need more room than they have."""
    found = []
    for label in shown_in(top, QLabel):
        assert isinstance(label, QLabel)
        if isinstance(label, ElidedLabel):  # ends in dots by intent, whole under the pointer
            if label.toolTip() != label.text():
                found.append(f"cut: label {label.text()!r} is nowhere whole")
        elif label.text() and label.pixmap().isNull() and _label_is_cut(label):
            found.append(f"cut: label {label.text()!r} in {label.width()} x {label.height()}")
    for button in shown_in(top, QAbstractButton):
        assert isinstance(button, QAbstractButton)
        if button.text() and _button_is_cut(button):
            found.append(f"cut: button {button.text()!r} in {button.width()} x {button.height()}")
    return found


def _label_is_cut(label: QLabel) -> bool:
    if label.textFormat() is Qt.TextFormat.RichText:
        return label.heightForWidth(label.width()) > label.height() + CLOSE
    room = label.contentsRect()
    flags = WRAP if label.wordWrap() else 0
    box = QRect(0, 0, room.width(), 9999)
    need = QFontMetrics(label.font()).boundingRect(box, flags, label.text())
    return need.width() > room.width() + CLOSE or need.height() > room.height() + CLOSE


def _button_is_cut(button: QAbstractButton) -> bool:
    if isinstance(button, (OptionButton, MethodBar)):
        return button.heightForWidth(button.width()) > button.height()
    lines = button.text().split("\n")
    metrics = QFontMetrics(button.font())
    wide = max(metrics.horizontalAdvance(text) for text in lines)
    high = metrics.height() * len(lines)
    room = button.width() - 2 * BORDER
    if isinstance(button, QCheckBox):
        option = QStyleOptionButton()
        option.initFrom(button)
        part = QStyle.SubElement.SE_CheckBoxContents
        room = button.style().subElementRect(part, option, button).width()
    return wide > room + CLOSE or high > button.height()


def outside(top: QWidget) -> list[str]:
    """Widgets that stick out of what they stand on; what is scrolled may."""
    found = []
    for widget in shown_in(top, QWidget):
        parent = widget.parentWidget()
        scrolled = isinstance(parent.parentWidget(), QAbstractScrollArea) if parent else True
        if parent is None or scrolled or widget.isWindow():
            continue
        if not parent.rect().contains(widget.geometry()):
            place = widget.geometry().getRect()
            found.append(f"outside: {told(widget)} at {place} in {told(parent)} "
                         f"{parent.width()} x {parent.height()}")
    for area in shown_in(top, QScrollArea):
        assert isinstance(area, QScrollArea)
        inside, room = area.widget(), area.viewport().width()
        never = area.horizontalScrollBarPolicy() is Qt.ScrollBarPolicy.ScrollBarAlwaysOff
        if never and inside is not None and inside.width() > room:
            found.append(f"outside: {inside.width()} px in a column of {room} px")
    return found


def overlaid(top: QWidget) -> list[str]:
    """Labels and buttons of one parent that lie on each other."""
    by_parent: dict[QWidget | None, list[QWidget]] = {}
    for widget in (*shown_in(top, QLabel), *shown_in(top, QAbstractButton)):
        if not widget.text():  # type: ignore[attr-defined]
            continue
        by_parent.setdefault(widget.parentWidget(), []).append(widget)
    found = []
    for siblings in by_parent.values():
        ordered = sorted(siblings, key=lambda w: w.y())
        for index, one in enumerate(ordered):
            for other in ordered[index + 1:]:
                if other.y() >= one.geometry().bottom():
                    break
                common = one.geometry().intersected(other.geometry())
                if common.width() > CLOSE and common.height() > CLOSE:
                    found.append(f"overlaid: {told(one)} and {told(other)}")
    return found


def told(widget: QWidget | None) -> str:
    """A widget in a few words."""
    text = getattr(widget, "text", None)
    words = text() if callable(text) else ""
    return f"{type(widget).__name__} {str(words)[:60]!r}".removesuffix(" ''")


# -- what holds of the case --------------------------------------------------------------


def focus_faults(window: MainWindow) -> list[str]:
    """The keyboard is where one sees it, or with the window as a whole."""
    tops = _dialogs(window)
    focus = (tops[0] if tops else window).focusWidget()
    if focus is None or (focus.isVisible() and focus.isEnabled()):
        return []
    return [f"focus: on {told(focus)}, visible {focus.isVisible()}, enabled {focus.isEnabled()}"]


def count_faults(window: MainWindow) -> list[str]:
    """The bar of stages counts the answers that the case holds."""
    session, found = window.session, []
    for tab, button in window.stages.buttons.items():
        facts = [e.key for e in window.navigator.order if e.tab is tab and e.fact is not None]
        done = sum(key in session.case.facts for key in facts)
        said, wanted = button.accessibleName(), f"{done} of {len(facts)} answered"
        if facts and said != f"{button.text()}, {wanted}":
            found.append(f"counts: {said!r} where {wanted} is right")
        if facts and button.share != done / len(facts):
            found.append(f"counts: {button.share} of {said!r} is sewn where {wanted} is right")
        here = not window.at_home and window.navigator.entry.tab is Tab(tab)
        if button.isChecked() is not here:
            found.append(f"counts: {button.text()!r} is marked: {button.isChecked()}")
    return found


def gate_faults(window: MainWindow) -> list[str]:
    """Where a hazard stops the job there is no plan, no price and no step to be seen."""
    session = window.session
    if not session.begun or window.navigator.trial is not None or window.over is not None:
        return []
    if window.at_home:
        return []  # the list of all cases, not this one
    if not any(gate.state is GateState.CLOSED for gate in session.advice.gates):
        return []
    texts = [*texts_of(window)]
    found = [f"stopped: price in {text!r}" for text in texts if MONEY.search(text)]
    bad = {"Steps", "The plan, in this order", "Quote", "Minutes", "Materials", "Other ways"}
    found += [f"stopped: {text!r} is shown" for text in texts if text in bad]
    if not any(text.startswith("Stop") for text in texts):
        found.append("stopped: nothing on the screen says so")
    return found


def texts_of(top: QWidget) -> list[str]:
    """All words of labels and buttons that are shown, in order of the widgets."""
    both = [*shown_in(top, QLabel), *shown_in(top, QAbstractButton)]
    return [text for w in both if (text := w.text().strip())]  # type: ignore[attr-defined]


def autosave_faults(session: Session) -> list[str]:
    """What lies on disk is the case in the window; nothing unsaved is without it."""
    path = session.autosave
    if session.autosave_fault:
        return [f"autosave: {session.autosave_fault}"]
    if path is None or session.keeping is not None:  # the journal holds them then
        return []
    if not path.exists():
        lost = session.dirty and session.can_undo
        return ["autosave: answers are in no file at all"] if lost else []
    methods = tuple(session.pack.methods)
    kept = read_case(path, session.pack.facts, methods=methods)
    same = kept == session.case
    return [] if same else [f"autosave: {kept} where the case is {session.case}"]
