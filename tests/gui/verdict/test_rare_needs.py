"""A need of a few per cent of the simulated cases is on no screen of the window."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QAbstractButton, QLabel, QTreeWidget, QWidget

from tests.field.test_rare_needs import CASES, PACK, advise_quick, rare_needs, said_of
from tests.gui.window.test_pages import words_of

#: A rotten board under a boat seat's cushion, a cracked base under a dash skin and a saddle.
RARE = ("FC-02", "FC-24", "FC-48")


def words_on(top: QWidget) -> str:
    """All words of the labels, buttons and trees that are shown."""
    plain = [*top.findChildren(QLabel), *top.findChildren(QAbstractButton)]
    found = [one.text() for one in plain if one.isVisible()]
    for tree in top.findChildren(QTreeWidget):
        found += words_of(tree)
    return "\n".join(found)


@pytest.mark.parametrize("name", RARE)
def test_no_screen_tells_a_rare_need(name: str, own_folders: None, show, qapp) -> None:
    told = CASES[name]
    rare = rare_needs(advise_quick(told, PACK))
    assert rare
    window = show(told)
    seen = ""
    for entry in window.navigator.order:
        window.navigator.go(entry.key)
        for _ in range(6):
            qapp.processEvents()
        seen += words_on(window)
    for need in rare:
        assert not said_of(need, seen), need
    primary = PACK.needs["close" if name != "FC-24" else "edge_hold"].title
    assert primary.lower() in seen.lower(), "the screens were not read"
