"""Every relation is held by a figure that was not calculated by the program."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import advisor.mechanics  # noqa: F401  (registers every relation)
from advisor.mechanics.relation import RELATIONS

TESTS = Path(__file__).parents[2]
BY_HAND = Path(__file__).with_name("test_worked_by_hand.py")
FILES = (*sorted((TESTS / "published").glob("*.py")), BY_HAND)
WORKED = "\n".join(path.read_text(encoding="utf-8") for path in FILES)


@pytest.mark.parametrize("name", RELATIONS)
def test_a_worked_or_published_figure_holds_it(name: str) -> None:
    """Called by name in a check against a source; the property tests alone do not count."""
    assert re.search(rf"\.{name}\(", WORKED), f"no published or worked figure for {name}"
