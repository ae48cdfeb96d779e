"""A column that is filled anew: which widgets stay, in which order, and what they say."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtWidgets import QApplication, QLabel, QPushButton, QVBoxLayout, QWidget

from advisor.drawing.cutting_layout import CutLayout
from advisor.drawing.timeline import timeline
from advisor.facts.quantity import System
from advisor.gui.job.cutting_view import Cut, CuttingView
from advisor.gui.job.timeline_view import Clock, TimelineView
from advisor.gui.widgets.cell_grid import CellGrid, Cells
from advisor.gui.widgets.line_blocks import Line, LineBlocks, Point, Press, Presses
from advisor.gui.widgets.refilled_column import Block, RefilledColumn, matched
from advisor.gui.widgets.report_cells import pairs, steps, table
from advisor.job.cutting.layout import Piece, Placed
from advisor.job.model import Slot
from advisor.report.blocks import Column as TableColumn
from advisor.report.blocks import Row, Table, WorkStep, WorkSteps

LEFT = Qt.MouseButton.LeftButton


@dataclass(frozen=True)
class Made:
    """Something described by three letters."""

    kind: str
    name: str
    text: str


@pytest.fixture
def place(qtbot) -> Iterator[QWidget]:
    """A shown widget to fill, with a button before it."""
    window = QWidget()
    qtbot.addWidget(window)
    window.resize(400, 600)
    found = QWidget(window)
    found.resize(400, 3000)
    QPushButton("before", found)
    window.show()
    qtbot.waitExposed(window)
    yield found


@pytest.fixture
def column(place: QWidget) -> RefilledColumn:
    before = place.findChild(QPushButton)
    assert before is not None
    return RefilledColumn(QVBoxLayout(place), place, before)


def buttons(*texts: str, action: Callable[[], object] = dict) -> Presses:
    return Presses(tuple(Press(text, action) for text in texts))


def told(place: QWidget) -> list[str]:
    """The words that are shown, in the order of the children: as they are read aloud."""
    return [w.text() for w in place.findChildren(QLabel) if w.isVisible()]


def seen(place: QWidget, qapp: QApplication) -> list[str]:
    """The words that are shown, from the top left."""
    for _ in range(3):
        qapp.processEvents()
    found = [w for w in place.findChildren(QLabel) if w.isVisible()]
    at = {w: w.mapTo(place, w.rect().topLeft()) for w in found}
    return [w.text() for w in sorted(found, key=lambda w: (at[w].y(), at[w].x()))]


def label_of(place: QWidget, text: str) -> QLabel:
    return next(w for w in place.findChildren(QLabel) if w.text() == text and w.isVisible())


# -- which takes over which ------------------------------------------------------------------


def test_the_equal_stays_then_the_same_thing_then_one_of_its_kind() -> None:
    old = [Made("a", "1", "x"), Made("a", "2", "y"), Made("a", "3", "z"), Made("b", "1", "x")]
    new = [Made("a", "9", "new"), Made("a", "2", "other"), Made("a", "1", "x"), Made("c", "1", "")]
    assert matched(old, new) == [2, 1, 0, None]


made = st.builds(Made, st.sampled_from("ab"), st.sampled_from("12"), st.sampled_from("xyz"))


@given(st.lists(made, max_size=8), st.lists(made, max_size=8))
def test_no_widget_is_given_twice_and_none_goes_to_another_kind(old, new) -> None:
    found = matched(old, new)
    places = [place for place in found if place is not None]
    assert len(found) == len(new) and len(set(places)) == len(places)
    for thing, place in zip(new, found, strict=True):
        assert place is None or old[place].kind == thing.kind
        # Nothing is made anew while a widget of the kind is thrown away.
        if place is None:
            assert not [p for p in range(len(old)) if old[p].kind == thing.kind
                        and p not in places]
    equal = sum(min(old.count(thing), new.count(thing)) for thing in set(old))
    assert equal == sum(old[p] == t for p, t in zip(found, new, strict=True) if p is not None)


# -- a column ---------------------------------------------------------------------------------


def test_what_is_the_same_stays_and_the_rest_is_rewritten(column, place, qapp) -> None:
    column.fill([Line("head", "section"), Line("old"), Point("•", "dot"), Line("end", "small")])
    head, line, end = (label_of(place, text) for text in ("head", "old", "end"))
    column.fill([Line("head", "section"), Line("fresh", "now"), Line("new"), Line("end", "small")])
    assert label_of(place, "head") is head
    assert label_of(place, "new") is line
    assert label_of(place, "end") is end
    assert label_of(place, "fresh").objectName() == "now"
    assert told(place) == seen(place, qapp) == ["head", "fresh", "new", "end"]


def test_blocks_that_change_places_are_moved(column, place, qapp) -> None:
    first = [Line("a"), Point("1.", "b"), Line("c", "small"), Line("d", "now")]
    column.fill(first)
    kept = {text: label_of(place, text) for text in "abcd"}
    column.fill(first[::-1])
    assert {text: label_of(place, text) for text in "abcd"} == kept
    assert told(place) == seen(place, qapp) == ["d", "c", "1.", "b", "a"]


def test_what_is_gone_is_not_left_behind(column, place, qapp) -> None:
    for number in range(5):
        column.fill([Line("a", str(number)), Point("•", f"{number}")])
    column.fill([])
    assert told(place) == []
    qapp.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    assert place.findChildren(QLabel) == []


def test_a_button_stays_itself_and_works_after_every_refill(column, place, qtbot) -> None:
    pressed: list[str] = []
    column.fill([buttons("Go", action=lambda: pressed.append("go"))])
    (go,) = [b for b in place.findChildren(QPushButton) if b.text() == "Go"]
    go.setFocus()
    for text in ("one", "two"):
        column.fill([Line(text), buttons("Other"), buttons("Go"), Line("end")])
        assert place.window().focusWidget() is go
        qtbot.mouseClick(go, LEFT)
    assert pressed == ["go", "go"]


def test_the_tab_key_follows_the_page_though_buttons_came_later(column, place, qtbot) -> None:
    column.fill([buttons("A"), buttons("D")])
    column.fill([buttons("A"), buttons("B", "C"), buttons("D")])
    before = place.findChild(QPushButton)
    before.setFocus()
    reached = []
    for _ in range(4):
        qtbot.keyClick(place.window().focusWidget(), Qt.Key.Key_Tab)
        reached.append(place.window().focusWidget().text())
    assert reached == ["A", "B", "C", "D"]


def test_the_keyboard_goes_on_to_the_next_where_a_button_is_taken_away(column, place) -> None:
    column.fill([buttons("A"), buttons("B"), buttons("C")])
    (middle,) = [b for b in place.findChildren(QPushButton) if b.text() == "B"]
    middle.setFocus()
    column.fill([buttons("A"), buttons("C")])
    assert place.window().focusWidget().text() == "C"


def test_marked_words_stay_marked_where_they_do_not_change(column, place) -> None:
    column.fill([Line("marked"), Line("other", "small")])
    label_of(place, "marked").setSelection(0, 4)
    column.fill([Line("new", "now"), Line("marked"), Line("another", "small")])
    assert label_of(place, "marked").selectedText() == "mark"


def test_an_empty_line_is_not_told() -> None:
    blocks = LineBlocks()
    blocks.say("")
    blocks.head("H")
    blocks.points(["p"])
    assert blocks == [Line("H", "section"), Point("•", "p")]


def grid(
    name: str, heads: Sequence[str], rows: Sequence[Sequence[str]], strong: Sequence[int] = ()
) -> Cells:
    """A table of a report: words in the first column, figures in the others."""
    columns = tuple(TableColumn(title, 0.5, right=x > 0) for x, title in enumerate(heads))
    lines = tuple(Row(tuple(row), strong=y in strong) for y, row in enumerate(rows))
    return table(name, Table(columns, lines))


def test_a_remark_stands_under_its_row(column, place, qapp) -> None:
    columns = tuple(
        TableColumn(title, 0.3, under=title == "Remark")
        for title in ("Quantity", "Amount", "Remark")
    )
    rows = (Row(("Thread", "3 m", "Cut it long")), Row(("Patch", "1 m", "")))
    column.fill([table("t", Table(columns, rows))])
    assert told(place) == ["Quantity", "Amount", "Thread", "3 m", "Cut it long", "Patch", "1 m"]
    seen(place, qapp)
    assert label_of(place, "Thread").y() < label_of(place, "Cut it long").y()
    assert label_of(place, "Cut it long").y() < label_of(place, "Patch").y()


# -- a grid -----------------------------------------------------------------------------------


def test_a_row_put_in_between_moves_the_others_down(column, place, qapp) -> None:
    column.fill([grid("t", ["Work", "min"], [["Sew", "5"], ["In all", "5"]], [1])])
    (shown,) = place.findChildren(CellGrid)
    column.fill([
        grid("t", ["Work", "min"], [["Cut", "3"], ["Sew", "5"], ["In all", "8"]], [2])
    ])
    assert place.findChildren(CellGrid) == [shown]
    expected = ["Work", "min", "Cut", "3", "Sew", "5", "In all", "8"]
    assert told(place) == seen(place, qapp) == expected
    assert label_of(place, "In all").objectName() == "new"
    assert label_of(place, "Sew").objectName() == ""
    assert not label_of(place, "8").wordWrap() and label_of(place, "Cut").wordWrap()


def test_a_figure_that_changes_leaves_every_other_label_alone(column, place) -> None:
    column.fill([pairs("p", [("Length", "3 m"), ("Width", "1 m")])])
    before = {w.text(): w for w in place.findChildren(QLabel)}
    column.fill([pairs("p", [("Length", "4 m"), ("Width", "1 m")])])
    after = {w.text(): w for w in place.findChildren(QLabel)}
    assert after == {("4 m" if text == "3 m" else text): w for text, w in before.items()}


def test_cautions_move_beside_the_steps_and_under_them(column, place, qapp) -> None:
    work = WorkSteps("Sew", (WorkStep("1", "Pin it", ("Needles",)), WorkStep("2", "Sew it", ())))
    for beside in (True, False, True):
        column.fill([steps(work, beside=beside)])
        assert told(place) == ["Sew", "1.", "Pin it", "Needles.", "2.", "Sew it"]
        seen(place, qapp)
        step, caution = label_of(place, "Pin it"), label_of(place, "Needles.")
        assert (caution.x() > step.x()) is beside
        assert (caution.y() > step.y()) is not beside


def test_a_table_is_taken_over_by_the_table_of_the_same_thing(column, place) -> None:
    one, other = grid("one", ["", "a"], [["x", "1"]]), grid("other", ["", "b"], [["y", "2"]])
    column.fill([one, other])
    _, second = place.findChildren(CellGrid)
    column.fill([grid("other", ["", "b"], [["y", "3"]])])
    (left,) = [grid for grid in place.findChildren(CellGrid) if grid.isVisible()]
    assert left is second
    assert told(place) == ["", "b", "y", "3"]


# -- drawings ---------------------------------------------------------------------------------


class Paints(QObject):
    """Counts how often a widget is painted."""

    def __init__(self, widget: QWidget) -> None:
        super().__init__(widget)
        self.count = 0
        widget.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802 - Qt's name
        self.count += event.type() == QEvent.Type.Paint
        return False


def roll(*sizes: tuple[float, float], title: str = "Top") -> Cut:
    """Pieces one after the other along a roll [mm]."""
    placed, x = [], 0.0
    for along, across in sizes:
        placed.append(Placed(Piece(title, along, across), x, 0.0, along, across))
        x += along
    return Cut(CutLayout(tuple(placed), x, 1400.0, 0.0, "", "The roll", "", ()), System.METRIC)


def clock(*titles: str) -> Clock:
    """A quarter of an hour for each piece of work."""
    slots = (Slot("seat", "x", t, True, 15.0 * i, 15.0 * i + 15.0) for i, t in enumerate(titles))
    course = timeline(tuple(slots), several=False)
    assert course is not None
    return Clock(course)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (roll((1900.0, 500.0)), roll((900.0, 500.0), (900.0, 400.0), (2000.0, 90.0))),
        (roll((1900.0, 500.0)), roll((1900.0, 500.0), title="Rim")),
        (clock("Sew"), clock("Sew", "Glue", "Refit")),
        (clock("Sew"), clock("Cut")),
    ],
)
def test_a_drawing_is_drawn_anew_and_takes_the_room_it_needs(
    column, place, qapp, one: Block, other: Block
) -> None:
    column.fill([one, Line("under it")])
    seen(place, qapp)
    drawn = CuttingView | TimelineView
    (drawing,) = [w for w in place.findChildren(QWidget) if isinstance(w, drawn)]
    paints, before = Paints(drawing), drawing.accessibleDescription()
    column.fill([one, Line("under it")])
    seen(place, qapp)
    assert paints.count == 0
    column.fill([other, Line("under it")])
    # Everything has its place at once, before any event.
    assert drawing.height() == drawing.heightForWidth(drawing.width())
    assert label_of(place, "under it").y() > drawing.geometry().bottom()
    seen(place, qapp)
    assert paints.count > 0
    assert drawing.accessibleDescription() != before


def test_a_longer_table_has_its_room_at_once(column, place, qapp) -> None:
    column.fill([grid("t", ["Work", "min"], [["Sew", "5"]]), Line("under it")])
    seen(place, qapp)
    shown = place.findChild(CellGrid)
    for text in ("Sew", "Sew it once more, from end to end, in long stitches " * 3):
        more = [[text, "5"]] * 6
        column.fill([grid("t", ["Work", "min"], more), Line("under it")])
        last = max(w.geometry().bottom() for w in shown.findChildren(QLabel))
        assert last < shown.height()
        assert shown.height() >= shown.heightForWidth(shown.width())
        assert label_of(place, "under it").y() > shown.geometry().bottom()
