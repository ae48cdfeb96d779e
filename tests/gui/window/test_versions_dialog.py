"""Two versions of a case side by side: picked with clicks and keys, nothing by accident."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel

from advisor.facts.case import Case, Span
from advisor.facts.quantity import System
from advisor.gui.widgets.two_versions import Choice, Versions
from advisor.gui.widgets.versions_dialog import VersionsDialog
from advisor.session.compare_cases import differences
from tests.gui.random_user.window_checks import cut_texts, outside, overlaid
from tests.unit.session.small_pack import SmallPack

LEFT, KEY = Qt.MouseButton.LeftButton, Qt.Key
BASE = Case("HB-1", facts={"part.kind": ("armrest",), "hazard.airbag": False})
MINE = BASE.with_fact("damage.gap", Span(4, 4, "4 mm")).with_fact("skin.material", ("vinyl",))
THEIRS = BASE.with_fact("hazard.airbag", True).with_fact("skin.material", ("leather",))
CHOICES = (
    (Choice.MINE, "Keep mine"), (Choice.THEIRS, "Take theirs"), (Choice.PICKED, "Save as picked"),
    (Choice.OTHER_NAME, "Another name..."), (Choice.CANCEL, "Cancel"),
)  # fmt: skip
Show = Callable[..., VersionsDialog]


@pytest.fixture
def show(qtbot) -> Iterator[Show]:
    """Shows the dialog of MINE and THEIRS."""
    held: list[VersionsDialog] = []

    def shown(choices: tuple[tuple[Choice, str], ...] = CHOICES, **parts: object) -> VersionsDialog:
        given = {
            "title": "Nothing is saved yet", "intro": "HB-1.yaml was changed.",
            "mine": "This window", "theirs": "HB-1.yaml now",
            "rows": differences(MINE, THEIRS, SmallPack.facts, BASE),
            "system": System.METRIC, "choices": choices, **parts,
        }  # fmt: skip
        dialog = VersionsDialog(Versions(**given))  # type: ignore[arg-type]
        held.append(dialog)
        qtbot.addWidget(dialog)
        dialog.show()
        qtbot.waitExposed(dialog)
        return dialog

    yield shown
    for dialog in held:
        dialog.hide()


def test_the_hazard_stands_on_top_and_is_not_picked_for_anybody(show: Show) -> None:
    dialog = show()
    assert list(dialog.pairs) == ["hazard.airbag", "skin.material", "damage.gap"]
    picked = {key: [b.isChecked() for b in pair] for key, pair in dialog.pairs.items()}
    # Both changed the skin, so that is to be picked too; the gap was given only here.
    assert picked == {"hazard.airbag": [False, False], "skin.material": [False, False],
                      "damage.gap": [False, True]}
    assert dialog.focusWidget() is dialog.pairs["hazard.airbag"][0]
    assert not dialog.buttons[Choice.PICKED].isEnabled()
    assert dialog.open_picks.text() == "2 answers are not picked yet."
    words = [found.text() for found in dialog.findChildren(QLabel)]
    assert words.index("Hazards") < words.index("Other answers")


def test_picking_answer_by_answer_with_the_mouse(show: Show, qtbot) -> None:
    dialog = show()
    qtbot.mouseClick(dialog.pairs["hazard.airbag"][0], LEFT)
    assert dialog.open_picks.text() == "1 answer is not picked yet."
    qtbot.mouseClick(dialog.pairs["skin.material"][0], LEFT)
    qtbot.mouseClick(dialog.pairs["skin.material"][1], LEFT)  # another mind
    qtbot.mouseClick(dialog.pairs["skin.material"][1], LEFT)  # a second touch takes nothing off
    qtbot.mouseClick(dialog.buttons[Choice.PICKED], LEFT)
    assert (dialog.choice, dialog.from_theirs) == (Choice.PICKED, {"hazard.airbag"})
    assert not dialog.isVisible()


def test_picking_with_keys_alone(show: Show, qtbot) -> None:
    dialog = show()
    qtbot.keyClick(dialog.focusWidget(), KEY.Key_Space)
    for _ in range(2):
        qtbot.keyClick(dialog.focusWidget(), KEY.Key_Tab)
    assert dialog.focusWidget() is dialog.pairs["skin.material"][0]
    qtbot.keyClick(dialog.focusWidget(), KEY.Key_Space)
    while dialog.focusWidget() is not dialog.buttons[Choice.PICKED]:
        qtbot.keyClick(dialog.focusWidget(), KEY.Key_Tab)
    qtbot.keyClick(dialog.focusWidget(), KEY.Key_Space)
    assert dialog.choice is Choice.PICKED
    assert dialog.from_theirs == {"hazard.airbag", "skin.material"}


@pytest.mark.parametrize("key", [KEY.Key_Escape, KEY.Key_Return, KEY.Key_Enter])
def test_neither_enter_nor_escape_replaces_anything(show: Show, qtbot, key: Qt.Key) -> None:
    dialog = show()
    qtbot.keyClick(dialog.focusWidget(), key)
    assert dialog.choice is Choice.CANCEL
    assert not dialog.isVisible()


@pytest.mark.parametrize("choice", [choice for choice, _ in CHOICES if choice is not Choice.PICKED])
def test_each_button_says_what_it_does(show: Show, qtbot, choice: Choice) -> None:
    dialog = show()
    qtbot.mouseClick(dialog.buttons[choice], LEFT)
    assert dialog.choice is choice


def test_where_nothing_can_be_picked_both_are_only_shown(show: Show) -> None:
    dialog = show(choices=(CHOICES[0], CHOICES[4]))
    words = [found.text() for found in dialog.findChildren(QLabel) if found.isVisible()]
    assert not dialog.pairs
    assert words.index("yes") == words.index("Airbag in this section") + 1
    assert dialog.focusWidget() is dialog.buttons[Choice.CANCEL]


@pytest.mark.parametrize("size", [(1240, 760), (984, 560), (760, 480)])
def test_every_word_can_be_read(show: Show, size: tuple[int, int], qapp) -> None:
    for rows in (None, ()):
        parts = {} if rows is None else {"rows": rows, "faults": ["Line 5: part.kind: no answer"]}
        dialog = show(**parts)
        dialog.resize(*size)
        for _ in range(3):
            qapp.processEvents()
        assert [*cut_texts(dialog), *outside(dialog), *overlaid(dialog)] == []
        dialog.hide()
