"""Section, arrows and bars as pure geometry."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.advice.explaining.reasons import DURATION_WORDS
from advisor.advice.result import Load
from advisor.drawing.section_forces import (
    CLEAR,
    LEAST,
    WORDS,
    arrows,
    head_room,
    outline,
    shown_loads,
    weighed,
)
from advisor.drawing.section_frame import SKIN_PX, drop, nice, scale_bar
from advisor.drawing.section_geometry import draw
from advisor.drawing.section_layers import layers_of
from advisor.drawing.section_shapes import Drawing, Layers, Shape
from advisor.drawing.usage_bar import LIMIT_AT, TOP, position, usage_bar
from advisor.facts.case import Case, Span
from advisor.rulegraph.model.section import SiteLook
from advisor.wording.figures import Range
from tests.unit.session.small_pack import SmallPack, load, small_advise

WIDTH, HEIGHT = 540.0, 300.0


def shape(drawing: Drawing, name: str) -> Shape:
    """The shape called ``name``."""
    return next(s for s in drawing.shapes if s.name == name)


def thickness(drawing: Drawing, name: str) -> float:
    """Height of a band at its left end."""
    points = shape(drawing, name).points
    return points[-1][1] - points[0][1]


@pytest.mark.parametrize("skin", [0.1, 1.1, 6.0])
@pytest.mark.parametrize("foam", [None, 0.5, 20.0, 300.0])
@pytest.mark.parametrize("size", [(330.0, 190.0), (540.0, 300.0), (900.0, 700.0)])
def test_everything_stays_inside_the_frame(skin, foam, size) -> None:
    layers = Layers(skin=skin, foam=foam, gap=80.0, radius=30.0, edge_lifted=True)
    drawing = draw(layers, *size, head=60.0)
    for found in drawing.shapes:
        for x, y in found.points:
            assert 0 <= x <= size[0]
            assert 0 <= y <= size[1]


def test_layers_are_to_scale_between_the_limits() -> None:
    thin = draw(Layers(skin=1.5, foam=10.0, carrier=3.0), WIDTH, 330.0, 100.0)
    assert thin.true_to_scale
    assert thickness(thin, "skin left") == pytest.approx(1.5 * thin.scale)
    assert thickness(thin, "foam") == pytest.approx(10.0 * thin.scale)


def test_a_very_thin_skin_is_drawn_thicker_and_the_drawing_says_so() -> None:
    drawing = draw(Layers(skin=0.1, foam=60.0), WIDTH, HEIGHT, 100.0)
    assert not drawing.true_to_scale
    assert thickness(drawing, "skin left") == pytest.approx(SKIN_PX[0], rel=0.35)


def test_a_wider_gap_parts_the_lips_further() -> None:
    def width_of(gap: float) -> float:
        drawing = draw(Layers(gap=gap), WIDTH, HEIGHT, 100.0)
        return drawing.lips[1][0] - drawing.lips[0][0]

    assert width_of(2.0) < width_of(6.0) < width_of(12.0)
    assert width_of(12.0) / width_of(6.0) == pytest.approx(2.0)


def test_a_sound_skin_is_one_piece() -> None:
    names = [s.name for s in draw(Layers(skin_open=False), WIDTH, HEIGHT).shapes]
    assert "skin" in names
    assert "skin left" not in names


def test_bare_plastic_has_neither_skin_nor_foam() -> None:
    drawing = draw(Layers(skin=None, foam=None, carrier_state="cracked"), WIDTH, HEIGHT)
    assert [s.name for s in drawing.shapes] == ["carrier left", "carrier right"]
    assert [s.name for s in drawing.strokes] == ["crack"]
    assert drawing.notes[-1].text == "hard part, cracked"


def test_crumbled_foam_is_hatched_and_sinks_under_the_damage() -> None:
    sound = shape(draw(Layers(), WIDTH, HEIGHT), "foam")
    gone = shape(draw(Layers(foam_state="crumbled"), WIDTH, HEIGHT), "foam")
    assert gone.hatch == "crumbled"
    assert sound.hatch == "cells"
    middle = len(gone.points) // 4
    assert gone.points[middle][1] > sound.points[middle][1] + 10


def test_a_curved_part_falls_away_from_the_crown() -> None:
    flat = shape(draw(Layers(skin_open=False), WIDTH, HEIGHT), "skin").points
    round_ = shape(draw(Layers(skin_open=False, radius=40), WIDTH, HEIGHT), "skin").points
    assert flat[0][1] == pytest.approx(flat[12][1])
    assert round_[0][1] > round_[12][1] + 10


def test_drop_is_the_sagitta_of_the_circle() -> None:
    assert drop(60.0, 400.0, 100.0) == pytest.approx(400 - math.sqrt(400**2 - 60**2))
    assert drop(60.0, None, 100.0) == 0.0


def test_a_lifted_edge_stands_off_and_a_hanging_lining_is_drawn_overhead() -> None:
    lifted = draw(Layers(skin_open=False, edge_lifted=True), WIDTH, HEIGHT, 60.0)
    free = [y for _, y in shape(lifted, "skin right").points[:25]]
    assert free[0] < free[-1] - 15
    overhead = draw(Layers(skin_open=False, hanging=True), WIDTH, HEIGHT, 60.0)
    assert overhead.upside_down
    skin = [y for _, y in shape(overhead, "skin").points]
    carrier = [y for _, y in shape(overhead, "carrier").points]
    assert min(skin) > min(carrier)


def test_what_was_assumed_is_dashed_and_starred() -> None:
    drawing = draw(Layers(assumed=frozenset({"foam"})), WIDTH, HEIGHT)
    assert shape(drawing, "foam").dashed
    assert not shape(drawing, "skin left").dashed
    assert [n.text for n in drawing.notes if n.text.endswith("*")] == ["padding *"]


@pytest.mark.parametrize(("value", "expected"), [(7, 5), (0.3, 0.2), (1, 1), (49, 20), (0, 1)])
def test_nice_steps_for_the_scale_bar(value: float, expected: float) -> None:
    assert nice(value) == pytest.approx(expected)


@pytest.mark.parametrize("per_unit", [0.003, 1.0, 37.0, 4000.0])
def test_the_scale_bar_is_round_and_as_long_as_it_says(per_unit: float) -> None:
    value, pixels = scale_bar(per_unit, 120.0)
    assert 48.0 <= pixels <= 120.0 * 1.001
    assert pixels == pytest.approx(value * per_unit)
    assert f"{value:.0e}"[0] in "125"


# -- arrows ---------------------------------------------------------------------------


#: As in drawing.yaml; what is not named lifts.
FORCES = {
    "skin": SiteLook("skin_apart"), "cover": SiteLook("skin_apart", last=True),
    "carrier": SiteLook("base_apart"), "edge": SiteLook("lifts_lip"),
    "support": SiteLook("presses"),
}


def drawn(*loads: Load):
    """The arrows of ``loads`` on a plain section."""
    found = arrows(loads, draw(Layers(gap=4), WIDTH, HEIGHT, head_room(loads)), WIDTH, FORCES)
    assert found is not None
    return found


def test_arrow_length_is_to_scale() -> None:
    forces = drawn(load("sustained", 0.1), load("cyclic", 0.2), load("peak", 0.8))
    by = {a.duration: a for a in forces.arrows}
    for arrow in forces.arrows:
        assert arrow.length == pytest.approx(arrow.value * forces.per_unit)
    assert by["peak"].length / by["sustained"].length == pytest.approx(8.0)


def test_twice_the_load_is_half_the_scale_or_twice_the_arrow() -> None:
    one, two = drawn(load("peak", 0.5)), drawn(load("peak", 1.0))
    ratio = (two.arrows[0].length / two.per_unit) / (one.arrows[0].length / one.per_unit)
    assert ratio == pytest.approx(2.0)


def test_durations_differ_by_line_and_not_by_colour_alone() -> None:
    forces = drawn(load("sustained", 0.1), load("cyclic", 0.2), load("peak", 0.8))
    assert len({a.look for a in forces.arrows}) == 3
    assert [label.duration for label in forces.labels] == ["sustained", "cyclic", "peak"]


def test_the_two_lips_are_pulled_apart() -> None:
    left, right = drawn(load("peak", 0.5)).arrows
    assert left.tip[0] < left.tail[0]
    assert right.tip[0] > right.tail[0]


@pytest.mark.parametrize(("site", "down"), [("edge", False), ("support", True)])
def test_peel_lifts_and_weight_presses(site: str, down: bool) -> None:
    forces = drawn(replace(load("peak", 0.5), site=site))
    (arrow,) = forces.arrows
    assert (arrow.tip[1] > arrow.tail[1]) is down
    assert arrow.tip[0] == pytest.approx(arrow.tail[0])


def test_arrows_stay_inside_the_frame_up_to_their_95th_percentile() -> None:
    for gap in (0.0, 5.0, 40.0):
        loads = (load("sustained", 0.01), load("peak", 3.0))
        drawing = draw(Layers(gap=gap), 360.0, 240.0, head_room(loads))
        forces = arrows(loads, drawing, 360.0, FORCES)
        assert forces is not None
        for arrow in forces.arrows:
            assert 0 <= arrow.reach[0] <= 360
            assert 0 <= arrow.reach[1] <= 240


@pytest.mark.parametrize("skin", [0.4, 1.1, 6.0])
@pytest.mark.parametrize(
    "layers",
    [
        Layers(skin_open=False, hanging=True, radius=90.0, site="lining"),
        Layers(skin_open=False, edge_lifted=True, site="edge"),
        Layers(skin=None, foam=None, fixing_broken=True, site="fixing"),
        Layers(skin_open=False, site="support"),
    ],
)
def test_upright_arrows_keep_clear_of_the_outline_and_can_be_seen(
    layers: Layers, skin: float
) -> None:
    layers = replace(layers, skin=skin if layers.skin else None)
    loads = [replace(load(duration, value), site=layers.site)
             for duration, value in (("sustained", 0.01), ("cyclic", 0.005), ("peak", 0.8))]
    drawing = draw(layers, WIDTH, HEIGHT, head_room(loads))
    forces = arrows(loads, drawing, WIDTH, FORCES)
    assert forces is not None
    outside = 1.0 if drawing.upside_down else -1.0
    for arrow in forces.arrows:
        surface = outline(drawing, arrow.tail[0])
        for x, y in (arrow.tail, arrow.tip):
            assert (y - surface) * outside >= CLEAR - 1e-6, (x, y)
        assert arrow.length >= LEAST
        assert 0 <= arrow.reach[1] <= HEIGHT
    assert len({arrow.tail[0] for arrow in forces.arrows}) == len(loads)


def test_small_side_arrows_are_drawn_long_enough_to_be_seen() -> None:
    forces = drawn(load("sustained", 0.0001), load("peak", 0.8))
    assert min(arrow.length for arrow in forces.arrows) == LEAST


def test_it_is_said_where_every_use_counts_for_more_than_the_hardest_moment() -> None:
    assert weighed([load("cyclic", 0.7), load("peak", 0.5)])
    assert not weighed([load("cyclic", 0.4), load("peak", 0.5)])
    assert not weighed([load("cyclic", 0.4)])


def test_the_pulls_are_called_as_in_the_reports() -> None:
    assert WORDS["sustained"] == DURATION_WORDS["sustained"]
    assert WORDS["cyclic"] == DURATION_WORDS["cyclic"]
    assert DURATION_WORDS["peak"].endswith(WORDS["peak"])


def test_nothing_pulls_nothing_is_drawn() -> None:
    assert shown_loads((), "skin", FORCES) == ()
    assert arrows((), draw(Layers(), WIDTH, HEIGHT), WIDTH, FORCES) is None


def test_the_loads_at_the_damage_are_drawn_though_another_site_carries_more() -> None:
    strong = replace(load("peak", 5.0), site="carrier")
    loads = (strong, load("sustained", 0.1), replace(load("peak", 9.0), site="cover"))
    assert [found.site for found in shown_loads(loads, "skin", FORCES)] == ["skin"]
    assert [found.site for found in shown_loads(loads, "edge", FORCES)] == ["carrier"]
    assert [found.site for found in shown_loads(loads[2:], "skin", FORCES)] == ["cover"]


# -- from the case --------------------------------------------------------------------


def test_the_drawing_follows_the_answers() -> None:
    case = Case("HB-1", facts={"part.kind": ("armrest",), "damage.kind": ("seam_open",)})
    told = case.with_fact("damage.gap", Span(9, 9)).with_fact("core.state", ("crumbles",))
    before = layers_of(small_advise(case, SmallPack()), SmallPack())
    after = layers_of(small_advise(told, SmallPack()), SmallPack())
    assert before.gap != after.gap == 9
    assert (before.foam_state, after.foam_state) == ("sound", "crumbled")
    assert "foam" in before.assumed


def test_no_skin_in_the_case_no_skin_in_the_drawing() -> None:
    case = Case("HB-1", facts={"skin.material": ("none",), "damage.kind": ("carrier_crack",)})
    layers = layers_of(small_advise(case, SmallPack()), SmallPack())
    assert layers.skin is None
    assert layers.carrier_state == "cracked"


# -- bars -----------------------------------------------------------------------------


@pytest.mark.parametrize("usage", [0.0, -1.0, math.nan])
def test_no_usage_lies_at_the_left_end(usage: float) -> None:
    assert position(usage) == 0.0


@pytest.mark.parametrize("usage", [TOP, 1e9, math.inf])
def test_huge_usages_lie_at_the_right_end(usage: float) -> None:
    assert position(usage) == 1.0


@given(st.floats(0, 1e6), st.floats(0, 1e6))
def test_the_axis_keeps_the_order(a: float, b: float) -> None:
    low, high = sorted((a, b))
    assert 0 <= position(low) <= position(high) <= 1


def test_the_axis_leaves_room_near_the_limit() -> None:
    assert position(1.0) == LIMIT_AT
    assert position(12.0) < 1.0
    assert position(1.3) - position(0.7) > 0.15


def test_the_whisker_spans_the_range_and_says_when_it_runs_off() -> None:
    found = usage_bar(Range(0.2, 0.5, 2.0))
    assert found.low < found.typical < LIMIT_AT < found.high
    assert not found.beyond
    assert usage_bar(Range(2.0, 9.0, 900.0)).beyond
