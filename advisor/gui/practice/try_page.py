"""Try it yourself: figures of a case under sliders; section and bars follow at once."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QComboBox,
    QFrame,
    QLabel,
    QPushButton,
    QScrollArea,
    QSlider,
    QVBoxLayout,
    QWidget,
)

from advisor import paths
from advisor.advice.explaining.reasons import FIGURE_DIMENSIONS
from advisor.advice.result import Advice
from advisor.facts.case import Case
from advisor.facts.case_file import read_case
from advisor.gui import theme
from advisor.gui.practice.two_sides import TwoSides
from advisor.gui.widgets.method_bars import MethodBars
from advisor.gui.widgets.page import label
from advisor.gui.widgets.refilled_column import empty
from advisor.gui.widgets.section_view import SectionView
from advisor.practice.lessons_try import STEPS, Slider, sliders, tried
from advisor.rulegraph.model.pack import RulePack
from advisor.session.answer_text import range_text
from advisor.session.case_session import Session
from advisor.wording.figures import Range

INTRO = "Move a figure and see what follows. Your case is not changed."


class TryPage(QWidget):
    """Sliders at the left, drawing and bars at the right."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        assert isinstance(session.pack, RulePack)
        self._pack: RulePack = session.pack
        self._case: Case | None = None
        self._plain: Advice | None = None
        self.advice: Advice | None = None
        """What is drawn."""
        self._sliders: tuple[Slider, ...] = ()
        self.sliders: dict[str, QSlider] = {}
        self._values: dict[str, QLabel] = {}
        self.cases = QComboBox(self)
        self.cases.setAccessibleName("Case to try on")
        self.cases.setSizeAdjustPolicy(  # a long name leaves the drawing its width
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.cases.setMinimumContentsLength(12)
        self.cases.activated.connect(lambda _: self._take_case())
        self.column = QVBoxLayout()
        self.column.setSpacing(4)
        self.back = QPushButton("All as it was", self)
        self.back.setMinimumHeight(theme.TARGET)
        self.back.clicked.connect(self.put_back)
        self.section = SectionView(self)
        self.bars = MethodBars(self)
        self._lay_out()

    def _lay_out(self) -> None:
        card = QFrame(self)
        card.setObjectName("card")
        left = QVBoxLayout(card)
        left.setContentsMargins(14, 10, 14, 10)
        left.addWidget(label(INTRO, "quiet", card))
        left.addWidget(self.cases)
        self.area = QScrollArea(card)
        self.area.setWidgetResizable(True)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        inside = QWidget(self.area)
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 4, 0)
        column.addLayout(self.column)
        column.addStretch(1)
        self.area.setWidget(inside)
        left.addWidget(self.area, 1)
        left.addWidget(self.back)
        shown = QFrame(self)
        shown.setObjectName("card")
        right = QVBoxLayout(shown)
        right.setContentsMargins(2, 2, 2, 2)
        right.addWidget(self.section, 5)
        right.addWidget(self.bars, 5)
        self._sides = TwoSides(self, card, shown, (2, 3))

    # -- which case ----------------------------------------------------------------

    def open(self) -> None:
        """Take up the case of the window, or an example where there is none yet."""
        self.cases.clear()
        session = self._session
        if session.begun and session.advice.methods:
            self.cases.addItem(f"Your case: {session.case.title or session.case.name}", None)
        for path in sorted(paths.demo_folder().glob("*.yaml")):
            self.cases.addItem(f"Example: {path.stem.replace('_', ' ')}", path)
        best = self.cases.findText("Example: split armrest")
        if self.cases.itemData(0) is not None and best >= 0:
            self.cases.setCurrentIndex(best)
        self._take_case()

    def _take_case(self) -> None:
        path = self.cases.currentData()
        case = self._session.case if path is None else read_case(path, self._pack.facts)
        self.show_case(case)

    def show_case(self, case: Case) -> None:
        """Offer what may be moved in this case, all unchanged."""
        self._case = case
        self._sliders = sliders(case, self._pack)
        self._plain = tried(case, self._pack, {}, {})
        empty(self.column)
        self.sliders, self._values = {}, {}
        for one in self._sliders:
            self._add(one)
        if not self._sliders:
            self.column.addWidget(label("Nothing here can be moved in this case.", "", self))
        self._draw(self._plain)

    def _add(self, one: Slider) -> None:
        said = QLabel(self)
        said.setWordWrap(True)
        bar = QSlider(Qt.Orientation.Horizontal, self)
        bar.setRange(0, STEPS)
        bar.setValue(one.step(one.usual))
        bar.setPageStep(STEPS // 8)
        bar.setMinimumHeight(theme.TARGET)
        bar.setAccessibleName(one.title)
        bar.valueChanged.connect(partial(self._moved, one.node))
        self.column.addWidget(said)
        self.column.addWidget(bar)
        said.show()
        bar.show()
        self.sliders[one.node], self._values[one.node] = bar, said
        self._say(one)

    # -- moving --------------------------------------------------------------------

    def _moved(self, node: str, _: int) -> None:
        self._say(next(one for one in self._sliders if one.node == node))
        self.work_out()

    @property
    def moved(self) -> dict[str, float]:
        """Figures that are no longer where they were."""
        return {
            one.node: one.at(self.sliders[one.node].value()) for one in self._sliders
            if self.sliders[one.node].value() != one.step(one.usual)
        }  # fmt: skip

    def work_out(self) -> None:
        """Calculate with the figures as they are put, and draw it."""
        if self._case is None:
            return
        usual = {one.node: one.usual for one in self._sliders}
        self._draw(tried(self._case, self._pack, self.moved, usual))

    def _draw(self, advice: Advice) -> None:
        self.advice = advice
        self.section.show_advice(advice, self._pack, self._session.system)
        self.bars.show_advice(advice)
        self.bars.show_ghosts(self._plain.methods if self._plain is not None else ())
        self.back.setEnabled(bool(self.moved))

    def put_back(self) -> None:
        """Every figure where it was."""
        for one in self._sliders:
            bar = self.sliders[one.node]
            bar.blockSignals(True)
            bar.setValue(one.step(one.usual))
            bar.blockSignals(False)
            self._say(one)
        if self._plain is not None:
            self._draw(self._plain)

    def _say(self, one: Slider) -> None:
        at = self.sliders[one.node].value()
        value = one.usual if at == one.step(one.usual) else one.at(at)
        dimension = FIGURE_DIMENSIONS.get(one.unit, "number")
        said = range_text(Range(value, value, value), dimension, one.unit, self._session.system)
        if one.unit == "1":
            said = f"{100 * value:.2g} %"
        stands = ", unchanged" if at == one.step(one.usual) else ""
        self._values[one.node].setText(f"{one.title}: {said}{stands}")

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Side by side, or one under the other where it is narrow."""
        super().resizeEvent(event)
        self._sides.turn(self.width())
