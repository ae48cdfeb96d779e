"""Rounds one after the other: who practises, the next case, the round, and what was right."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QHideEvent, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QComboBox,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from advisor.advice.advise import Advised
from advisor.facts.faults import BadInput, Fault
from advisor.gui import theme
from advisor.gui.practice.certainty_view import CertaintyView
from advisor.gui.practice.enter_line import EnterLine
from advisor.gui.practice.report_html import standing_text
from advisor.gui.practice.reveal_page import NEXT, RevealPage
from advisor.gui.practice.round_page import RoundPage
from advisor.gui.widgets.page import label
from advisor.practice.answers import Help
from advisor.practice.cases import PracticeCase
from advisor.practice.demo import demo_cases
from advisor.practice.fading import help_for
from advisor.practice.held_out import may_come_up
from advisor.practice.learners import Learner, Learners
from advisor.practice.next_case import Task, case_for, case_of, next_task
from advisor.practice.records import KeptRound, TestName, kept_round
from advisor.practice.round import Round
from advisor.practice.shop import OwnCases
from advisor.practice.topics import all_topics
from advisor.practice.trainer import learner_report
from advisor.practice.transfer import due_test, transfer_cases
from advisor.rulegraph.model.pack import RulePack
from advisor.session.background import Background, Watch
from advisor.session.case_session import Session
from advisor.wording.counts import counted

if TYPE_CHECKING:
    from advisor.casebook.book import Casebook

NOBODY = "Nobody (nothing is kept)"
MIXED = "All topics, what is due first"
IDLE = 1500
"""Milliseconds on the first page after which its case is looked for ahead."""
LOOK = 30
"""Milliseconds between two looks whether a case is found."""
HELPS = (
    ("Less as you improve", None), ("Worked examples", Help.WORKED),
    ("Forces given", Help.COMPLETE), ("Hints", Help.HINTS), ("Alone", Help.ALONE),
)  # fmt: skip
SOURCES = (
    ("All: demo, own and drawn", ""), ("This shop's own cases", "casebook"),
    ("Demo cases", "demo"), ("Drawn by the program", "drawn"),
)  # fmt: skip
OWN_AHEAD = 4
"""Kept cases that are looked at each time a case is looked for."""
PATIENCE = 20.0
"""Seconds that the casebook is waited for, in the background."""
NONE_OF_THE_SHOP = (
    "No kept case to practise on. One needs its part, its damage and every hazard answered."
)
INTRO = (
    "A damaged part as it comes in. Say which hazards must be cleared, ask what may change the "
    "repair, draw the forces, choose, and say how sure you are. Then see what was right, and why. "
    "About three minutes a case."
)
PRIVACY = (
    "Use an alias, no name. What is kept stays on this machine and can be erased under Trainer."
)


class RoundsPage(QWidget):
    """Start, round and reveal in turn."""

    lesson_wanted = Signal(object)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        assert isinstance(session.pack, RulePack)
        self._pack: RulePack = session.pack
        self.learners = Learners()
        self.stock: tuple[PracticeCase, ...] = ()
        """Cases that are taken before others are drawn: the demo cases, or a class set."""
        self.own = OwnCases(self._pack, self._ask_casebook)
        self._rounds: list[KeptRound] = []
        """Those of this learner, oldest first; without one those of this sitting."""
        self._alias = ""
        self._seen: list[str] = []
        self._set: list[str] = []
        """Names of the cases of a class set that are still to come."""
        self._found: list[tuple[PracticeCase, Help]] = []
        """The next case, found ahead while an answer is read."""
        self._go = False
        """Whether the next round is waited for."""
        self._testing: TestName = ""
        self._unseen: dict[str, tuple[PracticeCase, ...]] = {}
        self._pending: KeptRound | None = None
        """The round whose answer is being shown."""
        self._work: Background | None = None
        self._wait = QTimer(self)
        self._wait.timeout.connect(self._looked)
        self._idle = QTimer(self)
        self._idle.setSingleShot(True)
        self._idle.timeout.connect(self._look_ahead)
        self.round_page = RoundPage(session, self)
        self.round_page.over.connect(self._over)
        self.round_page.left.connect(self.to_start)
        self.reveal_page = RevealPage(session, self)
        self.reveal_page.done.connect(self.next_case)
        self.reveal_page.stopped.connect(self.to_start)
        self.reveal_page.disagreed.connect(self._disagree)
        self.reveal_page.lesson_wanted.connect(self.lesson_wanted)
        self.start_page = self._start()
        self.stack = QStackedWidget(self)
        for page in (self.start_page, self.round_page, self.reveal_page):
            self.stack.addWidget(page)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self.stack)

    def _start(self) -> QWidget:
        card = QFrame(self)
        card.setObjectName("card")
        outer = QVBoxLayout(card)
        outer.setContentsMargins(12, 8, 12, 12)
        area = QScrollArea(card)
        area.setWidgetResizable(True)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        page = QWidget(area)
        column = QVBoxLayout(page)
        column.setContentsMargins(12, 12, 12, 12)
        column.setSpacing(10)
        area.setWidget(page)
        outer.addWidget(area, 1)
        column.addWidget(label("Practise the choice of a repair", "verdict", page))
        column.addWidget(label(INTRO, "", page))
        self.who, self.topic, self.help = QComboBox(page), QComboBox(page), QComboBox(page)
        self.source = QComboBox(page)
        self.new_alias = EnterLine(page)
        self.new_alias.setPlaceholderText("New alias")
        self.new_alias.returnPressed.connect(self.add_learner)
        self.add = QPushButton("Add", page)
        self.add.setMinimumHeight(theme.TARGET)
        self.add.clicked.connect(self.add_learner)
        self._grid = QGridLayout()
        self._fields: list[QWidget] = []
        for box, name in (
            (self.who, "Who practises"), (self.new_alias, "New alias"), (self.topic, "Topic"),
            (self.source, "Which cases"), (self.help, "How much help"),
        ):  # fmt: skip
            if isinstance(box, QComboBox):
                box.setSizeAdjustPolicy(
                    QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
                box.setMinimumContentsLength(12)
            box.setAccessibleName(name)
            box.setMinimumHeight(theme.TARGET)
            place = QWidget(page)
            one = QGridLayout(place)
            one.setContentsMargins(0, 0, 0, 0)
            head = QLabel(name, place)
            head.setObjectName("small")
            one.addWidget(head, 0, 0)
            one.addWidget(box, 1, 0)
            if box is self.new_alias:
                one.addWidget(self.add, 1, 1)
            self._fields.append(place)
        self._place_fields()
        column.addLayout(self._grid)
        self.topic.addItem(MIXED, "")
        for key, topic in all_topics().topics.items():
            self.topic.addItem(topic.title, key)
        for text, key in SOURCES:
            self.source.addItem(text, key)
        for text, level in HELPS:
            self.help.addItem(text, level)
        column.addWidget(label(PRIVACY, "small", page))
        self.standing = label("", "", page)
        self.certainty = CertaintyView(page)
        column.addWidget(self.standing)
        column.addWidget(self.certainty)
        self.fault = label("", "fault", page)
        self.fault.hide()
        column.addWidget(self.fault)
        self.working = label("", "quiet", page)
        column.addWidget(self.working)
        self.begin = QPushButton("Start", page)
        self.begin.setObjectName("main")
        self.begin.setMinimumHeight(theme.TARGET)
        self.begin.clicked.connect(self.next_case)
        self.test = QPushButton("Test on unseen cases", page)
        self.test.setMinimumHeight(theme.TARGET)
        self.test.setToolTip("Twelve cases of kinds that practice never brings up; nothing is "
                             "shown between them")
        self.test.clicked.connect(self.start_test)
        self.who.currentIndexChanged.connect(lambda _: self._offer_test())
        for box in (self.who, self.topic, self.source):
            box.activated.connect(lambda _: self._wish_changed())
        last = QHBoxLayout()
        last.addWidget(self.test)
        last.addStretch(1)
        last.addWidget(self.begin)
        column.addStretch(1)
        outer.addLayout(last)
        return card

    def _place_fields(self) -> None:
        """Three beside each other, or two where there is no room for their words."""
        across = 3 if self.width() >= theme.px(900) else 2
        for field in self._fields:
            self._grid.removeWidget(field)
        for place in range(3):
            self._grid.setColumnStretch(place, int(place < across))
        at = 0
        for field in self._fields:
            self._grid.addWidget(field, at // across, at % across)
            at += 2 if across == 3 and at == 1 else 1

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The fields follow the width."""
        super().resizeEvent(event)
        self._place_fields()

    # -- who practises -----------------------------------------------------------------

    def open(self) -> None:
        """Fill in who may practise; what is being answered stays."""
        before = self.who.currentText()
        self.who.clear()
        self.who.addItem(NOBODY, "")
        try:
            for alias in self.learners.aliases():
                self.who.addItem(alias, alias)
        except BadInput as bad:
            self._tell(bad)
        self.who.setCurrentIndex(max(self.who.findText(before), 0))
        self._offer_test()
        self._idle.start(IDLE)

    def _offer_test(self) -> None:
        """Where the learner who is picked stands, and the test that is due; none for nobody."""
        due: TestName = ""
        alias = str(self.who.currentData() or "")
        sitting = () if self._alias else tuple(self._rounds)
        learner = Learner("", datetime.now(UTC), sitting)
        try:
            if alias:
                learner = self.learners.open(alias)
                due = due_test(learner.rounds)
        except BadInput as bad:
            self._tell(bad)
        report = learner_report(learner, datetime.now(UTC))
        self.standing.setText(standing_text(report, self._pack))
        self.standing.setVisible(bool(self.standing.text()))
        self.certainty.show_calibration(report.certainty)
        self.test.setVisible(bool(due))
        self.test.setProperty("due", due)

    def _wish_changed(self) -> None:
        """What was looked for ahead was for another wish."""
        self._stop()
        self._idle.start(IDLE)

    def _look_ahead(self) -> None:
        """Look for the first case while somebody reads the first page."""
        at_start = self.stack.currentWidget() is self.start_page and self.isVisible()
        if at_start and self._work is None and not self._found and self._take_up_learner():
            self._search()

    def start_test(self) -> None:
        """Answer the unseen cases that are due, one after the other, nothing shown between."""
        self._stop()
        self._testing = self.test.property("due") or ""
        self.next_case()

    def use_set(self, cases: tuple[PracticeCase, ...]) -> None:
        """Practise on the cases of a class set, one after the other, before any others."""
        self._stop()
        self.stock, self._set = tuple(cases), [case.name for case in cases]
        self.working.setText(f"Class set: {counted(len(cases), 'case')}.")

    def add_learner(self) -> None:
        """A new learner of this alias, who practises from now on."""
        try:
            learner = self.learners.add(self.new_alias.text())
        except BadInput as bad:
            self._tell(bad)
            return
        self.fault.hide()
        self.new_alias.clear()
        self._stop()
        self.open()
        self.who.setCurrentIndex(self.who.findText(learner.alias))
        self.begin.setFocus()

    def _tell(self, bad: BadInput) -> None:
        self.fault.setText("\n".join(fault.text for fault in bad.faults[:6]))
        self.fault.show()

    def take_focus(self) -> None:
        """What Enter is for."""
        page = self.stack.currentWidget()
        if page is self.start_page:
            self.begin.setFocus()
        elif page is self.reveal_page:
            self.reveal_page.take_focus()

    def to_start(self) -> None:
        """Back to who practises; a round that is left counts for nothing."""
        self.keep_pending()
        self._testing = ""
        self._stop()
        self.open()
        self.stack.setCurrentWidget(self.start_page)
        self.begin.setFocus()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter starts."""
        if self.stack.currentWidget() is self.start_page and event.text() in ("\r", "\n"):
            self.next_case()
        else:
            super().keyPressEvent(event)

    # -- the next case -----------------------------------------------------------------

    def next_case(self) -> None:
        """Begin the next round: at once where its case was found while the answer was read."""
        self.keep_pending()
        if not self._take_up_learner():
            return
        self._idle.stop()
        self._go = True
        self.fault.hide()
        if self._found:
            self._begin_found()
        elif self._work is None:
            self._search()
        self._show_waiting()

    def _take_up_learner(self) -> bool:
        """The rounds of whoever is picked; False where they cannot be read, which is said."""
        alias = str(self.who.currentData() or "")
        try:
            if alias != self._alias or (alias and not self._rounds):
                self._rounds = list(self.learners.open(alias).rounds) if alias else []
        except BadInput as bad:
            self._tell(bad)
            return False
        self._alias = alias
        return True

    def _search(self) -> None:
        """Look for the case that is due, on a thread of its own."""
        found: list[tuple[PracticeCase, Help]] = []
        self._found = found
        topic = str(self.topic.currentData() or "")
        rounds = [*self._rounds, *([self._pending] if self._pending is not None else [])]
        source = str(self.source.currentData() or "")
        self._work = Background(
            lambda watch: self._look_for_case(found, rounds, topic, source, watch))
        self._wait.start(LOOK)

    def _show_waiting(self) -> None:
        waits = self._go and self._work is not None
        said = "Preparing the test..." if self._testing else "Looking for a case..."
        self.working.setText(said if waits else "")
        self.begin.setEnabled(not waits)
        self.reveal_page.say_next("Looking for it..." if waits else NEXT, not waits)

    def _look_for_case(
        self, found: list[tuple[PracticeCase, Help]], rounds: list[KeptRound], topic: str,
        source: str, watch: Watch,
    ) -> Iterator[Advised]:  # fmt: skip
        self.stock = self.stock or demo_cases(self._pack)
        ahead = [case for case in self.stock if case.name in self._set]
        if self._testing:
            found += self._next_unseen(rounds, watch)
        elif ahead:
            self._set.remove(ahead[0].name)
            found.append((ahead[0], help_for(ahead[0].topic, rounds)))
        else:
            task = next_task(rounds, datetime.now(UTC))
            if topic:
                task = Task(topic, help=help_for(topic, rounds))
            day = int(datetime.now(UTC).timestamp()) % 997
            seed = len(rounds) + 1000 * len(self._seen) + day
            case = self._case(task, source, seed, watch)
            if case is not None:
                due = help_for(case.topic, rounds) if source else task.help
                found.append((self.own.with_photos(case), due))
        yield from ()

    def _case(
        self, task: Task, source: str, seed: int, watch: Watch
    ) -> PracticeCase | None:
        """A case from where it is wished for; kinds kept for tests only where they are."""
        if source == "demo":
            return case_of(task, self.stock, seed, self._seen)
        if source == "casebook":
            found = case_of(task, self.own.ready(OWN_AHEAD, watch), seed, self._seen)
            while (found is None or found.name in self._seen) and self.own.waiting:
                found = case_of(task, self.own.ready(OWN_AHEAD, watch), seed, self._seen)
            return found
        stock = [] if source else [*self.stock, *self.own.ready(OWN_AHEAD, watch)]
        practised = [case for case in stock if may_come_up(case.hidden)]
        return case_for(task, self._pack, seed, practised, self._seen, watch)

    def _ask_casebook(self, work: Callable[[Casebook], object]) -> object:
        """Have something done with the casebook, from the thread that looks for a case."""
        keeping = self._session.keeping
        try:
            if keeping is not None and keeping.started:
                return keeping.ask(work).result(PATIENCE)
        except TimeoutError:
            pass
        raise BadInput(Fault("", 0, 0, "", "the casebook does not answer", "", ""))

    def _next_unseen(
        self, rounds: list[KeptRound], watch: Watch
    ) -> list[tuple[PracticeCase, Help]]:
        """The next case of the test that this learner has not answered."""
        if self._testing not in self._unseen:
            self._unseen[self._testing] = transfer_cases(self._pack, self._testing, watch)
        done = {one.case for one in rounds if one.test == self._testing}
        left = [case for case in self._unseen[self._testing] if case.name not in done]
        return [(case, Help.ALONE) for case in left[:1]]

    def _looked(self) -> None:
        work = self._work
        if work is None or not work.over:
            return
        self._wait.stop()
        self._work = None
        self._show_waiting()
        if work.fault is not None:
            raise work.fault
        if self._go:
            self._begin_found()

    def _begin_found(self) -> None:
        if not self._found:
            said = "No case of that kind was found. Choose another topic."
            if self.source.currentData() == "casebook":
                keeping = self._session.keeping
                said = f"{NONE_OF_THE_SHOP} {keeping.waits if keeping is not None else ''}".strip()
            if self._testing:
                said = "This test is done. The result is shown under Trainer."
            self.to_start()
            self.working.setText(said)
            return
        chosen = None if self._testing else self.help.currentData()
        case, due = self._found.pop()
        self.begin_round(case, due if chosen is None else Help(chosen))

    def _stop(self) -> None:
        """What was looked for is no longer wanted."""
        self._wait.stop()
        if self._work is not None:
            self._work.stop()
        self._work, self._found, self._go = None, [], False
        self._show_waiting()

    def begin_round(self, case: PracticeCase, help_: Help) -> None:
        """Begin a round over a case."""
        self._go = False
        self._seen.append(case.name)
        self.stack.setCurrentWidget(self.round_page)
        self.round_page.begin(case, help_)

    @property
    def is_looking(self) -> bool:
        """Whether a round is waited for."""
        return self._go and self._work is not None

    def _over(self, one: Round) -> None:
        shown = one.reveal()
        if self._testing:
            self._pending = kept_round(shown, one.truth, test=self._testing)
            self.next_case()
            return
        self.reveal_page.show_reveal(shown)
        self.stack.setCurrentWidget(self.reveal_page)
        self.reveal_page.take_focus()
        self._pending = kept_round(shown, one.truth)
        self._search()

    def keep_pending(self) -> None:
        """Keep the round that is shown: once it is left, so that an objection stands in it."""
        kept, self._pending = self._pending, None
        if kept is None:
            return
        self._rounds.append(kept)
        if self._alias:
            try:
                self.learners.keep(self._alias, kept)
            except BadInput as bad:
                self._tell(bad)

    def _disagree(self, why: str) -> None:
        if self._pending is not None:
            self._pending = self._pending.model_copy(update={"disagrees": why[:1000]})

    def hideEvent(self, event: QHideEvent) -> None:
        """Practice is left, or the window is closed."""
        self.keep_pending()
        super().hideEvent(event)
