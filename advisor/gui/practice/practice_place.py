"""The place of practice: rounds, lessons, figures moved by hand, and the trainer's view."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QStackedWidget, QVBoxLayout, QWidget

from advisor.gui import theme
from advisor.gui.practice.lesson_page import LessonPage
from advisor.gui.practice.rounds_page import RoundsPage
from advisor.gui.practice.trainer_page import TrainerPage
from advisor.gui.practice.try_page import TryPage
from advisor.gui.widgets.method_bar import sized_font
from advisor.practice.lessons import lessons_of
from advisor.rulegraph.model.pack import RulePack
from advisor.session.case_session import Session

ROUNDS, LESSONS, TRY, TRAINER = "Rounds", "Lessons", "Try it yourself", "Trainer"


class PracticePlace(QWidget):
    """Buttons on top, one page under them; a page is made when it is first shown."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("ground")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._session = session
        self._pages: dict[str, QWidget] = {}
        self.stack = QStackedWidget(self)
        self.buttons: dict[str, QPushButton] = {}
        row = QHBoxLayout()
        for name in (ROUNDS, LESSONS, TRY, TRAINER):
            button = QPushButton(name, self)
            button.setCheckable(True)
            button.clicked.connect(lambda _=False, name=name: self.show_page(name))
            row.addWidget(button)
            self.buttons[name] = button
        row.addStretch(1)
        self._fit_buttons()
        whole = QVBoxLayout(self)
        whole.setContentsMargins(12, 8, 12, 12)
        whole.addLayout(row)
        whole.addWidget(self.stack, 1)

    def _made(self, name: str) -> QWidget:
        if name not in self._pages:
            make: dict[str, Callable[[Session, QWidget], QWidget]] = {
                ROUNDS: RoundsPage, LESSONS: LessonPage, TRY: TryPage, TRAINER: TrainerPage,
            }  # fmt: skip
            self._pages[name] = make[name](self._session, self)
            self.stack.addWidget(self._pages[name])
            page = self._pages[name]
            if isinstance(page, RoundsPage):
                page.lesson_wanted.connect(self.open_lesson)
            elif isinstance(page, TrainerPage):
                page.set_opened.connect(lambda cases: self.rounds.use_set(cases))
        return self._pages[name]

    def show_page(self, name: str) -> None:
        """Show a page by the name on its button."""
        page = self._made(name)
        for title, button in self.buttons.items():
            button.setChecked(title == name)
        self.stack.setCurrentWidget(page)
        if isinstance(page, LessonPage):
            page.open_first()
        elif isinstance(page, TryPage | RoundsPage | TrainerPage):
            page.open()

    def show_first(self) -> None:
        """The page that was shown last, or the one that practice begins with."""
        shown = [name for name, page in self._pages.items() if page is self.stack.currentWidget()]
        self.show_page(shown[0] if shown else ROUNDS)
        self.take_focus()

    def take_focus(self) -> None:
        """Give the keyboard to the page that is shown."""
        if self.stack.currentWidget() is self._pages.get(ROUNDS):
            self.rounds.take_focus()
            return
        for button in self.buttons.values():
            if button.isChecked():
                button.setFocus()

    @property
    def rounds(self) -> RoundsPage:
        """The page of rounds."""
        page = self._made(ROUNDS)
        assert isinstance(page, RoundsPage)
        return page

    @property
    def lessons(self) -> LessonPage:
        """The page of lessons."""
        page = self._made(LESSONS)
        assert isinstance(page, LessonPage)
        return page

    def open_lesson(self, path: Iterable[str]) -> None:
        """The lesson behind a load path: of what pulls, where it is named, else of the method."""
        pack = self._session.pack
        assert isinstance(pack, RulePack)
        links = lessons_of(path, pack)
        if links:
            self.lessons.open(links[0].key, links if len(links) > 1 else ())
        self.show_page(LESSONS)
        self.lessons.list.setFocus()

    def dress(self) -> None:
        """Another theme or text size."""
        for page in self._pages.values():
            if isinstance(page, LessonPage | TrainerPage):
                page.dress()
        self._fit_buttons()

    def _fit_buttons(self) -> None:
        """High enough for a finger, and wide enough for the bold words of the one pressed in."""
        for name, button in self.buttons.items():
            wide = QFontMetrics(sized_font(button.font(), theme.TEXT, True)).horizontalAdvance(name)
            button.setMinimumSize(wide + theme.px(40), theme.TARGET)
