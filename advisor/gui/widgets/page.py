"""What the closing pages share: a scrolled column of labels that wrap."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from advisor.advice.result import Advice, GateAdvice, GateState, Verdict
from advisor.gui.navigator import Navigator
from advisor.gui.widgets.refilled_column import empty, give_height
from advisor.gui.widgets.stop_banner import stopping
from advisor.session.advice_service import Pack
from advisor.session.answer_text import GATE_WORDS
from advisor.wording.sentences import sentence


class Page(QFrame):
    """A page of the window that is filled anew whenever the case changes."""

    says_stop = True
    """Whether the page itself says what stops the job."""

    def __init__(self, navigator: Navigator, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("card")
        self.navigator = navigator
        self.area = QScrollArea(self)
        self.area.setWidgetResizable(True)
        self.area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.inside = QWidget(self.area)
        # Only the height that the words need at the width there is.
        self.inside.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Ignored)
        self.column = QVBoxLayout(self.inside)
        self.column.setContentsMargins(16, 12, 16, 12)
        self.column.setSpacing(8)
        self.area.setWidget(self.inside)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(2, 2, 2, 2)
        layout.addWidget(self.area)

    def showEvent(self, event: QShowEvent) -> None:
        """What was filled while the page was hidden gets its height.

        A layout tells the scrolled area only while both are seen, and has no reason to tell it
        again where the page comes back at the size that it had.
        """
        super().showEvent(event)
        give_height(self.area)

    @property
    def advice(self) -> Advice:
        """The advice as it stands."""
        return self.navigator.session.advice

    def redraw(self) -> None:
        """Fill the page anew."""
        raise NotImplementedError  # Qt does not check abstract methods; a test does.

    def commit(self) -> None:
        """Hand over what is typed, where the page takes any words."""

    def clear_column(self, keep: tuple[QWidget, ...] = ()) -> None:
        """Take everything off the page but ``keep``."""
        empty(self.column, keep)

    def say(self, text: str, look: str = "") -> QLabel:
        """Add a line of text; empty text adds nothing to see."""
        found = label(text, look, self.inside)
        found.setVisible(bool(text))
        self.column.addWidget(found)
        return found

    def put(self, widget: QWidget) -> None:
        """Add a widget; a layout alone would show it one event later."""
        self.column.addWidget(widget)
        widget.show()

    def head(self, text: str) -> QLabel:
        """Add a heading."""
        return self.say(text, "section")


def label(text: str, look: str, parent: QWidget) -> QLabel:
    """A label that wraps and whose words can be copied."""
    found = QLabel(text, parent)
    found.setTextFormat(Qt.TextFormat.PlainText)
    found.setWordWrap(True)
    if look:
        found.setObjectName(look)
    found.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    return found


class PointLine(QWidget):
    """A line that begins with a dot or a number and hangs from it where it wraps."""

    def __init__(self, mark: str, text: str, parent: QWidget, indent: int = 12) -> None:
        super().__init__(parent)
        row = QHBoxLayout(self)
        row.setContentsMargins(indent, 0, 0, 0)
        row.setSpacing(8)
        self.mark = QLabel(mark, self)
        self.words = label(text, "", self)
        row.addWidget(self.mark, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self.words, 1)


def point(mark: str, text: str, parent: QWidget, indent: int = 12) -> PointLine:
    """A line that hangs from ``mark``, which stands ``indent`` px from the left."""
    return PointLine(mark, text, parent, indent)


def stopping_lines(advice: Advice) -> list[str]:
    """The gates that stop the job, each with why, in a line."""
    return [f"{stop.title}: {stop.why}" for stop in stopping(advice)]


def open_gates(advice: Advice, pack: Pack) -> list[str]:
    """Titles of the hazard questions still open, each question once."""
    open_facts = (gate.fact for gate in advice.gates if gate.state is GateState.OPEN)
    return [pack.facts[fact].title for fact in dict.fromkeys(open_facts)]


def gate_line(gate: GateAdvice, pack: Pack) -> str:
    """One hazard in a line, under the name of its question."""
    fact = pack.facts.get(gate.fact)
    title = fact.title if fact is not None else gate.title
    return f"{title}: {GATE_WORDS[gate.state]}. {sentence(gate.text)}".strip()


def plan_withheld(advice: Advice) -> bool:
    """Whether no plan may be shown: a hazard stops the job."""
    return advice.verdict is Verdict.REFER


def declined(advice: Advice) -> str:
    """What is said of a job that is not worth doing; empty for any other."""
    if advice.verdict is not Verdict.DECLINE:
        return ""
    return f"Do not repair. {sentence(advice.headline)}"
