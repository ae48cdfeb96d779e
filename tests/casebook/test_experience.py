"""What a shop saw stands beside what is calculated, and the factor only if switched on.

Own rules of this project; the figures are checked against scipy in test_outcome_figures.py.
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from pathlib import Path

import pytest

from advisor.casebook.adding import add_case
from advisor.casebook.book import Casebook
from advisor.casebook.outcomes.entries import YEAR_MS, Outcome, State, add_outcome
from advisor.casebook.outcomes.experience import Experience, experience, switch_factor
from advisor.casebook.outcomes.shop_factor import CAUTIONS, factor_of
from advisor.facts.case import Case
from advisor.report.rationale import build_rationale, rationale_text
from tests.casebook.shop import NOON
from tests.casebook.stored_advice import some_advice
from tests.unit.session.small_pack import SmallPack, small_advise, started

PACK = SmallPack()


def followed(book: Casebook) -> Experience:
    """Fourteen seams stitched two years ago: thirteen held."""
    def put(connection) -> None:  # type: ignore[no-untyped-def]
        for number in range(14):
            case = Case(f"HB-{number}", "", {"damage.kind": ("seam_open",)})
            key, _ = add_case(connection, case, "Ada", NOON, PACK, some_advice())
            state, years = (State.BACK, 0.5) if number == 3 else (State.HELD, 2.1)
            add_outcome(connection, key, Outcome(state, years, "thread"), NOON, PACK)

    book.write(put)
    return book.read(partial(experience, now=NOON + int(2.2 * YEAR_MS)))


def test_thirteen_of_fourteen_like_this_held_after_two_years(book: Casebook) -> None:
    saw = followed(book)
    lines = saw.beside("hand_stitch", "seam_open", 0.97)
    assert len(lines) == 2
    assert lines[1].startswith("Jobs like it in this shop, after 2 years: 13 of 14 held; ")
    assert saw.beside("hand_stitch", "tear", 0.97) == ()
    assert saw.beside("adhesive_bond", "seam_open", 0.97) == ()


def test_the_factor_is_shown_once_a_person_switched_it_on_with_its_two_traps(
    book: Casebook,
) -> None:
    assert not followed(book).switched_on
    book.write(partial(switch_factor, on=True))
    saw = replace(book.read(partial(experience, now=NOON)), factor=factor_of(8, 5.0))
    said = saw.beside("adhesive_bond", "tear", 0.9)
    # 0.9 ** (10 / 7) = 0.860; with the ends of the interval of the factor 0.78 to 2.24.
    assert said[0].startswith("With this shop's factor, which a person switched on: 86 % "
                              "(79 to 92) where 90 % is calculated.")  # fmt: skip
    assert said[1:] == CAUTIONS
    book.write(partial(switch_factor, on=False))
    assert book.read(partial(experience, now=NOON)).beside("adhesive_bond", "tear", 0.9) == ()


def test_the_rationale_says_it_beside_the_calculated_figure_and_else_says_nothing() -> None:
    case = started()
    advice = small_advise(case, PACK)
    without = rationale_text(build_rationale(advice, case))
    seen = "Jobs like it in this shop, after 2 years: 13 of 14 held."
    said = rationale_text(build_rationale(advice, case, shop=(seen,)))
    assert seen in said
    assert said.index("Will it hold") < said.index(seen) < 0.5 * len(said)
    assert said.replace(seen, "").split() == without.split()


@pytest.mark.parametrize("shown", [True, False])
def test_the_command_line_switches_and_tells(
    shown: bool, tmp_path: Path, book: Casebook, capsys: pytest.CaptureFixture[str]
) -> None:
    from advisor.cli.casebook import outcome

    followed(book)
    outcome.main(["--factor", "on" if shown else "off", "--book", book.place],
                 standalone_mode=False)  # fmt: skip
    out = capsys.readouterr().out
    assert "hand_stitch on seam_open, after 2 years: 13 of 14 held" in out
    assert f"Beside calculated figures: {'on' if shown else 'off'}" in out
    assert all(caution in out for caution in CAUTIONS)
