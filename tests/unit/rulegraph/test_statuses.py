"""What is called looked up names a publication and the place in it. Own rule of this project."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from functools import cache
from typing import Any

import yaml

from advisor.advice.choosing.hazards import source_of
from advisor.paths import rules_folder
from advisor.rulegraph.model.asked import Origin
from advisor.rulegraph.model.pack import RulePack

STATUSES = {"looked_up", "from_memory", "common_practice", "estimate"}
#: Sources that are no publication: nothing can have been looked up in them.
NO_PUBLICATION = {"practice", "estimate"}


def stated(found: Any, at: str = "") -> Iterator[tuple[str, str, str]]:
    """Where in a file each source and status stand."""
    if isinstance(found, dict):
        if "source" in found and "status" in found:
            yield at, found["source"], found["status"]
        for key, value in found.items():
            yield from stated(value, f"{at}/{key}")
    elif isinstance(found, list):
        for number, value in enumerate(found):
            yield from stated(value, f"{at}[{number}]")


@cache
def every() -> tuple[tuple[str, str, str], ...]:
    """Of all files of the shipped rules."""
    found: list[tuple[str, str, str]] = []
    for path in sorted(rules_folder().rglob("*.yaml")):
        entries = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.CSafeLoader)
        found += stated(entries, path.relative_to(rules_folder()).as_posix())
    return tuple(found)


def test_looked_up_names_a_publication_and_the_place_in_it(pack: RulePack) -> None:
    looked_up = [(at, source) for at, source, status in every() if status == "looked_up"]
    assert len(looked_up) > 100
    nowhere = [
        f"{at}: {source}" for at, source in looked_up
        if source in NO_PUBLICATION or not pack.sources[source].place
    ]
    assert nowhere == [], "name the place in sources.yaml, or call it from_memory"


def test_a_place_is_a_place(pack: RulePack) -> None:
    for source in pack.sources.values():
        if source.place:
            assert len(source.place) >= 7 and "memory" not in source.place, source.key
            assert source.key not in NO_PUBLICATION


def test_what_is_our_own_estimate_is_called_so() -> None:
    own = {status for _, source, status in every() if source == "estimate"}
    assert own == {"estimate"}


def test_the_place_is_shown_with_what_was_looked_up(pack: RulePack) -> None:
    looked_up = source_of(pack, Origin("upholstery_fabric", "looked_up"))
    assert looked_up.title.endswith(": Table 1")
    remembered = source_of(pack, Origin("upholstery_fabric", "from_memory"))
    assert not remembered.title.endswith(": Table 1")


def test_every_value_has_one_of_the_four_statuses() -> None:
    found = Counter(status for _, _, status in every())
    assert set(found) == STATUSES
