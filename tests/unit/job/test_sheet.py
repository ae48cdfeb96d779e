"""The job sheet of the demo cases: order, cautions, price, properties."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.advice.advise import advise, advise_quick
from advisor.facts.case import Span
from advisor.facts.quantity import System
from advisor.job.costing import Costs, price_of
from advisor.job.cutting.yardage import Panel
from advisor.job.effort import finished, in_order, schedule
from advisor.job.estimates import Estimate, three_point
from advisor.job.measured_and_agreed import Wishes
from advisor.job.model import JobSheet, Task, WorkKind
from advisor.job.quantities import sewing, welding
from advisor.job.sheet import job_sheet, together
from advisor.rulegraph.model.pack import RulePack
from advisor.wording.amounts import JOB_DIMENSIONS, amount_text, in_system, unit_of, unit_shown
from advisor.wording.figures import Range
from tests.field.gates import with_other_gates_cleared
from tests.unit.advice.given_cases import case
from tests.unit.job.demo_jobs import advised, shipped

OFFERED = (
    "split_armrest", "cracked_panel", "brittle_bench", "fallen_headlining", "torn_deck_cushion",
    "armrest_crumbled_foam", "worn_bolster", "broken_boss", "lifted_dash_edge",
)  # fmt: skip
money = st.floats(0.0, 500.0)
estimates = st.builds(Estimate, money, st.floats(0.0, 60.0))
costs = st.builds(
    lambda work, bought: Costs("part", ((WorkKind.WORK, work),), bought), estimates, estimates
)


def sheet_of(name: str, wishes: Wishes | None = None) -> JobSheet:
    case, advice = advised(name)
    return job_sheet(case, shipped(), advice, wishes)


@pytest.mark.parametrize("name", OFFERED)
def test_steps_follow_the_order_of_methods_with_the_packs_cautions(
    name: str, pack: RulePack
) -> None:
    """Taking apart first, closing up last; between them in the order of the methods."""
    sheet = sheet_of(name)
    at = {
        (key, step.text): step.at for key in sheet.methods for step in pack.methods[key].steps
    }
    placed = [(at[step.method, step.text], pack.methods[step.method].order) for step in sheet.steps]
    stages = ["beforehand", "opening", None, "closing"]
    assert placed == sorted(placed, key=lambda pair: (stages.index(pair[0]), pair[1]))
    assert [step.number for step in sheet.steps] == list(range(1, len(placed) + 1))
    texts = {caution.text for caution in pack.cautions.values()}
    assert all(caution in texts for step in sheet.steps for caution in step.cautions)
    assert any(step.cautions for step in sheet.steps) or name == "heat_relax"


@pytest.mark.parametrize("name", OFFERED)
def test_the_sheet_is_the_same_from_the_kept_working_and_from_the_advice_alone(name: str) -> None:
    case, _ = advised(name)
    found = advise_quick(case, shipped())
    assert found.working is not None
    kept = job_sheet(case, shipped(), found.advice, None, found.working)
    assert kept == job_sheet(case, shipped(), found.advice)


@pytest.mark.parametrize("name", OFFERED)
def test_price_lines_add_up_to_the_quote(name: str) -> None:
    price = sheet_of(name).price
    assert price is not None
    assert sum(line.amount for line in price.lines) == pytest.approx(price.quote, abs=0.02)
    assert price.value.low <= price.value.typical <= price.value.high
    assert price.total.high == pytest.approx(price.quote + price.tax)


def test_a_referred_job_has_no_sheet() -> None:
    sheet = sheet_of("airbag_seam")
    assert sheet.withheld.startswith("Do not repair this here")
    assert sheet.steps == ()
    assert sheet.price is None
    job = together([sheet], shipped())
    assert job.price is None
    assert job.timeline == ()


def test_the_split_armrest() -> None:
    sheet = sheet_of("split_armrest")
    amounts = {a.key: a for group in sheet.groups for a in group.amounts}
    assert amounts["thread"].words.startswith("Bonded polyester")
    assert amounts["thread_length"].value.typical > amounts["thread_rule"].value.typical
    assert "runs short" in amounts["thread_rule"].note
    assert sheet.holes is not None
    assert sheet.holes.stitches[1] < sheet.holes.stitches[0]
    assert sheet.holes.minutes[1] < sheet.holes.minutes[0]
    assert 0.45 < sheet.holes.strength_left.typical < 0.9
    assert sheet.deposit is None
    assert sheet.price is not None
    assert sheet.price.minimum_applies
    assert sheet.set_up.expected < sheet.minutes.expected


def test_the_brittle_bench_is_cut_from_the_roll_and_takes_a_deposit() -> None:
    sheet = sheet_of("brittle_bench")
    assert sheet.cut is not None
    assert sheet.cut.assumed
    assert sheet.cut.cuttings[0].yards > 0
    assert sheet.deposit is not None
    assert sheet.price is not None
    assert 0.0 < sheet.deposit.amount <= sheet.price.quote
    measured = sheet_of("brittle_bench", Wishes(panels=(Panel("Top", 1900.0, 550.0),)))
    assert measured.cut is not None
    assert not measured.cut.assumed
    assert measured.cut.cuttings[0].yards == 2.5


def test_a_new_lining_gets_a_layout_that_keeps_the_nap() -> None:
    cut = sheet_of("fallen_headlining").cut
    assert cut is not None
    assert all(cutting.turn != "free" for cutting in cut.cuttings)


def test_leather_is_counted_in_hides() -> None:
    case, advice = advised("brittle_bench")
    leather = case.with_fact("skin.material", ("leather",))
    cut = job_sheet(leather, shipped(), advice, Wishes(panels=(Panel("Top", 1900.0, 550.0),))).cut
    assert cut is not None
    assert cut.hides is not None
    assert cut.hides.hides == 1


def test_every_amount_has_a_unit_a_source_and_survives_the_switch() -> None:
    pack = shipped()
    for name in OFFERED:
        for group in sheet_of(name).groups:
            for amount in group.amounts:
                assert amount.source in pack.sources, amount.key
                assert amount.unit == unit_of(amount.dimension)
                assert amount.value.low <= amount.value.typical <= amount.value.high
                both = {amount.text(system) for system in System}
                if amount.dimension not in ("number", "text", "time"):
                    assert len(both) == 2, amount.key


@pytest.mark.parametrize("dimension", sorted(JOB_DIMENSIONS - {"text"}))
def test_own_dimensions_agree_with_pint(dimension: str) -> None:
    import pint

    metric, imperial = unit_of(dimension), unit_shown(dimension, System.IMPERIAL)
    names = {"kg/m3": "kg/m**3", "m2": "m**2",
             "lb/ft³": "lb/ft**3", "ft²": "ft**2", "fl oz": "fluid_ounce",
             "in/min": "inch/min", "oz": "ounce"}  # fmt: skip
    units = pint.UnitRegistry()
    expected = units.Quantity(3.0, names.get(metric, metric)).to(names.get(imperial, imperial))
    assert in_system(3.0, dimension, System.IMPERIAL) == pytest.approx(expected.magnitude, rel=1e-6)


def test_range_text() -> None:
    assert amount_text(Range(1, 2, 3), "cloth", System.METRIC) == "2 m (1 to 3)"
    assert amount_text(Range(2, 2, 2), "density", System.METRIC) == "2 kg/m³"


@settings(max_examples=60, deadline=None)
@given(st.floats(5, 3000), st.floats(0, 3000), st.floats(2, 9), st.floats(0.5, 8))
def test_sewing_grows_with_the_damage(length: float, more: float, pitch: float, stack: float):  # type: ignore[no-untyped-def]
    for every in (1, 2):
        args = (pitch, stack, 12.7, 3.0, 0.05, 200.0, every)
        assert sewing.thread_to_cut(length + more, *args) >= sewing.thread_to_cut(length, *args)
    for count in (sewing.stitches_to_sew, sewing.stitches_every_other):
        assert count(length + more, pitch, 12.7, 3.0) >= count(length, pitch, 12.7, 3.0)
    full = sewing.stitches_to_sew(length, pitch, 12.7, 3.0)
    assert sewing.stitches_every_other(length, pitch, 12.7, 3.0) <= full


@settings(max_examples=60, deadline=None)
@given(st.floats(5, 3000), st.floats(0, 3000), st.floats(2, 10), st.floats(0, 5))
def test_welding_grows_with_the_damage(length: float, more: float, wall: float, thicker: float):  # type: ignore[no-untyped-def]
    base = welding.rod_to_buy(length, wall, 60.0, 0.15, 3.0)
    assert welding.rod_to_buy(length + more, wall, 60.0, 0.15, 3.0) >= base
    assert welding.rod_to_buy(length, wall + thicker, 60.0, 0.15, 3.0) >= base - 1e-9


@pytest.mark.parametrize("name", ["split_armrest", "cracked_panel", "torn_deck_cushion"])
def test_a_longer_damage_never_needs_less(name: str) -> None:
    """The plan held fast, every quantity that has to do with size grows."""
    case, advice = advised(name)
    known = case.facts["damage.length"]
    assert isinstance(known, Span)
    longer = case.with_fact("damage.length", Span(known.low * 1.7, known.high * 1.7))
    first = job_sheet(case, shipped(), advice)
    second = job_sheet(longer, shipped(), advice)
    assert first.methods == second.methods
    pairs = zip(first.groups, second.groups, strict=True)
    for before, after in ((a, b) for x, y in pairs for a, b in zip(x.amounts, y.amounts,
                                                                  strict=True)):
        assert after.value.typical >= before.value.typical - 1e-9, before.key
    assert second.minutes.expected > first.minutes.expected
    assert first.price is not None
    assert second.price is not None
    assert second.price.quote >= first.price.quote


@given(costs, costs, st.floats(0.5, 0.99), st.floats(0, 200))
def test_price_never_falls_when_work_is_added_and_splitting_never_saves(
    one: Costs, other: Costs, certainty: float, distance: float
) -> None:
    pack, wishes = shipped(), Wishes(certainty=certainty, distance=distance)
    both = price_of([one, other], pack, wishes)
    alone = [price_of([part], pack, wishes) for part in (one, other)]
    assert both.quote >= max(price.quote for price in alone) - 1e-6
    assert both.quote <= sum(price.quote for price in alone) + 1e-6


def test_three_damages_share_one_call_out() -> None:
    job = together(on_one_boat(), shipped(), Wishes(distance=20.0))
    assert job.price is not None
    assert len(job.visits) == 1
    assert job.apart == "All on one vehicle: launch 3."
    assert job.saved > 0.0
    travel = [line for line in job.price.lines if line.kind == "travel"]
    assert len(travel) == 1
    assert travel[0].title == "Travel, 40 km"


def on_one_boat() -> list[JobSheet]:
    """Three damages whose titles name the same boat."""
    names = ("torn_deck_cushion", "brittle_bench", "torn_deck_cushion")
    found = []
    for number, name in enumerate(names):
        case, advice = advised(name)
        title = f"Damage {number}, launch 3"
        named = replace(case, title=title)
        found.append(job_sheet(named, shipped(), replace(advice, title=title)))
    return found


def test_a_cure_is_used_for_other_work() -> None:
    sheets = on_one_boat()
    job = together(sheets, shipped())
    apart = sum(finished(schedule(sheet.tasks)) for sheet in sheets)
    assert finished(job.timeline) < apart
    hands = sorted((s.start, s.end) for s in job.timeline if s.hands)
    assert all(a[1] <= b[0] + 1e-9 for a, b in itertools.pairwise(hands))


tasks = st.lists(
    st.builds(
        Task, st.sampled_from("ab"), st.just("m"), st.just("t"), st.integers(0, 3),
        st.floats(1, 90), st.floats(0, 300), st.just("w"),
    ),
    max_size=7,
)  # fmt: skip


@given(tasks)
def test_a_schedule_keeps_every_rule(given_tasks: list[Task]) -> None:
    slots = schedule(given_tasks)
    hands = [slot for slot in slots if slot.hands]
    assert len(hands) == len(given_tasks)
    ordered = sorted(hands, key=lambda slot: slot.start)
    assert all(a.end <= b.start + 1e-6 for a, b in itertools.pairwise(ordered))
    whole = sum(task.minutes + task.wait for task in given_tasks)
    assert finished(slots) <= whole + 1e-6


def test_methods_of_one_order_are_free_of_each_other(pack: RulePack) -> None:
    found = in_order(("recolour", "hand_stitch", "foam_backfill", "plastic_weld"), pack)
    assert found == ("foam_backfill", "plastic_weld", "hand_stitch", "recolour")


def test_three_point_times_must_rise() -> None:
    with pytest.raises(ValueError, match="not a rising three-point time"):
        three_point(3.0, 2.0, 1.0)


@pytest.mark.parametrize("certainty", [0.3, 1.0])
def test_an_impossible_certainty_is_refused(certainty: float, pack: RulePack) -> None:
    with pytest.raises(ValueError, match=r"outside 0\.5 to 0\.99"):
        sheet_of("split_armrest", Wishes(certainty=certainty))


def test_the_shops_own_price_and_stock_stand_in(pack: RulePack) -> None:
    from advisor.rulegraph.model.job import StockItem

    what = "Bonded sewing thread"
    stock = {what: StockItem(what, True, (90.0, 90.0, 90.0), "")}
    quote = replace(pack.prices.quote, stock=stock)
    own = replace(pack, prices=replace(pack.prices, quote=quote))
    case, advice = advised("split_armrest")
    sheet = job_sheet(case, own, advice)
    thread = next(m for m in sheet.materials if m.what == what)
    assert thread.own_price
    assert thread.estimate.expected == pytest.approx(90.0)
    assert sheet.deposit is not None


def test_what_is_said_before_anything_comes_off_is_the_first_step(pack: RulePack) -> None:
    """An airbag step behind taking the cover off would come too late."""
    for method in pack.methods.values():
        opens = [step.at == "opening" for step in method.steps]
        for step in method.steps:
            if "near: before" in step.text:
                assert step.at == "opening", method.key
                taken = [s for s in method.steps if s.at == "opening" and s.text != step.text]
                assert all(opens) or not taken or method.steps[0] is step, method.key


def test_a_cover_is_refitted_once(pack: RulePack) -> None:
    """With the foam renewed under a new panel the sound cover is not refitted as well."""
    told = case(part__kind="seat_bolster", vehicle__kind="car", skin__material="cloth_woven",
                skin__feel="supple", damage__kind="tear", damage__length=90, damage__count=1,
                damage__edges_meet=False, core__material="foam_soft", core__state="crumbles",
                access__back="comes_off", part__available=False)  # fmt: skip
    told = with_other_gates_cleared(told, pack)
    sheet = job_sheet(told, pack, advise(told, pack, 256, flips=False))
    assert set(sheet.methods) == {"foam_replace", "recover_panel.one_panel"}
    refits = [step.text for step in sheet.steps if step.text.startswith("Refit")]
    assert refits == ["Refit the repaired cover with new rings; clips go back as they came."]
    assert sheet.steps[-1].text == refits[0]
    assert len([item for item in sheet.items if item.kind is WorkKind.ACCESS]) == 1


def test_what_length_and_area_add_is_joined_to_its_material(pack: RulePack) -> None:
    """Each material is named once a method, and the sum is what the lines cost by themselves."""
    sheet = sheet_of("torn_deck_cushion")
    named = [(material.method, material.what) for material in sheet.materials]
    assert len(named) == len(set(named))
    extents = {
        charge.what for method in sheet.methods for charge in pack.methods[method].materials
        if charge.extent
    }
    assert extents and extents.isdisjoint(what for _, what in named)
    line = next(line for line in sheet.price.lines if line.kind == "material")
    bought = sum(material.estimate.expected for material in sheet.materials)
    assert line.amount == pytest.approx(bought * (1.0 + sheet.price.markup))


def test_two_damages_under_one_title_are_told_apart_and_opened_once() -> None:
    """They are one part: it comes apart once, and each is named with its damage."""
    one = sheet_of("armrest_crumbled_foam")
    other = replace(one, case="HB-2", damage="Stain")
    job = together([one, other], shipped())
    assert [sheet.title for sheet in job.sheets] == [
        f"{one.title}: {one.damage[0].lower()}{one.damage[1:]}", f"{one.title}: stain"
    ]
    elsewhere = replace(one.vehicle, names=("Another part",))
    apart = together([one, replace(other, title="Another part", vehicle=elsewhere)], shipped())
    access = sum(line.amount for line in one.price.lines if line.title.startswith("Taking apart"))
    assert access > 0.0
    assert job.price.value.typical < apart.price.value.typical

    twins = together([one, replace(one, case="HB-3")], shipped())
    assert [sheet.title.rpartition(": ")[2] for sheet in twins.sheets] == [one.case, "HB-3"]
