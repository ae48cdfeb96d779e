"""What a job sheet must tell: set-up apart, bridges, hollows, waits, deposit, cost per year."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.facts.case import Span
from advisor.facts.quantity import System
from advisor.job.amount import Amount
from advisor.job.costing import Costs, deposit_for, price_of
from advisor.job.cutting.yardage import Panel
from advisor.job.estimates import three_point
from advisor.job.measured_and_agreed import Hollow, HollowShape, Wishes
from advisor.job.model import JobSheet, Material, WorkKind
from advisor.job.quantities import filling
from advisor.job.sheet import job_sheet
from advisor.rulegraph.model.pack import RulePack
from advisor.wording.amounts import amount_text
from advisor.wording.figures import Range
from tests.unit.job.demo_jobs import advised, shipped
from tests.unit.job.test_sheet import OFFERED, sheet_of


def amounts_of(sheet: JobSheet) -> dict[str, Amount]:
    return {a.key: a for group in sheet.groups for a in group.amounts}


def test_set_up_stands_apart_from_work_in_every_method(pack: RulePack) -> None:
    for method in pack.methods.values():
        assert any(charge.set_up for charge in method.work), method.key
        assert any(not charge.set_up for charge in method.work), method.key


@pytest.mark.parametrize("name", OFFERED)
def test_every_offered_job_tells_set_up_apart(name: str) -> None:
    sheet = sheet_of(name)
    assert 0.0 < sheet.set_up.expected < sheet.minutes.expected
    assert {item.kind for item in sheet.items} >= {WorkKind.SET_UP, WorkKind.WORK}


def test_stitches_and_minutes_of_a_sewn_seam_agree() -> None:
    """24 s a stitch, common practice: the sewing and both ends together."""
    sheet = sheet_of("split_armrest")
    stitches = amounts_of(sheet)["stitches"].value.typical
    sewn = sum(i.minutes.typical for i in sheet.items if i.kind is WorkKind.WORK)
    assert sewn == pytest.approx(stitches * 24 / 60, rel=0.1)


def two_splits(bridge: float | None) -> JobSheet:
    case, advice = advised("split_armrest")
    case = case.with_fact("damage.count", Span(2.0, 2.0))
    return job_sheet(case, shipped(), advice, Wishes(bridge=bridge))


def test_a_short_bridge_is_sewn_through_in_one_run() -> None:
    short, long, unknown = (amounts_of(two_splits(b)) for b in (15.0, 60.0, None))
    assert short["order"].words.startswith("One run: unpick the bridge")
    assert long["order"].words.startswith("One after the other")
    assert unknown["order"].words.startswith("Measure the sound bridge")
    assert short["thread_length"].value.typical < 2 * long["thread_length"].value.typical
    assert short["stitches"].value.typical < long["stitches"].value.typical
    assert "thread_total" in long
    assert "thread_one_run" in unknown
    tips = [tip for group in two_splits(None).groups for tip in group.tips]
    assert any("Two splits in one seam" in tip for tip in tips)


def hollow_sheet(hollow: Hollow | None, humidity: float | None = None) -> dict[str, Amount]:
    case, advice = advised("armrest_crumbled_foam")
    filled = next((p for p in advice.plans if "foam_backfill" in p.methods), None)
    assert advice.plan is not None
    plan = filled or replace(advice.plan, methods=("foam_backfill", "hand_stitch"))
    advice = replace(advice, plan=plan)
    return amounts_of(job_sheet(case, shipped(), advice, Wishes(hollow=hollow, humidity=humidity)))


@pytest.mark.parametrize(
    ("shape", "litres"),
    [("dish", 0.1257), ("shallow", 0.0942), ("wedge", 0.12), ("block", 0.24)],
)
def test_a_measured_hollow_has_the_volume_of_its_shape(shape: str, litres: float) -> None:
    found = hollow_sheet(Hollow(120.0, 80.0, 25.0, HollowShape(shape)))
    assert found["hollow"].value.typical == pytest.approx(litres, abs=1e-4)
    assert shape in found["hollow"].title
    assert found["pad_length"].value.typical > 120.0
    for key in ("cans", "can_layers", "can_handled", "can_cure", "mix_liquid", "foam_density"):
        assert found[key].value.typical > 0.0, key
    assert found["can_handled"].value.typical < found["can_cure"].value.typical


def test_dry_air_makes_foam_wait_longer() -> None:
    size = Hollow(120.0, 80.0, 60.0)
    damp, dry = hollow_sheet(size, 0.8), hollow_sheet(size, 0.3)
    for key in ("can_cure", "can_handled"):
        assert dry[key].value.typical > 2 * damp[key].value.typical
    assert "At 30 % humidity" in dry["can_cure"].note
    assert "assumed" in hollow_sheet(size)["can_cure"].note


@given(st.floats(10, 900), st.floats(10, 600), st.floats(2, 150), st.floats(1.0, 3.0),
       st.sampled_from(list(HollowShape)))  # fmt: skip
def test_a_larger_hollow_takes_no_less(
    length: float, width: float, depth: float, times: float, shape: HollowShape
) -> None:
    small = filling.hollow_volume(length, width, depth, shape)
    large = filling.hollow_volume(length * times, width * times, depth * times, shape)
    assert large >= small
    assert filling.cans_to_order(large, 42.0, 0.6) >= filling.cans_to_order(small, 42.0, 0.6)
    assert filling.layers(depth * times, 30.0) >= filling.layers(depth, 30.0)


def test_when_a_part_may_be_used_is_told_from_the_start() -> None:
    sheet = sheet_of("worn_bolster")
    assert [moment.title for moment in sheet.ready] == [
        "Colour hard enough to use", "Colour fully cured, no cleaner before",
    ]  # fmt: skip
    assert sheet.minutes.expected < sheet.ready[0].at < sheet.ready[1].at


def test_doing_nothing_has_a_cost_per_year_where_the_part_can_be_renewed() -> None:
    left = next(c for c in sheet_of("split_armrest").choices if c.key == "nothing")
    renewed = next(c for c in sheet_of("split_armrest").choices if c.key == "re_cover")
    assert left.per_year is not None
    assert renewed.per_year is not None
    assert 0.0 < left.per_year < renewed.per_year
    bare = next(c for c in sheet_of("cracked_panel").choices if c.key == "nothing")
    assert bare.per_year is None


@given(st.floats(1.0, 400.0), st.floats(1.0, 3.0), st.floats(0.0, 300.0), st.floats(0.5, 0.99))
def test_a_deposit_leaves_no_loss_when_the_customer_backs_out(
    price: float, spread: float, minutes: float, certainty: float
) -> None:
    """It covers what was paid for the material, and the visit as far as the quote goes."""
    pack = shipped()
    bought = Material("cloth", "m", Range(price, price, price * spread),
                      three_point(price, price, price * spread), True, False, "")  # fmt: skip
    work = three_point(minutes, minutes, minutes).times(pack.prices.hourly_rate.mean / 60)
    markup = 1.0 + pack.prices.material_markup.mean
    parts = [Costs("p", ((WorkKind.WORK, work),), bought.estimate.times(markup))]
    whole = price_of(parts, pack, Wishes(certainty=certainty))
    deposit = deposit_for([bought], whole, pack)
    if deposit is None:  # a thread for a big job is no reason to ask for one
        assert bought.estimate.expected * markup < 0.02 * whole.quote
        return
    assert deposit.amount <= whole.quote + 1e-9
    paid = bought.estimate.at(certainty)
    visit = pack.prices.call_out_minimum.mean
    assert deposit.amount >= min(paid + visit, whole.quote) - 1e-9
    assert deposit.amount >= paid - 1e-9 or paid * markup >= whole.quote


def test_what_is_computed_is_rounded_to_what_can_be_measured() -> None:
    def said(value: float, dimension: str, system: System = System.METRIC) -> str:
        return amount_text(Range(value, value, value), dimension, system, rounded=True)

    assert said(998.7, "length") == "1000 mm"
    assert said(716.2, "length") == "715 mm"
    assert said(1777.0, "length") == "1780 mm"
    assert said(48.6, "length") == "49 mm"
    assert said(4.08, "length") == "4.1 mm"
    assert said(137.0, "number") == "137"
    assert said(425.0, "time") == "7.1 h"
    assert said(46.0, "time") == "46 min"
    assert said(0.117, "volume", System.IMPERIAL) == "4 fl oz"


def test_a_kind_of_a_part_is_cut_like_it() -> None:
    """A part without panels of its own takes those of what it is a kind of."""
    case, advice = advised("brittle_bench")
    kinds = shipped().facts["part.kind"].kinds_of("bench_cushion")
    for kind in kinds:
        cut = job_sheet(case.with_fact("part.kind", (kind,)), shipped(), advice).cut
        assert cut is not None
        assert [p.title for p in cut.panels][:1] == ["Top"], kind


def test_thread_for_a_new_cover_grows_with_its_seams() -> None:
    one, two = (
        amounts_of(sheet_of("brittle_bench", Wishes(panels=panels)))["thread_total"].value.typical
        for panels in ((Panel("Top", 900.0, 500.0),), (Panel("Top", 900.0, 500.0, 2),))
    )
    assert two > 1.9 * one
