"""Quantities of the job against published figures and figures worked by hand."""

from __future__ import annotations

import math

import pytest

from advisor.facts.quantity import System, back
from advisor.job import estimates as reckoning
from advisor.job.cutting import hides, yardage
from advisor.job.cutting.yardage import Panel, Roll
from advisor.job.measured_and_agreed import HollowShape
from advisor.job.quantities import filling, sewing, welding
from advisor.mechanics import thread, weld
from advisor.wording.amounts import in_system

GALLON = 3.785411784  # l, US, by definition
PLAIN = Roll(width=1370.0, edge=20.0, reserve=0.05, repeat=0.0, nap=False)
TOP = Panel("Top", 1900.0, 550.0)


@pytest.mark.parametrize(("length", "cut"), [(100, 828.4), (400, 1773.4)])
def test_thread_to_cut_agrees_with_the_geometric_formula(length: float, cut: float) -> None:
    """Pitch 4, stack 2, three stitches over at each end, three back, 5 %, tails 200 mm.

    Worked by hand from stitch geometry; "three times the length" (common practice, no
    source) is far too short on both.
    """
    found = sewing.thread_to_cut(length, 4.0, 2.0, 12.0, 3.0, 0.05, 200.0)
    assert found == pytest.approx(cut, rel=0.001)
    assert sewing.rule_of_thumb_short_by(found, length, 3.0) == pytest.approx(found - 3 * length)


def test_overrun_at_each_end() -> None:
    """12.7 mm at 4 mm is 3.2 stitches, so four: US Army TM 10-1670-287-23&P."""
    assert thread.lock_off_stitches(12.7, 4.0) == 4.0
    assert sewing.stitches_to_sew(100.0, 4.0, 12.7, 3.0) == 25 + 2 * 4 + 3


def test_every_other_hole_halves_the_stitches_between_the_ends() -> None:
    """FAA AC 43.13-1B wants 4 stitches an inch: 6.35 mm; a skipped 4 mm seam is beyond it."""
    full = sewing.stitches_to_sew(400.0, 4.0, 12.0, 3.0) - 9
    assert sewing.stitches_every_other(400.0, 4.0, 12.0, 3.0) - 9 == full / 2
    assert 2 * 4.0 > 25.4 / 4


@pytest.mark.parametrize(
    ("thickness", "cap", "area", "ratio"),
    [(3.0, 0.0, 5.196, 0.735), (3.0, 0.15, 5.976, 0.845), (4.0, 0.0, 9.238, 1.307)],
)
def test_rod_for_a_groove(thickness: float, cap: float, area: float, ratio: float) -> None:
    """V of 60 degrees, 3 mm rod: geometry, groove angle after DVS 2207-3."""
    found = weld.groove_area(thickness, 60.0, cap)
    assert found == pytest.approx(area, rel=0.005)
    assert weld.rod_length_ratio(found, 3.0) == pytest.approx(ratio, rel=0.005)
    bought = welding.rod_to_buy(1000.0, thickness, 60.0, cap, 3.0)
    assert bought == pytest.approx(1000.0 * max(ratio, 1.0), rel=0.005), "one pass at least"


def test_rod_mass() -> None:
    """Polypropylene of 0.905 g/cm3, 3 mm wall with cap: 5.41 g/m, worked by hand."""
    assert weld.rod_mass(weld.groove_area(3.0, 60.0, 0.15), 0.905) == pytest.approx(5.41, rel=0.01)


def test_weld_time_stop_holes_and_staples() -> None:
    """75 mm a minute: DVS 2207-3 supplement 1 (draft 2013). Staples at most 12.7 mm apart,
    two to the inch: staple-weld how-to."""
    assert welding.weld_minutes(150.0, 2.0, 75.0) == pytest.approx(4.0)
    assert welding.stop_holes(3.0) == 6.0
    assert welding.staples(127.0, 12.7) == 11.0


def test_two_part_foam() -> None:
    """2 lb/ft3 is 32.04 kg/m3."""
    assert in_system(32.04, "density", System.IMPERIAL) == pytest.approx(2.0, abs=0.001)


def test_dish() -> None:
    """120 x 80 x 25 mm, worked by hand: half an ellipsoid 0.1257 l, shallow 0.0942 l."""
    assert filling.dish_volume(120, 80, 25) == pytest.approx(0.1257, abs=1e-4)
    assert filling.dish_volume(120, 80, 25, shallow=True) == pytest.approx(0.0942, abs=1e-4)
    assert filling.wedge_volume(120, 80, 25) == pytest.approx(0.12)
    assert filling.block_volume(120, 80, 25) == pytest.approx(0.24)
    by_shape = [filling.hollow_volume(120, 80, 25, shape) for shape in HollowShape]
    assert by_shape == pytest.approx([0.1257, 0.0942, 0.12, 0.24], abs=1e-4)


def test_foam_cures_more_slowly_in_dry_air() -> None:
    """90 to 300 min at 18 degC and 60 % humidity: data sheet of a gun-grade foam. Inversely to
    the moisture of the air: our own estimate, so half as damp takes twice as long."""
    assert filling.cure_minutes(180.0, 1.0, 0.6) == pytest.approx(180.0)
    assert filling.cure_minutes(180.0, 2.0, 0.3) == pytest.approx(720.0)
    with pytest.raises(ValueError, match=r"outside 0\.2 to 0\.9"):
        filling.cure_minutes(180.0, 1.0, 0.1)


def test_doing_nothing_costs_the_later_price_over_both_times() -> None:
    """900 in two years at 5 % is 816.33 today; over twelve years 92.10, worked by hand."""
    assert pytest.approx(816.33, abs=0.005) == 900 / 1.05**2
    assert reckoning.yearly_cost_if_left(900, 2, 10, 0.05) == pytest.approx(92.10, abs=0.01)


def test_indentation_force() -> None:
    """35 lbf on 323 cm2 (ASTM D3574) is 155.7 N."""
    assert back(35.0, "force", System.IMPERIAL) == pytest.approx(155.7, abs=0.05)


def test_contact_cement_cover() -> None:
    """308 ft2 a gallon is 7.56 m2/l, 2.5 g/ft2 dry is 26.9 g/m2: data sheet, 2015."""
    square_feet = in_system(1.0, "big_area", System.IMPERIAL)
    assert 308 / square_feet / GALLON == pytest.approx(7.56, abs=0.005)
    assert 2.5 * square_feet == pytest.approx(26.9, abs=0.05)
    assert filling.liquid_for_area(7.56, 1.0, 7.56) == pytest.approx(1.0)


def test_leather_for_a_yard_of_cloth() -> None:
    """54 in by a yard is 13.5 ft2, bought as 18: tanners' pages."""
    yard = Panel("A yard of 54 inch cloth", 54 * 25.4, yardage.YARD)
    found = hides.cut_from_hides(
        (yard,), allowance=0.0, loss=0.25, hide_area=4.85, hide_length=2286, hide_width=1829,
        cut_piece=0.5,
    )
    assert found.net / hides.SQUARE_FOOT == pytest.approx(13.5)
    assert found.to_buy / hides.SQUARE_FOOT == pytest.approx(18.0)


@pytest.mark.parametrize(
    ("inches", "extra"),
    [(0, 0.0), (2, 0.0), (3, 0.1), (14, 0.1), (15, 0.15), (27, 0.2), (36, 0.25), (45, 0.3),
     (54, 0.35)],
)  # fmt: skip
def test_repeat_charts(inches: float, extra: float) -> None:
    """Three fabric repeat charts that agree; repeats along and across added up."""
    assert yardage.repeat_allowance(inches * 25.4) == extra


def test_pattern_of_ten_and_seventeen_inches() -> None:
    """8 yd become 9.6: fabric repeat charts."""
    assert 8 * (1 + yardage.repeat_allowance(27 * 25.4)) == pytest.approx(9.6)
    with pytest.raises(ValueError, match="beyond the charts"):
        yardage.repeat_allowance(55 * 25.4)


def test_bench_top_railroaded_or_in_halves() -> None:
    """1900 x 550 mm on a 54 in roll, worked by hand: 2.5 yd whole; 1.5 yd with a seam."""
    ways = {cut.turn: cut for cut in yardage.cut_from_roll((TOP,), 12.0, PLAIN)}
    assert ways["along"].layout.length == pytest.approx(1924.0)
    assert ways["along"].needed / yardage.YARD == pytest.approx(2.209, abs=0.001)
    assert ways["along"].yards == 2.5
    assert ways["across"].layout.length == pytest.approx(2 * 574.0)
    assert ways["across"].needed / yardage.YARD == pytest.approx(1.318, abs=0.001)
    assert ways["across"].yards == 1.5
    assert ways["across"].seam_shows
    assert [p.piece.length for p in ways["across"].layout.placed] == [974.0, 974.0]


def test_long_bench_top_in_whole_yards() -> None:
    """Common practice, no source: about two yards for a long bench top panel."""
    best = yardage.cut_from_roll((Panel("Top", 1650.0, 550.0),), 12.0, PLAIN)[0]
    assert math.ceil(best.needed / yardage.YARD) == 2


def test_whole_cushion() -> None:
    """Top, bottom, boxing 100 mm high; worked by hand: 2.296 m, 3 yd."""
    panels = (
        TOP, Panel("Bottom", 1900.0, 550.0), Panel("Front and back", 1900.0, 100.0, 2, True),
        Panel("Ends", 550.0, 100.0, 2, True),
    )  # fmt: skip
    best = yardage.cut_from_roll(panels, 12.0, PLAIN)[0]
    assert best.layout.length <= 2296.0 + 1e-6
    assert best.yards == 3.0
    assert not best.seam_shows


def test_leather_top() -> None:
    """11.89 ft2 net, 15.85 to buy, one hide: worked by hand from the tanners' quarter."""
    found = hides.cut_from_hides(
        (TOP,), allowance=12.0, loss=0.25, hide_area=50 * hides.SQUARE_FOOT,
        hide_length=90 * 25.4, hide_width=72 * 25.4, cut_piece=0.5,
    )  # fmt: skip
    assert found.net / hides.SQUARE_FOOT == pytest.approx(11.89, abs=0.005)
    assert found.to_buy / hides.SQUARE_FOOT == pytest.approx(15.85, abs=0.005)
    assert found.hides == 1
    assert found.too_large == ()
    (placed,) = found.layouts[0].placed
    assert max(placed.along, placed.across) == pytest.approx(1924.0)


def test_colour_for_a_panel() -> None:
    """1.5 m2, four coats, 10 m2/l: 0.6 l, worked by hand."""
    assert filling.liquid_for_area(1.5, 4.0, 10.0) == pytest.approx(0.6)


@pytest.mark.parametrize(("fahrenheit", "celsius"), [(250, 121.1), (300, 148.9), (500, 260.0)])
def test_filler_heat(fahrenheit: float, celsius: float) -> None:
    """Filler cures at 250 to 300 F, leather stands 300, backed vinyl 500: technician's notes."""
    assert back(fahrenheit, "temperature", System.IMPERIAL) == pytest.approx(celsius, abs=0.05)
    assert filling.filler_fits(121.1, 148.9)
    assert not filling.filler_fits(149.0, 121.1)


def test_three_point_time() -> None:
    """20, 40, 75 min, worked by hand: 42.5, sd 9.17, 50.2 kept in 80 of 100 (PERT)."""
    estimate = reckoning.three_point(20, 40, 75)
    assert estimate.expected == pytest.approx(42.5)
    assert estimate.sd == pytest.approx(9.17, abs=0.005)
    assert estimate.at(0.8) == pytest.approx(50.2, abs=0.05)


def test_equal_yearly_cost() -> None:
    """At 5 %: 180 over 4 years, 900 over 10, worked by hand; engineering economics."""
    assert reckoning.equal_yearly_cost(180, 4, 0.05) == pytest.approx(50.76, abs=0.005)
    assert reckoning.equal_yearly_cost(900, 10, 0.05) == pytest.approx(116.55, abs=0.005)
    assert reckoning.equal_yearly_cost(900, 10, 0.0) == pytest.approx(90.0)


def test_call_out_minimum() -> None:
    """A quarter of an hour at 60 with a minimum of 90 is 90."""
    assert reckoning.charged(15 / 60 * 60, 90.0) == 90.0
