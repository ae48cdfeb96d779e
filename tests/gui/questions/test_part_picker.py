"""The question which part it is: found in seconds, by finger and by key."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtWidgets import QApplication, QLabel

from advisor.drawing.picker_layout import usual
from advisor.facts.case import Case
from advisor.gui import theme
from advisor.gui.app import Engine
from advisor.gui.widgets.answers.choice_answers import ChoiceAnswer
from advisor.gui.widgets.answers.grouped_choice import GroupedChoice
from advisor.gui.widgets.option_button import OptionButton
from advisor.gui.window.main_window import MainWindow
from tests.gui.questions.test_answering import press
from tests.gui.window.test_look import clipped

LEFT = Qt.MouseButton.LeftButton
PART, VEHICLE = "part.kind", "vehicle.kind"
SIZES = [(1024, 600), (1366, 768), (760, 620)]
VEHICLES = ("car", "bus", "camper", "boat", "farm_machine", "aircraft", "motorcycle")
#: What is offered always, and last.
NONE = "none_of_these"
STARTED = {VEHICLE: ("camper",), "damage.kind": ("seam_open",)}


@pytest.fixture
def part(show, qapp: QApplication):
    """Opens the part question for a vehicle in a window of some size."""

    def opened(vehicle: str = "boat", size: tuple[int, int] = (1024, 600), **facts) -> MainWindow:
        told = {name.replace("_", ".", 1): value for name, value in facts.items()}
        window = show(Case("HB-1", facts={VEHICLE: (vehicle,), **told}))
        window.resize(*size)
        window.navigator.go(PART)
        for _ in range(5):
            qapp.processEvents()
        return window

    return opened


def picker(window: MainWindow) -> GroupedChoice:
    assert isinstance(window.card.answer, GroupedChoice)
    return window.card.answer


def shown(window: MainWindow) -> list[str]:
    """Keys in the order in which they stand."""
    return [button.key for button in picker(window).shown]


def button(window: MainWindow, key: str) -> OptionButton:
    return next(button for button in picker(window).buttons if button.key == key)


def heads(window: MainWindow) -> list[QLabel]:
    return [head for head in picker(window).heads if head.isVisible()]


def in_sight(window: MainWindow, widget) -> bool:
    """Whether the widget stands wholly within what the card shows."""
    view = window.card.area.viewport()
    return view.rect().contains(QRect(widget.mapTo(view, QPoint(0, 0)), widget.size()))


def type_letters(window: MainWindow, qtbot, text: str) -> None:
    """Type where the keyboard is, letter by letter."""
    for letter in text:
        qtbot.keyClicks(window.focusWidget(), letter)


# -- where things stand ----------------------------------------------------------


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_usual_parts_come_first_and_none_is_left_out(part, engine: Engine, vehicle: str) -> None:
    window = part(vehicle)
    options = engine.pack.facts[PART].options
    at_home = [option.key for option in usual(options, [vehicle]) if not option.not_covered]
    listed = shown(window)
    assert listed[-1] == NONE
    assert set(listed[: len(at_home)]) == set(at_home)
    assert sorted(listed) == sorted(option.key for option in options)
    assert len(at_home) >= 3


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_every_heading_of_the_usual_parts_is_in_sight_on_a_small_screen(
    part, engine: Engine, vehicle: str
) -> None:
    window = part(vehicle)
    options = usual(engine.pack.facts[PART].options, [vehicle])
    wanted = list(dict.fromkeys(option.group for option in options if not option.not_covered))
    above = heads(window)[: len(wanted)]
    assert sorted(head.text() for head in above) == sorted(wanted)
    assert all(in_sight(window, head) for head in above)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("vehicle", ["bus", "boat"])
def test_nothing_is_clipped_and_all_is_large_enough_to_touch(part, size, vehicle: str) -> None:
    window = part(vehicle, size)
    assert clipped(window) == []
    for found in picker(window).shown:
        assert found.isVisible()
        assert found.height() >= 44
        assert found.width() >= theme.TARGET


def test_each_part_stands_under_its_heading(part, engine: Engine) -> None:
    window = part("camper")
    groups = {option.key: option.group for option in engine.pack.facts[PART].options}
    places = [(head.mapTo(window, QPoint(0, 0)), head.text()) for head in heads(window)]
    for found in picker(window).shown:
        at = found.mapTo(window, QPoint(0, 0))
        over = [(p.y(), text) for p, text in places if abs(p.x() - at.x()) < 20 and p.y() < at.y()]
        assert max(over)[1] == groups[found.key], found.key


def test_the_list_takes_the_whole_width_and_gives_it_back(part, qtbot) -> None:
    window = part("bus")
    assert window.side.isHidden()
    beside_the_rail = window.width() - window.rail.width()
    assert window.card.width() > 0.97 * beside_the_rail
    qtbot.mouseClick(button(window, "armrest"), LEFT)
    assert window.session.case.facts[PART] == ("armrest",)
    assert not window.side.isHidden()


def test_a_given_answer_is_in_sight_when_one_comes_back(part, qtbot) -> None:
    window = part("camper", part_kind=("pilot_seat",), damage_kind=("seam_open",))
    chosen = button(window, "pilot_seat")
    assert chosen.isChecked()
    qtbot.waitUntil(lambda: in_sight(window, chosen))


def test_another_vehicle_brings_other_parts_on_top(part, qtbot) -> None:
    window = part("boat")
    assert shown(window)[0] == "helm_seat"
    window.navigator.go(VEHICLE)
    answer = window.card.answer
    assert isinstance(answer, ChoiceAnswer)
    qtbot.mouseClick(next(b for b in answer.buttons if b.key == "aircraft"), LEFT)
    assert window.navigator.screen == PART
    assert shown(window)[0] == "pilot_seat"


# -- keys ------------------------------------------------------------------------


def test_letters_typed_anywhere_shorten_the_list_and_enter_picks(part, qtbot) -> None:
    window = part("boat")
    type_letters(window, qtbot, "bimi")
    assert picker(window).search.text() == "bimi"
    assert shown(window) == ["boat_canopy", NONE]
    assert [b.key for b in picker(window).buttons if b.isVisible()] == ["boat_canopy", NONE]
    order = [entry.key for entry in window.navigator.order]
    press(window, qtbot, Qt.Key.Key_Return)
    assert window.session.case.facts[PART] == ("boat_canopy",)
    assert window.navigator.screen == order[order.index(PART) + 1]


def test_a_digit_picks_among_what_is_left(part, qtbot) -> None:
    window = part("car")
    type_letters(window, qtbot, "sun")
    assert shown(window) == ["sun_visor", "sun_deck", NONE]
    assert [b.digit for b in picker(window).shown] == ["1", "2", "3"]
    type_letters(window, qtbot, "2")
    assert window.session.case.facts[PART] == ("sun_deck",)


def test_what_is_left_of_a_short_list_is_explained(part, qtbot) -> None:
    window = part("car")
    short = button(window, "dash_pad").height()
    type_letters(window, qtbot, "dashb")
    assert shown(window) == ["dash_pad", NONE]
    qtbot.waitUntil(lambda: button(window, "dash_pad").height() > short)
    assert clipped(window) == []


def test_escape_shows_the_whole_list_again(part, qtbot) -> None:
    window = part("car")
    before = shown(window)
    type_letters(window, qtbot, "xqz")
    assert shown(window) == [NONE]
    assert heads(window)[0].text().startswith("Nothing in the list has that name.")
    press(window, qtbot, Qt.Key.Key_Return)
    assert window.navigator.screen == PART
    press(window, qtbot, Qt.Key.Key_Escape)
    assert shown(window) == before
    assert isinstance(window.focusWidget(), OptionButton)


def test_arrows_go_down_a_column_and_across(part, qtbot) -> None:
    window = part("car")
    at = button(window, "seat_cushion")
    at.setFocus()
    for key, wanted in (
        (Qt.Key.Key_Down, "seat_backrest"), (Qt.Key.Key_Right, "console_lid"),
        (Qt.Key.Key_Right, "steering_wheel_rim"), (Qt.Key.Key_Left, "console_lid"),
        (Qt.Key.Key_Up, "armrest"), (Qt.Key.Key_Left, "seat_cushion"),
        (Qt.Key.Key_Left, "seat_cushion"),
    ):
        press(window, qtbot, key)
        assert window.focusWidget() is button(window, wanted), (key, wanted)
    press(window, qtbot, Qt.Key.Key_Up)
    assert window.focusWidget() is picker(window).search
    press(window, qtbot, Qt.Key.Key_Down)
    assert window.focusWidget() is button(window, "seat_cushion")
    assert picker(window).said.text() == "Seat cushion: The part one sits on"
    press(window, qtbot, Qt.Key.Key_Space)
    assert window.session.case.facts[PART] == ("seat_cushion",)


def test_arrows_reach_what_is_out_of_sight(part, qtbot) -> None:
    window = part("camper")
    button(window, "seat_belt").setFocus()
    press(window, qtbot, Qt.Key.Key_Down)
    assert window.focusWidget() is button(window, "work_seat")
    assert in_sight(window, button(window, "work_seat"))


def test_tab_follows_the_order_on_the_screen(part, qtbot) -> None:
    window = part("boat")
    button(window, shown(window)[0]).setFocus()
    for key in shown(window)[1:6]:
        press(window, qtbot, Qt.Key.Key_Tab)
        assert window.focusWidget() is button(window, key)


def test_several_parts_stay_possible(part, qtbot) -> None:
    window = part("car")
    box = picker(window).several
    qtbot.mouseClick(box, LEFT, pos=QPoint(14, box.height() // 2))
    for key in ("seat_cushion", "seat_backrest"):
        qtbot.mouseClick(button(window, key), LEFT)
    assert window.session.case.facts[PART] == ("seat_cushion", "seat_backrest")
    assert window.navigator.screen == PART


def drawn_box(found: OptionButton) -> bool:
    """Whether the frame of a box is painted left of the title."""
    image = found.grab().toImage()
    return image.pixelColor(OptionButton.side // 2, found.height() // 2).lightness() < 200


def test_a_box_stands_only_where_it_means_something(part, qtbot) -> None:
    """With a number to press, or to tick where several may be ticked."""
    window = part("car", (1366, 768))
    numbered, plain = picker(window).shown[:9], picker(window).shown[9:]
    assert [found.digit for found in numbered] == list("123456789")
    assert all(drawn_box(found) for found in numbered)
    assert plain and not any(drawn_box(found) for found in plain)
    box = picker(window).several
    qtbot.mouseClick(box, LEFT, pos=QPoint(14, box.height() // 2))
    assert all(drawn_box(found) for found in picker(window).shown)
    qtbot.mouseClick(box, LEFT, pos=QPoint(14, box.height() // 2))
    assert not any(drawn_box(found) for found in plain)
    qtbot.mouseClick(plain[0], LEFT)
    assert window.session.case.facts[PART] == (plain[0].key,)
    window.navigator.go(PART)
    chosen = button(window, plain[0].key)
    assert chosen.isChecked() and not chosen.boxed


@pytest.mark.parametrize(
    ("word", "key"),
    [
        ("headrest", "head_restraint"), ("dashboard", "dash_pad"), ("glareshield", "dash_pad"),
        ("tractor", "work_seat"), ("headliner", "headlining"), ("soft top", "folding_roof"),
        ("boot", "load_floor"), ("binding", "carpet_edge"), ("tray", "seat_shell"),
        ("berth", "box_cushion"), ("window sill", "door_top"), ("hinge", "trim_fixing"),
        ("footwell", "kick_panel"), ("hatch", "hinged_board"), ("spray hood", "boat_canopy"),
    ],
)
def test_the_words_of_the_trade_find_the_part(part, qtbot, word: str, key: str) -> None:
    window = part("car")
    type_letters(window, qtbot, word)
    assert key in shown(window)[:3]


def test_every_part_is_the_first_to_be_found_by_its_own_title(part) -> None:
    window = part("car")
    for found in picker(window).buttons:
        picker(window).search.setText(found.title)
        assert shown(window)[0] == found.key


def test_a_part_can_be_tried_instead(part, qtbot) -> None:
    window = part("camper", part_kind=("armrest",), damage_kind=("seam_open",))
    window.try_other()
    assert window.trial is not None and isinstance(window.trial.answer, GroupedChoice)
    qtbot.keyClicks(window.trial.answer.search, "box")
    qtbot.keyClick(window.trial.answer.search, Qt.Key.Key_Return)
    assert window.navigator.trial is not None
    assert window.navigator.trial.value == ("box_cushion",)
    assert window.session.case.facts[PART] == ("armrest",)
