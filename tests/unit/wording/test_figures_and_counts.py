"""Numbers in words."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.advice.result import Load
from advisor.facts.quantity import System
from advisor.report.measures import Measures
from advisor.wording.counts import holds_in, of_hundred, share_band, usage_text
from advisor.wording.durations import duration_text
from advisor.wording.figures import Range, column_figure, to_digits
from advisor.wording.money import NO_TAX, Tax, price_text
from advisor.wording.sentences import in_turn, lowered


@pytest.mark.parametrize(
    ("value", "text"),
    [(0.3512, "0.35"), (12.4, "12"), (1449, "1400"), (0.0996, "0.1"), (99.6, "100"), (0, "0"),
     (math.inf, "no limit"), (-3.44, "-3.4"), (2e6, "no limit")],
)  # fmt: skip
def test_plain(value: float, text: str) -> None:
    assert to_digits(value) == text


def test_a_table_keeps_its_zeros() -> None:
    assert [column_figure(v) for v in (0.2, 0.04, 12.0, 6.0, 0.0)] == [
        "0.20", "0.040", "12", "6.0", "0",
    ]  # fmt: skip


def test_what_is_slight_in_a_table_does_not_look_exact() -> None:
    shown = [column_figure(v, most_places=3) for v in (0.00089, 0.0058, 0.15, 0.0004, 12.0)]
    assert shown == ["0.001", "0.006", "0.15", "0", "12"]


def test_methods_in_turn() -> None:
    assert in_turn(("Glue",)) == "Glue"
    assert in_turn(("Warm the skin", "Glue", "Recolour")) == (
        "Warm the skin, then glue, then recolour"
    )


@given(st.floats(1e-6, 9e4))
def test_plain_is_within_five_percent(value: float) -> None:
    assert float(to_digits(value)) == pytest.approx(value, rel=0.051)


@pytest.mark.parametrize(
    ("share", "text"),
    [(0.963, "96 of 100"), (1.0, "more than 99 of 100"), (0.0, "fewer than 1 of 100"),
     (0.006, "1 of 100")],
)  # fmt: skip
def test_a_count_is_never_a_certainty(share: float, text: str) -> None:
    assert of_hundred(share) == text


def test_the_band_is_wilsons() -> None:
    """n = 100, 90 hits: 0.8256 to 0.9448, worked out by hand from the published formula."""
    low, high = share_band(0.9, 100)
    assert (low, high) == (pytest.approx(0.8256, abs=2e-4), pytest.approx(0.9448, abs=2e-4))


@given(st.floats(0, 1), st.floats(1, 1e5))
def test_the_band_holds_the_share(share: float, draws: float) -> None:
    low, high = share_band(share, draws)
    assert 0 <= low <= share + 1e-12 and share - 1e-12 <= high <= 1


def test_a_thin_count_says_its_band() -> None:
    assert holds_in(0.9, 100) == "holds in 90 of 100 simulated cases (between 83 and 94)"
    assert holds_in(0.963, 40000) == "holds in 96 of 100 simulated cases"


@pytest.mark.parametrize(
    ("minutes", "text"), [(4.4, "4 min"), (0.2, "1 min"), (62, "1 h"), (79, "1 h 20 min")]
)
def test_duration(minutes: float, text: str) -> None:
    assert duration_text(minutes) == text


def test_a_title_inside_a_sentence() -> None:
    assert [lowered(t) for t in ("Recolour", "ABS weld", "A leaning arm")] == [
        "recolour", "ABS weld", "a leaning arm",
    ]  # fmt: skip


def test_price() -> None:
    assert price_text(Range(92, 128, 187), "EUR", NO_TAX) == "EUR 130 (92 to 185)"
    assert price_text(Range(40, 40, 40), "EUR", NO_TAX) == "EUR 40"
    tax = Tax(0.2, "VAT")
    assert price_text(Range(40, 50, 60), "EUR", tax) == "EUR 60 incl. VAT (48 to 72)"
    assert price_text(Range(50, 50, 50), "EUR", Tax(0.1)) == "EUR 55 incl. tax"


@pytest.mark.parametrize(
    ("usage", "text"),
    [
        (Range(0.14, 0.31, 0.78), "loaded to 31 % of its limit (14 % to 78 %)"),
        (Range(1.6, 3.4, 7.9), "loaded to 3.4 times its limit (1.6 to 7.9 times)"),
        (Range(5.0, 1e6, math.inf), "carries no long-term load"),
        (Range(0.4, 0.9, 2.6), "loaded to 90 % of its limit (40 % to 2.6 times)"),
    ],
)
def test_usage(usage: Range, text: str) -> None:
    assert usage_text(usage) == text


def load(dimension: str, typical: float) -> Load:
    value = Range(0.5 * typical, typical, 2 * typical)
    return Load("d", "skin", "peak", "pull", value, dimension, "", ())


def test_a_line_force_is_explained_once_by_a_weight() -> None:
    """0.35 N/mm x 100 mm = 35 N, 3.6 kg under standard gravity."""
    loads = (load("line_force", 0.35), load("line_force", 0.1))
    (said,) = Measures().explain(loads)
    assert "0.35 N/mm along 100 mm" in said and "3.6 kg" in said


def test_inches_are_explained_in_pounds() -> None:
    (said,) = Measures(System.IMPERIAL).explain((load("line_force", 0.35),))
    assert "2 lbf/in along 4 in" in said and "8 lb" in said


def test_pressure_and_force_are_explained() -> None:
    said = Measures().explain((load("pressure", 0.01), load("force", 24.0)))
    assert said == (
        "N: newtons. 24 N is the pull of a bag that weighs 2.4 kg.",
        "MPa: newtons on each square millimetre. 0.01 MPa on a patch of 100 mm by 100 mm "
        "is 10 kg resting on it.",
    )


def test_a_slight_pull_is_said_in_grams() -> None:
    """0.0078 N/mm x 100 mm = 0.78 N, 80 g; 0.0078 N/mm = 0.0445 lbf/in, x 4 in = 2.9 oz."""
    (grams,) = Measures().explain((load("line_force", 0.0078),))
    (ounces,) = Measures(System.IMPERIAL).explain((load("line_force", 0.0078),))
    assert "weighs 80 g." in grams
    assert "weighs 2.9 oz." in ounces


def test_figures_change_with_the_system() -> None:
    shown = Measures(System.IMPERIAL).shown(Range(25.4, 50.8, 76.2), "length", "mm")
    assert shown.text() == "2 (1 to 3) in"
    assert Measures().shown(Range(1, 2, 3), "money", "EUR").text() == "2 (1 to 3) EUR"
