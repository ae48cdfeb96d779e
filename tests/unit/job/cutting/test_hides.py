"""Pieces on hides: never wrong, and no more hides than an exact solver needs."""

from __future__ import annotations

import math
from collections.abc import Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.job.cutting.hides import HideLayout, as_sold, cut_from_hides, lay_on_hides
from advisor.job.cutting.layout import Piece
from advisor.job.cutting.yardage import Panel

cp_model = pytest.importorskip("ortools.sat.python.cp_model")

LONG, WIDE = 2286, 1829
pieces_of = st.lists(
    st.builds(
        Piece, st.just("p"), st.integers(80, 1800).map(float), st.integers(80, 1800).map(float)
    ),
    min_size=1,
    max_size=6,
)


def fewest_hides(pieces: Sequence[Piece], most: int) -> int:
    """Least number of hides by constraint programming, whole millimetres."""
    for number in range(1, most):
        if _fits(pieces, number):
            return number
    return most


def _fits(pieces: Sequence[Piece], number: int) -> bool:
    """Whether the pieces fit on so many hides, laid behind each other with a gap between."""
    model = cp_model.CpModel()
    xs, ys = [], []
    pitch = LONG + 1
    for i, piece in enumerate(pieces):
        turned = model.new_bool_var(f"t{i}")
        length, width = int(piece.length), int(piece.width)
        along = model.new_int_var(0, LONG, f"a{i}")
        wide = model.new_int_var(0, WIDE, f"w{i}")
        model.add(along == length + (width - length) * turned)
        model.add(wide == width + (length - width) * turned)
        hide = model.new_int_var(0, number - 1, f"h{i}")
        inside = model.new_int_var(0, LONG, f"i{i}")
        model.add(inside + along <= LONG)
        x = model.new_int_var(0, number * pitch, f"x{i}")
        model.add(x == inside + pitch * hide)
        x_end = model.new_int_var(0, number * pitch, f"xe{i}")
        y, y_end = model.new_int_var(0, WIDE, f"y{i}"), model.new_int_var(0, WIDE, f"ye{i}")
        xs.append(model.new_interval_var(x, along, x_end, f"ix{i}"))
        ys.append(model.new_interval_var(y, wide, y_end, f"iy{i}"))
    model.add_no_overlap_2d(xs, ys)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_time_in_seconds = 20
    status = solver.solve(model)
    assert status in (cp_model.OPTIMAL, cp_model.FEASIBLE, cp_model.INFEASIBLE)
    return bool(status != cp_model.INFEASIBLE)


def assert_sound(hides: Sequence[HideLayout], pieces: Sequence[Piece]) -> None:
    """Every piece once, inside its hide, clear of the others."""
    laid = [placed for hide in hides for placed in hide.placed]
    assert sorted(map(repr, (p.piece for p in laid))) == sorted(map(repr, pieces))
    for hide in hides:
        assert hide.placed
        for i, a in enumerate(hide.placed):
            assert {a.along, a.across} == {a.piece.length, a.piece.width}
            assert 0.0 <= a.x <= hide.length - a.along + 1e-6
            assert 0.0 <= a.y <= hide.width - a.across + 1e-6
            for b in hide.placed[i + 1 :]:
                assert (
                    a.x + a.along <= b.x + 1e-6 or b.x + b.along <= a.x + 1e-6
                    or a.y + a.across <= b.y + 1e-6 or b.y + b.across <= a.y + 1e-6
                )  # fmt: skip


@settings(max_examples=80, deadline=None)
@given(pieces_of)
def test_every_layout_is_sound(pieces: list[Piece]) -> None:
    hides = lay_on_hides(pieces, float(LONG), float(WIDE))
    assert_sound(hides, pieces)
    area = sum(p.length * p.width for p in pieces)
    assert len(hides) >= math.ceil(area / (LONG * WIDE) - 1e-9)


@settings(max_examples=25, deadline=None)
@given(pieces_of)
def test_small_sets_take_at_most_one_hide_more_than_the_exact_least(pieces: list[Piece]) -> None:
    found = len(lay_on_hides(pieces, float(LONG), float(WIDE)))
    least = fewest_hides(pieces, found)
    assert least <= found <= least + 1


def test_a_panel_larger_than_a_hide_is_named_and_not_laid() -> None:
    panels = (Panel("Sun deck", 3000.0, 2000.0), Panel("Top", 900.0, 500.0))
    found = cut_from_hides(panels, allowance=12.0, loss=0.25, hide_area=4.85,
                           hide_length=2286.0, hide_width=1829.0, cut_piece=0.5)  # fmt: skip
    assert found.too_large == ("Sun deck",)
    assert [p.piece.title for hide in found.layouts for p in hide.placed] == ["Top"]
    assert found.hides >= 2
    assert 0.0 < found.waste < 1.0


@pytest.mark.parametrize(
    ("to_buy", "hides", "bought", "words"),
    [
        # Worked by hand from what is sold: 0.5 m2, half and whole hides of 4.85 m2.
        (0.333, 1, 0.5, "a cut piece"),
        (1.047, 1, 1.5, "3 cut pieces"),
        (2.3, 1, 2.425, "half a hide"),
        (2.6, 1, 4.85, "1 whole hide"),
        (2.6, 2, 9.7, "2 whole hides"),
    ],
)
def test_leather_is_bought_as_it_is_sold(
    to_buy: float, hides: int, bought: float, words: str
) -> None:
    area, said = as_sold(to_buy, hides, 4.85, 0.5)
    assert area == pytest.approx(bought) and said == words


def test_the_layout_decides_where_it_takes_more_hides_than_the_area() -> None:
    """Three pieces of 1300 mm square: 5.1 m2 with what is lost, yet one on each hide."""
    panels = (Panel("Square", 1276.0, 1276.0, 3),)
    found = cut_from_hides(panels, allowance=12.0, loss=0.0, hide_area=5.5,
                           hide_length=2286.0, hide_width=1829.0, cut_piece=0.5)  # fmt: skip
    assert math.ceil(found.to_buy / 5.5) == 1
    assert found.hides == len(found.layouts) == 3
