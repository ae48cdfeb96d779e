"""How long an earlier repair lasted, read from the words in which it was told."""

from __future__ import annotations

import pytest

from advisor.facts.case import EarlierRepair
from advisor.facts.repair_words import has_failed, years_lasted


@pytest.mark.parametrize(("words", "years"), [
    ("3 weeks", (3 / 52.18, 3 / 52.18)), ("about 9 months", (0.75, 0.75)),
    ("3 to 12 months", (0.25, 1.0)), ("about 2 summers", (2.0, 2.0)),
    ("several years, until the next pull", (4.0, 4.0)), ("1.5 years", (1.5, 1.5)),
    ("less than 4 years", (4.0, 4.0)), ("a day", (1 / 365.25, 1 / 365.25)),
])  # fmt: skip
def test_a_time_that_is_named(words: str, years: tuple[float, float]) -> None:
    found = years_lasted(EarlierRepair("adhesive_bond", lasted=words))
    assert found == pytest.approx(years, rel=1e-3)


@pytest.mark.parametrize("words", ["", "short", "no gain", "until the next service", "long"])
def test_no_time_is_named(words: str) -> None:
    assert years_lasted(EarlierRepair("adhesive_bond", lasted=words)) is None


@pytest.mark.parametrize(("words", "failed"), [
    ("let go", True), ("opened along the whole seam", True), ("fell again", True),
    ("held", False), ("still holds", False), ("thread rotted, vinyl still good", None),
    ("held in service, snapped at the next removal", None), ("helped only a little", None),
    ("", None),
])  # fmt: skip
def test_whether_it_gave_way(words: str, failed: bool | None) -> None:
    assert has_failed(EarlierRepair("adhesive_bond", result=words)) is failed
