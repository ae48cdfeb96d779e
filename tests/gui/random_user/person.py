"""A person who tries everything: seeded random clicks, keys and typing on the real window."""

from __future__ import annotations

import inspect
import random
import shutil
import time
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QEvent, QPoint, Qt, QTimer
from PySide6.QtGui import QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QComboBox,
    QDialog,
    QLineEdit,
    QMenu,
    QPlainTextEdit,
    QPushButton,
    QScrollArea,
    QToolButton,
    QWidget,
)
from shiboken6 import isValid

from advisor import paths
from advisor.facts.case import Case
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.dialogs import Found, Leave
from advisor.gui.window.main_window import MainWindow
from advisor.session.history import BeforeAnswer
from tests.gui.random_user.window_checks import faults_of, shown_in, told

LEFT = Qt.MouseButton.LeftButton
CTRL, ALT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.AltModifier
NONE, SHIFT = Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ShiftModifier
DIGITS = [Qt.Key(Qt.Key.Key_0.value + n) for n in range(10)]
KEYS = [
    Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_Left, Qt.Key.Key_Right, Qt.Key.Key_Return,
    Qt.Key.Key_Enter, Qt.Key.Key_Tab, Qt.Key.Key_Backtab, Qt.Key.Key_Escape, Qt.Key.Key_Space,
    Qt.Key.Key_Y, Qt.Key.Key_N, Qt.Key.Key_H, Qt.Key.Key_Plus, Qt.Key.Key_Minus,
    Qt.Key.Key_PageDown, Qt.Key.Key_Home, Qt.Key.Key_Delete, Qt.Key.Key_Backspace,
    *[Qt.Key(Qt.Key.Key_F1.value + n) for n in range(7)],
]
SHORTCUTS = [
    *[(key, CTRL) for key in (
        Qt.Key.Key_U, Qt.Key.Key_Z, Qt.Key.Key_J, Qt.Key.Key_T, Qt.Key.Key_G, Qt.Key.Key_S,
        Qt.Key.Key_P,
    )],
    (Qt.Key.Key_Right, ALT), (Qt.Key.Key_Left, ALT), (Qt.Key.Key_Tab, SHIFT),
]
RARE = [(key, CTRL) for key in (Qt.Key.Key_N, Qt.Key.Key_O, Qt.Key.Key_E, Qt.Key.Key_Q)]
TYPED = [
    "120", "120 mm", "4 1/2 in", "1/2\"", "4,5 mm", "1.234,5 mm", "120 to 130 mm", "130 to 120",
    "60 C", "-20 C", "95 F", "3 years", "5 kg", "0", "-1", "1e9 mm", "1e999", "nan", "inf", "%",
    "about two hands", "     ", ">PP+EPDM-TD20<", ">ABS<", "pp td20", "½ in", "٣ mm", "12 x 8 x 3",
    "<b>bold</b> & \"quoted\"", "\u202e right to left", "5 / 6 / 7", "80 %", "x" * 400, "äöüß €",
    "Sew it\tagain", "null", "- a: b", "12 mm 13 mm", "armrest", "head", "zzz",
]
SIZES = [(760, 600), (800, 1100), (1024, 600), (1280, 800), (1600, 1000)]


def looked_at(dialog: QDialog) -> int:
    """In place of waiting for somebody to shut it."""
    dialog.open()
    settled()
    dialog.reject()
    settled()
    return dialog.result()


def waited(ready: Callable[[], bool]) -> bool:
    """In place of a dialog that waits, without events meanwhile."""
    end = time.monotonic() + 20.0
    while not ready() and time.monotonic() < end:
        time.sleep(0.005)
    return ready()


def bad_pictures(folder: Path) -> list[str]:
    """Files for a picture: one that is, one that is none, one that is missing, a folder."""
    small = QImage(64, 48, QImage.Format.Format_RGB32)
    small.fill(Qt.GlobalColor.darkCyan)
    small.save(str(folder / "b b.png"))
    (folder / "none.jpg").write_bytes(b"no picture")
    return [str(folder / name) for name in ("b b.png", "none.jpg", "\u00fc.heic", "demo")]


class RandomUser:
    """Does one thing after another; ``trail`` tells what was done, for the message."""

    def __init__(self, window: MainWindow, seed: int, folder: Path) -> None:
        self.window = window
        self.rng = random.Random(seed)
        self.folder = folder
        self.trail: list[str] = []
        self.heed: Callable[[str], object] = len
        """Is told what was done before the window has settled: it may never do."""
        self._before: dict[int, tuple[BeforeAnswer, Case]] = {}
        """Each step that Undo may take back, with the case that was seen before it."""
        self._ways: list[tuple[int, Callable[[], str]]] = [
            (40, self.click_button), (12, self.press_key), (10, self.press_digit),
            (8, self.shortcut), (8, self.type_something), (4, self.resize), (4, self.undo),
            (3, self.click_anywhere), (2, self.pick_in_list), (1, self.rare_shortcut),
        ]

    def stub_dialogs(self, monkeypatch) -> None:
        """File dialogs and questions are answered at random, without waiting for anybody."""
        # Copies: what is opened may be saved again.
        copies = shutil.copytree(paths.demo_folder(), self.folder / "demo", dirs_exist_ok=True)
        rng, demos = self.rng, sorted(copies.glob("*.yaml"))
        bad = self.folder / "bad.yaml"
        bad.write_text("format: 1\ncase: HB-1\nfacts:\n  part.kind: armest\n", encoding="utf-8")
        opened = [None, bad, self.folder / "own.yaml", *demos]
        pictures = bad_pictures(self.folder)
        answers: dict[str, Callable[..., object]] = {
            "ask_open": lambda parent, folder: rng.choice(opened),
            "ask_save": lambda parent, path: rng.choice([None, self.folder / "own.yaml"]),
            "ask_export": lambda parent, path: rng.choice([None, self.folder / "out.txt"]),
            "ask_photos": lambda parent: tuple(rng.sample(pictures, 2)),
            "ask_files": lambda parent: tuple(rng.sample(pictures, rng.randint(0, 2))),
            "ask_picture": lambda parent: rng.choice(["", rng.choice(list(pictures))]),
            "ask_choice": lambda parent, title, what, choices: rng.choice(["", *choices]),
            "ask_found": lambda *_: Found.LATER,
            "ask_unreadable": lambda *_: Found.LATER,
            "ask_leave": lambda *_: rng.choice(list(Leave)),
            "ask_versions": lambda parent, versions: (
                rng.choice([choice for choice, _ in versions.choices]),
                frozenset(row.key for row in versions.rows if rng.random() < 0.5),
            ),
            "show_faults": lambda parent, heading, faults: None,
            "tell": lambda parent, title, text: None,
            "open_file": lambda path: True,
            "ask_printer": lambda parent, paper: None,
            "ask_write": lambda parent, title, proposed, kinds: rng.choice(
                [None, self.folder / proposed.name]
            ),
            "ask_read": lambda parent, title, kinds: rng.choice([None, bad, *map(Path, pictures)]),
            "ask_folder": lambda parent, proposed: None,
            "ask_erase": lambda parent, text: False,
            "ask_name": lambda parent, title, what, proposed="": rng.choice(["", *TYPED]).strip(),
            "open_written": lambda parent, path: None,
            "wait_for": lambda parent, text, ready: waited(ready),
        }
        asking = {
            name for name, made in vars(dialogs).items()
            if inspect.isfunction(made) and made.__module__ == dialogs.__name__
        }  # fmt: skip
        # One that is left would wait for somebody for ever; ``waited_for`` waits by ``wait_for``,
        # ``fit`` only gives a dialog its size, and ``not_written`` words.
        assert asking - answers.keys() == {"waited_for", "fit", "not_written"}, (
            asking ^ answers.keys())
        for name, answer in answers.items():
            monkeypatch.setattr(dialogs, name, answer)
        # Help, the shop, the kept cases: shown, and shut again as by Escape.
        monkeypatch.setattr(QDialog, "exec", looked_at)

    # -- one thing after another -------------------------------------------------------

    def act(self) -> list[str]:
        """Do one thing, let the window settle, and tell what is wrong then."""
        if not self.top.isActiveWindow():  # as where one touches it
            self.top.activateWindow()
            settled(2)
        weights, ways = zip(*self._ways, strict=True)
        session = self.window.session
        case, history = session.case, list(session._history)
        done = self.rng.choices(ways, weights)[0]()
        self.trail.append(done)
        self.heed(done)
        settled()
        found = faults_of(self.window)
        if found:
            # What is worked out between the events may have come with the last of them.
            settled(20)
            found = faults_of(self.window)
        return found + self._undone(case, history)

    def _undone(self, case: Case, history: list[BeforeAnswer]) -> list[str]:
        """Whether a step back led to the case as it was seen before the step."""
        session, now = self.window.session, self.window.session._history
        if now[:-1] == history and now:
            self._before[id(now[-1])] = (now[-1], case)
        if now != history[:-1] or not history or id(history[-1]) not in self._before:
            return []
        wanted = self._before[id(history[-1])][1]
        if not session.can_redo or session.case.name != wanted.name:
            return []  # another case has come into the window
        return [] if session.case == wanted else [f"undo: {session.case} instead of {wanted}"]

    def tell(self, last: int = 15) -> str:
        """What was done last, for the message of a failure."""
        return "\n".join(self.trail[-last:])

    @property
    def page(self) -> str:
        """What is looked at, for the message of a failure."""
        top, window = self.top, self.window
        if top is not window:
            return f"{type(top).__name__} {top.windowTitle()!r}"
        if window.at_home:
            return type(window.places.currentWidget()).__name__
        over = window.over
        return window.navigator.screen if over is None else type(over).__name__

    # -- what there is to do -----------------------------------------------------------

    @property
    def top(self) -> QWidget:
        """What a person looks at: the dialog, or else the window."""
        modal = QApplication.activeModalWidget()
        return modal if modal is not None else self.window

    def _focus(self) -> QWidget:
        return self.top.focusWidget() or self.top

    def click_button(self) -> str:
        """Click any button that can be seen, or one that scrolling brings into sight."""
        buttons = [
            b for b in shown_in(self.top, QAbstractButton) if b.isEnabled() and b.width() > 4
        ]
        if not buttons:
            return "nothing to click"
        # A hundred boxes of a list count as one, or little else would ever be pressed.
        kind = self.rng.choice(sorted({told(button) for button in buttons}))
        button = self.rng.choice([button for button in buttons if told(button) == kind])
        name = f"click {kind}"
        place = reveal(button)
        if place is None:
            return f"{name}, gone"
        if not button.visibleRegion().contains(place):
            return f"{name}, out of sight"
        under = self.top.childAt(button.mapTo(self.top, place))
        assert under is button or button.isAncestorOf(under), f"{name}: {told(under)} lies on it"
        menu = button.menu() if isinstance(button, QPushButton | QToolButton) else None
        if menu is not None:
            QTimer.singleShot(0, menu, lambda: self._choose(menu))
        QTest.mouseClick(button, LEFT, NONE, place)
        if menu is not None:
            settled()
        return name

    def _choose(self, menu: QMenu) -> None:
        if not menu.isVisible():
            return
        action = self.rng.choice([*menu.actions(), None])
        if action is None:
            QTest.keyClick(menu, Qt.Key.Key_Escape)
        else:
            QTest.mouseClick(menu, LEFT, NONE,
                             menu.actionGeometry(action).center())
        menu.hide()

    def press_key(self) -> str:
        """Any key that means something somewhere."""
        return self._press(self.rng.choice(KEYS))

    def press_digit(self) -> str:
        """A digit, as on a question with choices."""
        return self._press(self.rng.choice(DIGITS))

    def shortcut(self) -> str:
        """A key of the menus."""
        return self._press(*self.rng.choice(SHORTCUTS))

    def rare_shortcut(self) -> str:
        """New, open, export, close; after closing the window is shown again."""
        done = self._press(*self.rng.choice(RARE))
        if not self.window.isVisible():
            # As the next start does it, where the case was kept or thrown away.
            self.window.session.start_new()
            self.window.files.replaced.emit()
            self.window.navigator.restart()
            self.window.show()
            QTest.qWaitForWindowActive(self.window)
        return done

    def _press(self, key: Qt.Key, more: Qt.KeyboardModifier = NONE) -> str:
        focus = self._focus()
        name = f"press {more.name} {key.name} on {told(focus)}"
        combo = isinstance(focus, QComboBox)
        if combo and key in (Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter):
            return f"{name}: left alone, opens a list"
        QTest.keyClick(focus, key, more)
        return name

    def undo(self) -> str:
        """Take the last answer back."""
        return self._press(Qt.Key.Key_Z, CTRL)

    def type_something(self) -> str:
        """Write something useful or useless into a field, or where the keyboard is."""
        lines: list[QWidget] = [
            w for w in shown_in(self.top, QLineEdit, QPlainTextEdit) if w.isEnabled()
        ]
        field = self.rng.choice(lines) if lines else self._focus()
        text = self.rng.choice(TYPED)
        name = f"type {text[:30]!r} into {told(field)}"
        if lines:
            place = reveal(field)
            if place is None:
                return f"{name}, gone"
            QTest.mouseClick(field, LEFT, NONE, place)
            if self.rng.random() < 0.6:
                QTest.keyClick(field, Qt.Key.Key_A, CTRL)
                QTest.keyClick(field, Qt.Key.Key_Delete)
            for letter in text:
                if not field.hasFocus():
                    break  # a digit has picked an answer, and the screen is another one
                QTest.keyClick(field, letter) if letter.isascii() else insert(field, letter)
        if self.rng.random() < 0.5:
            QTest.keyClick(self._focus(), self.rng.choice([Qt.Key.Key_Return, Qt.Key.Key_Tab]))
        return name

    def resize(self) -> str:
        """Another window size; units now and then."""
        wide, high = self.rng.choice(SIZES) if self.rng.random() < 0.5 else (
            self.rng.randint(760, 1600), self.rng.randint(600, 1000)
        )
        self.window.resize(wide, high)
        return f"resize to {wide} x {high}"

    def click_anywhere(self) -> str:
        """A click, a double click or a drag wherever it falls."""
        place = QPoint(self.rng.randrange(self.top.width()), self.rng.randrange(self.top.height()))
        widget = self.top.childAt(place)
        if widget is None or isinstance(widget, QComboBox | QMenu) or _menus(widget):
            return "click on nothing"
        inside = widget.mapFrom(self.top, place)
        name = f"click at {place.x()}, {place.y()} on {told(widget)}"
        click = self.rng.choice([QTest.mouseClick, QTest.mouseDClick])
        click(widget, LEFT, NONE, inside)
        return name

    def pick_in_list(self) -> str:
        """A row of a list or another entry of a drop-down, by keys."""
        lists = [
            w for w in shown_in(self.top, QComboBox, QAbstractItemView) if w.isEnabled()
        ]
        chosen = self.rng.choice(lists or [self._focus()])
        chosen.setFocus()
        for _ in range(self.rng.randint(1, 3)):
            QTest.keyClick(chosen, self.rng.choice([Qt.Key.Key_Down, Qt.Key.Key_Up]))
        return f"keys on {told(chosen)}"


def _menus(widget: QWidget) -> bool:
    """Whether a click would open a menu or list that waits for an answer."""
    opens = isinstance(widget, QPushButton) and widget.menu() is not None
    return opens or "QMenu" in type(widget).__name__ or "ComboBox" in type(widget).__name__


def insert(field: QWidget, letter: str) -> None:
    """What no key of a plain keyboard has comes by pasting or by an input method."""
    if isinstance(field, QLineEdit):
        field.insert(letter)
        field.textEdited.emit(field.text())
    elif isinstance(field, QPlainTextEdit):
        field.insertPlainText(letter)


def reveal(widget: QWidget) -> QPoint | None:
    """Scroll until the middle of a widget is in sight; where that is.

    None where late advice has taken the widget away meanwhile.
    """
    above = widget.parentWidget()
    while above is not None:
        if isinstance(above, QScrollArea):
            above.ensureWidgetVisible(widget, 0, 20)
        above = above.parentWidget()
    settled(2)
    if not isValid(widget):
        return None
    seen = widget.visibleRegion().boundingRect()
    return seen.center() if not seen.isEmpty() else widget.rect().center()


def settled(rounds: int = 5) -> None:
    """Everything that was set off has its place, but for what takes long."""
    for _ in range(rounds):
        QApplication.processEvents()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
