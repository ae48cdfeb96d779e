"""The tree of reasons: a load path without titles opens no lesson, and breaks nothing."""

from __future__ import annotations

from dataclasses import replace

import pytest

from advisor.facts.case_file import read_case
from advisor.facts.quantity import System
from advisor.gui.widgets.reasons_tree import reason_item
from advisor.paths import demo_folder

pytestmark = pytest.mark.usefixtures("own_folders")


def test_a_path_without_titles_names_no_lesson(engine, qapp) -> None:
    """Found by random use: all nodes of the path were of those no sentence names."""
    case = read_case(demo_folder() / "split_armrest.yaml", engine.pack.facts)
    advice = engine.quick(case, engine.pack).advice
    reason = next(
        one for method in advice.methods for one in method.because if len(one.path) > 1
    )

    def lines(item) -> list[str]:  # type: ignore[no-untyped-def]
        return [item.child(i).text(0) for i in range(item.childCount())]

    assert any(line.startswith("Lesson:") for line in lines(reason_item(reason, System.METRIC)))
    bare = replace(reason, path_titles=())
    assert not any(line.startswith("Lesson:") for line in lines(reason_item(bare, System.METRIC)))
