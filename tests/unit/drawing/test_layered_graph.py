"""Where the nodes of a layered graph stand, and how its edges bend."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.drawing.layered_graph import crossings, draw, layers_of, spread_out

# -- layout ------------------------------------------------------------------------

DIAMOND = [("a", "b"), ("a", "c"), ("b", "d"), ("c", "d"), ("a", "d")]


def test_a_node_stands_right_of_all_that_feeds_it() -> None:
    assert layers_of("abcd", DIAMOND) == {"a": 0, "b": 1, "c": 1, "d": 2}
    assert layers_of("abcd", DIAMOND, last="b")["b"] == 3
    assert layers_of("ab", [("a", "elsewhere")]) == {"a": 0, "b": 0}


def test_what_feeds_a_node_stands_close_to_it() -> None:
    chain = [("a", "b"), ("b", "c"), ("c", "end"), ("near", "end")]
    assert layers_of(["a", "b", "c", "near", "end"], chain)["near"] == 2


def test_a_circle_is_refused() -> None:
    with pytest.raises(ValueError, match="circle"):
        layers_of("ab", [("a", "b"), ("b", "a")])


def test_long_edges_bend_in_every_layer_they_pass() -> None:
    drawing = draw("abcd", DIAMOND)
    assert drawing.layers == 3
    assert [spot.layer for spot in drawing.bends["a", "d"]] == [1]
    assert drawing.bends["a", "b"] == ()
    assert crossings(drawing) == 0


def test_crossings_are_undone() -> None:
    crossed = [("a1", "b3"), ("a2", "b2"), ("a3", "b1")]
    assert crossings(draw(["a1", "a2", "a3", "b1", "b2", "b3"], crossed)) == 0


def test_nothing_to_draw_is_no_fault() -> None:
    assert draw([], []).layers == 0


@st.composite
def graphs(rand) -> tuple[list[str], list[tuple[str, str]]]:
    """Acyclic graphs: edges lead from lower to higher numbers."""
    count = rand(st.integers(1, 14))
    pairs = st.tuples(st.integers(0, count - 1), st.integers(0, count - 1))
    edges = [(str(min(p)), str(max(p))) for p in rand(st.lists(pairs, max_size=30)) if p[0] != p[1]]
    return [str(i) for i in range(count)], edges


@given(graphs())
@settings(max_examples=60, deadline=None)
def test_any_drawing_keeps_nodes_apart_and_edges_going_right(graph) -> None:
    nodes, edges = graph
    drawing = draw(nodes, edges)
    assert set(drawing.spots) == set(nodes)
    for source, target in edges:
        assert drawing.spots[source].layer < drawing.spots[target].layer
        steps = [drawing.spots[source], *drawing.bends[source, target], drawing.spots[target]]
        assert all(b.layer == a.layer + 1 for a, b in pairwise(steps))
    for layer in range(drawing.layers):
        heights = sorted(s.height for s in drawing.spots.values() if s.layer == layer)
        assert all(b - a >= 1.0 - 1e-9 for a, b in pairwise(heights))
    assert drawing == draw(nodes, edges)


@given(st.lists(st.floats(-50, 50), min_size=1, max_size=12))
def test_spreading_out_keeps_order_and_distance(wanted: list[float]) -> None:
    found = spread_out(wanted, [1.0] * (len(wanted) - 1))
    assert all(b - a >= 1.0 - 1e-9 for a, b in pairwise(found))
    assert sum(found) == pytest.approx(sum(wanted), abs=1e-6)


def test_what_is_far_enough_apart_stays_where_it_is() -> None:
    assert spread_out([0.0, 2.0, 5.0], [1.0, 1.0]) == [0.0, 2.0, 5.0]
    assert spread_out([1.0, 1.0], [1.0]) == [0.5, 1.5]


