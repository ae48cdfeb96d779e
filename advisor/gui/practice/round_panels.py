"""What is answered in each step of a round; all by keys too."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from PySide6.QtCore import QElapsedTimer, QEvent, QObject, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QApplication,
    QGridLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QScrollArea,
    QSlider,
    QVBoxLayout,
    QWidget,
)

from advisor.gui import theme
from advisor.gui.practice.force_board import ForceBoard
from advisor.gui.widgets.option_button import OptionButton
from advisor.gui.widgets.page import label
from advisor.gui.widgets.refilled_column import empty
from advisor.practice.answers import Belief, Help
from advisor.practice.forces import DIRECTION_TITLES, WHEN_TITLES, Direction, DrawnForce, When
from advisor.practice.round import Round
from advisor.wording.durations import duration_text
from advisor.wording.sentences import capital, lowered

#: Keys of the rows of a list, in order.
ROW_KEYS = "123456789abcdefghijklmnopqrstuvwxyz"
WHEN_KEYS = {Qt.Key.Key_A: When.ALWAYS, Qt.Key.Key_U: When.EACH_USE, Qt.Key.Key_H: When.HARDEST}
RANK_TITLES = {1: "largest", 2: "second", 3: "third"}
DRAW_THEM = "Draw those that act here, then name the one that decides."
LOW = 400
"""Height in px at 100 % text from which the forces have a button for each way and time."""
STEP = 5
"""Certainty goes in steps of so many percent."""
BEGIN = 50


class StepPanel(QWidget):
    """One step. ``changed`` follows each answer."""

    changed = Signal()
    head = ""

    def fill(self, one: Round) -> None:
        """Show the step of a round from its beginning."""
        raise NotImplementedError  # Qt does not check abstract methods; a test does.

    def lacks(self) -> str:
        """What is still to be done before one may go on; empty where nothing is."""
        return ""

    def leave(self) -> None:
        """Hand over what was answered, and end the step."""
        raise NotImplementedError

    def take_key(self, event: QKeyEvent) -> bool:
        """Whether the key was for this step."""
        return False

    def take_focus(self) -> None:
        """Give the keyboard to the first thing of the step."""


class RowsPanel(StepPanel):
    """A scrolled list of rows with a key each."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.round: Round | None = None
        self.intro = label("", "quiet", self)
        self.area = QScrollArea(self)
        self.area.setWidgetResizable(True)
        self.area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.inside = QWidget(self.area)
        self.column = QVBoxLayout(self.inside)
        self.column.setContentsMargins(0, 0, 4, 0)
        self.column.setSpacing(6)
        self.area.setWidget(self.inside)
        self.rows: list[OptionButton] = []
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self.intro)
        whole.addWidget(self.area, 1)

    def set_rows(
        self, rows: Sequence[tuple[str, str, str, bool]], pressed: Callable[[str], object],
        *, short: bool,
    ) -> None:  # fmt: skip
        """Rows of key, title, sentence and whether ticked; the keyboard stays where it was."""
        held = next((row.key for row in self.rows if row.hasFocus()), "")
        at = self.area.verticalScrollBar().value()
        empty(self.column)
        self.rows = []
        for (key, title, sentence, ticked), letter in zip(rows, _keys(len(rows)), strict=True):
            row = OptionButton(key, title, sentence, letter, self.inside)
            row.set_ticks(True)
            row.set_short(short)
            row.setChecked(ticked)
            row.clicked.connect(partial(pressed, key))
            self.column.addWidget(row)
            row.show()
            self.rows.append(row)
            if key == held:
                row.setFocus()
        self.column.addStretch(1)
        self.area.verticalScrollBar().setValue(at)

    def take_key(self, event: QKeyEvent) -> bool:
        """The key of a row presses it."""
        text = event.text().lower()
        found = [row for row in self.rows if text and row.digit == text]
        if not found:
            return False
        self.area.ensureWidgetVisible(found[0])
        found[0].click()
        return True

    def take_focus(self) -> None:
        """The first row."""
        if self.rows:
            self.rows[0].setFocus()


def _keys(count: int) -> Sequence[str]:
    return [*ROW_KEYS[:count], *([""] * max(count - len(ROW_KEYS), 0))]


class HazardPanel(RowsPanel):
    """The hazards of such a part: ticked ones are asked about, and answered at once."""

    head = "Which hazards must be cleared first?"

    def fill(self, one: Round) -> None:
        self.round = one
        self.intro.setText("Tick each one you would ask about. Not ticked is not asked.")
        self._redraw()

    def _redraw(self) -> None:
        assert self.round is not None
        rows = []
        for item in self.round.hazards:
            said = f"{capital(item.answer)}. {item.text}".strip() if item.answer else item.ask
            rows.append((item.key, item.title, said, bool(item.answer)))
        self.set_rows(rows, self._ask, short=False)

    def _ask(self, key: str, _: bool = True) -> None:
        assert self.round is not None
        self.round.ask_hazard(key)
        self._redraw()
        self.changed.emit()

    def leave(self) -> None:
        assert self.round is not None
        self.round.end_hazards()


class AskPanel(RowsPanel):
    """Observations, each at its minutes."""

    head = "What would you ask or look at?"

    def fill(self, one: Round) -> None:
        self.round = one
        self.intro.setText("Each takes its minutes. Ask only what may change the repair.")
        self._redraw()

    def _redraw(self) -> None:
        assert self.round is not None
        rows = []
        for item in self.round.observations():
            said = item.answer or duration_text(item.minutes)
            title = f"{item.title}: {lowered(said)}" if item.answer else f"{item.title}, {said}"
            rows.append((item.fact, title, f"{item.ask} {item.how}", bool(item.answer)))
        self.set_rows(rows, self._ask, short=True)

    def _ask(self, fact: str, _: bool = True) -> None:
        assert self.round is not None
        self.round.ask(fact)
        self._redraw()
        self.changed.emit()

    def leave(self) -> None:
        assert self.round is not None
        self.round.end_asking()


class ForcePanel(RowsPanel):
    """The forces on offer; the picked one is drawn on the board."""

    head = "Draw the forces"

    def __init__(self, board: ForceBoard, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._board = board
        self._when = When.ALWAYS
        self.governing = ""
        board.drawn.connect(self._drawn)
        grid = QGridLayout()
        grid.setSpacing(6)
        self.ways: dict[Direction, QPushButton] = {}
        self.times: dict[When, QPushButton] = {}
        for place, (way, text) in enumerate((
            (Direction.APART, "→ Apart"), (Direction.TOGETHER, "← Close"),
            (Direction.OUT, "↑ Off"), (Direction.IN, "↓ Into"),
        )):  # fmt: skip
            button = self._button(text, f"It {DIRECTION_TITLES[way]}", partial(self._way, way))
            self.ways[way] = button
            grid.addWidget(button, place // 2, place % 2)
        self.rub = self._button("Rub out", "It does not act", self.rub_out)
        grid.addWidget(self.rub, 2, 0, 1, 2)
        for place, (when, text) in enumerate((
            (When.ALWAYS, "A  All the time"), (When.EACH_USE, "U  At every use"),
            (When.HARDEST, "H  Hardest moment"),
        )):  # fmt: skip
            button = self._button(text, f"It acts {WHEN_TITLES[when]}", partial(self._time, when))
            self.times[when] = button
            grid.addWidget(button, place, 2)
        self.larger = self._button("+  Larger", "It ranks higher", partial(self._rank, -1))
        self.smaller = self._button("-  Smaller", "It ranks lower", partial(self._rank, 1))
        self.decides = self._button("G  Decides", "This force decides", self.name)
        for place, button in enumerate((self.larger, self.smaller, self.decides)):
            grid.addWidget(button, 3, place)
        layout = self.layout()
        assert isinstance(layout, QVBoxLayout)
        layout.addLayout(grid)

    def _button(self, text: str, name: str, action: Callable[[], object]) -> QPushButton:
        button = QPushButton(text, self)
        button.setAccessibleName(name)
        button.setToolTip(name)
        button.setMinimumHeight(theme.TARGET)
        button.clicked.connect(lambda _=False: action())
        return button

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Where it is low the mouse draws on the board, and the list has the height."""
        super().resizeEvent(event)
        for button in (*self.ways.values(), *self.times.values(), self.rub):
            button.setVisible(self.height() >= theme.px(LOW))

    def fill(self, one: Round) -> None:
        self.round, self.governing, self._when = one, "", When.ALWAYS
        offered = one.forces().offered
        given = one.help <= Help.COMPLETE
        self.intro.setText("" if given else DRAW_THEM)
        self.intro.setHidden(given)
        self._board.picked = offered[0].cause if offered else ""
        self._board.drawing_on = True
        self._redraw()

    def _redraw(self) -> None:
        assert self.round is not None
        drawn = {one.cause: one for one in self.round.drawn}
        rows = []
        for offer in self.round.forces().offered:
            force = drawn.get(offer.cause)
            notes = [] if force is None else [RANK_TITLES[force.rank]]
            notes += ["decides"] if offer.cause == self.governing else []
            said = offer.title + (f": {', '.join(notes)}" if notes else "")
            rows.append((offer.cause, said, "", offer.cause == self._board.picked))
        self.set_rows(rows, self._pick, short=True)
        titles = {one.cause: one.title for one in self.round.forces().offered}
        self._board.show_drawn(self.round.drawn, titles)

    def _pick(self, cause: str, _: bool = True) -> None:
        self._board.picked = cause
        self._redraw()
        self._board.setFocus()

    def _picked(self) -> DrawnForce | None:
        assert self.round is not None
        return next((f for f in self.round.drawn if f.cause == self._board.picked), None)

    def _drawn(self, way: Direction, when: When | None) -> None:
        if self.round is None or not self._board.picked:
            return
        before = self._picked()
        if when is not None:
            self._when = when
        elif before is not None:
            when = before.when
        rank = before.rank if before is not None else min(len(self.round.drawn) + 1, 3)
        self.round.draw(DrawnForce(self._board.picked, way, rank, when or self._when))
        self._redraw()
        self.changed.emit()

    def _way(self, way: Direction) -> None:
        self._board.draw_way(way)

    def _time(self, when: When) -> None:
        """The picked force acts then; one that is not drawn yet will."""
        self._when = when
        before = self._picked()
        if before is not None:
            self._drawn(before.direction, when)

    def _rank(self, by: int) -> None:
        before = self._picked()
        if before is not None and self.round is not None:
            rank = min(max(before.rank + by, 1), 3)
            self.round.draw(DrawnForce(before.cause, before.direction, rank, before.when))
            self._redraw()
            self.changed.emit()

    def rub_out(self) -> None:
        """Take the picked force off the board."""
        if self.round is not None:
            self.round.rub_out(self._board.picked)
            self._redraw()
            self.changed.emit()

    def name(self) -> None:
        """The picked force is the one that decides."""
        self.governing = self._board.picked
        self._redraw()
        self.changed.emit()

    def take_key(self, event: QKeyEvent) -> bool:
        """Numbers pick, arrows draw, A, U and H say when, + and - rank, G decides."""
        key, text = Qt.Key(event.key()), event.text()
        if key in WHEN_KEYS:
            self._time(WHEN_KEYS[key])
        elif text in ("+", "-"):
            self._rank(-1 if text == "+" else 1)
        elif key == Qt.Key.Key_G:
            self.name()
        elif key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.rub_out()
        elif key in (Qt.Key.Key_Left, Qt.Key.Key_Right, Qt.Key.Key_Up, Qt.Key.Key_Down):
            self._board.keyPressEvent(event)
        else:
            return super().take_key(event)
        return True

    def take_focus(self) -> None:
        """The board, so that arrow keys draw at once."""
        self._board.setFocus()

    def lacks(self) -> str:
        return "" if self.governing else "Name the force that decides: pick it, then press G."

    def leave(self) -> None:
        assert self.round is not None
        self._board.drawing_on = False
        self.round.name_governing(self.governing)


def named(typed: str, names: Sequence[str]) -> list[int]:
    """Places of the names that begin with these letters, then of those with a word that does."""
    small = [name.lower() for name in names]
    plain = ["".join(filter(str.isalpha, name)) for name in small]
    found = [place for place, name in enumerate(plain) if name.startswith(typed)]
    return found + [
        place for place, name in enumerate(small)
        if any(word.startswith(typed) for word in name.replace("-", " ").split())
    ]


class ChoicePanel(StepPanel):
    """All methods, not filtered by what is possible, and how sure one is."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.round: Round | None = None
        self.first = True
        self._typed, self._since = "", QElapsedTimer()
        self.list = QListWidget(self)
        self.list.setAccessibleName("Your repair")
        self.list.setWordWrap(True)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setResizeMode(QListWidget.ResizeMode.Adjust)
        self.list.setMinimumHeight(theme.TARGET)
        self.list.installEventFilter(self)
        self.list.itemSelectionChanged.connect(self.changed)
        self.said = QLabel(self)
        self.said.setWordWrap(True)
        self.said.setObjectName("section")
        self.certainty = QSlider(Qt.Orientation.Horizontal, self)
        self.certainty.setRange(1, 100 // STEP)
        self.certainty.setPageStep(2)
        self.certainty.setMinimumHeight(theme.TARGET)
        self.certainty.setAccessibleName("How sure you are")
        self.certainty.valueChanged.connect(self._say)
        how = "Type the first letters; 1 to 9 set 10 to 90 %, 0 is 100 %."
        self.why = label(how, "small", self)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self.list, 1)
        whole.addWidget(self.said)
        whole.addWidget(self.certainty)
        whole.addWidget(self.why)

    @property
    def head(self) -> str:  # type: ignore[override]
        """What is asked."""
        return "At first sight: which repair?" if self.first else "Your repair"

    def fill(self, one: Round) -> None:
        before = one.first if not self.first else None
        self.round = one
        self.list.blockSignals(True)
        # Letters typed in the round before, moments ago, are no beginning of a name here.
        self._typed = ""
        self.list.clear()
        for key, title in one.choices.items():
            item = QListWidgetItem(title)
            item.setData(Qt.ItemDataRole.UserRole, key)
            item.setSizeHint(QSize(0, max(44, theme.px(40))))
            self.list.addItem(item)
            if before is not None and key == before.choice:
                self.list.setCurrentItem(item)
        self.list.blockSignals(False)
        QTimer.singleShot(0, self._show_picked)  # not before the list has its place on the page
        certainty = round(100 * before.certainty) if before is not None else BEGIN
        self.certainty.setValue(certainty // STEP)
        self._say()

    def _show_picked(self) -> None:
        if self.choice:
            self.list.scrollToItem(self.list.currentItem(), QListWidget.ScrollHint.PositionAtCenter)

    def _say(self) -> None:
        sure = self.certainty.value() * STEP
        self.said.setText(f"{sure} % sure that this is the right repair")

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Where it is low the list has the height; the keys work without being told of."""
        super().resizeEvent(event)
        self.why.setVisible(self.height() >= theme.px(260))
        self._show_picked()

    @property
    def choice(self) -> str:
        """The method that is picked; empty where none is.

        Not the current one: the list makes its first row that as soon as it has the keyboard.
        """
        picked = self.list.selectedItems()
        return str(picked[0].data(Qt.ItemDataRole.UserRole)) if picked else ""

    def lacks(self) -> str:
        return "" if self.choice else "Pick a repair."

    def leave(self) -> None:
        assert self.round is not None
        belief = Belief(self.choice, self.certainty.value() * STEP / 100)
        if self.first:
            self.round.choose_first(belief)
        else:
            self.round.decide(belief)

    def take_key(self, event: QKeyEvent) -> bool:
        """A figure says how sure; letters look for a method."""
        text = event.text()
        if len(text) == 1 and text.isdigit():
            self.certainty.setValue((int(text) or 10) * 10 // STEP)
            return True
        if text.isalpha():
            self.list.setFocus()
            self._look_for(text.lower())
            return True
        return False

    def _look_for(self, letter: str) -> None:
        """Pick the first name that begins with the letters typed, whatever is between them.

        Else one with a word that does. A letter after a pause begins anew.
        """
        app = QApplication.instance()
        pause = app.keyboardInputInterval() if isinstance(app, QApplication) else 0
        if not self._since.isValid() or self._since.elapsed() > 2 * pause:
            self._typed = ""
        self._since.start()
        self._typed += letter
        names = [self.list.item(row).text() for row in range(self.list.count())]
        found = named(self._typed, names)
        if found:
            self.list.setCurrentRow(found[0])

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Figures are for the certainty, letters look for a name, Enter goes on."""
        if watched is self.list and event.type() == QEvent.Type.KeyPress:
            assert isinstance(event, QKeyEvent)
            if event.text().isalnum() and not event.modifiers() & (
                Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier
            ):  # fmt: skip
                return self.take_key(event)
            if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
                parent = self.parentWidget()
                event.ignore()
                return parent is not None
        return super().eventFilter(watched, event)

    def take_focus(self) -> None:
        self.list.setFocus()
