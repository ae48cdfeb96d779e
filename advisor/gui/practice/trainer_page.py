"""What a trainer sees: learners by alias, topics by weakness, what is chosen wrongly; papers."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import TypeVar

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QComboBox,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)

from advisor.advice.advise import Advised
from advisor.facts.faults import BadInput
from advisor.gui import theme
from advisor.gui.practice.certainty_view import CertaintyView
from advisor.gui.practice.report_html import ALL, beside_html, report_html
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.page import label
from advisor.practice.case_sets import CaseSet, read_set, write_set
from advisor.practice.cases import PracticeCase
from advisor.practice.class_papers import learner_sheet, quiz, write_paper
from advisor.practice.demo import demo_cases
from advisor.practice.generating.generate import generate
from advisor.practice.held_out import is_practised
from advisor.practice.learners import Learners
from advisor.practice.topics import all_topics
from advisor.practice.trainer import LearnerReport, class_report, learner_report
from advisor.rulegraph.model.pack import RulePack
from advisor.session.background import Background, Watch
from advisor.session.case_session import Session
from advisor.wording.counts import counted

T = TypeVar("T")

SETS = "Class sets (*.yaml *.yml)"
PAPERS = "PDF (*.pdf);;Web page (*.html);;Text (*.txt)"
SET_CASES, QUIZ_CASES, LONGEST_QUIZ = 12, 8, 20
LOOK = 30
"""Milliseconds between two looks whether a set or a quiz is made."""


class TrainerPage(QWidget):
    """Learners at the left, the report at the right; ``set_opened`` carries cases for rounds."""

    set_opened = Signal(object)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        assert isinstance(session.pack, RulePack)
        self._pack: RulePack = session.pack
        self.learners = Learners()
        self.report: LearnerReport | None = None
        self.cases: tuple[PracticeCase, ...] = ()
        """Of the class set that is open; empty where none is."""
        self._new: tuple[PracticeCase, ...] = ()
        """Of a set that has just been made or opened, for rounds to take."""
        self._done = ""
        """Said once the work is over."""
        self._work: Background | None = None
        self._to: Path | None = None
        self._wait = QTimer(self)
        self._wait.timeout.connect(self._looked)
        self.list = QListWidget(self)
        self.list.setAccessibleName("Learners")
        self.list.currentRowChanged.connect(lambda _: self._pick())
        self.text = QTextBrowser(self)
        self.text.setAccessibleName("Report")
        self.text.setOpenLinks(False)
        self.certainty = CertaintyView(self)
        self.said = label("", "now", self)
        self.fault = label("", "fault", self)
        self.topic = QComboBox(self)
        self.topic.setAccessibleName("Topic of a new class set")
        self.topic.addItem("All topics", "")
        for key, topic in all_topics().topics.items():
            self.topic.addItem(topic.title, key)
        self.beside = self._button("Side by side", lambda: self._show())
        self.beside.setCheckable(True)
        self.beside.setToolTip("Every learner beside the others, by alias; no order of merit")
        self.sheet = self._button("Sheet to print...", self.print_sheet)
        self.erase = self._button("Erase...", self.erase_learner)
        self.make = self._button("Make a set...", self.make_set)
        self.open_set = self._button("Open a set...", self.ask_set)
        self.quiz = self._button("Quiz on paper...", self.print_quiz)
        for button, name in ((self.make, "Make a class set"), (self.open_set, "Open a class set")):
            button.setAccessibleName(name)
            button.setToolTip(f"{name}: cases for everybody in a class, as one file")
        self._lay_out()

    def _button(self, text: str, action: Callable[[], object]) -> QPushButton:
        button = QPushButton(text, self)
        button.setMinimumHeight(theme.TARGET)
        button.clicked.connect(lambda _=False: action())
        return button

    def _lay_out(self) -> None:
        self.side = QFrame(self)
        self.side.setObjectName("card")
        left = QVBoxLayout(self.side)
        left.setContentsMargins(10, 8, 10, 8)
        left.addWidget(self.list, 1)
        grid = QGridLayout()
        for place, button in enumerate((self.beside, self.erase, self.sheet, self.quiz)):
            grid.addWidget(button, place // 2, place % 2)
        grid.addWidget(self.topic, 2, 0, 1, 2)
        grid.addWidget(self.make, 3, 0)
        grid.addWidget(self.open_set, 3, 1)
        left.addLayout(grid)
        shown = QFrame(self)
        shown.setObjectName("card")
        right = QVBoxLayout(shown)
        right.setContentsMargins(12, 8, 12, 8)
        for widget in (self.fault, self.said):
            widget.hide()
            right.addWidget(widget)
        right.addWidget(self.text, 1)
        right.addWidget(self.certainty)
        whole = QHBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self.side)
        whole.addWidget(shown, 1)
        self.dress()

    def dress(self) -> None:
        """Sizes that follow the text size."""
        self.side.setFixedWidth(theme.px(310))

    # -- learners ----------------------------------------------------------------------

    def open(self) -> None:
        """Who is there by now, and the report on whom one looked at."""
        held = self.alias
        self.list.blockSignals(True)
        self.list.clear()
        nobody: tuple[str, ...] = ()
        for alias in ("", *self._told(self.learners.aliases, nobody)):
            item = QListWidgetItem(alias or ALL)
            item.setData(Qt.ItemDataRole.UserRole, alias)
            self.list.addItem(item)
            if alias == held:
                self.list.setCurrentItem(item)
        if self.list.currentRow() < 0:
            self.list.setCurrentRow(0)
        self.list.blockSignals(False)
        self._show()

    @property
    def alias(self) -> str:
        """Whose report is shown; empty for all together."""
        item = self.list.currentItem()
        return str(item.data(Qt.ItemDataRole.UserRole)) if item is not None else ""

    def _told(self, ask: Callable[[], T], otherwise: T) -> T:
        """What ``ask`` gives; ``otherwise`` and a message where a file is spoiled."""
        try:
            found = ask()
        except BadInput as bad:
            self.fault.setText("\n".join(fault.text for fault in bad.faults[:6]))
            self.fault.show()
            return otherwise
        self.fault.hide()
        return found

    def _report(self) -> LearnerReport:
        now = datetime.now(UTC)
        if self.alias:
            return learner_report(self.learners.open(self.alias), now)
        return class_report(self.learners.all(), now)

    def _reports(self) -> list[LearnerReport]:
        now = datetime.now(UTC)
        return [learner_report(one, now) for one in self.learners.all()]

    def _pick(self) -> None:
        """Whoever is picked is shown alone."""
        self.beside.setChecked(False)
        self._show()

    def _show(self) -> None:
        if self.beside.isChecked():
            nobody: list[LearnerReport] = []
            every = self._told(self._reports, nobody)
            self.text.setHtml(beside_html(every, self._pack))
            self.certainty.hide()
            return
        self.report = self._told(self._report, None)
        self.erase.setEnabled(bool(self.alias))
        self.sheet.setEnabled(self.report is not None)
        if self.report is None:
            self.text.clear()
            self.certainty.hide()
            return
        self.text.setHtml(report_html(self.report, self._pack))
        self.certainty.show_calibration(self.report.certainty)
        self._fit()

    def _fit(self) -> None:
        """In a low window the report has the height; it says the same in words."""
        alone = self.report is not None and not self.beside.isChecked()
        told = alone and bool(self.report and self.report.certainty.groups)
        self.certainty.setVisible(told and self.height() >= theme.px(540))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The picture follows the height."""
        super().resizeEvent(event)
        self._fit()

    def erase_learner(self) -> None:
        """Erase a learner with all rounds, once that was confirmed."""
        alias = self.alias
        if alias and dialogs.ask_erase(self, f"Erase {alias} and all rounds for good?"):
            self._told(lambda: self.learners.erase(alias), None)
            self.open()

    # -- papers and sets ---------------------------------------------------------------

    def _say(self, text: str) -> None:
        self.said.setText(text)
        self.said.setVisible(bool(text))

    def print_sheet(self) -> None:
        """The sheet of the learner as a file to print."""
        report = self.report
        if report is None:
            return
        proposed = Path(f"{self.alias or 'class'}.pdf")
        path = dialogs.ask_write(self, "Learner's sheet", proposed, PAPERS)
        if path is not None:
            self._write(lambda: write_paper(learner_sheet(report, self._pack), path), path)

    def _write(self, write: Callable[[], None], path: Path) -> None:
        try:
            write()
        except (OSError, ValueError) as error:
            self.fault.setText(f"{path} was not written: {error}")
            self.fault.show()
            return
        self._say(f"Written: {path}")

    def print_quiz(self) -> None:
        """A quiz on paper over the class set, or over demo cases; answers on the last page."""
        path = dialogs.ask_write(self, "Quiz on paper", Path("quiz.pdf"), PAPERS)
        if path is not None:
            self._begin("The quiz is being made...", lambda watch: self._quiz(path, watch), path)

    def _quiz(self, path: Path, watch: Watch) -> Iterator[Advised]:
        every = self.cases or demo_cases(self._pack)[:QUIZ_CASES]
        cases = every[:LONGEST_QUIZ]
        watch("working out the cases")
        write_paper(quiz(cases, self._pack), path)
        first = f", the first {len(cases)} of {len(every)}" if len(cases) < len(every) else ""
        self._done = f"Written: {path}, {counted(len(cases), 'case')}{first}."
        yield from ()

    def make_set(self) -> None:
        """Draw cases of a topic and write them as one file for a class."""
        path = dialogs.ask_write(self, "Class set", Path("class-set.yaml"), SETS)
        topic = str(self.topic.currentData() or "")
        if path is not None:
            self._begin("Cases are being drawn...", lambda watch: self._draw(topic, path, watch),
                        path)  # fmt: skip

    def _draw(self, topic: str, path: Path, watch: Watch) -> Iterator[Advised]:
        seed = int(datetime.now(UTC).timestamp()) % 1_000_000
        made = generate(
            self._pack, SET_CASES, seed, topic=topic, kinds=is_practised, watch=watch)
        name = all_topics().topics[topic].title if topic else ALL
        write_set(path, CaseSet(name, made.cases, seed), self._pack)
        self._new = made.cases
        self._done = f"Written: {path}. {self._in_use(made.cases)}"
        yield from ()

    def ask_set(self) -> None:
        """Open a class set: rounds and quizzes are about its cases from then on."""
        path = dialogs.ask_read(self, "Open a class set", SETS)
        if path is not None:
            self._begin("The set is being checked...", lambda watch: self._read(path, watch), path)

    def _read(self, path: Path, watch: Watch) -> Iterator[Advised]:
        watch("checking the set against the rules")
        found = read_set(path, self._pack)
        self._new = found.cases
        aside = "".join(f"\nSet aside: {name}. {why}" for name, why in found.set_aside)
        self._done = f"Opened: {path}. {self._in_use(found.cases)}{aside}"
        yield from ()

    @staticmethod
    def _in_use(cases: tuple[PracticeCase, ...]) -> str:
        if not cases:
            return "No case in it can be practised."
        return f"{counted(len(cases), 'case')} for rounds and quizzes from now on."

    def _begin(
        self, said: str, work: Callable[[Watch], Iterator[Advised]], path: Path
    ) -> None:
        if self._work is None:
            self._done, self._new, self._to = "", (), path
            self._say(said)
            self._work = Background(work)
            self._wait.start(LOOK)

    @property
    def is_working(self) -> bool:
        """Whether a set or a quiz is still being made."""
        return self._work is not None

    def _looked(self) -> None:
        work = self._work
        if work is None:
            self._wait.stop()
            return
        if not work.over:
            self._say(f"{work.doing.capitalize() or 'Working'}...")
            return
        self._wait.stop()
        self._work = None
        fault = work.fault
        if isinstance(fault, BadInput):
            self.fault.setText("\n".join(one.text for one in fault.faults[:6]))
        elif isinstance(fault, OSError | ValueError):
            self.fault.setText(f"{self._to} was not written: {fault}")
        elif fault is not None:
            raise fault
        self.fault.setVisible(fault is not None)
        if fault is not None:
            self._say("")
            return
        self._say(self._done)
        if self._new:
            self.cases = self._new
            self.set_opened.emit(self.cases)
