"""The shipped rules are laid out as `trim-advisor rules format` does."""

from __future__ import annotations

import re

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


def test_the_index_names_files_that_are_there() -> None:
    index = [line for line in (rules_folder() / "pack.yaml").read_text("utf-8").splitlines()
             if line.startswith("#   ")]  # fmt: skip
    named = re.findall(r"[a-z_]+/(?:NAME|[a-z_]+)?(?:\.yaml)?|[a-z_]+\.yaml", "\n".join(index))
    assert len(named) > 15
    for name in named:
        assert list(rules_folder().glob(name.replace("NAME", "*"))), name
    ours = {path.relative_to(rules_folder()).parts[0] for path in rules_folder().rglob("*.yaml")}
    told = {name.partition("/")[0] for name in named}
    assert ours - told == {"pack.yaml"}
