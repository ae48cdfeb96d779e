"""Lessons: a list of all loads and methods, and the page of one with its drawing."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import Qt, QTimer, QUrl
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)

from advisor.advice.advise import Advised, advise_quick
from advisor.gui import theme
from advisor.gui.practice.lesson_html import (
    example_line,
    from_the_reason,
    lesson_html,
    seen_here,
)
from advisor.gui.widgets.reasons_tree import WrapDelegate
from advisor.gui.widgets.section_view import SectionView
from advisor.practice.lessons import Lesson, Link, lesson, lesson_keys
from advisor.practice.lessons_example import Examples
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import METHOD
from advisor.session.background import Background, Watch
from advisor.session.case_session import Session

LIST, DRAWING = 300, 250
"""Width of the list and height of the drawing at 100 % text, px."""
LOOK = 30
"""Milliseconds between two looks whether the example is found."""
NO_EXAMPLE = "No usual case was found in which it counts; your own case is drawn where it does"


class LessonPage(QWidget):
    """The list at the left, the lesson at the right; links lead from one to another."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        assert isinstance(session.pack, RulePack)
        self._pack: RulePack = session.pack
        self._examples = Examples(self._pack)
        self._search: Background | None = None
        self._look = QTimer(self)
        self._look.timeout.connect(self._take_example)
        self.shown: Lesson | None = None
        self.words = QLineEdit(self)
        self.words.setPlaceholderText("Find a load or a method")
        self.words.setAccessibleName("Find a load or a method")
        self.words.setClearButtonEnabled(True)
        self.words.textChanged.connect(self._filter)
        self.words.returnPressed.connect(self._first)
        self.list = QListWidget(self)
        self.list.setAccessibleName("Lessons")
        self.list.setWordWrap(True)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setResizeMode(QListWidget.ResizeMode.Adjust)
        self.list.setItemDelegate(WrapDelegate(self.list))
        self.list.currentItemChanged.connect(self._picked)
        self.title = QLabel(self)
        self.title.setObjectName("headline")
        self.title.setWordWrap(True)
        self.came_from = QLabel(self)
        self.came_from.setWordWrap(True)
        self.came_from.setTextInteractionFlags(Qt.TextInteractionFlag.LinksAccessibleByMouse
                                               | Qt.TextInteractionFlag.LinksAccessibleByKeyboard)
        self.came_from.linkActivated.connect(self.open)
        self.section = SectionView(self)
        self.example = QLabel(self)
        self.example.setObjectName("quiet")
        self.example.setWordWrap(True)
        self.text = QTextBrowser(self)
        self.text.setAccessibleName("Lesson")
        self.text.setOpenLinks(False)
        self.text.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.text.anchorClicked.connect(self._follow)
        self._lay_out()
        self._fill()

    def _lay_out(self) -> None:
        self.side = QWidget(self)
        left = QVBoxLayout(self.side)
        left.setContentsMargins(0, 0, 0, 0)
        left.addWidget(self.words)
        left.addWidget(self.list, 1)
        right = QVBoxLayout()
        right.addWidget(self.title)
        right.addWidget(self.came_from)
        right.addWidget(self.section)
        right.addWidget(self.example)
        right.addWidget(self.text, 1)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.side)
        row.addLayout(right, 1)
        self.came_from.hide()
        self.dress()

    def dress(self) -> None:
        """Sizes that follow the text size, and the colours of the page."""
        self._fit()
        if self.shown is not None:
            self.open(self.shown.key)

    def _fit(self) -> None:
        """The drawing leaves the larger part of the height to the words, the list of the width."""
        self.side.setFixedWidth(min(theme.px(LIST), int(0.36 * self.width())))
        self.section.setFixedHeight(max(min(theme.px(DRAWING), int(0.42 * self.height())), 215))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The drawing follows the height."""
        super().resizeEvent(event)
        self._fit()

    def _fill(self) -> None:
        for key in lesson_keys(self._pack):
            kind = "Method" if key.startswith(METHOD) else "Load"
            item = QListWidgetItem(f"{kind}: {self._pack.title_of(key)}")
            item.setData(Qt.ItemDataRole.UserRole, key)
            self.list.addItem(item)

    def _filter(self, text: str) -> None:
        wanted = text.casefold().split()
        for row in range(self.list.count()):
            item = self.list.item(row)
            said = item.text().casefold()
            item.setHidden(not all(word in said for word in wanted))

    def _first(self) -> None:
        """Enter in the field opens the first that was found."""
        for row in range(self.list.count()):
            if not self.list.item(row).isHidden():
                self.list.setCurrentRow(row)
                self.list.setFocus()
                return

    def _picked(self, item: QListWidgetItem | None) -> None:
        key = item.data(Qt.ItemDataRole.UserRole) if item is not None else ""
        if key and (self.shown is None or key != self.shown.key):
            self._show(key)

    def _follow(self, url: QUrl) -> None:
        self.open(url.toString())

    # -- one lesson ----------------------------------------------------------------

    def open(self, key: str, links: tuple[Link, ...] = ()) -> None:
        """Show a lesson; ``links`` are those of the reason that one comes from."""
        if links:
            self.came_from.setText(from_the_reason(links))
            self.came_from.show()
        for row in range(self.list.count()):
            if self.list.item(row).data(Qt.ItemDataRole.UserRole) == key:
                self.list.blockSignals(True)
                self.list.setCurrentRow(row)
                self.list.blockSignals(False)
        self._show(key)

    def open_first(self) -> None:
        """Some lesson, where none is open yet."""
        if self.shown is None:
            self.list.setCurrentRow(0)

    def _show(self, key: str) -> None:
        self.shown = lesson(key, self._pack)
        self.title.setText(self.shown.title)
        self.text.setHtml(lesson_html(self.shown, self._session.system))
        self._stop()
        session = self._session
        if session.begun:
            seen = seen_here(self.shown, session.advice, session.system)
            if seen:
                self._draw(Advised(session.advice), f"In your case, {session.case.title}", seen)
                return
        self.example.setText("Looking for an example...")
        self.section.setVisible(False)
        self._search = Background(self._find(key))
        self._look.start(LOOK)

    def _find(self, key: str):  # type: ignore[no-untyped-def]
        examples, pack = self._examples, self._pack

        def work(watch: Watch) -> Iterator[Advised]:
            case = examples.find(key, watch)
            if case is not None:
                yield advise_quick(case, pack, 1024, rough=True, watch=watch)

        return work

    def _take_example(self) -> None:
        search = self._search
        if search is None or self.shown is None:
            self._stop()
            return
        over = search.over
        for found in search.take():
            seen = seen_here(self.shown, found.advice, self._session.system)
            title = found.advice.title or found.advice.case
            self._draw(found, f"Example, {title}", seen)
            self._stop()
            return
        if over:
            self._stop()
            self.example.setText(f"{NO_EXAMPLE}.")

    def _draw(self, found: Advised, title: str, seen: str) -> None:
        self.section.show_advice(found.advice, self._pack, self._session.system)
        self.section.show()
        self.example.setText(example_line(title, seen))

    def _stop(self) -> None:
        self._look.stop()
        if self._search is not None:
            self._search.stop()
        self._search = None

    @property
    def is_looking(self) -> bool:
        """Whether the example is still looked for."""
        return self._look.isActive()
