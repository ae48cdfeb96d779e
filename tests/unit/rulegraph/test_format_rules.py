"""The shipped rules are laid out as `trim-advisor rules format` does."""

from __future__ import annotations

from advisor.facts.yaml_layout import WIDTH
from advisor.paths import rules_folder
from advisor.rulegraph.format_rules import layouts


def test_the_shipped_rules_are_laid_out_for_reading() -> None:
    found = layouts([rules_folder()])
    assert len(found) > 80
    assert not [f"{one.path}:{one.first_line}" for one in found if one.changes]


def test_no_line_of_the_shipped_rules_is_longer_than_a_page_is_wide() -> None:
    longer = [
        f"{path}:{number}"
        for path in sorted(rules_folder().rglob("*.yaml"))
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if len(line) > WIDTH
    ]
    assert WIDTH == 100
    assert not longer
