"""The argument as a tree: sentences, figures, load paths, sources."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QResizeEvent, QWheelEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QListWidget,
    QPushButton,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from advisor.advice.result import MethodAdvice, Reason
from advisor.facts.quantity import System
from advisor.gui import theme
from advisor.rulegraph.model.rules import METHOD
from advisor.session.answer_text import figure_text, source_text, standing
from advisor.session.rule_places import rule_place
from advisor.session.verdict_text import NO_PROMISE
from advisor.wording.counts import of_hundred, usage_text
from advisor.wording.durations import duration_with_range
from advisor.wording.money import NO_TAX, Tax, price_text
from advisor.wording.sentences import capital, chain, lowered, sentence

Index = QModelIndex | QPersistentModelIndex
LESSON = int(Qt.ItemDataRole.UserRole) + 1
"""Under this role an item holds the load path whose lesson it opens."""
ROW_PAD = 7
"""Room above and under the words of a row, px."""


class WrapDelegate(QStyledItemDelegate):
    """Gives a row as much height as its words need at the width the tree or list has."""

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Height of the wrapped text."""
        tree = self.parent()
        if not isinstance(tree, QTreeWidget | QListWidget):
            return super().sizeHint(option, index)
        depth, parent = 1, index.parent()
        while parent.isValid():
            depth, parent = depth + 1, parent.parent()
        indent = depth * tree.indentation() if isinstance(tree, QTreeWidget) else 0
        room = max(tree.viewport().width() - indent - 14, 80)
        font = index.data(Qt.ItemDataRole.FontRole)
        metrics = QFontMetrics(font if isinstance(font, QFont) else tree.font())
        text = str(index.data() or "")
        flags = int(Qt.TextFlag.TextWordWrap)
        height = metrics.boundingRect(QRect(0, 0, room, 4000), flags, text).height()
        return QSize(room, height + 2 * ROW_PAD)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """The row, but no line of its words that the lower edge of what is seen would cut."""
        tree = self.parent()
        rect: QRect = option.rect
        edge = rect.bottom()
        if isinstance(tree, QTreeWidget):
            edge = tree.viewport().visibleRegion().boundingRect().bottom()
        painter.save()
        if rect.top() < edge < rect.bottom() - ROW_PAD:
            font = index.data(Qt.ItemDataRole.FontRole)
            high = QFontMetrics(font).height() if isinstance(font, QFont) else (
                painter.fontMetrics().height()
            )
            lines = max(edge - rect.top() - ROW_PAD, 0) // high
            painter.setClipRect(QRect(rect.x(), rect.y(), rect.width(), ROW_PAD + lines * high))
        super().paint(painter, option, index)
        painter.restore()


class ReasonsTree(QTreeWidget):
    """Reasons, unfolded as far as one needs to follow the argument.

    ``lesson_wanted`` carries the load path of a reason whose lesson is to be opened.
    """

    lesson_wanted = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setHeaderHidden(True)
        self.setWordWrap(True)
        self.setIndentation(22)
        self.setColumnCount(1)
        self.header().setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        self.setItemDelegate(WrapDelegate(self))
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QTreeWidget.ScrollMode.ScrollPerPixel)
        self.setAccessibleName("Reasons")
        self.itemClicked.connect(self._lesson)
        self.itemActivated.connect(self._lesson)
        self._fit = QTimer(self)
        self._fit.setSingleShot(True)
        self._fit.timeout.connect(self._fit_height)

    def grow_with_content(self) -> None:
        """Be as high as what is unfolded, so that only the page around it scrolls."""
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.itemExpanded.connect(self._fit_soon)
        self.itemCollapsed.connect(self._fit_soon)
        self._grows = True

    _grows = False

    def _fit_soon(self) -> None:
        if self._grows:
            self._fit.start(0)

    def _fit_height(self) -> None:
        last = self.topLevelItem(self.topLevelItemCount() - 1)
        while last is not None and last.isExpanded() and last.childCount():
            last = last.child(last.childCount() - 1)
        bottom = self.visualItemRect(last).bottom() if last is not None else 0
        self.setFixedHeight(max(bottom, 40) + 2 * self.frameWidth() + 8)

    def _lesson(self, item: QTreeWidgetItem) -> None:
        path = item.data(0, LESSON)
        if path:
            self.lesson_wanted.emit(tuple(path))

    def scrollContentsBy(self, dx: int, dy: int) -> None:
        """What stands at the lower edge is drawn anew, so that no line is cut."""
        super().scrollContentsBy(dx, dy)
        self.viewport().update()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """The page scrolls, not the tree in it."""
        if self._grows:
            event.ignore()
        else:
            super().wheelEvent(event)

    def show_reasons(
        self, reasons: Sequence[Reason], system: System, folders: Sequence[Path] = ()
    ) -> None:
        """Fill the tree anew; rules are told with their place in the files of ``folders``."""
        self.clear()
        for reason in reasons:
            self.addTopLevelItem(reason_item(reason, system, folders, top=True))
        # On a page only the need and the choice stand open: the others are a touch away.
        unfolded = min(self.topLevelItemCount(), 2 if self._grows else len(reasons))
        for i in range(unfolded):
            item = self.topLevelItem(i)
            if item is not None:
                item.setExpanded(True)
        self._fit_soon()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Row heights follow the width."""
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()
        if event.oldSize().width() != event.size().width():
            self._fit_soon()


def lesson_item(path: Sequence[str], title: str) -> QTreeWidgetItem:
    """A line that opens the lessons behind a load path by a click or Enter."""
    item = QTreeWidgetItem([f"Lesson: {title}"])
    font = QFont(theme.FONT)
    font.setPixelSize(theme.TEXT)
    font.setUnderline(True)
    item.setData(0, Qt.ItemDataRole.FontRole, font)
    item.setForeground(0, QColor(theme.ACCENT))
    item.setData(0, LESSON, list(path))
    return item


def _rule(name: str, folders: Sequence[Path]) -> list[QTreeWidgetItem]:
    """A line that says where in the rules something stands."""
    place = rule_place(name, folders)
    return [QTreeWidgetItem([f"Rule: {place}"])] if place else []


def reason_item(
    reason: Reason, system: System, folders: Sequence[Path] = (), *, top: bool = False
) -> QTreeWidgetItem:
    """One reason with what it rests on beneath it."""
    item = QTreeWidgetItem([sentence(reason.text)])
    if top:
        font = QFont(theme.FONT)
        font.setPixelSize(theme.TEXT)
        font.setBold(True)
        item.setData(0, Qt.ItemDataRole.FontRole, font)
    if len(reason.path_titles) > 1:
        item.addChild(QTreeWidgetItem([f"Load path: {chain(reason.path_titles)}"]))
    for figure in reason.figures:
        text = figure_text(figure, system)
        leaf = QTreeWidgetItem([text])
        if figure.source is not None:
            leaf.addChild(QTreeWidgetItem([source_text(figure.source)]))
        leaf.addChildren(_rule(figure.node, folders))
        item.addChild(leaf)
    # A path all of whose nodes are left out of sentences has no title to name a lesson by.
    if len(reason.path) > 1 and reason.path_titles:
        item.addChild(lesson_item(reason.path, lowered(_named(reason))))
    for child in reason.children:
        item.addChild(reason_item(child, system, folders))
    if reason.source is not None:
        item.addChild(QTreeWidgetItem([source_text(reason.source)]))
    if reason.path:
        item.addChildren(_rule(reason.path[-1], folders))
    return item


def _named(reason: Reason) -> str:
    """What a reason's lesson is about: the title of the load that its path ends in."""
    titles = reason.path_titles
    return titles[-2] if len(titles) > 1 else titles[0]


class MethodReasons(QWidget):
    """Why one method holds, fails or is not possible; opened by clicking its bar."""

    closed = Signal()
    lesson_wanted = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.title = QLabel(self)
        self.title.setObjectName("section")
        self.title.setWordWrap(True)
        self.tree = ReasonsTree(self)
        self.tree.lesson_wanted.connect(self.lesson_wanted)
        self.back = QPushButton("All methods", self)
        self.back.clicked.connect(self.closed)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(10, 8, 10, 8)
        row = QHBoxLayout()
        row.addWidget(self.title, 1)
        row.addWidget(self.back)
        layout.addLayout(row)
        layout.addWidget(self.tree, 1)
        self.method = ""

    def show_method(
        self, method: MethodAdvice, system: System, currency: str, tax: Tax = NO_TAX,
        *, hazards_open: bool = False, job: str = "", folders: Sequence[Path] = (),
    ) -> None:  # fmt: skip
        """Show one method: the argument, then the figures in short.

        ``job`` is price and time of the whole job in which it leads, where there is one.
        """
        self.method = method.method
        self.title.setText(f"{method.title}: {standing(method, hazards_open=hazards_open)}")
        self.tree.show_reasons(method.because, system, folders)
        for line in summary_of(method, currency, tax, hazards_open=hazards_open, job=job):
            self.tree.addTopLevelItem(QTreeWidgetItem([line]))
        self.tree.addTopLevelItem(lesson_item([METHOD + method.method], lowered(method.title)))


def summary_of(
    method: MethodAdvice, currency: str, tax: Tax, *, hazards_open: bool = False, job: str = ""
) -> list[str]:
    """A method in short sentences: strength used, what gives first, price and time."""
    lines = []
    if method.usage is not None:
        lines.append(f"{capital(usage_text(method.usage))}.")
        held = f"Holds in {of_hundred(method.hold_probability)} simulated cases."
        lines.append(NO_PROMISE if hazards_open else held)
    if method.limiting_title:
        lines.append(f"What fails first: {method.limiting_title}.")
    if job:
        lines.append(f"The whole job: {job}.")
    elif method.price is not None and method.minutes is not None and method.price.high > 0:
        price = price_text(method.price, currency, tax)
        lines.append(f"{capital(price)}, {duration_with_range(method.minutes)}.")
    return lines
