"""Contrast of every text, and the words under a bar."""

from __future__ import annotations

from dataclasses import replace

import pytest

from advisor import paths
from advisor.facts.case import Case
from advisor.facts.case_file import read_case
from advisor.gui import theme
from advisor.gui.app import Engine
from advisor.gui.widgets.method_bar import look_of, under_of
from advisor.gui.widgets.method_bars import beside
from advisor.session import answer_text as words
from advisor.wording.counts import of_hundred
from tests.unit.session.small_pack import SmallPack, small_advise


@pytest.mark.parametrize("name", theme.THEMES)
@pytest.mark.parametrize(("ink", "ground"), theme.TEXT_PAIRS)
def test_every_text_reaches_seven_to_one(ink: str, ground: str, name: str) -> None:
    """WCAG 2.1, success criterion 1.4.6."""
    assert theme.contrast(theme.colour(ink, name), theme.colour(ground, name)) >= 7.0


@pytest.mark.parametrize("name", theme.THEMES)
@pytest.mark.parametrize(("ink", "ground"), theme.LINE_PAIRS)
def test_every_outline_reaches_three_to_one(ink: str, ground: str, name: str) -> None:
    """WCAG 2.1, success criterion 1.4.11."""
    assert theme.contrast(theme.colour(ink, name), theme.colour(ground, name)) >= 3.0


def test_contrast_of_black_on_white_is_twenty_one() -> None:
    """WCAG 2.1, definition of contrast ratio: 1 to 21."""
    assert theme.contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert theme.contrast("#777777", "#777777") == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("hold", "word", "under"),
    [
        (0.3, "fails", "Breaks by: "),
        (0.7, "may fail", "Holds in 70 of 100. Would break by: "),
    ],
)
def test_what_fails_in_the_lesser_part_only_may_fail(hold: float, word: str, under: str) -> None:
    started = Case("HB-1", facts={"part.kind": ("armrest",), "damage.kind": ("seam_open",)})
    glue = replace(small_advise(started, SmallPack()).methods[0], hold_probability=hold)
    assert words.standing(glue) == word
    assert under_of(glue).startswith(under)
    # On the card it is amber too: nothing that may fail stands in the colour of what fails.
    assert look_of(glue) == (theme.WARN if word == "may fail" else theme.BAD)



@pytest.mark.parametrize("name", ["armrest_crumbled_foam", "torn_deck_cushion", "cracked_panel"])
def test_the_count_beside_a_price_is_that_of_the_same_job(name: str, engine: Engine) -> None:
    case = read_case(paths.demo_folder() / f"{name}.yaml", engine.pack.facts)
    advice = engine.quick(case, engine.pack).advice
    plan = advice.plan
    lead = next(method for method in advice.methods if method.method == plan.lead)
    price, chance = beside(lead, advice)
    assert "incl. VAT" in price
    assert chance == plan.hold_probability
    said = under_of(lead, price, chance=chance)
    assert f"olds in {of_hundred(plan.hold_probability)}." in said
    assert said.startswith("All the work") is (plan.hold_probability != lead.hold_probability)
    assert said.endswith(price)
