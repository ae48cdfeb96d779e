"""More pull never makes a joint hold better; nothing depends on the unit told or on the seed."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from told import PACK, STARTED, certain, demo, examples

from advisor.advice.advise import advise
from advisor.advice.methods import DURATIONS, compute_method
from advisor.advice.result import Advice
from advisor.advice.worlds import SampledWorlds
from advisor.facts.case import Case, Span
from advisor.facts.declare import Kind
from advisor.facts.quantity import parse_quantity

started = st.fixed_dictionaries({name: certain(PACK.facts[name]) for name in STARTED})
skins = st.sampled_from(["vinyl_backed", "vinyl_moulded", "leather", "cloth_woven"])
factors = st.floats(1.0, 50.0)


def pulled(told: Case, more: dict[str, float]) -> SampledWorlds:
    """Worlds in which every demand of every site is so many times as large."""
    worlds = SampledWorlds(told, PACK, 64)
    for site in PACK.sites.values():
        for duration in DURATIONS:
            node = getattr(site, duration)
            worlds.values[node] = worlds.values[node] * more[duration]
    return worlds


@examples(30)
@given(facts=started, skin=skins, more=st.fixed_dictionaries(dict.fromkeys(DURATIONS, factors)))
def test_more_pull_never_helps_a_joint(
    facts: dict[str, tuple[str, ...]], skin: str, more: dict[str, float]
) -> None:
    told = Case("HB-1", facts={**facts, "skin.material": (skin,)})
    before, after = pulled(told, dict.fromkeys(DURATIONS, 1.0)), pulled(told, more)
    for method in PACK.methods.values():
        light, heavy = compute_method(method, before), compute_method(method, after)
        assert np.array_equal(light.possible, heavy.possible)
        for a, b in zip(light.joints, heavy.joints, strict=True):
            assert np.all(b.usage >= a.usage * (1 - 1e-12))
            for need in a.joint.meets:
                assert np.all(heavy.holds(need, 64) <= light.holds(need, 64))


@examples(30)
@given(facts=started, skin=skins, share=st.floats(0.01, 1.0))
def test_usage_scales_with_the_pull(
    facts: dict[str, tuple[str, ...]], skin: str, share: float
) -> None:
    """Miner's sum and the sustained and peak terms are all in proportion to the load."""
    told = Case("HB-1", facts={**facts, "skin.material": (skin,)})
    whole = pulled(told, dict.fromkeys(DURATIONS, 1.0))
    part = pulled(told, dict.fromkeys(DURATIONS, share))
    for method in PACK.methods.values():
        one, two = compute_method(method, whole), compute_method(method, part)
        for a, b in zip(one.joints, two.joints, strict=True):
            ends = np.isfinite(a.usage)
            assert b.usage[ends] == pytest.approx(share * a.usage[ends], rel=1e-9)


def figures(advice: Advice) -> list[float]:
    """The numbers of an advice, in order."""
    found = [advice.settled, advice.effective_worlds, *(q.value for q in advice.ask)]
    for method in advice.methods:
        found += [method.hold_probability, method.minutes.typical, method.price.typical]
        if method.usage is not None:
            found += [method.usage.low, method.usage.typical, method.usage.high]
    if advice.plan is not None:
        found += [advice.plan.expected_cost, advice.plan.price.high]
    return found


def told_with(**answers: str) -> Case:
    """The split armrest, with these quantities as a technician wrote them."""
    told = demo("split_armrest")
    for name, written in answers.items():
        fact = name.replace("__", ".")
        told = told.with_fact(fact, parse_quantity(written, PACK.facts[fact].dimension))
    return told


@pytest.mark.parametrize(
    ("fact", "metric", "other"),
    [
        ("damage__length", "127 mm", "5 in"),
        ("damage__length", "120 mm", "12 cm"),
        ("damage__length", "100..130 mm", "0.1 m to 13 cm"),
        ("skin__thickness", "1.27 mm", "50 mil"),
        ("place__peak_temperature", "60 degC", "140 degF"),
        ("vehicle__age", "1.5 yr", "18 months"),
        ("damage__closing_pull", "9.80665 N", "1 kgf"),
    ],
)
def test_the_unit_told_changes_nothing(fact: str, metric: str, other: str) -> None:
    one, two = (advise(told_with(**{fact: w}), PACK, 256, flips=False) for w in (metric, other))
    assert one.verdict is two.verdict
    assert [m.method for m in one.methods] == [m.method for m in two.methods]
    assert figures(one) == pytest.approx(figures(two), rel=1e-9)


@examples(15)
@given(inches=st.floats(0.5, 30.0))
def test_any_length_in_inches(inches: float) -> None:
    told = told_with(damage__length=f"{inches!r} in")
    span = told.facts["damage.length"]
    assert isinstance(span, Span) and span.low == pytest.approx(inches * 25.4, rel=1e-9)
    exact = told.with_fact("damage.length", Span(inches * 25.4, inches * 25.4))
    one, two = (advise(case, PACK, 64, flips=False) for case in (told, exact))
    assert figures(one) == pytest.approx(figures(two), rel=1e-6)


def test_rounded_inches_are_nearly_the_same() -> None:
    """120 mm is 4.7244 in to four digits."""
    one, two = (
        advise(told_with(damage__length=w), PACK, 256, flips=False) for w in ("120 mm", "4.7244 in")
    )
    assert one.verdict is two.verdict
    assert figures(one) == pytest.approx(figures(two), rel=1e-4)


SETTLED = ["split_armrest", "armrest_crumbled_foam", "brittle_bench", "broken_boss",
           "cracked_panel", "fallen_headlining", "lifted_dash_edge", "worn_bolster"]  # fmt: skip


@pytest.mark.parametrize("name", SETTLED)
def test_no_seed_flips_a_settled_verdict(name: str) -> None:
    first = advise(demo(name), PACK, 4096, flips=False)
    assert first.plan is not None and first.settled > 0.8
    for other in ("HB-1", "HB-2", "HB-3"):
        again = advise(replace(demo(name), name=other), PACK, 4096, flips=False)
        assert again.plan is not None and again.seed != first.seed
        assert (again.verdict, again.plan.lead) == (first.verdict, first.plan.lead)


def test_more_worlds_narrow_it() -> None:
    """The spread over seeds falls about as the root of the number of worlds, or faster."""
    spreads = []
    for n in (128, 4096):
        means = [
            float(worlds.mean(worlds.values["demand.skin_sustained"]))
            for seed in range(12)
            for worlds in [SampledWorlds(demo("unknown_split"), PACK, n, seed)]
        ]
        spreads.append(np.std(means) / np.mean(means))
    assert spreads[1] < 0.5 * spreads[0]


def test_every_quantity_has_a_unit_that_can_be_told() -> None:
    for decl in PACK.facts.values():
        if decl.kind is Kind.QUANTITY:
            unit = "" if decl.unit == "1" else f" {decl.unit}"
            span = parse_quantity(f"{decl.high:g}{unit}", decl.dimension)
            assert span.high == pytest.approx(decl.high, rel=1e-5)
