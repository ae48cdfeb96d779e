"""Cutting layouts: never wrong, and close to what an exact solver finds."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.job.cutting.layout import DoesNotFitError, Layout, Piece, Turn, lay
from advisor.job.cutting.yardage import Panel, Roll, cut_from_roll, cut_pieces

cp_model = pytest.importorskip("ortools.sat.python.cp_model")

ROLL = 1350.0
pieces_of = st.lists(
    st.builds(
        Piece, st.just("p"), st.integers(30, 1300).map(float), st.integers(30, 1300).map(float)
    ),
    min_size=1,
    max_size=9,
)
turns = st.sampled_from(["along", "across", "free"])


def assert_sound(layout: Layout, pieces: Sequence[Piece], turn: Turn) -> None:
    """Every piece once, inside the roll, clear of the others, lying as allowed."""
    assert sorted(map(repr, (p.piece for p in layout.placed))) == sorted(map(repr, pieces))
    for placed in layout.placed:
        assert placed.x >= 0.0
        assert placed.y >= 0.0
        assert placed.y + placed.across <= layout.across + 1e-6
        assert placed.x + placed.along <= layout.length + 1e-6
        sides = (placed.along, placed.across)
        along = (placed.piece.length, placed.piece.width)
        allowed = {"along": [along], "across": [along[::-1]], "free": [along, along[::-1]]}
        assert sides in allowed[turn]
    for i, a in enumerate(layout.placed):
        for b in layout.placed[i + 1 :]:
            apart = (
                a.x + a.along <= b.x + 1e-6
                or b.x + b.along <= a.x + 1e-6
                or a.y + a.across <= b.y + 1e-6
                or b.y + b.across <= a.y + 1e-6
            )
            assert apart, (a, b)


def exact_length(pieces: Sequence[Piece], across: int, turn: Turn) -> int:
    """Shortest length by constraint programming, whole millimetres."""
    model = cp_model.CpModel()
    horizon = int(sum(max(p.length, p.width) for p in pieces))
    end = model.new_int_var(0, horizon, "end")
    xs, ys = [], []
    for i, piece in enumerate(pieces):
        turned = model.new_bool_var(f"t{i}")
        if turn != "free":
            model.add(turned == (1 if turn == "across" else 0))
        length, width = int(piece.length), int(piece.width)
        along = model.new_int_var(0, horizon, f"a{i}")
        wide = model.new_int_var(0, across, f"w{i}")
        model.add(along == length + (width - length) * turned)
        model.add(wide == width + (length - width) * turned)
        x, y = model.new_int_var(0, horizon, f"x{i}"), model.new_int_var(0, across, f"y{i}")
        x_end = model.new_int_var(0, horizon, f"xe{i}")
        y_end = model.new_int_var(0, across, f"ye{i}")
        xs.append(model.new_interval_var(x, along, x_end, f"ix{i}"))
        ys.append(model.new_interval_var(y, wide, y_end, f"iy{i}"))
        model.add(x_end <= end)
    model.add_no_overlap_2d(xs, ys)
    model.minimize(end)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_time_in_seconds = 20
    assert solver.solve(model) == cp_model.OPTIMAL
    return round(solver.objective_value)


@settings(max_examples=80, deadline=None)
@given(pieces_of, turns)
def test_every_layout_is_sound(pieces: list[Piece], turn: Turn) -> None:
    layout = lay(pieces, ROLL, turn)
    assert_sound(layout, pieces, turn)
    assert layout.bound <= layout.length + 1e-6
    assert 0.0 <= layout.waste < 1.0


@settings(max_examples=25, deadline=None)
@given(st.lists(pieces_of.map(lambda ps: ps[0]), min_size=1, max_size=5), turns)
def test_small_sets_are_within_five_in_a_hundred_of_the_exact_shortest(
    pieces: list[Piece], turn: Turn
) -> None:
    found = lay(pieces, ROLL, turn)
    best = exact_length(pieces, int(ROLL), turn)
    assert found.bound <= best + 1e-6
    assert found.length >= best - 1e-6
    assert found.length <= 1.05 * best


def test_the_boxed_cushion_against_the_exact_solver() -> None:
    panels = (
        Panel("Top", 1300.0, 520.0), Panel("Bottom", 1300.0, 520.0),
        Panel("Front and back", 1300.0, 100.0, 2, True), Panel("Ends", 520.0, 100.0, 2, True),
    )  # fmt: skip
    pieces, _ = cut_pieces(panels, 12.0, ROLL, "free")
    found = lay(pieces, ROLL, "free")
    assert found.length <= 1.03 * exact_length(pieces, int(ROLL), "free")


@settings(max_examples=30, deadline=None)
@given(pieces_of)
def test_nap_turns_nothing(pieces: list[Piece]) -> None:
    panels = tuple(Panel("p", p.length, p.width) for p in pieces)
    for cutting in cut_from_roll(panels, 12.0, Roll(1370.0, 20.0, 0.05, 0.0, nap=True)):
        lying = {placed.railroaded or placed.along == placed.across
                 for placed in cutting.layout.placed if placed.along != placed.across}
        assert len(lying) <= 1, "all panels lie one way"
        assert cutting.turn != "free"


@settings(max_examples=30, deadline=None)
@given(pieces_of, st.floats(0.0, 1371.0))
def test_what_is_bought_covers_what_is_needed(pieces: list[Piece], repeat: float) -> None:
    panels = tuple(Panel("p", p.length, p.width) for p in pieces)
    for cutting in cut_from_roll(panels, 12.0, Roll(1370.0, 20.0, 0.05, repeat, nap=False)):
        assert cutting.to_buy >= cutting.needed - 1e-6 >= 1.05 * cutting.layout.length - 1e-5
        assert cutting.to_buy - cutting.needed < 457.2 + 1e-6
        assert cutting.half_yards == int(cutting.half_yards)


def test_a_piece_wider_than_the_roll_is_refused() -> None:
    with pytest.raises(DoesNotFitError, match="Cover, 1500 x 1400 mm, does not fit"):
        lay([Piece("Cover", 1500.0, 1400.0)], ROLL, "free")


def test_nothing_to_lay_takes_nothing() -> None:
    assert lay([], ROLL, "free").length == 0.0


def test_the_same_pieces_give_the_same_layout() -> None:
    pieces = [Piece(str(i), 200.0 + 37.0 * i, 120.0 + 53.0 * (i % 4)) for i in range(11)]
    assert lay(pieces, ROLL, "free") == lay(pieces, ROLL, "free")


def test_the_panels_of_sixty_seats_are_laid_close_to_the_shortest() -> None:
    """Once an endless search: each order took the third power of their number."""
    pieces = [Piece("seat", 530.0, 430.0), Piece("back", 730.0, 330.0)] * 60
    for turn in ("along", "across", "free"):
        found = lay(pieces, 1350.0, turn)
        assert_sound(found, pieces, turn)
        assert found.over_bound < 0.15, turn
