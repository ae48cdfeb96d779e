"""Where the day begins: a new case, yesterday's, one to try, and the shop."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from pathlib import Path

from PySide6.QtCore import QEvent, QObject, QSize, Qt
from PySide6.QtGui import QIcon, QPixmap, QResizeEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QMenu,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from advisor import paths
from advisor.casebook.finding.lines import CaseLine
from advisor.facts.case import DAMAGE
from advisor.gui import theme
from advisor.gui.look import Look
from advisor.gui.widgets.fitted_words import WrappedButton
from advisor.gui.widgets.icons import icon, icon_file, picture
from advisor.gui.widgets.page import label
from advisor.gui.widgets.refilled_column import empty
from advisor.session.shop_settings import ShopSettings
from advisor.wording.sentences import lowered

DRAWN = 54
"""Width of a pictogram at 100 % text, px."""
AT_WORK = "At work: {}"
LOTS = "Materials on hand..."
MOST = 6
"""Recent cases shown."""
NOT_DECIDED = "not decided"
CAME_TO = {"refer": "referred: a hazard stops it", "decline": "no repair holds"}
"""What a recent case has come to, by its verdict, where it has no plan."""


@dataclass(frozen=True)
class HomeCalls:
    """What the home asks of the window."""

    new: Callable[[], object]
    open: Callable[[], object]
    open_path: Callable[[Path], object]
    settings: Callable[[], object]
    prices: Callable[[], object]
    help: Callable[[], object]
    find: Callable[[], object]
    practice: Callable[[], object]
    recent_kept: Callable[[Callable[[Sequence[CaseLine]], None]], object]
    """Asks the casebook; what is given to it is called with the cases worked on last."""
    open_kept: Callable[[str], object]
    title_of_method: Callable[[str], str]
    due: Callable[[Callable[[int], None]], object]
    """Asks the casebook; what is given to it is called with how many jobs are to be asked after."""
    ask_after: Callable[[], object]
    audit: Callable[[], object]
    lots: Callable[[], object]
    lots_heeded: Callable[[Callable[[int], None]], object]
    """Asks the casebook; what is given to it is called with how many lots are to be heeded."""
    burn_tests: Callable[[], object]
    work_as: Callable[[str], object]


def written_in(path: Path) -> str:
    """The words of a file; none where it cannot be read, which opening it says."""
    try:
        return path.read_text("utf-8", "replace")
    except OSError:
        return ""


def title_of(path: Path) -> str:
    """What the case in a file is called, else the file's name as words."""
    found = re.search(r"^title: *(.+)$", written_in(path), re.MULTILINE)
    name = path.stem.removesuffix(".trim").replace("_", " ").replace("-", " ")
    return found[1].strip().strip("\"'") if found else name


def damage_in(path: Path) -> str | None:
    """The damage that the case in a file names."""
    found = re.search(rf"^ *{re.escape(DAMAGE)}: *(\w+)", written_in(path), re.MULTILINE)
    return found[1] if found else None


def damage_drawn(damage: str | None) -> QPixmap:
    """A damage as a pictogram, or an eye."""
    file = paths.asset(f"pictograms/damage_{damage}.svg") if damage else None
    drawn = file if file is not None and file.is_file() else icon_file("eye")
    return picture(drawn, QSize(theme.px(DRAWN), theme.px(30)))


class HomePage(QScrollArea):
    """Cards with large buttons; the cases opened last are filled in when it is shown."""

    def __init__(self, look: Look, calls: HomeCalls, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWidgetResizable(True)
        self.setObjectName("bare")
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._look, self._calls = look, calls
        self.inside = QWidget(self)
        self.inside.setObjectName("ground")
        row = self._columns = QBoxLayout(QBoxLayout.Direction.LeftToRight, self.inside)
        row.setContentsMargins(16, 16, 16, 16)
        row.setSpacing(16)
        left, right = self._sides = QVBoxLayout(), QVBoxLayout()
        for column in (left, right):
            column.setSpacing(12)
        row.addLayout(left, 5)
        row.addLayout(right, 3)
        self.setWidget(self.inside)
        self._begin(left)
        self.recent = self._card("Recent cases", left)
        self.demos = self._card("Learn from examples", left)
        self.practice = self._card("Practice", right)
        self.shop = self._card("This shop", right)
        left.addStretch(1)
        right.addStretch(1)
        self.buttons: list[QPushButton] = []

    def resizeEvent(self, event: QResizeEvent) -> None:
        """One column where the window is narrow."""
        self._settle_columns()
        super().resizeEvent(event)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """What the cards hold, or the size of its text, has changed: they may need more width."""
        if watched is self.inside and event.type() is QEvent.Type.LayoutRequest:
            self._settle_columns()
        return super().eventFilter(watched, event)

    def _settle_columns(self) -> None:
        need = sum(side.minimumSize().width() for side in self._sides) + 3 * 16
        across, down = QBoxLayout.Direction.LeftToRight, QBoxLayout.Direction.TopToBottom
        wanted = across if need <= self.viewport().width() else down
        if self._columns.direction() != wanted:
            self._columns.setDirection(wanted)

    def _begin(self, column: QVBoxLayout) -> None:
        card = self._frame()
        inside = QVBoxLayout(card)
        inside.setContentsMargins(20, 16, 20, 16)
        inside.addWidget(label("What is damaged?", "verdict", card))
        inside.addWidget(label(
            "Vehicle, part and damage; then only what is worth asking.", "quiet", card
        ))  # fmt: skip
        row = QHBoxLayout()
        self.new = self._press("New case", "plus", self._calls.new, card)
        self.new.setObjectName("main")
        self.open = self._press("Open a case...", "papers", self._calls.open, card)
        row.addWidget(self.new)
        row.addWidget(self.open)
        row.addStretch(1)
        inside.addLayout(row)
        column.addWidget(card)

    def _frame(self) -> QFrame:
        card = QFrame(self.inside)
        card.setObjectName("card")
        return card

    def _card(self, title: str, column: QVBoxLayout) -> QVBoxLayout:
        """A card with a heading; what it holds is put into the layout it returns."""
        card = self._frame()
        outer = QVBoxLayout(card)
        outer.setContentsMargins(16, 12, 16, 12)
        head = QLabel(title, card)
        head.setObjectName("section")
        outer.addWidget(head)
        inside = QVBoxLayout()
        inside.setSpacing(6)
        outer.addLayout(inside)
        column.addWidget(card)
        return inside

    def _press(
        self, text: str, drawn: str, action: Callable[[], object], parent: QWidget
    ) -> QPushButton:
        button = QPushButton(text, parent)
        main = drawn == "plus"
        button.setIcon(icon(drawn, "ON_ACCENT" if main else "INK", theme.px(22)))
        button.setIconSize(QSize(theme.px(22), theme.px(22)))
        button.setMinimumHeight(theme.TARGET)
        button.clicked.connect(lambda: action())
        return button

    def redraw(self) -> None:
        """The cases opened last, the examples and the shop, as they stand."""
        for column in (self.recent, self.demos, self.practice, self.shop):
            empty(column)
        self._fill_recent()
        self._fill_demos()
        self._put("Choose a repair, see what was right", "practice", self._calls.practice,
                  self.practice)  # fmt: skip
        self._fill_shop()

    def _put(self, text: str, drawn: str, action: Callable[[], object], into: QVBoxLayout
    ) -> QPushButton:
        button = self._press(text, drawn, action, self.inside)
        button.setObjectName("row")
        into.addWidget(button)
        button.show()
        return button

    def _fill_recent(self) -> None:
        found = [Path(text) for text in self._look.settings.recent]
        there = [path for path in found if path.is_file()][:MOST]
        for path in there:
            action = partial(self._calls.open_path, path)
            self._put(f"{title_of(path)}   ({path.parent.name})", "case", action, self.recent)
        if not there:
            said = label("None yet. A case you save or open stands here.", "quiet", self.inside)
            self.recent.addWidget(said)
        self._calls.recent_kept(self._show_kept)

    def _show_kept(self, lines: Sequence[CaseLine]) -> None:
        """The cases of the casebook stand in the place of files, once it has answered."""
        if not lines:
            return
        empty(self.recent)
        for line in lines[:MOST]:
            day = f"{datetime.fromtimestamp(line.changed / 1000):%d %b}"
            came = CAME_TO.get(line.verdict or "", NOT_DECIDED)
            if line.verdict == "plan" and line.lead:
                came = lowered(self._calls.title_of_method(line.lead)) or came
            button = self._drawn(line.damage, f"{line.called}\n{day}: {came}", self.inside)
            button.clicked.connect(partial(self._open_kept, line.key))
            self.recent.addWidget(button)
            button.show()
        self._put("Find a kept case...", "casebook", self._calls.find, self.recent)
        self._calls.due(self._show_due)

    def _open_kept(self, key: str) -> None:
        self._calls.open_kept(key)

    def _drawn(self, damage: str | None, words: str, parent: QWidget) -> WrappedButton:
        """A case as a button: its damage as a pictogram, and what it is called."""
        button = WrappedButton(parent)
        button.setObjectName("row")
        button.setIcon(QIcon(damage_drawn(damage)))
        button.setIconSize(QSize(theme.px(DRAWN), theme.px(30)))
        button.setMinimumHeight(theme.TARGET)
        button.set_words(words)
        return button

    def _show_due(self, count: int) -> None:
        """Jobs of which it is time to hear."""
        if count:
            jobs = "1 job" if count == 1 else f"{count} jobs"
            self._put(f"{jobs} to be asked after...", "list", self._calls.ask_after, self.recent)

    def _fill_demos(self) -> None:
        rows = QWidget(self.inside)
        grid = QGridLayout(rows)
        grid.setContentsMargins(0, 0, 0, 0)
        for column in range(2):
            grid.setColumnStretch(column, 1)
        for path in sorted(paths.demo_folder().glob("*.yaml"), key=title_of):
            button = self._drawn(damage_in(path), title_of(path), rows)
            button.clicked.connect(partial(self._open_example, path))
            grid.addWidget(button, grid.count() // 2, grid.count() % 2)
        self.demos.addWidget(rows)
        rows.show()

    def _open_example(self, path: Path) -> None:
        """A copy of it: what ships with the program stays as it is."""
        copy = paths.demo_copies_folder() / path.name
        if not copy.exists():
            from advisor.papers.handover.record_file import copy_records

            shutil.copyfile(path, copy)
            copy_records(path, copy)
        self._calls.open_path(copy)

    def _fill_shop(self) -> None:
        settings = self._look.settings
        named = settings.name or "Not named yet"
        said = f"{named}. {settings.address}".strip()
        self.shop.addWidget(label(said, "quiet", self.inside))
        self._put("Shop, people and tools...", "list", self._calls.settings, self.shop)
        if len(settings.people) > 1:
            self._fill_people(settings)
        self._put("Yearly audit...", "papers", self._calls.audit, self.shop)
        self._put("Prices and rates...", "prices", self._calls.prices, self.shop)
        self._lots = self._put(LOTS, "list", self._calls.lots, self.shop)
        self._put("Burn-test records...", "papers", self._calls.burn_tests, self.shop)
        self._put("Help and glossary", "help", self._calls.help, self.shop)
        self._calls.lots_heeded(self._show_heeded)

    def _fill_people(self, settings: ShopSettings) -> None:
        """Who works with this window: revisions, outcomes and papers take the name from here."""
        button = self._put(AT_WORK.format(settings.who or "choose who"), "case", lambda: None,
                           self.shop)  # fmt: skip
        menu = QMenu(button)
        for name in settings.people:
            menu.addAction(name, partial(self._work_as, name, button))
        button.setMenu(menu)

    def _work_as(self, name: str, button: QPushButton) -> None:
        self._calls.work_as(name)
        button.setText(AT_WORK.format(name))

    def _show_heeded(self, count: int) -> None:
        if count:
            self._lots.setText(f"{LOTS}   ({count} to be heeded)")
